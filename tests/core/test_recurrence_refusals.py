"""Calendar rules that are refused at entry, and what is let in as slots."""

from datetime import date, datetime, time

import pytest

from tankkeeper.core.errors import UserFault
from tankkeeper.core.recurrence import compile_rule, rule_slots, without_slots

START = date(2026, 3, 7)

# Codes by what RFC 5545 section 3.3.10 forbids or leaves open, and by limits of this project.
REFUSED = [
    ("", "rule_unreadable"),
    ("every day", "rule_unreadable"),
    ("FREQ=DAILY;;INTERVAL=2", "rule_unreadable"),
    ("FREQ=DAILY;BYDAY=", "rule_unreadable"),
    ("INTERVAL=2", "rule_needs_freq"),
    ("FREQ=DAILY;FREQ=DAILY", "rule_part_twice"),
    ("FREQ=DAILY;X-FOO=1", "rule_part_unknown"),
    ("FREQ=DAILY;RSCALE=GREGORIAN", "rule_part_unknown"),
    ("FREQ=DAILY;BYSECOND=0", "rule_part_unknown"),
    ("FREQ=DAILY;BYEASTER=0", "rule_part_unknown"),
    ("FREQ=HOURLY", "rule_freq_too_fine"),
    ("FREQ=MINUTELY;INTERVAL=90", "rule_freq_too_fine"),
    ("FREQ=SECONDLY", "rule_freq_too_fine"),
    ("FREQ=LUNAR", "rule_freq_unknown"),
    ("FREQ=DAILY;INTERVAL=0", "out_of_range"),
    ("FREQ=DAILY;INTERVAL=-1", "out_of_range"),
    ("FREQ=DAILY;INTERVAL=3651", "out_of_range"),
    ("FREQ=DAILY;INTERVAL=1.5", "rule_part_bad"),
    ("FREQ=DAILY;INTERVAL=999999999999", "rule_part_bad"),
    ("FREQ=DAILY;INTERVAL=٣", "rule_part_bad"),
    ("FREQ=DAILY;COUNT=0", "out_of_range"),
    ("FREQ=DAILY;COUNT=5001", "out_of_range"),
    ("FREQ=DAILY;COUNT=3;UNTIL=20270101", "rule_count_with_until"),
    ("FREQ=DAILY;UNTIL=20260230", "rule_part_bad"),
    ("FREQ=DAILY;UNTIL=20261301", "rule_part_bad"),
    ("FREQ=DAILY;UNTIL=20270101T250000Z", "rule_part_bad"),
    ("FREQ=DAILY;UNTIL=20270101T120000.5Z", "rule_part_bad"),
    ("FREQ=DAILY;UNTIL=2027-01-01", "rule_part_bad"),
    ("FREQ=WEEKLY;BYDAY=1MO", "rule_weekday_numbered"),
    ("FREQ=WEEKLY;BYDAY=SA,-1SU", "rule_weekday_numbered"),
    ("FREQ=DAILY;BYDAY=2TU", "rule_weekday_numbered"),
    ("FREQ=YEARLY;BYWEEKNO=20;BYDAY=1MO", "rule_weekday_numbered"),
    ("FREQ=MONTHLY;BYDAY=0MO", "rule_part_bad"),
    ("FREQ=MONTHLY;BYDAY=XX", "rule_part_bad"),
    ("FREQ=MONTHLY;BYDAY=6MO", "out_of_range"),
    ("FREQ=YEARLY;BYMONTH=2;BYDAY=6MO", "out_of_range"),
    ("FREQ=YEARLY;BYDAY=54MO", "out_of_range"),
    ("FREQ=MONTHLY;BYDAY=MO,2TU", "rule_weekdays_mixed"),
    ("FREQ=MONTHLY;BYMONTHDAY=0", "rule_part_bad"),
    ("FREQ=MONTHLY;BYMONTHDAY=32", "out_of_range"),
    ("FREQ=MONTHLY;BYMONTHDAY=1,-32", "out_of_range"),
    ("FREQ=YEARLY;BYMONTH=13", "out_of_range"),
    ("FREQ=YEARLY;BYMONTH=0", "out_of_range"),
    ("FREQ=YEARLY;BYYEARDAY=367", "out_of_range"),
    ("FREQ=YEARLY;BYWEEKNO=54;BYDAY=MO", "out_of_range"),
    ("FREQ=YEARLY;BYWEEKNO=20", "rule_weekno_needs_weekday"),
    ("FREQ=MONTHLY;BYWEEKNO=20;BYDAY=MO", "rule_part_not_here"),
    ("FREQ=MONTHLY;BYYEARDAY=100", "rule_part_not_here"),
    ("FREQ=WEEKLY;BYMONTHDAY=1", "rule_part_not_here"),
    ("FREQ=DAILY;BYYEARDAY=1", "rule_part_not_here"),
    ("FREQ=MONTHLY;BYSETPOS=1", "rule_setpos_alone"),
    ("FREQ=MONTHLY;BYDAY=MO;BYSETPOS=0", "rule_part_bad"),
    ("FREQ=WEEKLY;WKST=1", "rule_part_bad"),
    ("FREQ=DAILY;BYHOUR=24", "out_of_range"),
    ("FREQ=DAILY;BYMINUTE=30", "rule_minute_needs_hour"),
    ("FREQ=DAILY;BYHOUR=8,18;COUNT=10", "rule_slots_counted"),
    ("FREQ=MONTHLY;BYHOUR=8,18;BYDAY=MO;BYSETPOS=1", "rule_slots_counted"),
    ("FREQ=DAILY;UNTIL=20260306", "rule_without_dates"),
    ("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30", "rule_without_dates"),
    ("FREQ=WEEKLY;BYDAY=MO,TU;BYSETPOS=3", "rule_without_dates"),
    # Every 25 years from 2026, on 29 February: 2076 would be the first.
    ("FREQ=YEARLY;INTERVAL=25;BYMONTH=2;BYMONTHDAY=29", "rule_without_dates"),
    ("FREQ=YEARLY;INTERVAL=100;COUNT=5", "rule_ends_too_late"),
]


@pytest.mark.parametrize(("text", "code"), REFUSED)
def test_a_rule_that_cannot_be_meant_is_refused(text: str, code: str) -> None:
    """A refusal names its reason by a code, at entry and not at the first look."""
    with pytest.raises(UserFault) as refused:
        compile_rule(text, START)

    assert refused.value.code == code


@pytest.mark.parametrize(
    "text",
    [
        "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=DAILY;INTERVAL=7;BYDAY=MO",
        "FREQ=DAILY;INTERVAL=3650;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=WEEKLY;INTERVAL=3650;BYMONTH=1;BYDAY=MO",
        "FREQ=MONTHLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=MONTHLY;INTERVAL=3650;BYMONTH=4;BYMONTHDAY=31",
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30;COUNT=5000",
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=31;BYDAY=MO,TU,WE,TH,FR,SA,SU",
    ],
)
def test_a_rule_that_never_comes_is_refused_at_once(text: str) -> None:
    """30 February and its like are found out without a walk to the last year.

    dateutil 4.0 walks to the year 9999 here.
    """
    with pytest.raises(UserFault) as refused:
        compile_rule(text, START)

    assert refused.value.code == "rule_without_dates"


@pytest.mark.parametrize("start", [date(1, 1, 1), date(1899, 12, 31), date(9999, 12, 31)])
def test_a_start_in_no_household_s_life_is_refused(start: date) -> None:
    """A start is a date from 1900 to 2200, so that a mistyped year shows at once."""
    with pytest.raises(UserFault) as refused:
        compile_rule("FREQ=DAILY", start)

    assert refused.value.code == "rule_start_out_of_range"


def test_a_moment_is_no_start() -> None:
    """Chores live in dates; a start with hours or microseconds is a mistake in the program."""
    with pytest.raises(TypeError):
        compile_rule("FREQ=DAILY", datetime(2026, 3, 7, 9, 0, 0, 123))  # noqa: DTZ001


def test_the_window_may_reach_over_every_end() -> None:
    """A window past the last year, before the start or turned round is no error."""
    for text in ("FREQ=DAILY", "FREQ=WEEKLY;BYDAY=MO,SU", "FREQ=MONTHLY", "FREQ=YEARLY"):
        rule = compile_rule(text, START)

        assert rule.days(1, START.toordinal() - 1) == []
        assert rule.days(START.toordinal() + 10, START.toordinal()) == []
        last = rule.last_on_or_before(date.max.toordinal())
        assert last is not None
        assert rule.days(last, date.max.toordinal() + 1000) == [last]
        assert rule.first_on_or_after(last + 1) is None
        assert rule.last_on_or_before(START.toordinal() - 1) is None


def test_small_letters_blanks_and_the_property_name_are_let_in() -> None:
    """A rule pasted from a calendar file with its property name reads the same."""
    rule = compile_rule(" rrule:freq=weekly;byday=sa ", START)

    assert rule.days(rule.first_day, rule.first_day + 7) == [rule.first_day, rule.first_day + 7]


def test_hours_and_minutes_of_a_rule_are_its_slots() -> None:
    """BYHOUR and BYMINUTE multiply (RFC 5545 section 3.3.10) and are handed on as times."""
    text = "FREQ=DAILY;BYHOUR=18,8;BYMINUTE=30,0"

    assert rule_slots(text) == (time(8), time(8, 30), time(18), time(18, 30))
    assert rule_slots("FREQ=DAILY;BYHOUR=7;COUNT=3") == (time(7),)
    assert rule_slots("FREQ=DAILY") == ()
    assert without_slots(text) == "FREQ=DAILY"


def test_a_compiled_rule_is_kept() -> None:
    """Asking twice for the same rule gives the same object, so that redraws compile nothing."""
    assert compile_rule("FREQ=DAILY", START) is compile_rule("FREQ=DAILY", START)
