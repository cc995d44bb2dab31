"""How the lines of a day stand in its cell: worked out once for a size, then only drawn."""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QFontMetricsF

from tankkeeper.gui.marks import Mark
from tankkeeper.gui.models.month_sheet import CellLine, DayCell
from tankkeeper.gui.models.short_names import cut_name
from tankkeeper.gui.typography import Metrics, TypeRole, Weight, metrics_for, type_font
from tankkeeper.reports.numbers import NBSP

PAD = 8
MARK_GAP = 4
MINUTES_PAD = 6
# Beside the word of today the minutes stand closer, before they go below.
TIGHT_PAD = 5
TIGHT_BLANK = 2
# The ring around the day with the keys stands in it.
END_PAD = 5
NUMBER_TOP = 3
BETWEEN = 8
LINE_PX = 15.5
LANE = 6
TODAY = "today"
NARROW_PX = 80
# In less most nouns would stand in a row below their tank, and so few lines tell less than counts.
NARROW_WITH_TANKS_PX = 90
# Some months of nouns, names and minutes.
_MOST_KEPT = 4000


class KeptWidths(QFontMetricsF):
    """Measures of a font that keep how wide a text is, and what is left of it in less room.

    A month has some hundred texts, most of them those of the month before.
    """

    def __init__(self, font: QFont) -> None:
        super().__init__(font)
        self._wide: dict[str, float] = {}
        self._short: dict[tuple[str, float], str] = {}

    def wide(self, text: str) -> float:
        """Return how wide a text is."""
        found = self._wide.get(text)
        if found is None:
            if len(self._wide) >= _MOST_KEPT:
                self._wide.clear()
            found = self._wide[text] = self.horizontalAdvance(text)
        return found

    def short(self, text: str, room: float) -> str:
        """Return a text shortened at its end to this room."""
        found = self._short.get((text, room))
        if found is None:
            if len(self._short) >= _MOST_KEPT:
                self._short.clear()
            found = self.elidedText(text, Qt.TextElideMode.ElideRight, room)
            self._short[(text, room)] = found
        return found


class CellStyle(NamedTuple):
    """Fonts and measures of the cells for one base font."""

    metrics: Metrics
    plain: QFont
    medium: QFont
    strong: QFont
    plain_metrics: KeptWidths
    medium_metrics: KeptWidths
    strong_metrics: KeptWidths
    line: float
    ascent: float
    cap_height: float
    blank: float


class DrawnLine(NamedTuple):
    """A line with its texts as they fit, `x` and baseline `y` counted from the cell's corner.

    `chores` are those of which it tells. With two `rows` the second text stands below the first.
    """

    mark: Mark | None
    x: float
    first: str
    second: str
    second_x: float
    y: float
    chores: tuple[str, ...] = ()
    rows: int = 1


class HeadWord(NamedTuple):
    """A word below the number of a day, counted from the cell's corner."""

    text: str
    x: float
    y: float


class DrawnCell(NamedTuple):
    """All lines of a cell, and the words at its head.

    `today` is the word that says so where it has no room beside the number, `waiting` what of the
    minutes has none beside the others.
    """

    lines: tuple[DrawnLine, ...]
    number: str
    number_y: float
    minutes: str
    minutes_x: float
    minutes_y: float
    today: HeadWord | None = None
    waiting: HeadWord | None = None
    number_x: int = PAD


def style_for(base: QFont) -> CellStyle:
    """Return fonts and measures for a base font."""
    plain = type_font(base, TypeRole.CAPTION)
    medium = type_font(base, TypeRole.CAPTION, Weight.MEDIUM)
    strong = type_font(base, TypeRole.CAPTION, Weight.SEMIBOLD)
    sizes = metrics_for(base)
    measured = KeptWidths(plain)
    return CellStyle(
        metrics=sizes,
        plain=plain,
        medium=medium,
        strong=strong,
        plain_metrics=measured,
        medium_metrics=KeptWidths(medium),
        strong_metrics=KeptWidths(strong),
        line=max(LINE_PX * sizes.scale, measured.ascent() + measured.descent()),
        ascent=measured.ascent(),
        cap_height=measured.capHeight(),
        blank=measured.horizontalAdvance(" "),
    )


def has_room_for_nouns(cell: DayCell, width: float, style: CellStyle) -> bool:
    """Tell whether a column is wide enough for mark and noun, and for the tank where one is named.

    Else marks and counts stand there.
    """
    least = NARROW_WITH_TANKS_PX if any(line.tank for line in cell.lines) else NARROW_PX
    return style.metrics.scale < 1.5 and width / style.metrics.scale >= least


def lay_out_cell(
    cell: DayCell, width: float, height: float, lanes: int, style: CellStyle
) -> DrawnCell:
    """Return the lines that fit into a cell of this size above its threads."""
    head = _head(cell, width, style)
    bottom = height - 1 - lanes * LANE - style.plain_metrics.descent()
    top = _lowest(head) + style.line
    room = 0 if bottom < top else 1 + int((bottom - top) // style.line)
    has_nouns = has_room_for_nouns(cell, width, style)
    lines = _noun_lines(cell, width, room, top, style) if has_nouns else None
    if lines is None:
        lines = _count_lines(cell, width, room, top, style)
    return head._replace(lines=tuple(lines))


def lines_of_head(cell: DayCell, width: float, style: CellStyle) -> int:
    """Return how many lines number and minutes of a day need; what it has to do follows them."""
    head = _head(cell, width, style)
    return 1 + round((_lowest(head) - head.number_y) / style.line)


def _lowest(head: DrawnCell) -> float:
    words = (one.y for one in (head.today, head.waiting) if one is not None)
    return max(head.minutes_y, *words, head.number_y)


def _stands_beside(
    number: str, minutes: str, width: float, style: CellStyle, *, is_tight: bool = False
) -> bool:
    around = TIGHT_BLANK + TIGHT_PAD if is_tight else style.blank + MINUTES_PAD
    wide = style.strong_metrics.wide(number) + style.plain_metrics.wide(minutes)
    return PAD + wide + around <= width


def _head(cell: DayCell, width: float, style: CellStyle) -> DrawnCell:
    """Return number and minutes of a day as they fit: beside each other, or below.

    The minutes are never left out for anything else, nor is the word of today.
    """
    y, today = NUMBER_TOP + style.ascent, None
    number, number_x = _number(cell, width, style)
    if cell.is_today and number != cell.number:
        today = HeadWord(TODAY, PAD, y + style.line)
    if not cell.minutes:
        return DrawnCell((), number, y, "", width, y, today, None, number_x)
    for is_tight in (False, True) if cell.is_today else (False,):
        if _stands_beside(number, cell.minutes, width, style, is_tight=is_tight):
            pad = TIGHT_PAD if is_tight else MINUTES_PAD
            x = width - pad - style.plain_metrics.wide(cell.minutes)
            return DrawnCell((), number, y, cell.minutes, x, y, today, None, number_x)
    below = y + style.line * (1 if today is None else 2)
    minutes, pad, rest = _broken(cell.minutes, width, style)
    x = width - pad - style.plain_metrics.wide(minutes)
    waiting = None
    if rest:
        rest_x = width - pad - style.plain_metrics.wide(rest)
        waiting = HeadWord(rest, rest_x, below + style.line)
    return DrawnCell((), number, y, minutes, x, below, today, waiting, number_x)


def _number(cell: DayCell, width: float, style: CellStyle) -> tuple[str, int]:
    """Return the number, with its words where they stand clear of the ring, and its left edge."""
    wide = style.strong_metrics.wide(cell.number)
    for left in (PAD, END_PAD):
        if left + wide + END_PAD <= width:
            return cell.number, left
    return str(cell.day.day), PAD


def _broken(minutes: str, width: float, style: CellStyle) -> tuple[str, int, str]:
    """Return minutes as they fit on a line of their own, how far they end from the edge, the rest.

    The unit goes first, as at the foot of a narrow board; then what can wait has its own line.
    """
    wide, bare = style.plain_metrics.wide, minutes.partition(NBSP)[0]
    for text, left, right in (
        (minutes, PAD, MINUTES_PAD),
        (minutes, TIGHT_PAD, TIGHT_PAD),
        (bare, TIGHT_PAD, TIGHT_PAD),
    ):
        if left + wide(text) + right <= width:
            return text, right, ""
    own, plus, waiting = bare.partition("+")
    return own, TIGHT_PAD, plus + waiting


def _noun_lines(
    cell: DayCell, width: float, room: int, top: float, style: CellStyle
) -> list[DrawnLine] | None:
    """Return the lines with their nouns, None where the marks with their numbers tell more.

    That is where there is a line for one of several. A line whose tank is not told apart beside
    its noun has two rows; so has one whose tank is cut, as long as that takes no line from others.
    """
    fitted = [_fitted(line, width, style) for line in cell.lines]
    shown, rows = len(fitted), [line.rows for line in fitted]
    while shown and sum(rows[:shown]) + (shown < len(fitted)) > room:
        shown -= 1
    if fitted and not shown:
        return None
    left = len(fitted) - shown
    free = room - sum(rows[:shown]) - (left > 0)
    lines, at = [], 0
    for line, one in zip(cell.lines[:shown], fitted, strict=False):
        drawn = one
        if free and one.rows == 1 and one.first != line.tank:
            drawn, free = _below(line, width, style), free - 1
        lines.append(drawn._replace(y=top + at * style.line))
        at += drawn.rows
    if left:
        rest = tuple(line.chore for line in cell.lines[shown:])
        lines.append(DrawnLine(None, PAD, f"{left} more", "", 0.0, top + at * style.line, rest))
    return lines


def _start(line: CellLine, style: CellStyle) -> int:
    return PAD if line.mark is None else PAD + style.metrics.mark_cell + MARK_GAP


def _fitted(line: CellLine, width: float, style: CellStyle) -> DrawnLine:
    """Return a line with its tank cut so far that the noun stands in full, or the noun below."""
    start, wide = _start(line, style), style.medium_metrics.wide
    room = width - start - END_PAD - style.plain_metrics.wide(line.noun) - style.blank
    tank = cut_name(line.tank, line.telling, wide, room) if line.tank else ""
    if line.tank and not tank:
        return _below(line, width, style)
    x = start + wide(tank) + style.blank if tank else float(start)
    return DrawnLine(line.mark, PAD, tank, line.noun, x, 0.0, _chores(line))


def _below(line: CellLine, width: float, style: CellStyle) -> DrawnLine:
    """Return a line with its noun below the tank, which has the whole width."""
    start, metrics = _start(line, style), style.medium_metrics
    room = width - start - END_PAD
    tank = cut_name(line.tank, line.telling, metrics.wide, room) or metrics.short(line.tank, room)
    return DrawnLine(line.mark, PAD, tank, line.noun, float(start), 0.0, _chores(line), rows=2)


def _chores(line: CellLine) -> tuple[str, ...]:
    return (line.chore,) if line.chore else ()


def least_height(lanes: int, style: CellStyle, head: int) -> float:
    """Return the height in which a cell shows its head and one line over its threads.

    `head` is how many lines the head has.
    """
    around = NUMBER_TOP + style.ascent + style.plain_metrics.descent()
    return around + head * style.line + 2 + lanes * LANE


def _count_lines(
    cell: DayCell, width: float, room: int, top: float, style: CellStyle
) -> list[DrawnLine]:
    """Return a mark with its number for each state, side by side where they fit."""
    gap = style.metrics.mark_cell + MARK_GAP
    lines: list[DrawnLine] = []
    x, row = float(PAD), 0
    for at, (mark, number) in enumerate(cell.counts):
        # Of what was done on a day that is past, of how many, work of every day among it: 4/5.
        done, count = cell.content.done_of_all
        is_of_all = mark is Mark.DONE and bool(cell.content.lapsed)
        told = f"{done}/{count}" if is_of_all else str(number)
        wide = gap + style.plain_metrics.wide(told)
        rest = sum(count for _, count in cell.counts[at:])
        is_last_row, is_last = row >= room - 1, at == len(cell.counts) - 1
        left = width - 2 - (x + wide + BETWEEN)
        # The most urgent mark is never given up for the word that there is more.
        if lines and is_last_row and not is_last and left < _more_width(rest - number, style):
            lines.append(_more(rest, x, top + row * style.line, width - 2 - x, style))
            return lines
        if x + wide > width - 2 and x > PAD:
            x, row = float(PAD), row + 1
        if row >= room:
            return [*lines, *_more_beside(lines, rest, width, style)]
        own = tuple(line.chore for line in cell.lines if line.mark is mark)
        lines.append(DrawnLine(mark, x, "", told, x + gap, top + row * style.line, own))
        x += wide + BETWEEN
    return lines


def _more_beside(
    lines: list[DrawnLine], rest: int, width: float, style: CellStyle
) -> list[DrawnLine]:
    """Return that there is more behind the last line, nothing where that has no room."""
    if not lines:
        return []
    before = lines[-1]
    x = before.second_x + style.plain_metrics.wide(before.second) + BETWEEN / 2
    if width - 2 - x < _more_width(rest, style):
        return []
    return [_more(rest, x, before.y, width - 2 - x, style)]


def _more_width(rest: int, style: CellStyle) -> float:
    return style.medium_metrics.wide(f"+{rest}")


def _more(rest: int, x: float, y: float, room: float, style: CellStyle) -> DrawnLine:
    """Return the words that there is more, in short where room is short."""
    words = f"{rest} more"
    if style.medium_metrics.wide(words) > room:
        words = f"+{rest}"
    return DrawnLine(None, x, words, "", 0.0, y)
