"""The list of the logbook: rows of one height, so that twenty years scroll without a pause.

A table of one column: a list view would ask the model for each of its rows whenever some are added,
which takes a fifth of a second with a hundred thousand of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPaintEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from tankkeeper.gui.models.log_model import ROW_ROLE, LogModel
from tankkeeper.gui.models.log_rows import LogRow
from tankkeeper.gui.widgets.drawn_rows import DrawnRows, paint_emptiness
from tankkeeper.gui.widgets.letters import LOG_SIGNS, letter_of
from tankkeeper.gui.widgets.log_columns import LogColumns, log_columns
from tankkeeper.gui.widgets.log_delegate import LogDelegate
from tankkeeper.gui.widgets.scrolling import look_quiet, use_slim_bar

# More is read before the last of so many windowfuls is reached.
_AHEAD_WINDOWS: Final = 2


class LogList(DrawnRows, QTableView):
    """Entries; `picked` tells that another one is current, `opened` that one was double-clicked.

    Space, letters and digits are left to the page: they are typed into its line.
    """

    picked = Signal()
    opened = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._model = LogModel(self)
        self._tanks: tuple[str, ...] = ()
        self._people: tuple[str, ...] = ()
        self._columns = log_columns(self.font(), 600.0, (), (), self.metrics.row_height)
        self._empty: tuple[str, str] | None = None
        self._build()

    def _build(self) -> None:
        self.setAccessibleName("Logbook")
        look_quiet(self)
        self.setModel(self._model)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setCornerButtonEnabled(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        for header in (self.horizontalHeader(), self.verticalHeader()):
            header.hide()
            header.setMinimumSectionSize(1)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setItemDelegate(LogDelegate(self))
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        use_slim_bar(self)
        self.selectionModel().currentChanged.connect(self._on_current)
        self.verticalScrollBar().valueChanged.connect(self._on_scrolled)

    @property
    def columns(self) -> LogColumns:
        """Where the parts of a row stand."""
        return self._columns

    @property
    def log_model(self) -> LogModel:
        """The model with the rows."""
        return self._model

    def set_names(self, tanks: Iterable[str], people: Iterable[str]) -> None:
        """Keep room for the names of these tanks and people; none where one tank is chosen."""
        names = (tuple(tanks), tuple(people))
        if names != (self._tanks, self._people):
            self._tanks, self._people = names
            self.arrange()

    def set_rows(self, rows: Sequence[LogRow], *, has_more: bool, from_top: bool = False) -> None:
        """Show these rows; the current entry stays current where it is still there.

        `from_top` makes the first one current: rows that answer another question begin there.
        """
        here, at, value = self.current_row(), self.currentIndex().row(), self._scroll()
        self._empty = None
        self._model.set_rows(rows, has_more=has_more)
        if from_top:
            self.begin()
        elif self.current_row() is None and rows:
            found = self._model.row_of(here.id) if here is not None else 0
            self.verticalScrollBar().setValue(value if here is not None and found >= 0 else 0)
            self.go_to(found if found >= 0 else min(max(at, 0), len(rows) - 1))
        self.viewport().update()

    def add_rows(self, rows: Sequence[LogRow], *, has_more: bool) -> None:
        """Show these rows below the others."""
        self._model.add_rows(rows, has_more=has_more)
        if self.current_row() is None and rows:
            self.go_to(0)

    def begin(self) -> None:
        """Go to the first row, where there is one."""
        self.verticalScrollBar().setValue(0)
        self.go_to(0)

    def set_empty(self, empty: tuple[str, str] | None) -> None:
        """Say this in the middle while there is no row."""
        self._empty = empty
        self.viewport().update()

    def current_row(self) -> LogRow | None:
        """Return the entry on which the keys act."""
        row = self.currentIndex().data(ROW_ROLE)
        return row if isinstance(row, LogRow) else None

    def go_to_id(self, entry_id: str) -> bool:
        """Select an entry; tell whether it is there."""
        at = self._model.row_of(entry_id)
        self.go_to(at)
        return at >= 0

    def top_row(self) -> int:
        """Return the first row that can be seen, beside which its day stands as well."""
        return self.rowAt(1)

    def moveCursor(
        self, action: QAbstractItemView.CursorAction, modifiers: Qt.KeyboardModifier
    ) -> QModelIndex:
        """Return where a key leads: Home and End to the first and the last row, not in the row."""
        last = self._model.rowCount() - 1
        if action is QAbstractItemView.CursorAction.MoveHome and last >= 0:
            return self._model.index(0)
        if action is QAbstractItemView.CursorAction.MoveEnd and last >= 0:
            return self._model.index(last)
        return super().moveCursor(action, modifiers)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave what is typed to the page; the rest is as in any list."""
        is_space = event.key() == Qt.Key.Key_Space and not event.modifiers()
        if is_space or letter_of(event, LOG_SIGNS):
            event.ignore()
            return
        super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Select as in any list; a click beside the rows changes nothing."""
        if self.indexAt(event.position().toPoint()).isValid():
            super().mousePressEvent(event)
        else:
            event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Tell a double click on an entry."""
        if self.indexAt(event.position().toPoint()).isValid():
            self.opened.emit()
        event.accept()

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        """Draw anew: the day beside the first row moves on."""
        super().scrollContentsBy(dx, dy)
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the rows, or the two sentences where there is none."""
        super().paintEvent(event)
        if self._empty is None or self._model.rowCount():
            return
        paint_emptiness(self, self._empty)

    def arrange(self) -> None:
        """Place the parts of a row for the names that stand in it."""
        width = float(self.viewport().width())
        high = self.metrics.row_height
        self._columns = log_columns(self.font(), width, self._tanks, self._people, high)
        self.verticalHeader().setDefaultSectionSize(self._columns.height)
        self.viewport().update()

    def _scroll(self) -> int:
        return self.verticalScrollBar().value()

    def _on_current(self) -> None:
        self.picked.emit()

    def _on_scrolled(self, value: int) -> None:
        """Ask for more before the end comes into view."""
        bar = self.verticalScrollBar()
        if value >= bar.maximum() - _AHEAD_WINDOWS * bar.pageStep():
            self._model.fetchMore(self.rootIndex())
