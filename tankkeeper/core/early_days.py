"""How many days before its target a turn may be done, without counting for the turn before it.

A tick settles every turn whose window has begun. A window that reached back to the turn before
would let one tick take two turns, and a chore of every day would come every second day. So of the
days that a chore allows, as many count as lie between its turns.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

from tankkeeper.core.chores import AfterLastDone, Calendar, Chore, Rhythm
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.recurrence import compile_rule

# Turns of a rule that stand closest do so within two years of its start.
_LOOKED_AT_DAYS = 2 * 366
_LEAST_DAYS = {IntervalUnit.MONTHS: 28, IntervalUnit.YEARS: 365}
_HOURS_PER_DAY = 24


def early_days(chore: Chore) -> int:
    """Return how many days before its target a turn of `chore` may be done."""
    if not chore.early_days:
        return 0
    apart = least_days_apart(chore.rhythm)
    return chore.early_days if apart is None else min(chore.early_days, max(0, apart - 1))


@lru_cache(maxsize=4096)
def least_days_apart(rhythm: Rhythm) -> int | None:
    """Return the days between the two turns that stand closest, None where nothing sets them.

    >>> from datetime import date
    >>> least_days_apart(Calendar("FREQ=WEEKLY;BYDAY=MO,TH", date(2026, 3, 2)))
    3
    """
    if isinstance(rhythm, AfterLastDone):
        intervals = [rhythm.interval, *(one.interval for one in rhythm.seasons)]
        return min(_least_days(one) for one in intervals)
    if not isinstance(rhythm, Calendar):
        return None
    rule, first = compile_rule(rhythm.rule, rhythm.start), rhythm.start.toordinal()
    days = rule.days(first, first + _LOOKED_AT_DAYS)
    return min((after - before for before, after in pairwise(days)), default=None)


def _least_days(interval: Interval) -> int:
    days = interval.fixed_days
    if days is not None:
        return days
    if interval.unit is IntervalUnit.HOURS:
        return interval.count // _HOURS_PER_DAY
    return interval.count * _LEAST_DAYS[interval.unit]
