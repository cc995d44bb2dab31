"""The minutes of a day, by one rule for the round, the month and the board."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tankkeeper.core.state import Item
from tankkeeper.core.turns import State


def minutes_on(item: Item, day: date, today: date) -> int:
    """Return what a turn that stands on a day adds to the minutes of that day.

    Of today what is overdue or due, as the head of the round has it: what can still wait must be
    done on no day yet, and counts once its last day has come. Of a day to come all that stands
    there, of a day that is past what was done.
    """
    if day == today:
        return minutes_left((item,))
    counts = item.state is State.DONE if day < today else item.is_open or _is_to_come(item)
    return (item.chore.minutes or 0) if counts else 0


def minutes_left(items: Iterable[Item]) -> int:
    """Return the minutes that lines of today still ask for today: what is overdue or due."""
    return sum(item.chore.minutes or 0 for item in items if item.counts)


def _is_to_come(item: Item) -> bool:
    return item.state is State.PROJECTED


def minutes_that_wait(item: Item, day: date, today: date) -> int:
    """Return the minutes of a turn that stands on today and can still wait, which do not count."""
    waits = day == today and item.state is State.MAY_WAIT
    return (item.chore.minutes or 0) if waits else 0
