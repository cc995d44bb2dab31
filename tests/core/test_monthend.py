"""The three choices for a day that some months lack, and for 29 February."""

from datetime import date, timedelta

import pytest

from tankkeeper.core.errors import UserFault
from tankkeeper.core.monthend import MonthEnd, leap_day_rule, month_day_rule
from tankkeeper.core.recurrence import compile_rule


def dates_of(text: str, start: date, until: date) -> list[date]:
    """Returns the dates of a rule up to a date."""
    rule = compile_rule(text, start)
    return [date.fromordinal(day) for day in rule.days(rule.first_day, until.toordinal())]


def month_by_month(day: int, policy: MonthEnd, every: int, first: date, last: date) -> list[date]:
    """Returns the dates found by stepping through the months with a calendar in hand."""
    dates = []
    year, month = first.year, first.month
    while date(year, month, 1) <= last:
        following = date(year + month // 12, month % 12 + 1, 1)
        length = (following - timedelta(days=1)).day
        if day <= length:
            dates.append(date(year, month, day))
        elif policy is MonthEnd.LAST:
            dates.append(date(year, month, length))
        elif policy is MonthEnd.NEXT:
            dates.append(following)
        later = year * 12 + month - 1 + every
        year, month = later // 12, later % 12 + 1
    return [found for found in dates if first <= found <= last]


@pytest.mark.parametrize("policy", list(MonthEnd))
@pytest.mark.parametrize("day", [1, 15, 28, 29, 30, 31])
def test_each_choice_gives_its_dates_through_leap_years(day: int, policy: MonthEnd) -> None:
    """The rule agrees with a walk through the months of eight years with two leap days."""
    first, last = date(2023, 1, 1), date(2031, 1, 31)

    found = dates_of(month_day_rule(day, policy), first, last)

    assert found == month_by_month(day, policy, 1, first, last)


@pytest.mark.parametrize("policy", [MonthEnd.LAST, MonthEnd.SKIP])
def test_a_choice_holds_for_every_few_months(policy: MonthEnd) -> None:
    """With an interval the months are counted from the start."""
    first, last = date(2023, 8, 1), date(2031, 1, 31)

    found = dates_of(month_day_rule(31, policy, every_months=3), first, last)

    assert found == month_by_month(31, policy, 3, first, last)


def test_the_last_day_form_is_the_31st_or_the_last_of_a_shorter_month() -> None:
    """31 January, then 28 February, 31 March, 30 April (Gregorian calendar)."""
    found = dates_of(month_day_rule(31), date(2026, 1, 31), date(2026, 6, 30))

    assert [(day.month, day.day) for day in found] == [
        (1, 31),
        (2, 28),
        (3, 31),
        (4, 30),
        (5, 31),
        (6, 30),
    ]


def test_skip_is_the_plain_rule_of_the_standard() -> None:
    """Invalid dates are left out (RFC 5545 section 3.3.10)."""
    found = dates_of(month_day_rule(31, MonthEnd.SKIP), date(2026, 1, 31), date(2026, 10, 31))

    assert [day.month for day in found] == [1, 3, 5, 7, 8, 10]


@pytest.mark.parametrize(
    ("policy", "expected"),
    [
        (MonthEnd.LAST, ["2026-02-28", "2027-02-28", "2028-02-29", "2029-02-28"]),
        (MonthEnd.SKIP, ["2028-02-29"]),
        (MonthEnd.NEXT, ["2026-03-01", "2027-03-01", "2028-02-29", "2029-03-01"]),
    ],
)
def test_the_leap_day_has_the_same_three_choices(policy: MonthEnd, expected: list[str]) -> None:
    """In a plain year it is 28 February, nothing, or 1 March."""
    found = dates_of(leap_day_rule(policy), date(2026, 1, 1), date(2029, 12, 31))

    assert [day.isoformat() for day in found] == expected


def test_next_with_an_interval_and_impossible_days_are_refused() -> None:
    """The standard has no text for the next day in every second month."""
    with pytest.raises(UserFault) as every_second:
        month_day_rule(31, MonthEnd.NEXT, every_months=2)
    with pytest.raises(UserFault) as impossible:
        month_day_rule(32)

    assert every_second.value.code == "month_end_next_needs_every_month"
    assert impossible.value.code == "out_of_range"
    assert month_day_rule(28, MonthEnd.NEXT, every_months=2) == (
        "FREQ=MONTHLY;INTERVAL=2;BYMONTHDAY=28"
    )
