"""What a tank file would change, or what is wrong with it, before it is imported."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.parts_form import PartsForm
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.preview_words import Part, import_end, import_parts
from tankkeeper.reports.words import Words
from tankkeeper.services.previews import ImportPreview

READING = "The file is being read."
ALL_OR_NOTHING = (
    "A file is imported whole or not at all. Mend what is told above, then import it again."
)


class ImportForm(PartsForm):
    """Shows the file as it would come in; `asked` tells that it may."""

    def __init__(self, name: str, parent: QWidget) -> None:
        super().__init__(f"Import {name}", "", "Import", parent)
        self.show_parts([], READING)

    def show_preview(self, preview: ImportPreview, words: Words) -> None:
        """Show what would change, ready for the one key."""
        self.show_parts(import_parts(preview, words), import_end(preview))
        self.primary.setEnabled(True)
        self.primary.setFocus()

    def show_problems(self, lines: Sequence[str]) -> None:
        """Show every line that is wrong; there is nothing to accept then."""
        what = counted(len(lines), "thing", "things")
        verb = "is" if len(lines) == 1 else "are"
        self.show_parts([Part(f"{what} in the file {verb} wrong", tuple(lines))])
        self.refuse(ALL_OR_NOTHING)
        self.primary.setEnabled(False)
        self.leave.setFocus()
