"""Where the parts of a row of the logbook stand."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtGui import QFont, QFontMetricsF

from tankkeeper.core.values import dataclass
from tankkeeper.gui.typography import (
    Space,
    TypeRole,
    Weight,
    line_height,
    metrics_for,
    type_font,
)

# The widest days that can stand beside a row, and a time.
_DAYS = ("Yesterday", "Wed 30 Nov", "30 Mar 2008")
_TIME = "00:00"
# Ten per cent more than measured, as for every column that does not grow.
_SLACK = 1.1
_LEAST_TEXT = 300
_MOST_NAME = 120


@dataclass(frozen=True, slots=True)
class LogColumns:
    """Left edges and widths in pixels; with `has_two_lines` where and who stand below the text."""

    left: float
    right: float
    time: float
    text: float
    text_width: float
    where: float
    where_width: float
    who: float
    who_width: float
    has_two_lines: bool
    height: int


def log_columns(
    base: QFont, width: float, tanks: Iterable[str], people: Iterable[str], row_height: int
) -> LogColumns:
    """Return the columns for a width, with room for these names of tanks and people."""
    sizes = metrics_for(base)
    small = QFontMetricsF(type_font(base, TypeRole.CAPTION))
    strong = QFontMetricsF(type_font(base, TypeRole.CAPTION, Weight.SEMIBOLD))
    left, right = float(Space.L), width - Space.M
    day = _SLACK * max(strong.horizontalAdvance(text) for text in _DAYS)
    time = left + day + Space.S
    text = time + _SLACK * small.horizontalAdvance(_TIME) + Space.S
    most = float(sizes.px(_MOST_NAME))

    def named(names: Iterable[str]) -> float:
        widest = max((small.horizontalAdvance(name) for name in names), default=0.0)
        return min(most, _SLACK * widest)

    who_width, where_width = named(people), named(tanks)
    who = right - who_width
    where = who - (Space.S if who_width else 0) - where_width
    beside = where - (Space.S if where_width else 0) - text
    has_two_lines = beside < sizes.px(_LEAST_TEXT)
    lines = line_height(base, TypeRole.BODY) + line_height(base, TypeRole.CAPTION) + Space.S
    return LogColumns(
        left=left,
        right=right,
        time=time,
        text=text,
        text_width=right - text if has_two_lines else beside,
        where=where,
        where_width=where_width,
        who=who,
        who_width=who_width,
        has_two_lines=has_two_lines,
        height=lines if has_two_lines else row_height,
    )
