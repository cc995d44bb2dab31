"""What a tank file would change, or what is wrong with it, before it is imported."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.parts_form import PartsForm
from tankkeeper.gui.widgets.buttons import Button, ButtonKind
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.preview_words import Part, import_end, import_parts
from tankkeeper.reports.words import Words
from tankkeeper.services.previews import ImportPreview

READING = "The file is being read."
ALL_OR_NOTHING = (
    "A file is imported whole or not at all. Mend what is told above, then import it again."
)
OR_OTHER_NAME = (
    "A file is imported whole or not at all. Mend what is told above, or bring its tank in by "
    "another name."
)


class ImportForm(PartsForm):
    """Shows the file as it would come in; `asked` tells that it may.

    `other_name_wanted` tells that its tank is to come in by another name.
    """

    other_name_wanted = Signal()

    def __init__(self, name: str, parent: QWidget) -> None:
        super().__init__(f"Import {name}", "", "Import", parent)
        self.other_name = Button("Another name", ButtonKind.PLAIN, self)
        self.other_name.setAutoDefault(False)
        self.other_name.hide()
        self.foot.insertWidget(0, self.other_name)
        self.other_name.clicked.connect(self.other_name_wanted)
        self.show_parts([], READING)

    def show_preview(self, preview: ImportPreview, words: Words) -> None:
        """Show what would change, ready for the one key."""
        self.other_name.hide()
        self.refuse("")
        self.show_parts(import_parts(preview, words), import_end(preview))
        self.primary.setEnabled(True)
        self.primary.setFocus()

    def show_problems(self, lines: Sequence[str], *, is_name_taken: bool = False) -> None:
        """Show every line that is wrong; there is nothing to accept then.

        Another name is offered where a tank of the file is called as one that is there.
        """
        what = counted(len(lines), "thing", "things")
        verb = "is" if len(lines) == 1 else "are"
        self.show_parts([Part(f"{what} in the file {verb} wrong", tuple(lines))])
        self.refuse(OR_OTHER_NAME if is_name_taken else ALL_OR_NOTHING)
        self.primary.setEnabled(False)
        self.other_name.setVisible(is_name_taken)
        (self.other_name if is_name_taken else self.leave).setFocus()
