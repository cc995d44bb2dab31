"""The ring that shows where the keys act."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.palette import Colours, Role

RING: Final = 2.0
RADIUS: Final = 6.0
FOUND_BAR: Final = 3.0


def paint_focus_ring(
    painter: QPainter, around: QRectF, colours: Colours, radius: float = RADIUS
) -> None:
    """Draw the ring just inside the edge of `around`."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(colours[Role.SEA], RING))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    half = RING / 2
    painter.drawRoundedRect(around.adjusted(half, half, -half, -half), radius, radius)
    painter.restore()


def paint_tint(
    painter: QPainter, around: QRectF, colours: Colours, role: Role, radius: float = RADIUS
) -> None:
    """Fill a rounded ground, such as that of the selected row."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colours[role])
    painter.drawRoundedRect(around, radius, radius)
    painter.restore()


def paint_found(painter: QPainter, around: QRectF, colours: Colours) -> None:
    """Draw the bar before what was found."""
    bar = QRectF(around.left(), around.top(), FOUND_BAR, around.height())
    paint_tint(painter, bar, colours, Role.SEA, FOUND_BAR / 2)


def paint_ground(painter: QPainter, area: QRect | QRectF, colour: QColor) -> None:
    """Fill a rectangle.

    Not by `fillRect`: choosing among its many forms makes the binding build the list of all
    preset gradients, which costs 2 ms at the start.
    """
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawRect(area)


def is_inside(widget: QWidget | None, area: QWidget) -> bool:
    """Return whether a widget is the area or lies in it."""
    return widget is not None and (widget is area or area.isAncestorOf(widget))
