"""The gauge beside a tank: the drop under the fill mark, ten times the scale of the picture."""

from __future__ import annotations

import math
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from tankkeeper.core.values import dataclass
from tankkeeper.gui.palette import Colours, Role
from tankkeeper.gui.typography import TypeRole, Weight, line_height, type_font
from tankkeeper.gui.widgets.focus import paint_ground
from tankkeeper.reports.numbers import thickness_text

GAUGE_CUT_MM: Final = 30.0
_GAUGE_WIDTH: Final = 8.0
ABOVE_MARK_MM: Final = 5.0
_BELOW_CUT_MM: Final = 7.0
_WEDGE: Final = 6.0
_WORDS_GAP: Final = 12.0
TALL_MM: Final = ABOVE_MARK_MM + GAUGE_CUT_MM + _BELOW_CUT_MM


@dataclass(frozen=True, slots=True)
class GaugeUnit:
    """In which unit the words beside the gauge tell the level, and with which decimal sign."""

    thickness: str = "mm"
    decimal_sign: str = "."


MILLIMETRES: Final = GaugeUnit()


def gauge_size(base: QFont, mm_down: float, factor: float, unit: GaugeUnit = MILLIMETRES) -> QSizeF:
    """Return the size of the gauge with its words, for a base font `factor` times 14 px."""
    first, second = gauge_words(mm_down, unit)
    words = max(
        QFontMetricsF(type_font(base, TypeRole.CAPTION, Weight.SEMIBOLD)).horizontalAdvance(first),
        QFontMetricsF(type_font(base, TypeRole.CAPTION)).horizontalAdvance(second),
    )
    height = TALL_MM * factor
    width = (_GAUGE_WIDTH + _WEDGE) * factor + _WORDS_GAP - 4 + words
    return QSizeF(math.ceil(width), math.ceil(height))


def gauge_words(mm_down: float, unit: GaugeUnit = MILLIMETRES) -> tuple[str, str]:
    """Return the two lines beside the gauge, the level as the household measures it.

    >>> gauge_words(12.4)[1]
    'down'
    """
    whole = round(mm_down)
    if whole == 0:
        return ("at the", "fill mark")
    level = thickness_text(abs(mm_down), unit.thickness, unit.decimal_sign)
    return (level, "down" if whole > 0 else "too high")


def paint_gauge(
    painter: QPainter,
    mm_down: float,
    at: QPointF,
    base: QFont,
    factor: float,
    colours: Colours,
    under: Role = Role.GROUND,
    unit: GaugeUnit = MILLIMETRES,
) -> None:
    """Draw the gauge, one millimetre for one pixel at 14 px type, with its words."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    mm = factor
    column = QRectF(at.x(), at.y(), _GAUGE_WIDTH * mm, TALL_MM * mm)
    mark = column.top() + ABOVE_MARK_MM * mm
    is_cut = mm_down > GAUGE_CUT_MM
    shown = min(GAUGE_CUT_MM, max(-ABOVE_MARK_MM + 1, mm_down))
    level = mark + shown * mm
    water = QRectF(column.left(), level, column.width(), column.bottom() - level)
    paint_ground(painter, water, colours[Role.WATER])
    painter.setPen(_pen(colours[Role.EDGE], 1))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(column)
    painter.setPen(_pen(colours[Role.SEA], 2))
    painter.drawLine(water.topLeft(), water.topRight())
    if is_cut:
        _paint_break(painter, column, mark + (GAUGE_CUT_MM / 2) * mm, mm, colours, under)
    _paint_wedge(painter, QPointF(column.right() + 2, mark), mm, colours)
    _paint_gauge_words(painter, gauge_words(mm_down, unit), column, base, mm, colours)
    painter.restore()


def _paint_break(
    painter: QPainter, column: QRectF, y: float, mm: float, colours: Colours, under: Role
) -> None:
    left, right = column.left() - 3 * mm, column.right() + 3 * mm
    quarter = (right - left) / 4
    zigzag = [QPointF(left + step * quarter, y + (2 if step % 2 else -2) * mm) for step in range(5)]
    lower = [point + QPointF(0, 4 * mm) for point in zigzag]
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colours[under])
    painter.drawPolygon(QPolygonF([*zigzag, *reversed(lower)]))
    painter.setPen(QPen(colours[Role.INK_2], 1))
    painter.drawPolyline(QPolygonF(zigzag))
    painter.drawPolyline(QPolygonF(lower))


def _paint_wedge(painter: QPainter, tip: QPointF, mm: float, colours: Colours) -> None:
    half = _WEDGE / 2 * mm
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colours[Role.INK])
    painter.drawPolygon(
        QPolygonF([tip, tip + QPointF(2 * half, -half), tip + QPointF(2 * half, half)])
    )


def _paint_gauge_words(
    painter: QPainter,
    words: tuple[str, str],
    column: QRectF,
    base: QFont,
    mm: float,
    colours: Colours,
) -> None:
    first, second = words
    line = line_height(base, TypeRole.CAPTION) - 2
    left = column.right() + _WEDGE * mm + _WORDS_GAP - 4
    strong = type_font(base, TypeRole.CAPTION, Weight.SEMIBOLD)
    mark = column.top() + ABOVE_MARK_MM * mm
    baseline = mark + QFontMetricsF(strong).capHeight() / 2
    painter.setFont(strong)
    painter.setPen(colours[Role.INK])
    painter.drawText(QPointF(left, baseline), first)
    painter.setFont(type_font(base, TypeRole.CAPTION))
    painter.setPen(colours[Role.INK_2])
    painter.drawText(QPointF(left, baseline + line), second)


def _pen(colour: QColor, width: float) -> QPen:
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    return pen
