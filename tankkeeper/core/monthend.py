"""What a monthly or yearly rule does in a month that lacks its day, as plain RFC 5545 text."""

from __future__ import annotations

from calendar import monthrange
from enum import StrEnum

from tankkeeper.core.errors import UserFault, out_of_range

_SHORTEST_MONTH = 28


class MonthEnd(StrEnum):
    """The three choices for the 29th, 30th and 31st in a shorter month."""

    LAST = "last"
    SKIP = "skip"
    NEXT = "next"


def month_day_rule(day: int, policy: MonthEnd = MonthEnd.LAST, every_months: int = 1) -> str:
    """Return the rule for a day of the month under one of the three month-end choices.

    "Next" is written with days of the year, which fits only a rule for every month.

    >>> month_day_rule(31)
    'FREQ=MONTHLY;BYMONTHDAY=28,29,30,31;BYSETPOS=-1'
    >>> month_day_rule(15, every_months=2)
    'FREQ=MONTHLY;INTERVAL=2;BYMONTHDAY=15'
    """
    if not 1 <= day <= 31:
        raise out_of_range("day of the month", day, 1, 31)
    if not 1 <= every_months <= 3650:
        raise out_of_range("INTERVAL", every_months, 1, 3650)
    if policy is MonthEnd.NEXT and day > _SHORTEST_MONTH:
        if every_months != 1:
            raise UserFault("month_end_next_needs_every_month", every_months=every_months)
        return f"FREQ=YEARLY;BYYEARDAY={_days_or_the_next(day)}"
    interval = f"INTERVAL={every_months};" if every_months > 1 else ""
    return f"FREQ=MONTHLY;{interval}{month_day_parts(day, policy)}"


def month_day_parts(day: int, policy: MonthEnd = MonthEnd.LAST) -> str:
    """Return the BY parts for a day of the month, for the choices "last" and "skip"."""
    if policy is MonthEnd.LAST and day > _SHORTEST_MONTH:
        days = ",".join(str(number) for number in range(_SHORTEST_MONTH, day + 1))
        return f"BYMONTHDAY={days};BYSETPOS=-1"
    return f"BYMONTHDAY={day}"


def leap_day_rule(policy: MonthEnd = MonthEnd.LAST, every_years: int = 1) -> str:
    """Return the yearly rule for 29 February: the 28th, nothing, or 1 March in a plain year.

    >>> leap_day_rule()
    'FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=28,29;BYSETPOS=-1'
    """
    if not 1 <= every_years <= 3650:
        raise out_of_range("INTERVAL", every_years, 1, 3650)
    interval = f"INTERVAL={every_years};" if every_years > 1 else ""
    # Day 60 of a year is 29 February if there is one and 1 March if not.
    parts = (
        "BYYEARDAY=60" if policy is MonthEnd.NEXT else f"BYMONTH=2;{month_day_parts(29, policy)}"
    )
    return f"FREQ=YEARLY;{interval}{parts}"


def _days_or_the_next(day: int) -> str:
    """Return the days of the year that are the `day`th, or the 1st after a month without it.

    January is counted from the front and the rest from the back of the year, so that one list
    serves plain and leap years; 29 February or 1 March is day 60 in both.
    """
    numbers = [day]
    before_end = 365 - 31
    for month in range(2, 13):
        length = monthrange(2001, month)[1]
        if month == 2 and day == 29:
            numbers.append(60)
        else:
            numbers.append(min(day, length + 1) - 1 - before_end)
        before_end -= length
    return ",".join(str(number) for number in numbers)
