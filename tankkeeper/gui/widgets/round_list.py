"""The list of the round: keys, selection, and the rows that were ticked just now."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from PySide6.QtCore import (
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    Qt,
    Signal,
)
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPaintEvent
from PySide6.QtWidgets import QAbstractItemView, QListView, QWidget

from tankkeeper.core.turns import State
from tankkeeper.gui.models.round_model import ROW_ROLE, RoundModel
from tankkeeper.gui.models.round_rows import ItemRow, RoundRow
from tankkeeper.gui.motion import MotionChoice, Pace, animate
from tankkeeper.gui.widgets.columns_kept import ColumnsKept
from tankkeeper.gui.widgets.drawn_rows import DrawnRows, paint_emptiness
from tankkeeper.gui.widgets.letters import is_plain, letter_of
from tankkeeper.gui.widgets.round_columns import Columns, Place, place_of
from tankkeeper.gui.widgets.round_delegate import RoundDelegate
from tankkeeper.gui.widgets.scrolling import look_quiet, use_slim_bar

_MARK_REACH: Final = 8

# Keys that go to a row.
GOING = (
    Qt.Key.Key_Up,
    Qt.Key.Key_Down,
    Qt.Key.Key_Home,
    Qt.Key.Key_End,
    Qt.Key.Key_PageUp,
    Qt.Key.Key_PageDown,
)


class RoundList(DrawnRows, QListView):
    """Lines of work; `picked` tells that the selection changed, `arranged` that the columns did.

    `mark_clicked` tells the id of the row whose mark was clicked, `line_double_clicked` that one
    was double-clicked elsewhere, `typed` a letter that is no key here. Space, Return and the
    letters of commands are actions of the page and never reach the list's own search.
    """

    picked = Signal()
    arranged = Signal()
    mark_clicked = Signal(str)
    line_double_clicked = Signal()
    typed = Signal(str)

    def __init__(
        self, parent: QWidget | None = None, motion: MotionChoice = MotionChoice.FOLLOW
    ) -> None:
        super().__init__(parent)
        self._motion = motion
        self._model = RoundModel(self)
        self._layout = ColumnsKept()
        self._columns = self._layout.columns_of((), self.font(), 600.0)
        self._closed: set[str] | None = None
        self._striking: set[str] = set()
        self._share = 1.0
        self._empty: tuple[str, str] | None = None
        self._found: frozenset[str] = frozenset()
        # What the row in hand was, while it was still to do.
        self._left = State.DUE
        self._build()

    def _build(self) -> None:
        self.setAccessibleName("Round")
        # The list gives way before the head does: a scroll area would ask for more.
        self.setMinimumHeight(1)
        look_quiet(self)
        # Asking for the viewport that Qt makes itself loads every widget class there is (10 ms).
        self.setViewport(QWidget())
        self.setModel(self._model)
        self.setItemDelegate(RoundDelegate(self))
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        use_slim_bar(self)
        self.selectionModel().selectionChanged.connect(self._on_selection)
        self.selectionModel().currentChanged.connect(self._on_selection)

    @property
    def columns(self) -> Columns:
        """Where the columns stand."""
        return self._columns

    @property
    def round_model(self) -> RoundModel:
        """The model with the rows."""
        return self._model

    def set_people(self, names: Sequence[str]) -> None:
        """Keep room behind each line for any of these people."""
        self._layout.set_people(names)

    def set_rows(
        self, rows: Sequence[RoundRow], empty: tuple[str, str], *, is_other: bool = False
    ) -> None:
        """Show these rows; what was closed since the last time is struck through by and by.

        `empty` are the two sentences that stand in the middle when there is no row. `is_other`
        says that they are those of another tank or of the house: where the row in hand is not
        among them, the first that is to be done is.
        """
        here, chosen, stood = self._where(), self._chosen(), self.currentIndex().row()
        current = self.current_row()
        if current is not None and current.item.is_open:
            self._left = current.item.state
        self._empty = None if rows else empty
        self._model.set_rows(rows)
        if is_other:
            self._layout.begin_other()
        self.arrange()
        self._return_to(here, chosen, -1 if is_other else stood)
        closed = {row.id for row in rows if isinstance(row, ItemRow) and row.is_closed}
        if self._closed is not None and closed - self._closed:
            self._striking, self._share = closed - self._closed, 0.0
            animate(self, Pace.TICK, self._on_step, self._on_struck, self._motion)
        self._closed = closed

    def selected_rows(self) -> list[ItemRow]:
        """Return the selected lines of work from top to bottom, else the current one."""
        indexes = sorted(self.selectionModel().selectedIndexes(), key=lambda one: one.row())
        rows = [index.data(ROW_ROLE) for index in indexes]
        found = [row for row in rows if isinstance(row, ItemRow)]
        current = self.current_row()
        return found or ([current] if current is not None else [])

    def item_rows(self) -> list[ItemRow]:
        """Return all lines of work from top to bottom."""
        return [row for row in self._model.rows if isinstance(row, ItemRow)]

    def current_row(self) -> ItemRow | None:
        """Return the line on which the keys act."""
        row = self.currentIndex().data(ROW_ROLE)
        return row if isinstance(row, ItemRow) else None

    def go_to_id(self, row_id: str) -> bool:
        """Select the line with this id and bring it into view; tell whether it is there."""
        rows = enumerate(self._model.rows)
        at = next((n for n, row in rows if isinstance(row, ItemRow) and row.id == row_id), -1)
        self.go_to(at)
        return at >= 0

    def mark_found(self, ids: frozenset[str]) -> None:
        """Mark the lines with these ids as found, and no others."""
        if ids != self._found:
            self._found = ids
            self.viewport().update()

    def is_found(self, row: ItemRow) -> bool:
        """Tell whether a line is marked as found."""
        return row.id in self._found

    def go_to_first(self) -> None:
        """Select the first line of work."""
        self.go_to(
            next((at for at, row in enumerate(self._model.rows) if isinstance(row, ItemRow)), -1)
        )

    def go_to_beginning(self) -> None:
        """Select the first line of work, with the heading above it in sight."""
        self.go_to_first()
        self.scrollToTop()

    def go_to_first_open(self) -> None:
        """Select the first line that is to do, else the first line."""
        self.go_to(self._first_open())

    def _first_open(self) -> int:
        """Return the place of the first line to do, else of the first line, -1 without any.

        As on the way through the round what can wait comes after all that is due, and what has an
        hour later today where nothing else is left.
        """
        lines = self._lines_in(range(len(self._model.rows)))
        undone = _by_now(lines)
        due = [(at, row) for at, row in undone if row.item.counts]
        return next((at for at, _ in due or undone or lines), -1)

    def _lines_in(self, places: Iterable[int]) -> list[tuple[int, ItemRow]]:
        rows = [(at, self._model.rows[at]) for at in places]
        return [(at, row) for at, row in rows if isinstance(row, ItemRow)]

    def _nearest(self, stood: int) -> int:
        """Return the place of the line that stands nearest a place, -1 without any."""
        rows = self._model.rows
        lines = [at for at, row in enumerate(rows) if isinstance(row, ItemRow)]
        return min(lines, key=lambda at: abs(at - stood), default=-1)

    def go_to_next_open(self, was: State | None = None) -> None:
        """Select the next line after the current one that is still to do, else stay.

        What can wait comes after all that is due, be it on the next tank of the walk; who does
        what can wait goes on with the line below, whatever it is. What has an hour later today
        comes only where nothing else is left. `was` is how the current line stood before it was
        moved.
        """
        start, count = self.currentIndex().row(), len(self._model.rows)
        current = self.current_row()
        is_open = current is not None and current.item.is_open
        stands = current.item.state if current is not None and is_open else self._left
        before = stands if was is None else was
        lines = _by_now(self._lines_in((*range(start + 1, count), *range(start + 1))))
        due = [at for at, row in lines if row.item.counts]
        ways = [at for at, _ in lines]
        if due and before is not State.MAY_WAIT:
            ways = due
        if ways:
            self.go_to(ways[0])

    def selectAll(self) -> None:
        """Select all that is still to do: what is closed would count, and be taken back."""
        rows = enumerate(self._model.rows)
        undone = [at for at, row in rows if isinstance(row, ItemRow) and row.item.is_open]
        if not undone:
            return
        current = self.current_row()
        chosen = QItemSelection()
        for at in undone:
            index = self._model.index(at)
            chosen.select(index, index)
        if current is None or not current.item.is_open:
            keep = QItemSelectionModel.SelectionFlag.NoUpdate
            self.selectionModel().setCurrentIndex(self._model.index(undone[0]), keep)
        flag = QItemSelectionModel.SelectionFlag.ClearAndSelect
        self.selectionModel().select(chosen, flag)

    def strike_share(self, row: ItemRow) -> float:
        """Return how far the line through a closed row has come, 0 for an open one."""
        if not row.is_closed:
            return 0.0
        return self._share if row.id in self._striking else 1.0

    def scrollTo(
        self,
        index: QModelIndex | QPersistentModelIndex,
        hint: QAbstractItemView.ScrollHint = QAbstractItemView.ScrollHint.EnsureVisible,
    ) -> None:
        """Bring a line into view; one from above with the heading that tells its tank."""
        above = next(
            (at for at in range(index.row(), -1, -1) if not self._is_line(at)), index.row()
        )
        room = self.viewport().height()
        place, heading = self.visualRect(index), self.visualRect(self._model.index(above))
        is_wanted = place.top() < 0 or above == index.row() - 1
        if is_wanted and place.bottom() - heading.top() < room:
            super().scrollTo(self._model.index(above), hint)
        super().scrollTo(index, hint)

    def _is_line(self, at: int) -> bool:
        return isinstance(self._model.rows[at], ItemRow)

    def moveCursor(
        self, action: QAbstractItemView.CursorAction, modifiers: Qt.KeyboardModifier
    ) -> QModelIndex:
        """Return where a key leads; headings are passed over."""
        start = super().moveCursor(action, modifiers).row()
        is_up = action in (
            QAbstractItemView.CursorAction.MoveUp,
            QAbstractItemView.CursorAction.MovePageUp,
            QAbstractItemView.CursorAction.MoveEnd,
            QAbstractItemView.CursorAction.MovePrevious,
        )
        on, back = self._line_from(start, is_up), self._line_from(start, not is_up)
        at = on if on >= 0 else back
        is_home = action is QAbstractItemView.CursorAction.MoveHome
        if is_home or (is_up and self._line_from(at - 1, True) < 0):
            # The heading above the first line comes into view with it.
            self.scrollToTop()
        return self._model.index(at) if at >= 0 else self.currentIndex()

    def _line_from(self, start: int, is_up: bool) -> int:
        """Return the nearest line of work from a row on, -1 where there is none."""
        step = -1 if is_up else 1
        at = start
        while 0 <= at < self._model.rowCount():
            if isinstance(self._model.rows[at], ItemRow):
                return at
            at += step
        return -1

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave Space to the page's actions, tell letters; the rest is as in any list."""
        letter = letter_of(event)
        if letter:
            self.typed.emit(letter)
            return
        if event.key() == Qt.Key.Key_Space and not event.modifiers():
            event.ignore()
            return
        super().keyPressEvent(event)
        if event.key() in GOING and is_plain(event):
            # At either end Qt leaves all that was chosen as it is.
            self.hold_one()

    def hold_one(self) -> bool:
        """Choose the row in hand alone; tell whether others were chosen besides."""
        current = self.currentIndex()
        if not current.isValid() or len(self.selected_rows()) < 2:
            return False
        one = QItemSelectionModel.SelectionFlag.ClearAndSelect
        self.selectionModel().select(current, one)
        return True

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Tell a click on a mark, which ticks its row; elsewhere select as in any list.

        A click beside the lines changes nothing: keys always have a line to act on.
        """
        at = self._row_of_mark(event.position().toPoint())
        row = self._line_at(event.position().toPoint())
        if row is None:
            event.accept()
        elif event.button() == Qt.MouseButton.LeftButton and at >= 0 and not event.modifiers():
            self.go_to(at)
            self.mark_clicked.emit(row.id)
            event.accept()
        else:
            super().mousePressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Tell a double click on a line; on a mark the second click does nothing."""
        at = event.position().toPoint()
        if self._line_at(at) is not None and self._row_of_mark(at) < 0:
            self.line_double_clicked.emit()
        event.accept()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the rows, or the two sentences of an empty round."""
        super().paintEvent(event)
        if self._empty is not None:
            paint_emptiness(self, self._empty)

    def _line_at(self, at: QPoint) -> ItemRow | None:
        row = self.indexAt(at).data(ROW_ROLE)
        return row if isinstance(row, ItemRow) else None

    def _row_of_mark(self, at: QPoint) -> int:
        index = self.indexAt(at)
        if not isinstance(index.data(ROW_ROLE), ItemRow):
            return -1
        left = self._columns.left - _MARK_REACH
        right = self._columns.left + self.metrics.mark_row + _MARK_REACH
        return index.row() if left <= at.x() <= right else -1

    def arrange(self) -> None:
        """Place the columns for the texts that stand in them."""
        width = float(self.viewport().width())
        self._columns = self._layout.columns_of(self.item_rows(), self.font(), width)
        self.doItemsLayout()
        self.arranged.emit()

    def begin_day(self) -> None:
        """Let the columns stand as they would after a start: on a new day nothing jumps."""
        self._layout.begin_anew()

    def _where(self) -> Place | None:
        row = self.current_row()
        return None if row is None else place_of(row)

    def _chosen(self) -> set[Place]:
        return {place_of(row) for row in self.selected_rows()}

    def _return_to(self, here: Place | None, chosen: set[Place], stood: int) -> None:
        """Keep current and selected rows where they were by their chores.

        Where the current one is gone, what stands nearest its place takes the keys; at the
        beginning the first that is still to do.
        """
        if self.current_row() is not None:
            return
        at = self._model.row_of(*here) if here is not None else -1
        if at < 0:
            is_new = here is None or stood < 0
            self.go_to(self._first_open() if is_new else self._nearest(stood))
            return
        self.go_to(at)
        for place in chosen - {here}:
            other = self._model.row_of(*place)
            if other >= 0:
                self.selectionModel().select(
                    self._model.index(other), QItemSelectionModel.SelectionFlag.Select
                )

    def _on_selection(self) -> None:
        self.picked.emit()

    def _on_step(self, share: float) -> None:
        self._share = share
        self.viewport().update()

    def _on_struck(self) -> None:
        self._striking, self._share = set(), 1.0
        self.viewport().update()


def _by_now(lines: Sequence[tuple[int, ItemRow]]) -> list[tuple[int, ItemRow]]:
    """Return the lines that are to do by now, those of an hour later where there are no others."""
    undone = [(at, row) for at, row in lines if row.item.is_open]
    return [(at, row) for at, row in undone if not row.comes_later] or undone
