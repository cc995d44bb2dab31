"""A turn of the month that the mouse carries to another day, as on the board."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from PySide6.QtCore import QEvent, QObject, QPoint, QRectF, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter
from PySide6.QtWidgets import QApplication, QTableView

from tankkeeper.gui.models.board_sheet import BoardCell
from tankkeeper.gui.palette import Colours, Role
from tankkeeper.gui.widgets.board_paint import needed_width, paint_outline, paint_turn
from tankkeeper.gui.widgets.focus import RADIUS, paint_focus_ring, paint_ground
from tankkeeper.gui.widgets.month_cells import CellStyle

TurnAt = Callable[[QPoint], BoardCell | None]
DayAt = Callable[[QPoint], date | None]
AreaOf = Callable[[date], QRectF | None]


class MonthDragging(QObject):
    """Watches the mouse over the month; its signals and its words are those of the board.

    `carried` tells that what is held goes to another day, `dropped` (turn, day) where it is
    dropped, `rejected` the same where it cannot stand there, `let_go` that it stays where it was.
    """

    carried = Signal(object, object)
    dropped = Signal(object, object)
    rejected = Signal(object, object)
    let_go = Signal()

    def __init__(self, table: QTableView, turn_at: TurnAt, day_at: DayAt) -> None:
        super().__init__(table)
        self._paper = table.viewport()
        self._turn_at, self._day_at = turn_at, day_at
        self._pressed: BoardCell | None = None
        self._from = self._here = QPoint()
        self.held: BoardCell | None = None
        self.to: date | None = None
        self._is_refused = False
        # Let go while the button is still down: the mouse does nothing until it is up.
        self._is_spent = False
        self._paper.installEventFilter(self)

    @property
    def is_dragged(self) -> bool:
        """Whether the mouse carries something; nothing else does here."""
        return self.held is not None

    def set_refused(self, is_refused: bool) -> None:
        """Say whether what is held cannot stand where it is carried."""
        self._is_refused = is_refused
        self._paper.update()

    def release(self) -> None:
        """Leave what is held where it was."""
        if self.held is not None:
            self._is_spent = True
            self.let_loose()
            self.let_go.emit()

    def drop(self) -> None:
        """Drop what is held where it is carried; on its own day it is let go."""
        held, to, is_refused = self.held, self.to, self._is_refused
        if held is None or to is None:
            return
        self.let_loose()
        if is_refused:
            self.rejected.emit(held, to)
        elif to == held.day:
            self.let_go.emit()
        else:
            self.dropped.emit(held, to)

    def let_loose(self) -> None:
        """Hold nothing any more, without a word."""
        self._pressed = self.held = self.to = None
        self._is_refused = False
        self._paper.unsetCursor()
        self._paper.update()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Carry the turn that was pressed once the mouse moves away with it."""
        if not isinstance(event, QMouseEvent):
            return False
        at = event.position().toPoint()
        if event.type() == QEvent.Type.MouseButtonPress:
            is_left = event.button() == Qt.MouseButton.LeftButton
            self._pressed = self._turn_at(at) if is_left else None
            self._from, self._is_spent = at, False
        elif event.type() == QEvent.Type.MouseMove:
            return self._move(at)
        elif event.type() == QEvent.Type.MouseButtonRelease:
            was_held, self._pressed = self.held is not None, None
            self.drop()
            return was_held
        return False

    def _move(self, at: QPoint) -> bool:
        """Carry what is held; tell whether nobody else is to take the movement."""
        if self._pressed is None:
            return self._is_spent
        far = (at - self._from).manhattanLength() >= QApplication.startDragDistance()
        if self.held is None and far:
            self.held, self.to = self._pressed, self._pressed.day
            self._paper.setCursor(Qt.CursorShape.ClosedHandCursor)
            self.carried.emit(self.held, self.to)
        self._here = at
        day = self._day_at(at)
        if self.held is not None and day is not None and day != self.to:
            self.to, self._is_refused = day, False
            self.carried.emit(self.held, day)
        self._paper.update()
        return True

    def paint(self, painter: QPainter, area_of: AreaOf, style: CellStyle, table: Colours) -> None:
        """Draw the day it comes from, the day it is carried to, and the turn at the mouse."""
        held, to = self.held, self.to
        origin = area_of(held.day) if held is not None else None
        target = area_of(to) if to is not None else None
        if held is None:
            return
        if origin is not None:
            paint_outline(painter, origin, table, Role.EDGE, dashed=False)
        if target is not None and self._is_refused:
            paint_outline(painter, target, table, Role.OVERDUE, dashed=True)
        elif target is not None and to != held.day:
            paint_focus_ring(painter, target, table)
        wide, high = needed_width(held.noun, style) + RADIUS, style.line + RADIUS
        left = min(self._here.x() + RADIUS, self._paper.width() - wide)
        card = QRectF(left, self._here.y() - high / 2, wide, high)
        paint_ground(painter, card, table[Role.SURFACE])
        edge = Role.OVERDUE if self._is_refused else Role.EDGE
        paint_outline(painter, card, table, edge, dashed=self._is_refused)
        paint_turn(painter, held, card.adjusted(2, 0, 0, 0), style, table)
