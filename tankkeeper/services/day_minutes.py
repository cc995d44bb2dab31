"""The minutes of a day, by one rule for the round, the month and the board."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tankkeeper.core.state import Item
from tankkeeper.core.turns import State


def minutes_on(item: Item, day: date, today: date) -> int:
    """Return what a turn that stands on a day adds to the minutes of that day.

    Of today what is overdue or due, as the head of the round has it: what can still wait must be
    done on no day yet, and counts once its last day has come. Of a day to come all that is expected
    there (`minutes_that_wait` may come to it), of a day that is past what was done.
    """
    if day == today:
        return minutes_left((item,))
    if day < today:
        # How long it takes is known of what was planned.
        counts = item.state is State.DONE and not item.is_extra
    else:
        counts = _is_to_come(item) or (item.is_open and not _waits(item, today))
    return (item.chore.minutes or 0) if counts else 0


def minutes_left(items: Iterable[Item]) -> int:
    """Return the minutes that lines of today still ask for today: what is overdue or due."""
    return sum(item.chore.minutes or 0 for item in items if item.counts)


def _is_to_come(item: Item) -> bool:
    return item.state is State.PROJECTED


def minutes_that_wait(item: Item, day: date, today: date) -> int:
    """Return the minutes of a turn that can wait until a day, which do not count before it comes.

    Until that very day and no longer, wherever the turn is drawn. That is open since a day that is
    past; what comes is told as if it were done today.
    """
    is_last = item.open is not None and item.open.latest == day
    return (item.chore.minutes or 0) if is_last and _waits(item, today) else 0


def _waits(item: Item, today: date) -> bool:
    return item.open is not None and item.is_open and item.open.waits_past_target(today)
