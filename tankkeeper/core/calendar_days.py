"""The days of a month in whole weeks, and which chores are done on every day."""

from __future__ import annotations

from datetime import date, timedelta
from functools import lru_cache

from tankkeeper.core.chores import AfterLastDone, Calendar, Chore
from tankkeeper.core.intervals import IntervalUnit
from tankkeeper.core.rhythm_ahead import rhythm_on
from tankkeeper.core.rule_text import Freq, parse_rule

WEEK = 7
HOURS_OF_A_DAY = 24
# A month before the second or after the last but one has no whole weeks that a date can name.
FIRST_MONTH = date(1, 2, 1)
LAST_MONTH = date(9999, 11, 1)


def month_of(day: date) -> date:
    """Return the first day of the month of a day.

    >>> month_of(date(2026, 3, 12))
    datetime.date(2026, 3, 1)
    """
    return day.replace(day=1)


def month_after(month: date, months: int) -> date:
    """Return the first day of a month that lies some months after another, or before it.

    It stops at the first and at the last month that can be shown in whole weeks.

    >>> month_after(date(2026, 11, 1), 3), month_after(date(2026, 1, 1), -1)
    (datetime.date(2027, 2, 1), datetime.date(2025, 12, 1))
    """
    number = month.year * 12 + month.month - 1 + months
    first = FIRST_MONTH.year * 12 + FIRST_MONTH.month - 1
    last = LAST_MONTH.year * 12 + LAST_MONTH.month - 1
    year, at = divmod(min(max(number, first), last), 12)
    return date(year, at + 1, 1)


def week_start(day: date, first_weekday: int) -> date:
    """Return the first day of the week of a day; weekdays count from Monday, 0.

    >>> week_start(date(2026, 3, 12), 6)
    datetime.date(2026, 3, 8)
    """
    return day - timedelta(days=(day.weekday() - first_weekday) % WEEK)


def weeks_of(month: date, first_weekday: int) -> tuple[tuple[date, ...], ...]:
    """Return the weeks that hold the days of a month, each with all its seven days."""
    start = week_start(month, first_weekday)
    after = month_after(month, 1)
    weeks = []
    while start < after:
        weeks.append(tuple(start + timedelta(days=at) for at in range(WEEK)))
        start += timedelta(days=WEEK)
    return tuple(weeks)


def is_daily(chore: Chore, on: date) -> bool:
    """Tell whether a chore comes on every day by the rhythm that holds on a day."""
    rhythm = rhythm_on(chore, on)
    if isinstance(rhythm, Calendar):
        return _names_every_day(rhythm.rule)
    if not isinstance(rhythm, AfterLastDone) or rhythm.seasons:
        return False
    interval = rhythm.interval
    if interval.unit is IntervalUnit.HOURS:
        return interval.count <= HOURS_OF_A_DAY
    return interval.unit is IntervalUnit.DAYS and interval.count == 1


@lru_cache(maxsize=512)
def _names_every_day(rule: str) -> bool:
    parts = parse_rule(rule)
    weekdays = {weekday for _, weekday in parts.weekdays}
    if parts.interval != 1 or parts.months or parts.month_days or parts.positions:
        return False
    if parts.freq is Freq.DAILY:
        return len(weekdays) in (0, WEEK)
    return parts.freq is Freq.WEEKLY and len(weekdays) == WEEK
