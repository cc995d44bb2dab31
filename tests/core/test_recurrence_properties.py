"""Calendar rules against two other ways of finding their days: dateutil, and day by day."""

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from itertools import takewhile

import pytest
from dateutil.rrule import rrulestr
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tankkeeper.core.errors import UserFault
from tankkeeper.core.recurrence import Rule, compile_rule

NAMES = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")


@dataclass(frozen=True)
class Drawn:
    """A drawn rule in the test's own words, with its start."""

    freq: str
    start: date
    interval: int
    week_begins: int
    by: dict[str, tuple[object, ...]] = field(default_factory=dict)

    def text(self) -> str:
        """Returns the rule as RFC 5545 text."""
        parts = [
            f"FREQ={self.freq}",
            f"INTERVAL={self.interval}",
            f"WKST={NAMES[self.week_begins]}",
        ]
        for name, values in self.by.items():
            parts.append(f"{name}={','.join(str(value) for value in values)}")
        return ";".join(parts)


def several(values: st.SearchStrategy[object], most: int = 3) -> st.SearchStrategy[tuple]:
    """Returns a few different values, one at least."""
    return st.lists(values, min_size=1, max_size=most, unique=True).map(tuple)


def signed(most: int) -> st.SearchStrategy[int]:
    """Returns a number from 1 to `most`, or the same counted from the end."""
    return st.integers(1, most).flatmap(lambda number: st.sampled_from((number, -number)))


PLAIN_DAYS = several(st.sampled_from(NAMES), 5)
MONTHS = several(st.integers(1, 12), 4)
MONTH_DAYS = several(signed(31), 5)
CLAMPED = st.sampled_from([(28, 29), (28, 29, 30), (28, 29, 30, 31)])
POSITIONS = several(st.sampled_from([1, 2, 3, -1, -2]), 2)


def numbered(most: int) -> st.SearchStrategy[tuple]:
    """Returns numbered weekdays such as 2TU or -1SA."""
    return several(st.builds(lambda n, day: f"{n}{day}", signed(most), st.sampled_from(NAMES)), 2)


PARTS: dict[str, list[dict[str, st.SearchStrategy[tuple]]]] = {
    "DAILY": [
        {},
        {"BYDAY": PLAIN_DAYS},
        {"BYMONTH": MONTHS, "BYMONTHDAY": MONTH_DAYS},
        {"BYDAY": PLAIN_DAYS, "BYMONTH": MONTHS},
        {"BYDAY": PLAIN_DAYS, "BYSETPOS": POSITIONS},
    ],
    "WEEKLY": [
        {},
        {"BYDAY": PLAIN_DAYS},
        {"BYDAY": PLAIN_DAYS, "BYMONTH": MONTHS},
        {"BYDAY": PLAIN_DAYS, "BYSETPOS": POSITIONS},
        {"BYDAY": PLAIN_DAYS, "BYMONTH": MONTHS, "BYSETPOS": POSITIONS},
    ],
    "MONTHLY": [
        {},
        {"BYMONTHDAY": several(signed(31), 1)},
        {"BYMONTHDAY": MONTH_DAYS},
        {"BYMONTHDAY": CLAMPED, "BYSETPOS": st.just((-1,))},
        {"BYDAY": numbered(5)},
        {"BYDAY": PLAIN_DAYS, "BYSETPOS": POSITIONS},
        {"BYDAY": PLAIN_DAYS, "BYMONTHDAY": MONTH_DAYS},
        {"BYMONTH": MONTHS, "BYDAY": numbered(4)},
        {"BYMONTH": MONTHS},
    ],
    "YEARLY": [
        {},
        {"BYMONTH": MONTHS},
        {"BYMONTH": MONTHS, "BYMONTHDAY": MONTH_DAYS},
        {"BYMONTH": st.just((2,)), "BYMONTHDAY": CLAMPED, "BYSETPOS": st.just((-1,))},
        {"BYYEARDAY": several(signed(366), 4)},
        {"BYDAY": numbered(53)},
        {"BYMONTH": MONTHS, "BYDAY": numbered(5)},
        {"BYMONTH": MONTHS, "BYDAY": PLAIN_DAYS, "BYSETPOS": POSITIONS},
        {"BYDAY": PLAIN_DAYS, "BYMONTHDAY": MONTH_DAYS},
        # dateutil 4.0 takes days of week 53 for week 52 and the reverse around some new years;
        # those numbers are compared with ISO 8601 in the tests beside this file.
        {"BYWEEKNO": several(signed(51), 3), "BYDAY": PLAIN_DAYS},
    ],
}


@st.composite
def rules(draw: st.DrawFn) -> Drawn:
    """Returns a rule of any supported kind."""
    freq = draw(st.sampled_from(sorted(PARTS)))
    shape = draw(st.sampled_from(PARTS[freq]))
    return Drawn(
        freq=freq,
        start=draw(st.dates(date(2019, 1, 1), date(2029, 12, 31))),
        interval=draw(st.integers(1, 3 if freq == "YEARLY" else 7)),
        week_begins=draw(st.integers(0, 6)),
        by={name: draw(values) for name, values in shape.items()},
    )


def compiled(drawn: Drawn, more: str = "") -> Rule:
    """Returns the compiled rule; a draw without any date is thrown away."""
    try:
        return compile_rule(drawn.text() + more, drawn.start)
    except UserFault as fault:
        assume(fault.code not in ("rule_without_dates", "rule_ends_too_late"))
        raise


def by_dateutil(drawn: Drawn, b: int, more: str = "") -> list[int]:
    """Returns the days from the start to `b` as dateutil finds them, from the true start.

    dateutil cuts the first week at the start before it counts positions; weeks are whole in the
    standard, so a weekly rule with positions is given to it from the first day of that week.
    """
    begins = drawn.start
    if drawn.freq == "WEEKLY" and "BYSETPOS" in drawn.by:
        begins -= timedelta(days=(begins.weekday() - drawn.week_begins) % 7)
    rule = rrulestr(drawn.text() + more, dtstart=datetime.combine(begins, datetime.min.time()))
    days = takewhile(lambda day: day <= b, (at.toordinal() for at in rule))
    return [day for day in days if day >= drawn.start.toordinal()]


def by_hand(drawn: Drawn, a: int, b: int) -> list[int]:
    """Returns the days from `a` to `b` found by asking each day alone."""
    return [day for day in range(max(a, drawn.start.toordinal()), b + 1) if fits(drawn, day)]


def fits(drawn: Drawn, ordinal: int) -> bool:
    """Returns whether a day fits the rule, and stands at one of its positions in its period."""
    day = date.fromordinal(ordinal)
    if not in_turn(drawn, day) or not picked(drawn, day):
        return False
    if "BYSETPOS" not in drawn.by:
        return True
    period = [other for other in whole_period(drawn, day) if picked(drawn, other)]
    place = period.index(day)
    return place + 1 in drawn.by["BYSETPOS"] or place - len(period) in drawn.by["BYSETPOS"]


def in_turn(drawn: Drawn, day: date) -> bool:
    """Returns whether the period of the day is a whole number of intervals after the start's."""
    start = drawn.start
    if drawn.freq == "DAILY":
        apart = (day - start).days
    elif drawn.freq == "WEEKLY":
        apart = (week_first(drawn, day) - week_first(drawn, start)).days // 7
    elif drawn.freq == "MONTHLY":
        apart = (day.year - start.year) * 12 + day.month - start.month
    else:
        apart = day.year - start.year
    return apart % drawn.interval == 0


def week_first(drawn: Drawn, day: date) -> date:
    """Returns the first day of the week of `day`."""
    while day.weekday() != drawn.week_begins:
        day -= timedelta(days=1)
    return day


def whole_period(drawn: Drawn, day: date) -> list[date]:
    """Returns all days of the day's period."""
    around = [day + timedelta(days=shift) for shift in range(-366, 367)]
    same = {
        "DAILY": lambda other: other,
        "WEEKLY": lambda other: week_first(drawn, other),
        "MONTHLY": lambda other: (other.year, other.month),
        "YEARLY": lambda other: other.year,
    }[drawn.freq]
    return [other for other in around if same(other) == same(day)]


def picked(drawn: Drawn, day: date) -> bool:
    """Returns whether the parts other than the position let the day through."""
    by = drawn.by
    month_length = (date(day.year + day.month // 12, day.month % 12 + 1, 1) - timedelta(days=1)).day
    year_length = date(day.year, 12, 31).timetuple().tm_yday
    year_day = day.timetuple().tm_yday
    tests = {
        "BYMONTH": lambda numbers: day.month in numbers,
        "BYMONTHDAY": lambda numbers: day.day in numbers or day.day - month_length - 1 in numbers,
        "BYYEARDAY": lambda numbers: year_day in numbers or year_day - year_length - 1 in numbers,
        "BYDAY": lambda names: any(on_weekday(drawn, day, name) for name in names),
        "BYWEEKNO": lambda numbers: any(in_week(drawn, day, number) for number in numbers),
        "BYSETPOS": lambda _: True,
    }
    return all(tests[name](values) for name, values in by.items()) and as_the_start(drawn, day)


def as_the_start(drawn: Drawn, day: date) -> bool:
    """Returns whether the day agrees with the start in what the rule leaves open."""
    by, start = drawn.by, drawn.start
    if drawn.freq == "WEEKLY":
        return "BYDAY" in by or day.weekday() == start.weekday()
    if drawn.freq == "DAILY" or {"BYMONTHDAY", "BYDAY", "BYYEARDAY", "BYWEEKNO"} & set(by):
        return True
    same_month = drawn.freq == "MONTHLY" or "BYMONTH" in by or day.month == start.month
    return same_month and day.day == start.day


def on_weekday(drawn: Drawn, day: date, name: str) -> bool:
    """Returns whether the day is this weekday, and the numbered one of its month or year."""
    if NAMES[day.weekday()] != name[-2:]:
        return False
    number = int(name[:-2] or 0)
    if number == 0:
        return True
    in_month = drawn.freq == "MONTHLY" or "BYMONTH" in drawn.by
    step = timedelta(days=7 if number > 0 else -7)
    passed, other = 0, day
    while (other.year, other.month if in_month else 0) == (day.year, day.month if in_month else 0):
        passed, other = passed + 1, other - step
    return passed == abs(number)


def in_week(drawn: Drawn, day: date, number: int) -> bool:
    """Returns whether the day lies in the numbered week, by the year its week has most days in."""
    first = week_first(drawn, day)
    year = (first + timedelta(days=3)).year
    passed, step = 0, timedelta(days=7 if number > 0 else -7)
    while (first + timedelta(days=3)).year == year:
        passed, first = passed + 1, first - step
    return passed == abs(number)


@settings(max_examples=150)
@given(rules(), st.integers(-40, 1200), st.integers(0, 500))
def test_arithmetic_dateutil_and_day_by_day_find_the_same_days(
    drawn: Drawn, after: int, width: int
) -> None:
    """Three ways to the days of a rule in a window agree, for every supported kind."""
    rule = compiled(drawn)
    a = drawn.start.toordinal() + after
    b = a + width

    found = rule.days(a, b)

    assert found == by_hand(drawn, a, b)
    assert found == [day for day in by_dateutil(drawn, b) if day >= a]
    assert rule.count(a, b) == len(found)


@settings(max_examples=80)
@given(rules(), st.integers(1, 30), st.integers(0, 3000))
def test_a_counted_rule_ends_where_dateutil_ends_it(drawn: Drawn, count: int, width: int) -> None:
    """COUNT bounds the dates from the true start, in every window that begins there."""
    # dateutil would count from the moved start here, see by_dateutil.
    assume(not (drawn.freq == "WEEKLY" and "BYSETPOS" in drawn.by))
    rule = compiled(drawn, f";COUNT={count}")
    a = drawn.start.toordinal()

    assert rule.days(a, a + width) == by_dateutil(drawn, a + width, f";COUNT={count}")
    assert rule.count(a, a + 100_000) == count


@given(rules(), st.integers(-20, 900), st.integers(0, 200), st.integers(0, 200))
def test_two_windows_side_by_side_hold_what_one_holds(
    drawn: Drawn, after: int, width: int, more: int
) -> None:
    """Days of [a, c) are the days of [a, b) followed by those of [b, c)."""
    rule = compiled(drawn)
    a = drawn.start.toordinal() + after
    b, c = a + width, a + width + more

    assert rule.days(a, c - 1) == rule.days(a, b - 1) + rule.days(b, c - 1)


@given(rules(), st.integers(-20, 2000))
def test_the_neighbours_of_a_day_are_the_nearest_days_of_the_rule(drawn: Drawn, after: int) -> None:
    """Nothing of the rule lies between a day and the neighbours told for it."""
    rule = compiled(drawn)
    day = drawn.start.toordinal() + after

    following = rule.first_on_or_after(day)
    before = rule.last_on_or_before(day)

    assert following is not None
    assert rule.days(day, following) == [following]
    expected = rule.days(rule.first_day, day)[-1:]
    assert [before] == (expected or [None])


@pytest.mark.parametrize("year", [1999, 2099, 2199, 2400, 9000])
def test_the_calendar_is_right_in_far_years(year: int) -> None:
    """The table of months repeats after 400 years; 2100 and 2200 have no leap day (Gregorian)."""
    rule = compile_rule("FREQ=MONTHLY;BYMONTHDAY=-1", date(1999, 1, 1))
    a, b = date(year, 1, 1), date(year + 2, 12, 31)

    expected = [
        day for day in range(a.toordinal(), b.toordinal() + 1) if date.fromordinal(day + 1).day == 1
    ]

    assert rule.days(a.toordinal(), b.toordinal()) == expected
