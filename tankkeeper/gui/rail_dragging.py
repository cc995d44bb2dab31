"""Tanks carried to another place of the walk with the mouse, in the rail."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, QPointF, QRect, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.widgets.focus import paint_ground
from tankkeeper.gui.widgets.rail import TankRail

_LINE_HIGH = 3
_UP = QEvent.Type.MouseButtonRelease


class _Line(QWidget):
    """Shows between which tanks the carried one would stand."""

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the line."""
        paint_ground(QPainter(self), self.rect(), colours_of(self.palette())[Role.SEA])


class RailDragging(QObject):
    """Watches the mouse over the rail; `dropped` tells a tank and its place, the first being 0."""

    dropped = Signal(str, int)

    def __init__(self, rail: TankRail, parent: QObject) -> None:
        super().__init__(parent)
        self._rail = rail
        self._paper = rail.viewport()
        self._line = _Line(self._paper)
        self._line.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._line.hide()
        self._tank: str | None = None
        self._from = QPointF()
        self._is_carried = False
        # Let go by a key while the button is still down: the mouse does nothing until it is up.
        self._is_spent = False
        self._paper.installEventFilter(self)

    def let_go(self) -> str:
        """Leave the tank that is carried where it was; return its id, empty where none is."""
        tank = self._tank
        if tank is None or not self._is_carried:
            return ""
        self._let_go()
        self._is_spent = True
        return tank

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Carry the tank that was pressed once the mouse moves away with it."""
        if not isinstance(event, QMouseEvent):
            return False
        if event.type() == QEvent.Type.MouseButtonPress:
            self._is_spent = False
            self._tank = self._tank_at(event.position().toPoint())
            self._from = event.position()
        elif event.type() == QEvent.Type.MouseMove and self._tank is not None:
            return self._carry(event)
        elif event.type() == QEvent.Type.MouseButtonRelease and self._tank is not None:
            return self._drop(event)
        return self._is_spent and bool(event.buttons() or event.type() == _UP)

    def _tank_at(self, at: QPoint) -> str | None:
        row = self._rail.indexAt(at).row()
        return self._rail.cards[row].id if row >= 0 else None

    def _carry(self, event: QMouseEvent) -> bool:
        if not event.buttons() & Qt.MouseButton.LeftButton:
            self._let_go()
            return False
        far = (event.position() - self._from).manhattanLength()
        if self._is_carried or far >= QApplication.startDragDistance():
            self._is_carried = True
            self._paper.setCursor(Qt.CursorShape.ClosedHandCursor)
            self._show_line(self._place_at(event.position().toPoint()))
        return True

    def _drop(self, event: QMouseEvent) -> bool:
        tank, was_carried = self._tank, self._is_carried
        place = self._place_at(event.position().toPoint())
        self._let_go()
        if not was_carried or tank is None:
            return False
        ids = [card.id for card in self._rail.cards if card.id is not None]
        here = ids.index(tank)
        to = place - 1 if place > here else place
        if to != here:
            self.dropped.emit(tank, to)
        return True

    def _let_go(self) -> None:
        self._tank, self._is_carried = None, False
        self._line.hide()
        self._paper.unsetCursor()

    def _tank_rows(self) -> list[int]:
        return [row for row, card in enumerate(self._rail.cards) if card.id is not None]

    def _place_at(self, at: QPoint) -> int:
        """Return before which tank, counted from 0, one would stand that is let go here."""
        place = 0
        for row in self._tank_rows():
            if at.y() > self._area(row).center().y():
                place += 1
        return place

    def _area(self, row: int) -> QRect:
        return self._rail.visualRect(self._rail.model().index(row, 0))

    def _show_line(self, place: int) -> None:
        rows = self._tank_rows()
        if not rows:
            return
        is_last = place >= len(rows)
        area = self._area(rows[-1] if is_last else rows[place])
        y = area.bottom() - _LINE_HIGH if is_last else area.top()
        self._line.setGeometry(area.left(), y, area.width(), _LINE_HIGH)
        self._line.show()
        self._line.raise_()
