"""How the lines of a day stand in its cell: worked out once for a size, then only drawn."""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QFontMetricsF

from tankkeeper.gui.marks import Mark
from tankkeeper.gui.models.month_sheet import CellLine, DayCell
from tankkeeper.gui.typography import Metrics, TypeRole, Weight, metrics_for, type_font

PAD = 8
MARK_GAP = 4
MINUTES_PAD = 6
LINE_PX = 15.5
LANE = 6
NARROW_PX = 80
LEAST_TANK_PX = 18


class CellStyle(NamedTuple):
    """Fonts and measures of the cells for one base font."""

    metrics: Metrics
    plain: QFont
    medium: QFont
    strong: QFont
    plain_metrics: QFontMetricsF
    medium_metrics: QFontMetricsF
    strong_metrics: QFontMetricsF
    line: float
    ascent: float
    blank: float


class DrawnLine(NamedTuple):
    """A line with its texts as they fit; `y` is its baseline, counted from the top of the cell."""

    mark: Mark | None
    first: str
    second: str
    second_x: float
    y: float


class DrawnCell(NamedTuple):
    """All lines of a cell, and the words at its head."""

    lines: tuple[DrawnLine, ...]
    number: str
    number_y: float
    minutes: str
    minutes_x: float


def style_for(base: QFont) -> CellStyle:
    """Return fonts and measures for a base font."""
    plain = type_font(base, TypeRole.CAPTION)
    medium = type_font(base, TypeRole.CAPTION, Weight.MEDIUM)
    strong = type_font(base, TypeRole.CAPTION, Weight.SEMIBOLD)
    sizes = metrics_for(base)
    measured = QFontMetricsF(plain)
    return CellStyle(
        metrics=sizes,
        plain=plain,
        medium=medium,
        strong=strong,
        plain_metrics=measured,
        medium_metrics=QFontMetricsF(medium),
        strong_metrics=QFontMetricsF(strong),
        line=max(LINE_PX * sizes.scale, measured.ascent() + measured.descent()),
        ascent=measured.ascent(),
        blank=measured.horizontalAdvance(" "),
    )


def has_room_for_nouns(width: float, style: CellStyle) -> bool:
    """Tell whether a column is wide enough for mark and noun; else marks and counts stand there."""
    return style.metrics.scale < 1.5 and width / style.metrics.scale >= NARROW_PX


def lay_out_cell(
    cell: DayCell, width: float, height: float, lanes: int, style: CellStyle
) -> DrawnCell:
    """Return the lines that fit into a cell of this size above its threads."""
    number_y = 4 + style.ascent
    top = number_y + style.line + 1
    bottom = height - 3 - lanes * LANE
    room = max(0, int((bottom - (top - style.ascent)) // style.line))
    if has_room_for_nouns(width, style):
        lines = _noun_lines(cell, width, room, top, style)
    else:
        lines = _count_lines(cell, room, top, style)
    wide = style.plain_metrics.horizontalAdvance(cell.minutes)
    minutes_x = width - MINUTES_PAD - wide
    number = _number(cell, minutes_x if cell.minutes else width, style)
    return DrawnCell(tuple(lines), number, number_y, cell.minutes, minutes_x)


def _number(cell: DayCell, end: float, style: CellStyle) -> str:
    """Return the number of a day, without the words after it where the minutes need the room."""
    wide = PAD + style.strong_metrics.horizontalAdvance(cell.number) + style.blank
    return cell.number if wide <= end else str(cell.day.day)


def _noun_lines(
    cell: DayCell, width: float, room: int, top: float, style: CellStyle
) -> list[DrawnLine]:
    shown = len(cell.lines) if len(cell.lines) <= room else max(0, room - 1)
    left = len(cell.lines) - shown
    lines = [
        _fitted(line, width, top + at * style.line, style)
        for at, line in enumerate(cell.lines[:shown])
    ]
    if left:
        words = f"{left} more" if room else ""
        lines.append(DrawnLine(None, words, "", 0.0, top + shown * style.line))
    return lines


def _fitted(line: CellLine, width: float, y: float, style: CellStyle) -> DrawnLine:
    """Return a line with its tank shortened so far that the noun stands in full."""
    start = PAD + style.metrics.mark_cell + MARK_GAP
    space = width - start - 2
    noun_wide = style.plain_metrics.horizontalAdvance(line.noun)
    for_tank = space - noun_wide - style.blank
    tank = ""
    if line.tank and for_tank >= LEAST_TANK_PX:
        tank = style.medium_metrics.elidedText(line.tank, Qt.TextElideMode.ElideRight, for_tank)
    x = float(start)
    if tank:
        x += style.medium_metrics.horizontalAdvance(tank) + style.blank
    return DrawnLine(line.mark, tank, line.noun, x, y)


def _count_lines(cell: DayCell, room: int, top: float, style: CellStyle) -> list[DrawnLine]:
    """Return a mark with its number for each state, one to a line."""
    start = PAD + style.metrics.mark_cell + MARK_GAP
    counts = cell.counts
    lines = [
        DrawnLine(mark, "", str(number), start, top + at * style.line)
        for at, (mark, number) in enumerate(counts[: room if len(counts) <= room else room - 1])
    ]
    rest = sum(number for _, number in counts[len(lines) :])
    if rest and room:
        lines.append(DrawnLine(None, f"{rest} more", "", 0.0, top + len(lines) * style.line))
    return lines
