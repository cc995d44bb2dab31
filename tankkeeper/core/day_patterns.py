"""Which days of a month or of a year a rule picks, by the few shapes months and years come in.

A month is known by its length and the weekday of its first day (28 shapes), a year by its length,
the lengths of its neighbours and the weekday of 1 January. Each pattern is worked out once for
each shape, day by day, and then only looked up.
"""

from __future__ import annotations

from calendar import isleap
from functools import lru_cache
from itertools import accumulate, chain
from typing import NamedTuple

Offsets = tuple[int, ...]

# The Gregorian calendar repeats every 400 years, weekdays included.
CYCLE_MONTHS = 4800
CYCLE_DAYS = 146_097
_YEAR_ZERO = 1 - 366
_USUAL_LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_LEAP_LENGTHS = (31, 29, *_USUAL_LENGTHS[2:])
# Ordinal of the first day of each month of the years 0 to 399, and of the month after.
MONTH_FIRST = tuple(
    accumulate(
        chain(
            [_YEAR_ZERO],
            # Year 0 has the shape of the year 400.
            chain.from_iterable(
                _LEAP_LENGTHS if isleap(year) else _USUAL_LENGTHS for year in range(400)
            ),
        )
    )
)


class MonthPattern(NamedTuple):
    """The parts of a rule that pick days inside one month."""

    weekdays: tuple[tuple[int, int], ...]
    month_days: tuple[int, ...]
    positions: tuple[int, ...]


class YearPattern(NamedTuple):
    """The parts of a rule that pick days inside one year."""

    weekdays: tuple[tuple[int, int], ...]
    month_days: tuple[int, ...]
    months: tuple[int, ...]
    year_days: tuple[int, ...]
    weeks: tuple[int, ...]
    positions: tuple[int, ...]
    week_begins: int


class YearShape(NamedTuple):
    """All that distinguishes one year from another for a rule."""

    length_before: int
    length: int
    length_after: int
    first_weekday: int


@lru_cache(maxsize=4096)
def month_table(pattern: MonthPattern) -> tuple[Offsets, ...]:
    """Return the picked days as offsets from the 1st, at (length - 28) * 7 + weekday of the 1st."""
    return tuple(
        _month_offsets(pattern, length, first) for length in range(28, 32) for first in range(7)
    )


def _month_offsets(pattern: MonthPattern, length: int, first_weekday: int) -> Offsets:
    """Return the offsets of the picked days in one shape of month."""
    picked = [
        offset
        for offset in range(length)
        if in_numbers(offset, length, pattern.month_days)
        and in_weekdays(offset, length, (first_weekday + offset) % 7, pattern.weekdays)
    ]
    return at_positions(picked, pattern.positions)


@lru_cache(maxsize=8192)
def year_offsets(pattern: YearPattern, shape: YearShape) -> Offsets:
    """Return the offsets of the picked days from 1 January in one shape of year."""
    picked: list[int] = []
    begins = 0
    for month, length in enumerate(_month_lengths(shape.length), start=1):
        if not pattern.months or month in pattern.months:
            picked += [
                begins + offset
                for offset in range(length)
                if in_numbers(offset, length, pattern.month_days)
                and _in_year(pattern, shape, begins + offset, (offset, length))
            ]
        begins += length
    return at_positions(picked, pattern.positions)


def _in_year(
    pattern: YearPattern, shape: YearShape, offset: int, in_month: tuple[int, int]
) -> bool:
    """Return whether a day of the year fits the day, week and weekday numbers."""
    weekday = (shape.first_weekday + offset) % 7
    # A numbered weekday counts within the month if months are named, else within the year.
    counted, length = in_month if pattern.months else (offset, shape.length)
    return (
        in_numbers(offset, shape.length, pattern.year_days)
        and in_weekdays(counted, length, weekday, pattern.weekdays)
        and (not pattern.weeks or _in_weeks(pattern, shape, offset))
    )


def _in_weeks(pattern: YearPattern, shape: YearShape, offset: int) -> bool:
    """Return whether a day lies in one of the numbered weeks.

    Week 1 is the first with four days or more in its year, as in ISO 8601, with any first weekday
    (RFC 5545 section 3.3.10). Days at the ends of a year may lie in a week of its neighbour.
    """
    first = _week_one(shape.first_weekday, pattern.week_begins)
    next_weekday = (shape.first_weekday + shape.length) % 7
    following = shape.length + _week_one(next_weekday, pattern.week_begins)
    if offset < first:
        weekday = (shape.first_weekday - shape.length_before) % 7
        first, following = -shape.length_before + _week_one(weekday, pattern.week_begins), first
    elif offset >= following:
        after = shape.length + shape.length_after
        weekday = (next_weekday + shape.length_after) % 7
        first, following = following, after + _week_one(weekday, pattern.week_begins)
    return in_numbers((offset - first) // 7, (following - first) // 7, pattern.weeks)


def _week_one(first_weekday: int, week_begins: int) -> int:
    """Return the offset of the first day of week 1 from 1 January, -3 to 3."""
    into_week = (first_weekday - week_begins) % 7
    return -into_week if into_week <= 3 else 7 - into_week


def in_numbers(offset: int, length: int, numbers: tuple[int, ...]) -> bool:
    """Return whether the numbers, from the front or the back, name this place; none name all."""
    return not numbers or offset + 1 in numbers or offset - length in numbers


def in_weekdays(
    offset: int, length: int, weekday: int, weekdays: tuple[tuple[int, int], ...]
) -> bool:
    """Return whether the weekdays, numbered or not, name this day; none name all."""
    if not weekdays:
        return True
    from_front, from_back = offset // 7 + 1, -((length - 1 - offset) // 7 + 1)
    return any(
        weekday == wanted and number in (0, from_front, from_back) for number, wanted in weekdays
    )


def at_positions(picked: list[int], positions: tuple[int, ...]) -> Offsets:
    """Return what stands at these positions of the list, 1 the first and -1 the last."""
    if not positions:
        return tuple(picked)
    return tuple(
        day for place, day in enumerate(picked) if in_numbers(place, len(picked), positions)
    )


@lru_cache(maxsize=2)
def _month_lengths(year_length: int) -> Offsets:
    """Return the lengths of the twelve months in a year of 365 or 366 days."""
    return _USUAL_LENGTHS if year_length == 365 else _LEAP_LENGTHS
