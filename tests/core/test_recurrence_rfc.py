"""Calendar rules against the examples of the standard.

Source of every list: RFC 5545 (2009), section 3.8.5.3; the number is the place among the 38
examples there. All lists were put beside python-dateutil 4.0 as well when they were entered.
"""

from datetime import date

import pytest

from tankkeeper.core.recurrence import compile_rule

# (example, start, rule, listed dates, whether the list is the whole set)
EXAMPLES = [
    (1, "1997-09-02", "FREQ=DAILY;COUNT=10", "1997-09: 2 3 4 5 6 7 8 9 10 11", True),
    (
        3,
        "1997-09-02",
        "FREQ=DAILY;INTERVAL=2",
        "1997-09: 2 4 6 8 10 12 14 16 18 20 22 24 26 28 30; 1997-10: 2 4 6 8 10 12 14 16 18 20 22"
        " 24 26 28 30; 1997-11: 1 3 5",
        False,
    ),
    (4, "1997-09-02", "FREQ=DAILY;INTERVAL=10;COUNT=5", "1997-09: 2 12 22; 1997-10: 2 12", True),
    (
        6,
        "1997-09-02",
        "FREQ=WEEKLY;COUNT=10",
        "1997-09: 2 9 16 23 30; 1997-10: 7 14 21 28; 1997-11: 4",
        True,
    ),
    (
        7,
        "1997-09-02",
        "FREQ=WEEKLY;UNTIL=19971224T000000Z",
        "1997-09: 2 9 16 23 30; 1997-10: 7 14 21 28; 1997-11: 4 11 18 25; 1997-12: 2 9 16 23",
        True,
    ),
    (
        8,
        "1997-09-02",
        "FREQ=WEEKLY;INTERVAL=2;WKST=SU",
        "1997-09: 2 16 30; 1997-10: 14 28; 1997-11: 11 25; 1997-12: 9 23; 1998-01: 6 20;"
        " 1998-02: 3 17",
        False,
    ),
    (
        9,
        "1997-09-02",
        "FREQ=WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH",
        "1997-09: 2 4 9 11 16 18 23 25 30; 1997-10: 2",
        True,
    ),
    (
        11,
        "1997-09-02",
        "FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH",
        "1997-09: 2 4 16 18 30; 1997-10: 2 14 16",
        True,
    ),
    (
        12,
        "1997-09-05",
        "FREQ=MONTHLY;COUNT=10;BYDAY=1FR",
        "1997-09: 5; 1997-10: 3; 1997-11: 7; 1997-12: 5; 1998-01: 2; 1998-02: 6; 1998-03: 6;"
        " 1998-04: 3; 1998-05: 1; 1998-06: 5",
        True,
    ),
    (
        13,
        "1997-09-05",
        "FREQ=MONTHLY;UNTIL=19971224T000000Z;BYDAY=1FR",
        "1997-09: 5; 1997-10: 3; 1997-11: 7; 1997-12: 5",
        True,
    ),
    (
        14,
        "1997-09-07",
        "FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU",
        "1997-09: 7 28; 1997-11: 2 30; 1998-01: 4 25; 1998-03: 1 29; 1998-05: 3 31",
        True,
    ),
    (
        15,
        "1997-09-22",
        "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO",
        "1997-09: 22; 1997-10: 20; 1997-11: 17; 1997-12: 22; 1998-01: 19; 1998-02: 16",
        True,
    ),
    (
        16,
        "1997-09-28",
        "FREQ=MONTHLY;BYMONTHDAY=-3",
        "1997-09: 28; 1997-10: 29; 1997-11: 28; 1997-12: 29; 1998-01: 29; 1998-02: 26",
        False,
    ),
    (
        17,
        "1997-09-02",
        "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=2,15",
        "1997-09: 2 15; 1997-10: 2 15; 1997-11: 2 15; 1997-12: 2 15; 1998-01: 2 15",
        True,
    ),
    (
        18,
        "1997-09-30",
        "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1",
        "1997-09: 30; 1997-10: 1 31; 1997-11: 1 30; 1997-12: 1 31; 1998-01: 1 31; 1998-02: 1",
        True,
    ),
    (
        19,
        "1997-09-10",
        "FREQ=MONTHLY;INTERVAL=18;COUNT=10;BYMONTHDAY=10,11,12,13,14,15",
        "1997-09: 10 11 12 13 14 15; 1999-03: 10 11 12 13",
        True,
    ),
    (
        20,
        "1997-09-02",
        "FREQ=MONTHLY;INTERVAL=2;BYDAY=TU",
        "1997-09: 2 9 16 23 30; 1997-11: 4 11 18 25; 1998-01: 6 13 20 27; 1998-03: 3 10 17 24 31",
        False,
    ),
    (
        21,
        "1997-06-10",
        "FREQ=YEARLY;COUNT=10;BYMONTH=6,7",
        "1997-06: 10; 1997-07: 10; 1998-06: 10; 1998-07: 10; 1999-06: 10; 1999-07: 10; 2000-06: 10;"
        " 2000-07: 10; 2001-06: 10; 2001-07: 10",
        True,
    ),
    (
        22,
        "1997-03-10",
        "FREQ=YEARLY;INTERVAL=2;COUNT=10;BYMONTH=1,2,3",
        "1997-03: 10; 1999-01: 10; 1999-02: 10; 1999-03: 10; 2001-01: 10; 2001-02: 10; 2001-03: 10;"
        " 2003-01: 10; 2003-02: 10; 2003-03: 10",
        True,
    ),
    (
        23,
        "1997-01-01",
        "FREQ=YEARLY;INTERVAL=3;COUNT=10;BYYEARDAY=1,100,200",
        "1997-01: 1; 1997-04: 10; 1997-07: 19; 2000-01: 1; 2000-04: 9; 2000-07: 18; 2003-01: 1;"
        " 2003-04: 10; 2003-07: 19; 2006-01: 1",
        True,
    ),
    (24, "1997-05-19", "FREQ=YEARLY;BYDAY=20MO", "1997-05: 19; 1998-05: 18; 1999-05: 17", False),
    (
        25,
        "1997-05-12",
        "FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO",
        "1997-05: 12; 1998-05: 11; 1999-05: 17",
        False,
    ),
    (
        26,
        "1997-03-13",
        "FREQ=YEARLY;BYMONTH=3;BYDAY=TH",
        "1997-03: 13 20 27; 1998-03: 5 12 19 26; 1999-03: 4 11 18 25",
        False,
    ),
    (
        27,
        "1997-06-05",
        "FREQ=YEARLY;BYDAY=TH;BYMONTH=6,7,8",
        "1997-06: 5 12 19 26; 1997-07: 3 10 17 24 31; 1997-08: 7 14 21 28; 1998-06: 4 11 18 25;"
        " 1998-07: 2 9 16 23 30; 1998-08: 6 13 20 27",
        False,
    ),
    (
        # The standard's start, 2 September, is struck out there by an EXDATE: it does not match.
        28,
        "1997-09-02",
        "FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13",
        "1998-02: 13; 1998-03: 13; 1998-11: 13; 1999-08: 13; 2000-10: 13",
        False,
    ),
    (
        29,
        "1997-09-13",
        "FREQ=MONTHLY;BYDAY=SA;BYMONTHDAY=7,8,9,10,11,12,13",
        "1997-09: 13; 1997-10: 11; 1997-11: 8; 1997-12: 13; 1998-01: 10; 1998-02: 7; 1998-03: 7",
        False,
    ),
    (
        30,
        "1996-11-05",
        "FREQ=YEARLY;INTERVAL=4;BYMONTH=11;BYDAY=TU;BYMONTHDAY=2,3,4,5,6,7,8",
        "1996-11: 5; 2000-11: 7; 2004-11: 2",
        False,
    ),
    (
        31,
        "1997-09-04",
        "FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3",
        "1997-09: 4; 1997-10: 7; 1997-11: 6",
        True,
    ),
    (
        32,
        "1997-09-29",
        "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2",
        "1997-09: 29; 1997-10: 30; 1997-11: 27; 1997-12: 30; 1998-01: 29; 1998-02: 26; 1998-03: 30",
        False,
    ),
    (
        37,
        "1997-08-05",
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO",
        "1997-08: 5 10 19 24",
        True,
    ),
    (
        37,
        "1997-08-05",
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU",
        "1997-08: 5 17 19 31",
        True,
    ),
    (
        38,
        "2007-01-15",
        "FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5",
        "2007-01: 15 30; 2007-02: 15; 2007-03: 15 30",
        True,
    ),
]


def listed(text: str) -> list[date]:
    """Returns the dates of a list like "1997-09: 2 4; 1997-10: 1"."""
    dates = []
    for month in text.split(";"):
        name, days = month.split(":")
        year, number = name.strip().split("-")
        dates += [date(int(year), int(number), int(day)) for day in days.split()]
    return dates


@pytest.mark.parametrize(
    ("example", "start", "rule", "dates", "complete"),
    EXAMPLES,
    ids=[f"example {row[0]}: {row[2]}" for row in EXAMPLES],
)
def test_an_example_of_the_standard_gives_its_listed_dates(
    example: int, start: str, rule: str, dates: str, complete: bool
) -> None:
    """A rule yields the dates printed in RFC 5545 section 3.8.5.3, and no others between them."""
    expected = listed(dates)
    compiled = compile_rule(rule, date.fromisoformat(start))

    last = expected[-1].toordinal() + (5000 if complete else 0)
    found = compiled.days(compiled.first_day - 400, last)

    assert [date.fromordinal(day) for day in found] == expected


def test_every_day_in_january_is_the_same_written_by_year_and_by_day() -> None:
    """RFC 5545 section 3.8.5.3, example 5: two texts for every day in January for three years."""
    start = date(1998, 1, 1)
    by_year = compile_rule(
        "FREQ=YEARLY;UNTIL=20000131T140000Z;BYMONTH=1;BYDAY=SU,MO,TU,WE,TH,FR,SA", start
    )
    by_day = compile_rule("FREQ=DAILY;UNTIL=20000131T140000Z;BYMONTH=1", start)

    window = (start.toordinal(), start.toordinal() + 2000)
    expected = [
        date(year, 1, day).toordinal() for year in (1998, 1999, 2000) for day in range(1, 32)
    ]

    assert by_year.days(*window) == expected
    assert by_day.days(*window) == expected


def test_a_start_that_does_not_match_is_only_a_lower_bound() -> None:
    """The start is no date of the rule unless the rule yields it (a choice of this project)."""
    rule = compile_rule("FREQ=WEEKLY;BYDAY=TU", date(2026, 1, 1))

    found = rule.days(rule.first_day, date(2026, 1, 20).toordinal())

    assert [date.fromordinal(day).day for day in found] == [6, 13, 20]


def test_a_daily_rule_has_the_leap_day() -> None:
    """2028 is a leap year (Gregorian calendar)."""
    rule = compile_rule("FREQ=DAILY", date(2028, 2, 27))

    found = rule.days(rule.first_day, rule.first_day + 3)

    assert [date.fromordinal(day).isoformat()[5:] for day in found] == [
        "02-27",
        "02-28",
        "02-29",
        "03-01",
    ]


def test_until_is_the_last_date_included_whatever_its_form() -> None:
    """UNTIL bounds the rule inclusively (RFC 5545 section 3.3.10); only its date is read."""
    for written in ("20260303", "20260303T000000Z", "20260303T235959"):
        rule = compile_rule(f"FREQ=DAILY;UNTIL={written}", date(2026, 3, 1))

        assert rule.last_on_or_before(date(2027, 1, 1).toordinal()) == date(2026, 3, 3).toordinal()
        assert rule.first_on_or_after(date(2026, 3, 4).toordinal()) is None


def test_weeks_are_numbered_as_in_iso_8601_around_the_new_year() -> None:
    """Week 53 of 2020 ends on 3 January 2021, and 1 January 2022 lies in week 52 (ISO 8601).

    Checked against `date.isocalendar` of the standard library for every day of 40 years.
    """
    for number in (1, 20, 52, 53, -1, -2, -52, -53):
        rule = compile_rule(f"FREQ=YEARLY;BYWEEKNO={number};BYDAY=MO,TU,WE,TH,FR,SA,SU", START)
        found = rule.days(rule.first_day, date(2039, 12, 31).toordinal())
        expected = [
            day
            for day in range(START.toordinal(), date(2039, 12, 31).toordinal() + 1)
            if number in iso_numbers(date.fromordinal(day))
        ]

        assert found == expected


START = date(2000, 1, 1)


def iso_numbers(day: date) -> tuple[int, int]:
    """Returns the number of the day's week from the front and from the back of its year."""
    year, week, _ = day.isocalendar()
    return week, week - 1 - date(year, 12, 28).isocalendar().week
