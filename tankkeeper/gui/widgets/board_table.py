"""The board as a table: a turn is taken hold of, carried to another day, and dropped."""

from __future__ import annotations

from datetime import date
from typing import Final, TypeAlias

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.gui.marks import Mark
from tankkeeper.gui.models.board_model import BoardModel
from tankkeeper.gui.models.board_sheet import BandRow, BoardCell, BoardSheet
from tankkeeper.gui.palette import Colours, Role, colours_of
from tankkeeper.gui.widgets.board_heads import BoardHeads
from tankkeeper.gui.widgets.board_paint import (
    needed_width,
    paint_band_name,
    paint_day_ground,
    paint_outline,
    paint_refused_place,
    paint_turn,
)
from tankkeeper.gui.widgets.calendar_table import CalendarTable
from tankkeeper.gui.widgets.focus import paint_focus_ring, paint_found, paint_ground
from tankkeeper.gui.widgets.letters import is_plain
from tankkeeper.gui.widgets.scrolling import use_slim_bar

_Index: TypeAlias = QModelIndex | QPersistentModelIndex

LINE_PX = 24
BAND_PX = 26
_STEPS: Final = {
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_Up: -7,
    Qt.Key.Key_Down: 7,
}


class BoardTable(CalendarTable[BoardSheet]):
    """Bands of turns by day.

    `carried` tells that what is held goes to another day, `dropped` (turn, day) where it is
    dropped, `rejected` the same where it cannot stand there, `let_go` that it stays where it was.
    Whether it can stand where it is carried is said by `set_refused`. `arranged` tells where its
    columns stand.
    """

    arranged = Signal(list)

    carried = Signal(object, object)
    dropped = Signal(object, object)
    rejected = Signal(object, object)
    let_go = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        self._model = BoardModel()
        super().__init__("Board", self._model, BoardHeads(), parent)
        self._held: BoardCell | None = None
        self._to: date | None = None
        self._is_refused = False
        self._press: QPoint | None = None
        self._by_mouse = False
        self._last_width = 0.0
        self._found: frozenset[str] = frozenset()
        self._place: tuple[str, date, object] | None = None
        # The day that Up and Down keep to where a tank has nothing on it.
        self._kept_day: date | None = None
        self.setAutoScroll(False)
        use_slim_bar(self)

    @property
    def held(self) -> BoardCell | None:
        """The turn that is being moved."""
        return self._held

    @property
    def to(self) -> date | None:
        """The day to which it is carried."""
        return self._to

    @property
    def is_dragged(self) -> bool:
        """Whether the mouse carries it."""
        return self._by_mouse

    def current_cell(self) -> BoardCell | None:
        """Return the turn on which the keys act."""
        return self._model.cell_at(self.currentIndex())

    def set_sheet(self, sheet: BoardSheet, last_width: float = 0.0) -> None:
        """Show a board; the current turn stays where it was, and what is held is let go.

        The last day is at least so wide that every noun stands in it.
        """
        self._last_width = last_width
        here, kept = self._place, self._kept_day
        self._let_loose()
        self._model.set_sheet(sheet)
        self.clearSpans()
        for at, row in enumerate(sheet.rows):
            if isinstance(row, BandRow) and len(sheet.days) > 1:
                self.setSpan(at, 0, 1, len(sheet.days))
        self.arrange()
        place = sheet.place_of(here[0], here[1], here[2]) if here is not None else None
        if place is None:
            self.go_to_first()
        else:
            self._go_to(*place)
            self._kept_day = kept

    def go_to_first(self) -> None:
        """Let the first turn have the keys."""
        self._go_to_one([(at, row) for row, at, _ in self._turns()])

    def go_to_next_open(self) -> None:
        """Let the next turn of today that is still to do have the keys, else stay."""
        turns = [(at, row, cell) for row, at, cell in self._turns() if at == 0]
        open_ones = [one for one in turns if one[2].row.item.is_open]
        by_now = [one for one in open_ones if not one[2].row.comes_later]
        self._go_to_one([(at, row) for at, row, _ in by_now or open_ones])

    def go_to_next_overdue(self) -> None:
        """Let the next overdue turn after the current one have the keys, else stay."""
        here = (self.currentIndex().column(), self.currentIndex().row())
        late = [(at, row) for row, at, cell in self._turns() if cell.mark is Mark.OVERDUE]
        self._go_to_one([place for place in late if place > here] or late)

    def cells(self) -> list[BoardCell]:
        """Return all turns, day by day."""
        turns = sorted(self._turns(), key=lambda turn: (turn[1], turn[0]))
        return [cell for _, _, cell in turns]

    def go_to_id(self, turn_id: str) -> bool:
        """Let the turn with this id have the keys; tell whether it is there."""
        own = [(at, row) for row, at, cell in self._turns() if cell.row.id == turn_id]
        self._go_to_one(own)
        return bool(own)

    def go_to_day(self, day: date) -> bool:
        """Let a turn of a day have the keys; tell whether there is one."""
        place = self.sheet.on_day(self.currentIndex().row(), day) if self.sheet else None
        if place is not None:
            self._go_to(*place)
        return place is not None

    def _turns(self) -> list[tuple[int, int, BoardCell]]:
        return list(self.sheet.turns()) if self.sheet is not None else []

    def _go_to_one(self, places: list[tuple[int, int]]) -> None:
        """Go to the first of some places, each a column and a row; stay where there is none."""
        if places:
            column, row = min(places)
            self._go_to(row, column)

    def mark_found(self, ids: frozenset[str]) -> None:
        """Mark the turns with these ids, and no others."""
        if ids != self._found:
            self._found = ids
            self.viewport().update()

    def take_hold(self) -> None:
        """Take hold of the current turn."""
        cell = self.current_cell()
        if cell is not None:
            self._held, self._to, self._is_refused = cell, cell.day, False
            self.carried.emit(cell, cell.day)
            self.viewport().update()

    def hold_or_drop(self) -> None:
        """Take hold of the current turn, or drop the one that is held."""
        if self._held is None:
            self.take_hold()
        else:
            self.drop()

    def carry_to(self, day: date) -> None:
        """Carry what is held to a day of the board."""
        sheet = self.sheet
        if self._held is not None and sheet is not None and day in sheet.days and day != self._to:
            self._to = day
            self._is_refused = False
            self.carried.emit(self._held, day)
            self.viewport().update()

    def drop(self) -> None:
        """Drop what is held where it is carried; on its own day it is let go.

        On a day on which it cannot stand a mouse lets go of it; by the keys it stays held, for
        they go on to another day. Why is told again.
        """
        held, to = self._held, self._to
        if held is None or to is None:
            return
        if self._is_refused:
            if self._by_mouse:
                self._let_loose()
            self.rejected.emit(held, to)
            return
        if to == held.day:
            self.release()
            return
        self._let_loose()
        self.dropped.emit(held, to)

    def release(self) -> None:
        """Leave what is held where it was."""
        if self._held is not None:
            self._let_loose()
            self.let_go.emit()

    def set_refused(self, is_refused: bool) -> None:
        """Say whether what is held cannot stand where it is carried."""
        self._is_refused = is_refused
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Carry what is held by the arrows, else go from turn to turn."""
        key, sheet = Qt.Key(event.key()), self.sheet
        if sheet is None or key not in _STEPS or not is_plain(event):
            super().keyPressEvent(event)
            return
        if self._held is not None and self._to is not None:
            at = sheet.days.index(self._to) + _STEPS[key]
            self.carry_to(sheet.days[min(max(at, 0), len(sheet.days) - 1)])
        else:
            self._step(sheet, _STEPS[key])

    def _step(self, sheet: BoardSheet, step: int) -> None:
        """Go to the next turn of the band, or to that above or below; the way back is the same."""
        if self.current_cell() is None:
            return
        here, by = (self.currentIndex().row(), self.currentIndex().column()), 1 if step > 0 else -1
        if abs(step) == 1:
            kept, place = None, sheet.next_in_band(*here, by)
        else:
            kept = sheet.day_kept(*here, self._kept_day)
            place = sheet.next_on_day(*here, by, kept)
        if place is not None:
            self._go_to(*place)
            self._kept_day = None if kept is None else sheet.days[kept]

    def go_to_end(self, *, is_last: bool) -> None:
        """Go to today or to the last day, with what is held too."""
        sheet, here = self.sheet, self.currentIndex()
        if sheet is not None and self._held is not None:
            self.carry_to(sheet.days[-1 if is_last else 0])
        elif sheet is not None and self.current_cell() is not None:
            self._go_to(*sheet.at_end(here.row(), here.column(), is_last=is_last))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Let a turn have the keys; a click beside the turns changes nothing."""
        at = event.position().toPoint()
        index = self.indexAt(at)
        if event.button() == Qt.MouseButton.LeftButton and self._model.cell_at(index) is not None:
            self.release()
            self._go_to(index.row(), index.column())
            self._press = at
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Carry the turn that was pressed."""
        at = event.position().toPoint()
        if self._press is None:
            return
        far = (at - self._press).manhattanLength() >= QApplication.startDragDistance()
        if self._held is None and far:
            # First, because who tells of what is held asks for it.
            self._by_mouse = True
            self.take_hold()
        sheet, column = self.sheet, self.columnAt(at.x())
        if self._held is not None and sheet is not None and column >= 0:
            self.carry_to(sheet.days[column])

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Drop what was carried; where it cannot stand it is let go, and why is told."""
        self._press = None
        if self._by_mouse:
            self.drop()
            self._by_mouse = False

    def currentChanged(self, current: _Index, previous: _Index) -> None:
        """Draw both places anew as far as their nouns reach; Qt asks for their cells alone."""
        super().currentChanged(current, previous)
        for index in (current, previous):
            row, column = index.row(), index.column()
            cell = self._model.cell_at(self._model.index(row, column))
            if cell is not None:
                reach = self._reach(row, column, cell)
                self.viewport().update(reach.toAlignedRect())

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Draw the keys' place as left."""
        super().focusOutEvent(event)
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the cells, and over them what is being moved."""
        super().paintEvent(event)
        held, to, sheet = self._held, self._to, self.sheet
        if sheet is None:
            return
        painter = QPainter(self.viewport())
        table, style = colours_of(self.palette()), self.styled()
        self._paint_turns(painter, sheet, table)
        if held is None or to is None:
            return
        row = self.currentIndex().row()
        origin = self._reach(row, sheet.days.index(held.day), held)
        paint_outline(painter, origin, table, Role.EDGE, dashed=False)
        target = self._reach(row, sheet.days.index(to), held)
        if self._is_refused:
            paint_refused_place(painter, target, style, table)
        else:
            paint_ground(painter, target.adjusted(2, 2, -2, -2), table[Role.SURFACE])
            paint_turn(painter, held, target, style, table)
            paint_focus_ring(painter, target, table)

    def paint_cell(self, painter: QPainter, area: QRect, row: int, column: int) -> None:
        """Draw one cell, or the name of a band."""
        sheet, one = self.sheet, self._model.row_at(row)
        if sheet is None or one is None:
            return
        table, style = colours_of(self.palette()), self.styled()
        if isinstance(one, BandRow):
            for at in range(len(sheet.days)):
                paint_day_ground(painter, sheet, at, QRectF(self.area_of(row, at)), table)
            line = QRect(area.left(), area.top(), area.width(), table.hairline)
            paint_ground(painter, line, table[Role.LINE])
            paint_band_name(painter, one, QRectF(area), style, table)
            return
        if self.is_current(row, column):
            # The view has drawn the ground of a selection, which is not ours.
            paint_ground(painter, area, table[Role.SURFACE])
        paint_day_ground(painter, sheet, column, QRectF(area), table)

    def _paint_turns(self, painter: QPainter, sheet: BoardSheet, table: Colours) -> None:
        """Draw the turns over the grounds of all days: a wide noun reaches into the next one."""
        style = self.styled()
        for at, row in enumerate(sheet.rows):
            top = self.rowViewportPosition(at)
            is_seen = top < self.viewport().height() and top + self.rowHeight(at) > 0
            if isinstance(row, BandRow) or not is_seen:
                continue
            for column, cell in enumerate(row.cells):
                if cell is None:
                    continue
                area = self._reach(at, column, cell)
                if cell.row.id in self._found:
                    paint_found(painter, area, table)
                paint_turn(painter, cell, area, style, table)
                if self._held is None and self.is_current(at, column):
                    self.paint_keys_here(painter, area, table)

    def _reach(self, row: int, column: int, cell: BoardCell) -> QRectF:
        """Return the place of a turn, as far as its noun reaches."""
        area = QRectF(self.area_of(row, column))
        needed = needed_width(cell.noun, self.styled())
        if cell.is_wide and needed > area.width():
            area.setWidth(needed)
        return area

    def column_edges(self) -> list[int]:
        """Return where the columns begin and where the last one ends."""
        count, room = max(1, self._model.columnCount()), self.viewport().width()
        last = max(room / count, self._last_width) if count > 1 else room
        step = (room - last) / max(1, count - 1)
        return [*(round(step * at) for at in range(count)), room]

    def _let_loose(self) -> None:
        self._held, self._to, self._is_refused = None, None, False
        self._press, self._by_mouse = None, False
        self.viewport().update()

    def _go_to(self, row: int, column: int) -> None:
        self._kept_day = None
        index = self._model.index(row, column)
        self.setCurrentIndex(index)
        self.scrollTo(index)

    def arrange(self) -> None:
        """Give the days their widths, and bands and lines their heights."""
        sheet = self.sheet
        if sheet is None:
            return
        scale, edges = self.styled().metrics.scale, self.column_edges()
        with self.sized_at_once():
            self.set_columns(edges)
            for at, row in enumerate(sheet.rows):
                high = BAND_PX if isinstance(row, BandRow) else LINE_PX
                self.setRowHeight(at, round(high * scale))
        self.arranged.emit(edges)

    def note_current(self, index: QModelIndex) -> bool:
        """Keep chore, day and slot of the turn, by which it is found again."""
        cell = self._model.cell_at(index)
        if cell is not None:
            item = cell.row.item
            self._place = (item.chore.id, cell.day, item.turn.slot)
        return cell is not None
