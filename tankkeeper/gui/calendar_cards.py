"""What the why panel tells of a day of the calendar, and of a turn that is carried on the board."""

from __future__ import annotations

from datetime import date

from tankkeeper.core.capable import meant_for
from tankkeeper.gui.marks import Mark
from tankkeeper.gui.models.board_sheet import BoardCell
from tankkeeper.gui.models.month_sheet import (
    DayCell,
    day_at_head,
    day_counts,
    day_reason,
    long_day,
    minutes_seen,
)
from tankkeeper.gui.models.row_words import comes_later
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.widgets.why_panel import WhyAction, WhyCard
from tankkeeper.reports.in_sentences import small
from tankkeeper.reports.numbers import NBSP
from tankkeeper.reports.words import Words
from tankkeeper.services.board import BoardView

OPEN_DAY = "open-this-day"
_NOTABLE_DAYS = 4


def loads(view: BoardView, held: BoardCell, to: date, words: Words) -> tuple[tuple[str, str], ...]:
    """Return the minutes of whoever does it on the days around, by the board once it stands there.

    What follows from a turn moves with it: so `view` is the board after the move, and nothing is
    added here.
    """
    item = held.row.item
    known = {one.person.id for one in view.strips if one.person is not None}
    meant = meant_for(item.chore, words.household) if item.chore.who else ()
    who = next((one for one in meant if one in known), None)
    strip = next(
        (one for one in view.strips if (one.person.id if one.person else None) == who), None
    )
    if strip is None:
        return ()
    start = max(0, min(view.days.index(to), len(view.days) - _NOTABLE_DAYS))
    rows = []
    for at in range(start, min(start + _NOTABLE_DAYS, len(view.days))):
        minutes, given = strip.minutes[at], strip.given(at)
        # As the columns tell them.
        seen = minutes_seen(minutes, strip.waiting_on(at))
        value = f"{seen}{NBSP}min" if given is None else f"{seen} of {given}{NBSP}min"
        value += ", over" if given is not None and minutes > given else ""
        name = (words.person(who) if who is not None else None) or "Household"
        rows.append((f"{name}, {words.weekday_and_number(view.days[at])}", value))
    return tuple(rows)


def cannot_move(cell: BoardCell) -> str:
    """Return why a turn cannot be taken hold of."""
    if cell.row.is_closed:
        return f"{cell.row.name}: {cell.row.state}. Take it back first, with Space."
    if cell.mark is Mark.PAUSED:
        return f"{cell.row.name} is paused. Resume it first, with Shift+P."
    return f"{cell.row.name} on {long_day(cell.day)}: {small(comes_later(cell.row.item))}"


def day_card(cell: DayCell, words: Words, *, is_open: bool) -> WhyCard:
    """Return what is told of a day of the month; `is_open` says that its list is shown."""
    counts = ", ".join(day_counts(cell.content, words.today))
    small = f"{counts[:1].upper()}{counts[1:]}"
    mark = Mark.OVERDUE if cell.content.overdue else None
    action = WhyAction("Open the day", key_caption(Command.OPEN_DAY), OPEN_DAY, True)
    return WhyCard(
        mark=mark,
        small=small,
        title=day_at_head(cell.day, words.today),
        reason=day_reason(cell.content, words.today),
        actions=() if is_open else (action,),
    )
