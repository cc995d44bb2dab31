"""How the columns of a list stand still while its work is ticked, skipped, put off, taken back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtGui import QFont, QFontMetricsF

from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.typography import TypeRole, type_font
from tankkeeper.gui.widgets.round_columns import (
    GAP,
    Columns,
    Needs,
    Place,
    longest_name,
    needs_of,
    place_of,
    state_parts,
    strong_metrics,
    tall_rows,
)


def grown(columns: Columns, rows: Sequence[ItemRow], base: QFont, width: float) -> Columns:
    """Return the columns for rows of the same work, of which some stand otherwise by now.

    No column is given up, none gets narrower but that of the chores, and this only by what no name
    and no caution takes. What is longer than its column has then, makes its own row taller: a
    state stands in two lines, an amount below its chore. So no other row moves under the eye.
    """
    kept = columns.needs
    if kept is None:
        return columns
    found = needs_of(rows, base, longest_name(base, width)[0], columns.low)
    wider = _widened(columns, kept, found, _longest_part(columns, rows, base))
    low = columns.low | _with_long_amount(wider, rows, base)
    tall = columns.tall | low
    if not columns.has_who_below:
        tall |= tall_rows(wider, rows, base)
    return replace(wider, needs=_shown(wider, kept, found), tall=tall, low=low)


def _widened(columns: Columns, kept: Needs, found: Needs, part: float) -> Columns:
    """Return the columns as wide as what is found takes, where the chores leave the room.

    Minutes have it in any case, and so has a `part` of a state that stands in two lines.
    """
    has_below, has_two = columns.has_who_below, columns.has_two_lines
    for_chore = max(kept.bare_chore, found.bare_chore)
    if not has_two:
        for_chore = max(for_chore, kept.chore, found.chore)
    free = max(0.0, _chore_width(columns, kept) - for_chore)
    minutes = max(0.0, found.minutes - kept.minutes)
    free = max(0.0, free - minutes)
    state = max(0.0, found.state - columns.state_width)
    if state > free and not has_below:
        state = max(0.0, part - columns.state_width)
    free = max(0.0, free - state)
    who = _if_free(found.who - columns.who_width - (state if has_below else 0.0), free)
    free -= who
    amount = 0.0 if has_two else _if_free(found.amount - _amount_width(columns, kept), free)
    return replace(
        columns,
        state=columns.state - state - (who if has_below else 0.0),
        who=columns.who - state - who,
        minutes_right=columns.minutes_right - state - who,
        amount=columns.amount - state - who - minutes - amount,
        needs=replace(kept, minutes=kept.minutes + minutes),
    )


def _if_free(more: float, free: float) -> float:
    return more if 0.0 < more <= free else 0.0


def _chore_width(columns: Columns, needs: Needs) -> float:
    """Return the room of the chores beside an amount, or where that stands below them."""
    end = columns.minutes_right - needs.minutes if columns.has_two_lines else columns.amount
    return end - GAP - columns.chore


def _amount_width(columns: Columns, needs: Needs) -> float:
    return columns.minutes_right - needs.minutes - GAP - columns.amount


def _longest_part(columns: Columns, rows: Sequence[ItemRow], base: QFont) -> float:
    """Return what the states take that have no room in one line, once they stand in two."""
    strong, room = strong_metrics(base), columns.state_width + 1
    long = [row.state for row in rows if strong.horizontalAdvance(row.state) > room]
    parts = [part for state in long for part in state_parts(state)]
    return max(map(strong.horizontalAdvance, parts), default=0.0)


def _with_long_amount(columns: Columns, rows: Sequence[ItemRow], base: QFont) -> frozenset[Place]:
    """Return the rows whose amount has no room in its column."""
    if columns.has_two_lines or columns.needs is None:
        return frozenset()
    body = QFontMetricsF(type_font(base, TypeRole.BODY))
    room = _amount_width(columns, columns.needs) + 1
    return frozenset(place_of(row) for row in rows if body.horizontalAdvance(row.amount) > room)


def _shown(columns: Columns, kept: Needs, found: Needs) -> Needs:
    """Return the most that was shown of each column since it was made."""
    now = columns.needs or kept
    chore = _chore_width(columns, now)
    seen = Needs(
        min(found.chore, chore),
        min(found.bare_chore, chore),
        min(found.amount, _amount_width(columns, now)),
        now.minutes,
        min(found.who, columns.who_width),
        min(found.state, columns.state_width),
    )
    return now.at_least(seen)
