"""How a month is drawn: its days with their lines, the hairlines, and the threads over them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QTableView

from tankkeeper.gui.marks import Mark, mark_role
from tankkeeper.gui.models.month_sheet import DayCell, ThreadLine
from tankkeeper.gui.palette import Colours, Role
from tankkeeper.gui.typography import metrics_for
from tankkeeper.gui.widgets.focus import paint_found, paint_ground
from tankkeeper.gui.widgets.kept_words import KeptWords
from tankkeeper.gui.widgets.month_cells import LANE, PAD, CellStyle, DrawnCell, DrawnLine
from tankkeeper.gui.widgets.month_marks import MarkStore

_QUIET: Final = frozenset({Mark.DONE, Mark.SKIPPED, Mark.PAUSED, Mark.PROJECTED})
_DAYS: Final = 7
_THREAD: Final = 2.0
_HEAD: Final = 4.0
_DOT: Final = 2.5
_FOOT: Final = 5
_REACH: Final = 4
_FOUND_GAP: Final = 5


class CellPainter:
    """Draws the days of a month, with pictures of the marks that are made once."""

    def __init__(self) -> None:
        self.marks = MarkStore()
        self._words = KeptWords()

    def paint(
        self,
        painter: QPainter,
        cell: DayCell,
        drawn: DrawnCell,
        area: QRect,
        style: CellStyle,
        table: Colours,
        ratio: float,
    ) -> None:
        """Draw ground, number, minutes and lines of a day."""
        if cell.is_today:
            paint_ground(painter, area, table[Role.SEA_SOFT])
        elif cell.is_outside:
            paint_ground(painter, area, table[Role.GROUND])
        left, top = area.left(), area.top()
        draw = self._words.draw
        is_strong = cell.is_today or not cell.is_outside
        number_ink = Role.SEA if cell.is_today else Role.INK if is_strong else Role.INK_2
        painter.setPen(table[number_ink])
        font = style.strong if is_strong else style.plain
        draw(painter, font, left + drawn.number_x, top + drawn.number_y, drawn.number)
        if drawn.today is not None:
            draw(painter, font, left + drawn.today.x, top + drawn.today.y, drawn.today.text)
        if drawn.minutes:
            painter.setPen(table[Role.INK_3 if cell.is_past else Role.INK_2])
            x, y = left + drawn.minutes_x, top + drawn.minutes_y
            draw(painter, style.plain, x, y, drawn.minutes)
        if drawn.waiting is not None:
            x, y = left + drawn.waiting.x, top + drawn.waiting.y
            draw(painter, style.plain, x, y, drawn.waiting.text)
        for line in drawn.lines:
            self._paint_line(painter, line, left, top + line.y, style, table, ratio)

    def _paint_line(
        self,
        painter: QPainter,
        line: DrawnLine,
        left: int,
        y: float,
        style: CellStyle,
        table: Colours,
        ratio: float,
    ) -> None:
        draw = self._words.draw
        if line.mark is None and line.second:
            painter.setPen(table[Role.INK])
            draw(painter, style.plain, left + line.second_x, y, line.second)
            return
        if line.mark is None:
            painter.setPen(table[Role.SEA])
            draw(painter, style.medium, left + line.x, y, line.first)
            return
        size = style.metrics.mark_cell
        picture = self.marks.pixmap(line.mark, size, table, ratio)
        middle = y - style.cap_height / 2
        painter.drawPixmap(QPointF(left + line.x, round(middle - size / 2)), picture)
        painter.setPen(_ink(line.mark, table))
        if line.first:
            draw(painter, style.medium, left + PAD + size + 4, y, line.first)
        below = style.line * (line.rows - 1)
        draw(painter, style.plain, left + line.second_x, y + below, line.second)


def _ink(mark: Mark, table: Colours) -> QColor:
    if mark is Mark.OVERDUE:
        return table[mark_role(mark)]
    return table[Role.INK_3 if mark in _QUIET else Role.INK]


def paint_hairlines(painter: QPainter, view: QTableView, table: Colours) -> None:
    """Draw the hairlines between days and weeks."""
    wide = table.hairline
    right = view.columnViewportPosition(_DAYS - 1) + view.columnWidth(_DAYS - 1)
    bottom = 0
    for row in range(view.model().rowCount()):
        top = view.rowViewportPosition(row)
        bottom = top + view.rowHeight(row)
        paint_ground(painter, QRect(0, top, right, wide), table[Role.LINE])
    for column in range(1, _DAYS):
        x = view.columnViewportPosition(column)
        paint_ground(painter, QRect(x, 0, wide, bottom), table[Role.LINE])
    paint_ground(painter, QRect(0, bottom - wide, right, wide), table[Role.LINE])


def paint_threads(
    painter: QPainter, view: QTableView, threads: Sequence[ThreadLine], table: Colours
) -> None:
    """Draw how long what is overdue has waited, from week to week."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    scale = metrics_for(view.font()).scale
    for _, stretch in _stretches(view, threads):
        _paint_stretch(painter, stretch, scale, table[Role.OVERDUE])


class _Stretch(NamedTuple):
    """What of a thread runs through one week, and whether its dot and its head are there."""

    x: int
    end: int
    y: int
    begins: bool
    ends: bool


def _stretches(
    view: QTableView, threads: Sequence[ThreadLine]
) -> Iterator[tuple[ThreadLine, _Stretch]]:
    for lane, thread in enumerate(threads):
        for row in range(thread.first // _DAYS, thread.last // _DAYS + 1):
            y = view.rowViewportPosition(row) + view.rowHeight(row) - _FOOT - lane * LANE
            first = max(thread.first, _DAYS * row)
            last = min(thread.last, _DAYS * row + _DAYS - 1)
            begins = thread.begins_here and first == thread.first
            ends = thread.ends_here and last == thread.last
            x = view.columnViewportPosition(first % _DAYS) + (PAD + 4 if begins else 0)
            end = view.columnViewportPosition(last % _DAYS)
            end += PAD + 4 if ends else view.columnWidth(last % _DAYS)
            yield thread, _Stretch(x, end, y, begins, ends)


def nearest_thread(
    view: QTableView, threads: Sequence[ThreadLine], at: QPoint
) -> ThreadLine | None:
    """Return the thread that a mouse at a point means, or None where none is near."""
    near = [
        (abs(at.y() - one.y), number, thread)
        for number, (thread, one) in enumerate(_stretches(view, threads))
        if one.x - _REACH <= at.x() <= one.end + _REACH and abs(at.y() - one.y) <= _REACH
    ]
    return min(near)[2] if near else None


def paint_found_lines(
    painter: QPainter,
    drawn: DrawnCell,
    area: QRect,
    chores: frozenset[str],
    style: CellStyle,
    table: Colours,
) -> None:
    """Draw the bar before the lines that tell of a chore that was found."""
    for line in drawn.lines:
        if not chores.isdisjoint(line.chores):
            x = area.left() + line.x - _FOUND_GAP
            top = area.top() + line.y - style.ascent
            paint_found(painter, QRectF(x, top, style.line, style.line * line.rows), table)


def _paint_stretch(painter: QPainter, stretch: _Stretch, scale: float, colour: QColor) -> None:
    """Draw what of a thread runs through one week."""
    x, end, y, begins, ends = stretch
    painter.setPen(QPen(colour, _THREAD * scale))
    painter.drawLine(QPointF(x, y), QPointF(end - (_HEAD if ends else 0), y))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    if begins:
        painter.drawEllipse(QPointF(x, y), _DOT * scale, _DOT * scale)
    if ends:
        back, side = end - 1.5 * _HEAD, 0.75 * _HEAD
        head = [QPointF(end, y), QPointF(back, y - side), QPointF(back, y + side)]
        painter.drawPolygon(QPolygonF(head))
