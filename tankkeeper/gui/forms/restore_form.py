"""The backups of a household, and what restoring one of them would change."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.parts_form import PartsForm
from tankkeeper.gui.widgets.buttons import Button, ButtonKind
from tankkeeper.gui.widgets.thing_list import ThingList
from tankkeeper.reports.file_names import told_apart
from tankkeeper.reports.preview_words import (
    KEPT_BEFORE,
    NOTHING_DIFFERS,
    Part,
    backup_lines,
    differs,
    restore_parts,
    size_words,
)
from tankkeeper.reports.words import Words
from tankkeeper.services.ports import StoredBackup
from tankkeeper.services.previews import RestorePreview

LOOKING = "The backup is being looked into."
NONE_YET = "There is no backup beside this household yet. Another file can be chosen."
CHOOSE = "Choose one with Up and Down; what restoring it would change stands below."
_ROWS_SEEN = 5
# Days that are called by no name of their own are written small in a sentence.
_NO_NAMES = ("Today", "Yesterday", "Tonight", "Last night", "The night")
# The sentence, and three lines of what restoring would change, at the usual type.
_BESIDE = 110


class _Backups(ThingList):
    """Return belongs to the form, which restores what is chosen and told below."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave Return to the form."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            event.ignore()
            return
        super().keyPressEvent(event)


class RestoreForm(PartsForm):
    """Lists backups; `looked` tells the one to look into, `other_wanted` that it is elsewhere."""

    looked = Signal(object)
    other_wanted = Signal()

    def __init__(self, backups: Sequence[StoredBackup], words: Words, parent: QWidget) -> None:
        sentence = CHOOSE if backups else NONE_YET
        super().__init__("Restore from a backup", sentence, "Restore", parent)
        self._words = words
        self._paths = [one.path for one in backups]
        self._rows = backup_lines(backups, words)
        self.list = _Backups("Backups", self)
        self.list.setVisible(bool(backups))
        self.column.insertWidget(self.column.indexOf(self.area), self.list, 1)
        self.other = Button("Another file", ButtonKind.PLAIN, self)
        self.other.setAutoDefault(False)
        self.foot.insertWidget(0, self.other)
        self.other.clicked.connect(self.other_wanted)
        self.list.currentRowChanged.connect(self._on_row)
        self._show_rows(0)
        (self.list if backups else self.other).setFocus()

    @property
    def chosen(self) -> Path | None:
        """The backup on which the keys are."""
        at = self.list.currentRow()
        return self._paths[at] if 0 <= at < len(self._paths) else None

    def called(self, path: Path) -> str:
        """Return what a sentence calls one of them: by its moment, one from elsewhere by its name.

        The names of backups are long and differ in a few letters far behind.
        """
        name = self._rows[self._paths.index(path)][0]
        if name == path.name:
            return told_apart(name)
        is_near = name.startswith(_NO_NAMES)
        return f"the backup of {name[:1].lower() if is_near else name[:1]}{name[1:]}"

    def add(self, path: Path, size_bytes: int) -> None:
        """Put a file from elsewhere first, and choose it."""
        if self.caption is not None:
            # There is one by now.
            self.caption.setText(CHOOSE)
        self._paths.insert(0, path)
        self._rows.insert(0, (path.name, f"{size_words(size_bytes)}, in {path.parent}"))
        self.list.setVisible(True)
        self._show_rows(0)
        self.activateWindow()
        self.list.setFocus()

    def show_preview(self, preview: RestorePreview) -> None:
        """Show what restoring would change, ready for the one key where it changes something."""
        if preview.source != self.chosen:
            return
        parts = restore_parts(preview, self._words)
        does_differ = differs(preview)
        self.show_parts(parts, KEPT_BEFORE if does_differ else NOTHING_DIFFERS)
        self.primary.setEnabled(does_differ)

    def show_unreadable(self, path: Path, sentence: str) -> None:
        """Tell that one of them cannot be restored."""
        if path == self.chosen:
            self.show_parts([Part("It cannot be restored", (sentence,))])

    def _show_rows(self, at: int) -> None:
        self.list.show_rows(self._rows, at)
        row = max(1, self.list.sizeHintForRow(0))
        seen = min(max(1, len(self._rows)), self.rows_that_fit(row, _ROWS_SEEN, _BESIDE))
        self.list.setFixedHeight(row * seen)

    def _on_row(self, _row: int) -> None:
        self.refuse("")
        self.primary.setEnabled(False)
        path = self.chosen
        if path is not None:
            self.show_parts([], LOOKING)
            self.looked.emit(path)
