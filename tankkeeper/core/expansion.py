"""Rule parts turned into functions that list the days between two day ordinals.

All is whole-number arithmetic on `date.toordinal`; nothing walks from the start of a rule, so a
rule of twenty years costs what a rule of yesterday costs. The functions know neither the start
nor the end of a rule; `recurrence.Rule` cuts the window before it asks.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from calendar import isleap
from collections.abc import Callable
from datetime import date
from typing import NamedTuple

from tankkeeper.core.day_patterns import (
    CYCLE_DAYS,
    CYCLE_MONTHS,
    MONTH_FIRST,
    MonthPattern,
    YearPattern,
    YearShape,
    at_positions,
    in_numbers,
    month_table,
    year_offsets,
)
from tankkeeper.core.rule_text import Freq, RuleParts

DaysBetween = Callable[[int, int], list[int]]
_fromordinal = date.fromordinal


class Expansion(NamedTuple):
    """How a rule lists its days, and the length of one of its periods in days, at most."""

    days: DaysBetween
    period_days: int
    periods_to_search: int


def expansion_of(parts: RuleParts, start: date) -> Expansion:
    """Return the fastest way to list the days of a rule with this start."""
    interval = parts.interval
    if parts.freq is Freq.DAILY and interval == 1 and _only_weekdays(parts):
        return _weekly(parts, start)
    if parts.freq is Freq.DAILY:
        return Expansion(_daily(parts, start.toordinal()), interval, 15_000)
    if parts.freq is Freq.WEEKLY:
        return _weekly(parts, start)
    if parts.freq is Freq.MONTHLY:
        return Expansion(_monthly(parts, start), 31 * interval, 800)
    return Expansion(_yearly(parts, start), 366 * interval, 120)


def _only_weekdays(parts: RuleParts) -> bool:
    """Return whether weekdays are the only BY part."""
    return bool(parts.weekdays) and not (parts.months or parts.month_days or parts.positions)


def _stepping(anchor: int, step: int) -> DaysBetween:
    """Return the listing of every `step`th day through `anchor`."""

    def days(a: int, b: int) -> list[int]:
        return list(range(a + (anchor - a) % step, b + 1, step))

    return days


def _daily(parts: RuleParts, anchor: int) -> DaysBetween:
    """Return the listing of a DAILY rule; each day is a set of one, so a position is 1 or -1."""
    every = _stepping(anchor, parts.interval)
    if parts.is_pure:
        return every
    if parts.positions and not {1, -1} & set(parts.positions):
        return lambda _a, _b: []
    weekdays = {weekday for _, weekday in parts.weekdays} or set(range(7))
    months = parts.months or tuple(range(1, 13))
    month_days = parts.month_days

    def days(a: int, b: int) -> list[int]:
        return [
            day
            for day in every(a, b)
            if (day - 1) % 7 in weekdays and _in_months(day, months, month_days)
        ]

    return days


def _in_months(ordinal: int, months: tuple[int, ...], month_days: tuple[int, ...]) -> bool:
    """Return whether a day lies in one of the months, on one of the days of the month."""
    day = _fromordinal(ordinal)
    if day.month not in months:
        return False
    if not month_days:
        return True
    begins, ends = _month_bounds(day.year * 12 + day.month - 1)
    return in_numbers(day.day - 1, ends - begins, month_days)


def _weekly(parts: RuleParts, start: date) -> Expansion:
    """Return the listing of a WEEKLY rule, counted from the week that holds the start."""
    into_week = (start.weekday() - parts.week_begins) % 7
    week_first = start.toordinal() - into_week
    weekdays = [weekday for _, weekday in parts.weekdays] or [start.weekday()]
    offsets = tuple(sorted((weekday - parts.week_begins) % 7 for weekday in weekdays))
    if not parts.months:
        offsets = at_positions(list(offsets), parts.positions)
    step = 7 * parts.interval
    if parts.months:
        days = _weeks_in_months(week_first, step, offsets, parts)
    elif len(offsets) == 1:
        days = _stepping(week_first + offsets[0], step)
    else:
        days = _weeks(week_first, step, offsets)
    return Expansion(days, step, 2_200)


def _weeks(week_first: int, step: int, offsets: tuple[int, ...]) -> DaysBetween:
    """Return the listing of several weekdays in every `step`th day's week."""

    def days(a: int, b: int) -> list[int]:
        begins = range(a - (a - week_first) % step, b + 1, step)
        found = [begin + offset for begin in begins for offset in offsets]
        return found[bisect_left(found, a) : bisect_right(found, b)]

    return days


def _weeks_in_months(
    week_first: int, step: int, offsets: tuple[int, ...], parts: RuleParts
) -> DaysBetween:
    """Return the listing of weekdays in some months; positions count after the months are cut."""

    def days(a: int, b: int) -> list[int]:
        found: list[int] = []
        for begin in range(a - (a - week_first) % step, b + 1, step):
            week = [
                begin + offset for offset in offsets if _in_months(begin + offset, parts.months, ())
            ]
            found += at_positions(week, parts.positions)
        return found[bisect_left(found, a) : bisect_right(found, b)]

    return days


def _month_bounds(month: int) -> tuple[int, int]:
    """Return the first ordinal of a month, counted from year 0, and of the month after it."""
    cycle, index = divmod(month, CYCLE_MONTHS)
    shift = cycle * CYCLE_DAYS
    return MONTH_FIRST[index] + shift, MONTH_FIRST[index + 1] + shift


def _monthly(parts: RuleParts, start: date) -> DaysBetween:
    """Return the listing of a MONTHLY rule, from a table of the shapes of months."""
    month_days = parts.month_days or (() if parts.weekdays else (start.day,))
    table = month_table(MonthPattern(parts.weekdays, month_days, parts.positions))
    start_month = start.year * 12 + start.month - 1
    interval = parts.interval
    # January is 0 here, so that the month comes from the count by a plain remainder.
    wanted = frozenset(month - 1 for month in parts.months or range(1, 13))

    def days(a: int, b: int) -> list[int]:
        found: list[int] = []
        first_day = _fromordinal(a)
        month = first_day.year * 12 + first_day.month - 1
        month += (start_month - month) % interval
        while True:
            cycle, index = divmod(month, CYCLE_MONTHS)
            begins = MONTH_FIRST[index]
            shape = (MONTH_FIRST[index + 1] - begins - 28) * 7
            begins += cycle * CYCLE_DAYS
            if begins > b:
                return found
            if month % 12 in wanted:
                for offset in table[shape + (begins - 1) % 7]:
                    if a <= begins + offset <= b:
                        found.append(begins + offset)
            month += interval

    return days


def _yearly(parts: RuleParts, start: date) -> DaysBetween:
    """Return the listing of a YEARLY rule, from tables of the shapes of years."""
    pattern = _year_pattern(parts, start)
    start_year, interval = start.year, parts.interval

    def days(a: int, b: int) -> list[int]:
        found: list[int] = []
        year = _fromordinal(a).year
        year += (start_year - year) % interval
        while True:
            begins, shape = _year_shape(year)
            if begins > b:
                return found
            for offset in year_offsets(pattern, shape):
                if a <= begins + offset <= b:
                    found.append(begins + offset)
            year += interval

    return days


def _year_pattern(parts: RuleParts, start: date) -> YearPattern:
    """Return what picks days in a year; what the rule leaves open comes from the start."""
    month_days, months = parts.month_days, parts.months
    if not (month_days or parts.weekdays or parts.year_days or parts.weeks):
        month_days, months = (start.day,), months or (start.month,)
    return YearPattern(
        parts.weekdays,
        month_days,
        months,
        parts.year_days,
        parts.weeks,
        parts.positions,
        parts.week_begins,
    )


def _year_shape(year: int) -> tuple[int, YearShape]:
    """Return the ordinal of 1 January of a year, even one after the last date, and its shape."""
    before = year - 1
    begins = before * 365 + before // 4 - before // 100 + before // 400 + 1
    shape = YearShape(
        365 + isleap(before), 365 + isleap(year), 365 + isleap(year + 1), (begins - 1) % 7
    )
    return begins, shape
