"""Intervals counted from a completion, and intervals that change with the season.

Days and weeks add days; months and years add months and keep to the last day of a shorter month;
hours are elapsed time and belong to a moment, not to a date.
"""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from functools import lru_cache
from math import lcm
from typing import NamedTuple

from dateutil.relativedelta import relativedelta

from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.values import dataclass

_LAST_ORDINAL = date.max.toordinal()


class IntervalUnit(StrEnum):
    """What an interval counts."""

    HOURS = "hours"
    DAYS = "days"
    WEEKS = "weeks"
    MONTHS = "months"
    YEARS = "years"


# Ten years at most, in each unit; 3650 days is the limit the others are rounded to.
_LONGEST = {
    IntervalUnit.HOURS: 3650 * 24,
    IntervalUnit.DAYS: 3650,
    IntervalUnit.WEEKS: 521,
    IntervalUnit.MONTHS: 120,
    IntervalUnit.YEARS: 10,
}
_WRITTEN = re.compile(r"([0-9]{1,6})\s*(hour|day|week|month|year)s?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Interval:
    """A whole number of hours, days, weeks, months or years, up to ten years."""

    count: int
    unit: IntervalUnit

    def __post_init__(self) -> None:
        """Refuse a count outside the limits of its unit."""
        longest = _LONGEST[self.unit]
        if not 1 <= self.count <= longest:
            raise out_of_range("interval", self.count, 1, longest, hint=self.unit.value)

    def __str__(self) -> str:
        """Return the text form, the one `parse_interval` reads.

        >>> str(Interval(1, IntervalUnit.MONTHS)), str(Interval(2, IntervalUnit.WEEKS))
        ('1 month', '2 weeks')
        """
        return f"{self.count} {self.unit.value.removesuffix('s') if self.count == 1 else self.unit}"

    @property
    def fixed_days(self) -> int | None:
        """Return the length in days, or None where it depends on the date or is in hours."""
        if self.unit is IntervalUnit.DAYS:
            return self.count
        return self.count * 7 if self.unit is IntervalUnit.WEEKS else None


def parse_interval(text: str) -> Interval:
    """Return the interval written as "14 days", "8 hours", "2 weeks", "1 month" or "1 year".

    >>> parse_interval("14 days")
    Interval(count=14, unit=<IntervalUnit.DAYS: 'days'>)
    """
    found = _WRITTEN.fullmatch(text.strip().lower())
    if found is None:
        raise UserFault("interval_unreadable", text=text)
    return Interval(int(found[1]), IntervalUnit(f"{found[2]}s"))


def advance(base: date, interval: Interval) -> date:
    """Return the date one interval after `base`; an interval in hours has none.

    >>> advance(date(2026, 1, 31), Interval(1, IntervalUnit.MONTHS))
    datetime.date(2026, 2, 28)
    """
    if interval.unit is IntervalUnit.HOURS:
        raise ValueError("hours are counted from a moment, see advance_moment")
    days = interval.fixed_days
    if days is not None:
        return _date_at(base.toordinal() + days, base)
    months = interval.count * (12 if interval.unit is IntervalUnit.YEARS else 1)
    if base.year + months // 12 >= date.max.year:
        raise UserFault("date_out_of_reach", day=base)
    return base + relativedelta(months=months)


def advance_moment(moment: datetime, interval: Interval) -> datetime:
    """Return the UTC moment an interval in hours, days or weeks of elapsed time later.

    >>> advance_moment(datetime(2026, 3, 28, 22, tzinfo=UTC), parse_interval("8 hours")).hour
    6
    """
    if moment.utcoffset() is None:
        raise ValueError("a moment needs its offset from UTC")
    days = interval.fixed_days
    hours = interval.count if interval.unit is IntervalUnit.HOURS else None
    if hours is None and days is None:
        raise ValueError("a month is no elapsed time")
    try:
        return moment.astimezone(UTC) + timedelta(days=days or 0, hours=hours or 0)
    except OverflowError as beyond:
        raise UserFault("date_out_of_reach", day=moment.date()) from beyond


class MonthDay(NamedTuple):
    """A day of the year without the year; 29 February is allowed."""

    month: int
    day: int

    def __str__(self) -> str:
        """Return the text form, like 06-01."""
        return f"{self.month:02d}-{self.day:02d}"


def parse_month_day(text: str) -> MonthDay:
    """Return the day of the year written as month and day.

    >>> parse_month_day("09-15")
    MonthDay(month=9, day=15)
    """
    found = re.fullmatch(r"([0-9]{2})-([0-9]{2})", text.strip(), re.ASCII)
    if found is None:
        raise UserFault("month_day_unreadable", text=text)
    return _checked(MonthDay(int(found[1]), int(found[2])))


@dataclass(frozen=True, slots=True)
class Season:
    """A range of days of the year, both ends included, with the interval that holds in it.

    It wraps the new year where `to_month_day` lies before `from_month_day`.
    """

    from_month_day: MonthDay
    to_month_day: MonthDay
    interval: Interval

    def __post_init__(self) -> None:
        """Refuse days that no year has, and an interval whose length is not a number of days."""
        _checked(self.from_month_day)
        _checked(self.to_month_day)
        _days_in(self.interval)

    def covers(self, day: MonthDay) -> bool:
        """Return whether a day of the year lies in the season."""
        if self.from_month_day <= self.to_month_day:
            return self.from_month_day <= day <= self.to_month_day
        return day >= self.from_month_day or day <= self.to_month_day


def advance_with_seasons(base: date, interval: Interval, seasons: Sequence[Season]) -> date:
    """Return the first date on which the shares of the days after `base` add up to one interval.

    A day adds 1/I, where I is the interval of its season, or `interval` outside every season. All
    shares are whole multiples of one common fraction, so the sum is exact, and days of one season
    are counted together.

    >>> summer = Season(MonthDay(6, 1), MonthDay(8, 31), parse_interval("7 days"))
    >>> advance_with_seasons(date(2026, 5, 28), parse_interval("14 days"), [summer])
    datetime.date(2026, 6, 6)
    """
    if not seasons:
        return advance(base, interval)
    calendar = _season_calendar(interval, tuple(seasons))
    wanting, ordinal = calendar.whole, base.toordinal() + 1
    while ordinal <= _LAST_ORDINAL:
        share, run_ends = calendar.run_at(ordinal)
        needed = -(-wanting // share)
        if ordinal + needed - 1 <= run_ends:
            return _date_at(ordinal + needed - 1, base)
        wanting -= share * (run_ends - ordinal + 1)
        ordinal = run_ends + 1
    raise UserFault("date_out_of_reach", day=base)


def check_seasons(interval: Interval, seasons: Sequence[Season]) -> None:
    """Refuse seasons that overlap, or that stand beside an interval that is not in days."""
    if seasons:
        _season_calendar(interval, tuple(seasons))


class _SeasonCalendar(NamedTuple):
    """One year cut into runs of equal interval: where each begins, and the share of its days."""

    whole: int
    begins: tuple[MonthDay, ...]
    shares: tuple[int, ...]

    def run_at(self, ordinal: int) -> tuple[int, int]:
        """Return the share of this day and the last ordinal to which it holds."""
        day = date.fromordinal(ordinal)
        place = (day.month, day.day)
        index = sum(begin <= place for begin in self.begins) - 1
        if index + 1 < len(self.begins):
            return self.shares[index], _first_on(day.year, self.begins[index + 1]) - 1
        return self.shares[index], date(day.year, 12, 31).toordinal()


@lru_cache(maxsize=4096)
def _season_calendar(interval: Interval, seasons: tuple[Season, ...]) -> _SeasonCalendar:
    """Return the year cut at every border of a season."""
    borders = {MonthDay(1, 1)}
    for season in seasons:
        borders.add(season.from_month_day)
        if season.to_month_day != (12, 31):
            borders.add(_day_after(season.to_month_day))
    begins = tuple(sorted(borders))
    lengths = [_length_on(begin, interval, seasons) for begin in begins]
    whole = lcm(*lengths)
    return _SeasonCalendar(whole, begins, tuple(whole // length for length in lengths))


def _length_on(day: MonthDay, interval: Interval, seasons: tuple[Season, ...]) -> int:
    """Return the interval in days that holds on a day of the year."""
    held = [season for season in seasons if season.covers(day)]
    if len(held) > 1:
        raise UserFault("seasons_overlap", day=str(day))
    return _days_in(held[0].interval if held else interval)


def _days_in(interval: Interval) -> int:
    """Return the length in days, refusing units that have no fixed one."""
    days = interval.fixed_days
    if days is None:
        raise UserFault("season_needs_days", interval=str(interval))
    return days


def _first_on(year: int, day: MonthDay) -> int:
    """Return the ordinal of the first date of the year not before a day of the year."""
    if day == (2, 29):
        return date(year, 2, 28).toordinal() + 1
    return date(year, day.month, day.day).toordinal()


def _day_after(day: MonthDay) -> MonthDay:
    """Return the next day of a leap year; 31 December has none."""
    following = date(2000, day.month, day.day) + timedelta(days=1)
    return MonthDay(following.month, following.day)


def _checked(day: MonthDay) -> MonthDay:
    """Return `day` if a leap year has it."""
    if not 1 <= day.month <= 12:
        raise out_of_range("month", day.month, 1, 12)
    length = monthrange(2000, day.month)[1]
    if not 1 <= day.day <= length:
        raise out_of_range("day of the month", day.day, 1, length)
    return day


def _date_at(ordinal: int, base: date) -> date:
    """Return the date with this ordinal, refusing one after the last year there is."""
    if ordinal > _LAST_ORDINAL:
        raise UserFault("date_out_of_reach", day=base)
    return date.fromordinal(ordinal)
