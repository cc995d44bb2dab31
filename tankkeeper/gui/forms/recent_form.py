"""The households that were opened before, to be opened again or forgotten."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.openings import Recent
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.typography import metrics_for
from tankkeeper.gui.widgets.thing_list import ThingList

NONE_YET = "No other household was opened here yet. {} opens the sample."
CHOOSE = "Return opens one, Delete takes it from this list; its file is left alone."
_ROWS_SEEN = 7
# The sentence under the title, at the usual type.
_BESIDE = 30


class RecentForm(Form):
    """Lists them, the newest first; `chosen` tells which to open, `forgotten` which to drop."""

    chosen = Signal(object)
    forgotten = Signal(object)

    def __init__(self, recent: Sequence[Recent], parent: QWidget) -> None:
        super().__init__("Recent households", _sentence(recent), "Open", parent)
        self._recent = list(recent)
        self.list = ThingList("Recent households", self)
        self.list.setVisible(bool(recent))
        self.setMinimumWidth(min(metrics_for(self.font()).px(520), parent.width()))
        self.column.insertWidget(self.column.count() - 2, self.list, 1)
        self.list.opened.connect(self._on_opened)
        self.list.currentRowChanged.connect(lambda _row: self.refuse(""))
        self.asked.connect(lambda: self._on_opened(self.list.currentRow()))
        self._show_rows(0)
        (self.list if recent else self.leave).setFocus()

    def _show_rows(self, at: int) -> None:
        self.list.show_rows([_row(one) for one in self._recent], at)
        row = max(1, self.list.sizeHintForRow(0))
        seen = min(max(1, len(self._recent)), self.rows_that_fit(row, _ROWS_SEEN, _BESIDE))
        self.list.setFixedHeight(row * seen)
        self.primary.setEnabled(bool(self._recent))

    def _on_opened(self, at: int) -> None:
        if not 0 <= at < len(self._recent):
            return
        one = self._recent[at]
        if one.is_there:
            self.chosen.emit(one.path)
        else:
            name = one.path.name
            self.refuse(f"{name} is not there any more. Delete takes it from this list.")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Forget the household with the keys on Delete."""
        at = self.list.currentRow()
        if event.key() == Qt.Key.Key_Delete and 0 <= at < len(self._recent):
            gone = self._recent.pop(at)
            self._show_rows(at)
            self.forgotten.emit(gone.path)
            return
        super().keyPressEvent(event)


def _sentence(recent: Sequence[Recent]) -> str:
    """Return what can be done; the sample is never among those that were opened."""
    return CHOOSE if recent else NONE_YET.format(key_caption(Command.SAMPLE))


def _row(one: Recent) -> tuple[str, str]:
    """Return a household by its own name with its file, else by the name of its file."""
    place = str(one.path if one.name else one.path.parent)
    title = one.name or one.path.stem
    return title, place if one.is_there else f"not there any more, was in {place}"
