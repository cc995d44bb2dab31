"""What is told of the minutes without a strip: of all in one line, and of those who have none."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QPainter, QPen

from tankkeeper.gui.models.board_sheet import BoardSheet
from tankkeeper.gui.models.month_sheet import minutes_seen
from tankkeeper.gui.palette import Colours, Role
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.month_cells import CellStyle
from tankkeeper.reports.numbers import NBSP, listed


def folded_words(sheet: BoardSheet, column: int) -> tuple[str, bool]:
    """Return the minutes of all on a day, and whether they are more than one of them gives."""
    minutes = sum(one.strip.minutes[column] for one in sheet.strips)
    waiting = sum(one.strip.waiting_on(column) for one in sheet.strips)
    is_over = any(one.strip.over(column) for one in sheet.strips)
    return f"{minutes_seen(minutes, waiting)}{NBSP}min", is_over


def has_room_for_unit(sheet: BoardSheet, edges: Sequence[int], style: CellStyle) -> bool:
    """Tell whether each folded day stands apart from the next with the unit behind it."""
    columns = list(enumerate(pairwise(edges)))[: len(sheet.days)]
    return all(
        _fold_width(*folded_words(sheet, column), style) + Space.XS <= right - left
        for column, (left, right) in columns
    )


def paint_fold(
    painter: QPainter,
    sheet: BoardSheet,
    edges: Sequence[int],
    y: float,
    style: CellStyle,
    table: Colours,
    *,
    has_unit: bool,
) -> None:
    """Draw what all have to do on each day; hatched is a day that is too much for one."""
    for column, (left, right) in enumerate(pairwise(edges)):
        if column >= len(sheet.days):
            return
        words, is_over = folded_words(sheet, column)
        if not has_unit:
            words = words.partition(NBSP)[0]
        painter.setFont(style.strong if is_over else style.plain)
        painter.setPen(table[Role.OVERDUE if is_over else Role.INK_2])
        sign = style.cap_height if is_over else 0.0
        x = (left + right - _fold_width(words, is_over, style)) / 2
        if is_over:
            paint_hatching(painter, QRectF(x, y - sign, sign, sign), table)
            painter.setPen(table[Role.OVERDUE])
            x += sign + Space.XXS
        painter.drawText(QPointF(x, y), words)


def paint_idle(
    painter: QPainter, sheet: BoardSheet, at: QPointF, room: float, style: CellStyle
) -> None:
    """Say who has neither minutes nor a limit, by number where the names have no room."""
    many = len(sheet.idle)
    count = f"{many} more people" if many > 1 else "1 more person"
    for names in (listed(list(sheet.idle)), count) if many else ():
        text = f"{names}: none of their own"
        if style.plain_metrics.horizontalAdvance(text) <= room:
            painter.drawText(at, text)
            return


def _fold_width(words: str, is_over: bool, style: CellStyle) -> float:
    """Return the width of a folded day, with the sign of one that is too much."""
    metrics = style.strong_metrics if is_over else style.plain_metrics
    sign = style.cap_height + Space.XXS if is_over else 0.0
    return metrics.horizontalAdvance(words) + sign


def paint_hatching(painter: QPainter, area: QRectF, table: Colours) -> None:
    """Draw what is over what a person gives."""
    painter.setPen(QPen(table[Role.OVERDUE], 1))
    painter.setBrush(QBrush(table[Role.OVERDUE], Qt.BrushStyle.BDiagPattern))
    painter.drawRect(area.adjusted(0.5, 0.5, -0.5, -0.5))
