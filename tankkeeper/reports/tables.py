"""Plain-text tables for a terminal: aligned, and within its width."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

from tankkeeper.core.values import dataclass
from tankkeeper.reports.numbers import plain

GAP = "  "
ELLIPSIS = "…"
NARROWEST_TANK = 6
NARROWEST = 4
# Marks on other letters, and signs without a width of their own (joiners, direction marks).
_WITHOUT_WIDTH = frozenset({"Mn", "Me", "Cf"})


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, its side, and in which order it gives way where room is short.

    `gives_way` 0 never does; 1 is shortened first.
    """

    heading: str
    to_right: bool = False
    gives_way: int = 0
    narrowest: int = NARROWEST


def display_width(text: str) -> int:
    """Return how many cells of a terminal a text takes.

    >>> display_width("Nook"), display_width("水槽"), display_width("e\\u0301")
    (4, 4, 1)
    """
    return sum(_width(sign) for sign in text)


def _width(sign: str) -> int:
    if unicodedata.category(sign) in _WITHOUT_WIDTH:
        return 0
    return 2 if unicodedata.east_asian_width(sign) in ("W", "F") else 1


def clean(text: str) -> str:
    """Return text for one cell: no page signs, no control signs, no direction marks."""
    return "".join(
        " " if unicodedata.category(sign) in ("Cc", "Zl", "Zp") else sign
        for sign in plain(text)
        if unicodedata.category(sign) not in ("Cs",) and sign not in _DIRECTIONS
    )


# Marks, embeddings, overrides and isolates would turn the rest of the line about.
_DIRECTIONS = frozenset(
    map(chr, (0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)))
)


def shortened(text: str, width: int) -> str:
    """Return text cut to `width` cells with an ellipsis, marks kept with their letter."""
    if display_width(text) <= width:
        return text
    if width < 1:
        return ""
    kept, used = "", 0
    for sign in text:
        used += _width(sign)
        if used > width - 1:
            break
        kept += sign
    return kept.rstrip() + ELLIPSIS


def table(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int | None) -> list[str]:
    """Return the lines of a table at most `width` cells wide, where the columns can give way.

    Empty columns are left out; what may not be shortened stays whole even if a line grows longer.
    With no width nothing is shortened.
    """
    cells = [[clean(cell) for cell in row] for row in rows]
    used = [place for place in range(len(columns)) if any(row[place] for row in cells)]
    shown = [columns[place] for place in used]
    cells = [[row[place] for place in used] for row in cells]
    widths = _widths(shown, cells, width)
    head = [column.heading for column in shown]
    lines = [head, *cells] if any(head) else cells
    return [_line(shown, row, widths) for row in lines]


def _widths(
    columns: Sequence[Column], cells: Sequence[Sequence[str]], width: int | None
) -> list[int]:
    """Return the width of each column, the ones that give way shortened in their order."""
    widths = [
        max(display_width(column.heading), *(display_width(row[place]) for row in cells), 0)
        for place, column in enumerate(columns)
    ]
    if width is None:
        return widths
    excess = sum(widths) + len(GAP) * (len(widths) - 1) - width
    order = sorted(
        (column.gives_way, place) for place, column in enumerate(columns) if column.gives_way
    )
    for _, place in order:
        if excess <= 0:
            break
        taken = min(excess, max(0, widths[place] - columns[place].narrowest))
        widths[place] -= taken
        excess -= taken
    return widths


def _line(columns: Sequence[Column], row: Sequence[str], widths: Sequence[int]) -> str:
    parts = []
    for column, cell, width in zip(columns, row, widths, strict=True):
        text = shortened(cell, width)
        space = " " * (width - display_width(text))
        parts.append(space + text if column.to_right else text + space)
    return GAP.join(parts).rstrip()


# The round: the tank's name is shortened first, then who; chore, amount and state never.
ROUND_COLUMNS = (
    Column("Tank", gives_way=1, narrowest=NARROWEST_TANK),
    Column("Chore"),
    Column("Amount"),
    Column("Min", to_right=True),
    Column("Who", gives_way=2),
    Column("State"),
)
