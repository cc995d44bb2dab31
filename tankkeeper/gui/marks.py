"""The marks of the states and the signs beside them: shapes first, colour only helps."""

from __future__ import annotations

from collections.abc import Callable
from enum import IntEnum, StrEnum
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from tankkeeper.gui.palette import Colours, Role

GRID: Final = 16.0


class Mark(StrEnum):
    """A state of an occurrence by its name, or a sign by the word that stands beside it."""

    OVERDUE = "overdue"
    DUE = "due"
    MAY_WAIT = "may wait"
    PROJECTED = "projected"
    DONE = "done"
    SKIPPED = "skipped"
    PAUSED = "paused"
    CAUTION = "caution"
    REFUSED = "refused"
    ABOVE_RANGE = "above range"
    BELOW_RANGE = "below range"

    @property
    def is_state(self) -> bool:
        """Whether it tells a state; the others are signs beside one."""
        return self in STATES


STATES: Final = (
    Mark.OVERDUE,
    Mark.DUE,
    Mark.MAY_WAIT,
    Mark.PROJECTED,
    Mark.DONE,
    Mark.SKIPPED,
    Mark.PAUSED,
)


class MarkSize(IntEnum):
    """Sizes in pixels at a base font of 14 px."""

    ROW = 16
    RAIL = 12
    CELL = 10


_ROLE: Final = {
    Mark.OVERDUE: Role.OVERDUE,
    Mark.DUE: Role.SEA,
    Mark.MAY_WAIT: Role.SEA,
    Mark.PROJECTED: Role.INK_3,
    Mark.DONE: Role.INK_3,
    Mark.SKIPPED: Role.INK_3,
    Mark.PAUSED: Role.INK_3,
    Mark.CAUTION: Role.AMBER,
    Mark.REFUSED: Role.OVERDUE,
    Mark.ABOVE_RANGE: Role.OVERDUE,
    Mark.BELOW_RANGE: Role.OVERDUE,
}


def mark_role(mark: Mark) -> Role:
    """Return the role of a mark's colour, which its word takes, too."""
    return _ROLE[mark]


def paint_mark(painter: QPainter, mark: Mark, at: QPointF, size: float, colours: Colours) -> None:
    """Draw a mark into the square of `size` pixels whose left upper corner is `at`."""
    paint_mark_in(painter, mark, at, size, colours[_ROLE[mark]])


def paint_mark_in(painter: QPainter, mark: Mark, at: QPointF, size: float, colour: QColor) -> None:
    """Draw a mark in a colour of the caller's, for printing and for grey."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(_snapped(painter, at))
    painter.scale(size / GRID, size / GRID)
    pen = QPen(colour, _stroke(size))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    _SHAPE[mark](painter, pen)
    painter.restore()


def _snapped(painter: QPainter, at: QPointF) -> QPointF:
    # On a whole device pixel, or straight edges would blur.
    ratio = painter.device().devicePixelRatio()
    return QPointF(round(at.x() * ratio) / ratio, round(at.y() * ratio) / ratio)


def _stroke(size: float) -> float:
    """Return the stroke in units of the grid: 2, and slightly heavier where the mark is small."""
    if size < 11:
        return 2.5
    return 2.25 if size < 14 else 2.0


def _fill(painter: QPainter, pen: QPen) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(pen.color())


def _line(painter: QPainter, pen: QPen) -> None:
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _polygon(*points: tuple[float, float]) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in points])


def _overdue(painter: QPainter, pen: QPen) -> None:
    _fill(painter, pen)
    painter.drawPolygon(_polygon((8, 0), (16, 8), (8, 16), (0, 8)))


def _due(painter: QPainter, pen: QPen) -> None:
    _fill(painter, pen)
    painter.drawEllipse(QPointF(8, 8), 6.5, 6.5)


def _ring(pen: QPen) -> QRectF:
    radius = 6.5 - pen.widthF() / 2
    return QRectF(8 - radius, 8 - radius, 2 * radius, 2 * radius)


def _may_wait(painter: QPainter, pen: QPen) -> None:
    ring = _ring(pen)
    _line(painter, pen)
    painter.drawEllipse(ring)
    _fill(painter, pen)
    painter.drawChord(ring, 180 * 16, 180 * 16)


def _projected(painter: QPainter, pen: QPen) -> None:
    _line(painter, pen)
    painter.drawArc(_ring(pen), 135 * 16, 270 * 16)


def _done(painter: QPainter, pen: QPen) -> None:
    _line(painter, pen)
    painter.drawPolyline(_polygon((2.5, 8.5), (6.5, 12.5), (13.5, 4)))


def _skipped(painter: QPainter, pen: QPen) -> None:
    _line(painter, pen)
    leap = QPainterPath()
    leap.arcMoveTo(QRectF(1.5, 3, 11.5, 12), 180)
    leap.arcTo(QRectF(1.5, 3, 11.5, 12), 180, -170)
    painter.drawPath(leap)
    painter.drawPolyline(_polygon((9.6, 7.2), (13, 8.6), (14.6, 5.2)))
    _fill(painter, pen)
    painter.drawEllipse(QPointF(7.25, 13), 1.9, 1.9)


def _paused(painter: QPainter, pen: QPen) -> None:
    _fill(painter, pen)
    painter.drawRect(QRectF(4, 3, 3, 10))
    painter.drawRect(QRectF(9, 3, 3, 10))


def _caution(painter: QPainter, pen: QPen) -> None:
    thin = QPen(pen)
    thin.setWidthF(pen.widthF() * 0.8)
    _line(painter, thin)
    painter.drawPolygon(_polygon((8, 1.8), (15, 14), (1, 14)))
    painter.drawLine(QPointF(8, 6.4), QPointF(8, 9.4))
    _fill(painter, pen)
    painter.drawEllipse(QPointF(8, 11.8), 1, 1)


def _refused(painter: QPainter, pen: QPen) -> None:
    _line(painter, pen)
    painter.drawLine(QPointF(3, 3), QPointF(13, 13))
    painter.drawLine(QPointF(13, 3), QPointF(3, 13))


def _above(painter: QPainter, pen: QPen) -> None:
    _fill(painter, pen)
    painter.drawPolygon(_polygon((8, 2), (13, 9), (3, 9)))
    painter.drawRect(QRectF(2, 11, 12, 2))


def _below(painter: QPainter, pen: QPen) -> None:
    _fill(painter, pen)
    painter.drawPolygon(_polygon((8, 14), (13, 7), (3, 7)))
    painter.drawRect(QRectF(2, 3, 12, 2))


_SHAPE: Final[dict[Mark, Callable[[QPainter, QPen], None]]] = {
    Mark.OVERDUE: _overdue,
    Mark.DUE: _due,
    Mark.MAY_WAIT: _may_wait,
    Mark.PROJECTED: _projected,
    Mark.DONE: _done,
    Mark.SKIPPED: _skipped,
    Mark.PAUSED: _paused,
    Mark.CAUTION: _caution,
    Mark.REFUSED: _refused,
    Mark.ABOVE_RANGE: _above,
    Mark.BELOW_RANGE: _below,
}
