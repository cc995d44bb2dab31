"""Compares what the views tell of one moment: a day has the same work and minutes in each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.state import HouseholdState, Item, upcoming_item
from tankkeeper.core.turns import State
from tankkeeper.services.ahead import ahead_of
from tankkeeper.services.board import BoardView, board_of
from tankkeeper.services.calendar import CalendarDay, CalendarView, calendar_of
from tankkeeper.services.round import RoundView, round_of
from tests.story.program import Program

# The days of a board, and of a month with what comes after it.
BOARD_DAYS = 14
MONTH_DAYS = 45


def disagreements(program: Program) -> Iterator[str]:
    """Yield what one view tells and another does not."""
    desk = open_desk(program.file, FixedClock(program.now))
    try:
        state = desk.state()
    finally:
        desk.store.close()
    today = state.moment.day
    whole, board = round_of(state), board_of(state, BOARD_DAYS)
    month = calendar_of(state, (), today, today + timedelta(days=MONTH_DAYS))
    yield from _minutes_of_today(whole, month, board)
    yield from _rail(whole)
    for at, one in enumerate(month.days[1:BOARD_DAYS], start=1):
        lined_up = sum(strip.minutes[at] for strip in board.strips)
        yield from _day_to_come(state, one, lined_up, _last_days(whole, one.day))
    yield from _next_days(state, month)


def _minutes_of_today(whole: RoundView, month: CalendarView, board: BoardView) -> Iterator[str]:
    drawn = month.days[0].minutes
    lined_up = sum(strip.minutes[0] for strip in board.strips)
    groups = sum(group.minutes for group in whole.groups)
    if not whole.totals.minutes == groups == drawn == lined_up:
        yield (
            f"today has {whole.totals.minutes} min in the round, {groups} in its groups, "
            f"{drawn} in the month, {lined_up} on the board"
        )


def _rail(whole: RoundView) -> Iterator[str]:
    """Each tank is told in the rail as it stands in the round of that tank."""
    for one in whole.tanks:
        alone = round_of(whole.state, one.tank).counts
        if (alone.overdue, alone.due) != (one.overdue, one.due):
            yield f"{one.tank.id} has {alone} in its round, {one.overdue}, {one.due} in the rail"


def _last_days(whole: RoundView, day: date) -> list[Item]:
    """Return what is open since a past day and can wait until this one, and no longer.

    The calendar has it there, and what comes behind it follows from that day.
    """
    today = whole.state.moment.day
    return [
        item
        for item in whole.items
        if item.state is State.MAY_WAIT
        and item.open is not None
        and (item.open.target < today and item.open.latest == day)
    ]


def _day_to_come(
    state: HouseholdState, one: CalendarDay, lined_up: int, waiting: Iterable[Item]
) -> Iterator[str]:
    coming = ahead_of(state, one.day, one.day, waits=True).items
    listed = [*coming, *waiting]
    drawn = [*one.items, *one.folded]
    if _told(listed) != _told(drawn):
        yield f"{one.day} holds {_told(drawn)} in the month, {_told(listed)} ahead"
    minutes = sum(item.chore.minutes or 0 for item in coming)
    if not minutes == one.minutes == lined_up:
        told = f"{minutes} min ahead, {one.minutes} in the month, {lined_up} on the board"
        yield f"{one.day} has {told}"


def _told(items: Iterable[Item]) -> list[str]:
    return sorted(f"{item.chore.id} {item.turn.slot or ''}".strip() for item in items)


def _next_days(state: HouseholdState, month: CalendarView) -> Iterator[str]:
    """The next day of a chore is the first one on which the month has it."""
    today, last = month.days[0].day, month.days[-1].day
    first: dict[str, date] = {}
    for one in month.days[1:]:
        for item in (*one.items, *one.folded):
            if item.state is not State.PAUSED:
                first.setdefault(item.chore.id, one.day)
    for chore in state.chores:
        coming = upcoming_item(state, chore)
        if coming is None or coming.open is None or chore.open:
            continue
        told = coming.open.target
        if today < told <= last and first.get(chore.chore.id) != told:
            yield f"{chore.chore.id} is next on {told}, in the month {first.get(chore.chore.id)}"
