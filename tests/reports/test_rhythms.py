"""How a chore recurs, in words; each part of a rule as RFC 5545 section 3.3.10 means it."""

from __future__ import annotations

from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.chores import AfterLastDone, Calendar, Condition, Once, WhenWaterSays
from tankkeeper.core.intervals import MonthDay, Season, parse_interval
from tankkeeper.core.monthend import MonthEnd, leap_day_rule, month_day_rule
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.rhythms import calendar_words, rhythm_words
from tests.reports.scenes import chore

THURSDAY = date(2026, 3, 12)


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        ("FREQ=DAILY", "every day"),
        ("FREQ=DAILY;INTERVAL=2", "every 2 days"),
        ("FREQ=DAILY;BYMONTH=6,7", "every day in June and July"),
        ("FREQ=DAILY;BYDAY=MO,TU", "every Monday and Tuesday"),
        ("FREQ=DAILY;INTERVAL=3;BYDAY=MO,TU", "every 3 days where that is a Monday or Tuesday"),
        ("FREQ=DAILY;BYMONTHDAY=1,15", "on the 1st and 15th of each month"),
        ("FREQ=WEEKLY;BYDAY=SA", "every Saturday"),
        ("FREQ=WEEKLY", "every week on Thursday"),
        ("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR", "every day from Monday to Friday"),
        ("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR,SA,SU", "every day"),
        (
            "FREQ=WEEKLY;INTERVAL=2;BYDAY=SA;WKST=SU",
            "every 2 weeks on Saturday, with weeks that begin on Sunday",
        ),
        ("FREQ=MONTHLY", "on the 12th of each month"),
        ("FREQ=MONTHLY;BYMONTHDAY=-1", "on the last day of each month"),
        ("FREQ=MONTHLY;BYMONTHDAY=1,22,-2", "on the 1st, 22nd and 2nd last day of each month"),
        ("FREQ=MONTHLY;INTERVAL=2;BYMONTHDAY=15", "every 2 months on the 15th"),
        ("FREQ=MONTHLY;BYDAY=2SA", "on the 2nd Saturday of each month"),
        ("FREQ=MONTHLY;BYDAY=-1FR", "on the last Friday of each month"),
        ("FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13", "every Friday that is the 13th of the month"),
        (
            "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1",
            "every month on the days from Monday to Friday, "
            "only the last of these days in each month",
        ),
        ("FREQ=YEARLY", "every year on 12 March"),
        ("FREQ=YEARLY;BYMONTH=3,9", "every year on the 12th in March and September"),
        ("FREQ=YEARLY;BYDAY=20MO", "every year on the 20th Monday of the year"),
        ("FREQ=YEARLY;BYDAY=TH;BYMONTH=3", "every Thursday in March"),
        ("FREQ=YEARLY;BYYEARDAY=1,100,-1", "every year on the 1st, 100th and last day of the year"),
        (
            "FREQ=YEARLY;BYWEEKNO=1,-1;BYDAY=MO",
            "every year on Monday in the 1st and last week of the year",
        ),
        ("FREQ=WEEKLY;BYDAY=SA;UNTIL=20261231", "every Saturday, until 31 December 2026"),
        ("FREQ=WEEKLY;BYDAY=SA;COUNT=1", "every Saturday, 1 time in all"),
        ("FREQ=DAILY;COUNT=1", "once, on 12 March 2026"),
        ("FREQ=DAILY;BYHOUR=8,18", "every day at 08:00 and 18:00"),
        (month_day_rule(31), "on the 31st of each month, or the last day where there is none"),
        (
            leap_day_rule(),
            "every year on the 29th of February, or the last day where there is none",
        ),
        (month_day_rule(31, MonthEnd.SKIP), "on the 31st of each month"),
    ],
)
def test_a_calendar_rule_reads_as_a_person_would_say_it(rule: str, said: str) -> None:
    """Days that a rule leaves open come from its start, Thursday 12 March 2026."""
    assert plain(calendar_words(Calendar(rule, THURSDAY))) == said


def test_slots_are_told_behind_the_days() -> None:
    """A chore keeps its times of day beside the rule."""
    rhythm = Calendar("FREQ=DAILY", THURSDAY, (time(8), time(18)))

    assert calendar_words(rhythm) == "every day at 08:00 and 18:00"


@pytest.mark.parametrize(
    ("rhythm", "said"),
    [
        (AfterLastDone(parse_interval("14 days")), "14 days after it is done"),
        (AfterLastDone(parse_interval("1 month")), "1 month after it is done"),
        (
            AfterLastDone(
                parse_interval("14 days"),
                (Season(MonthDay(6, 1), MonthDay(9, 15), parse_interval("10 days")),),
            ),
            "14 days after it is done, 10 days from 1 June to 15 September",
        ),
        (Once(date(2026, 3, 20)), "once, on 20 March 2026"),
        (
            WhenWaterSays(Condition.EVAPORATION, min_days=2, max_days=7),
            "when evaporation asks for it, not sooner than 2 days after the last time, "
            "at least every 7 days",
        ),
        (
            WhenWaterSays(Condition.FORECAST, of="nitrate"),
            "when the forecast of nitrate asks for it",
        ),
        (WhenWaterSays(Condition.STOCK, of="salt mix"), "when the stock of salt mix asks for it"),
    ],
)
def test_every_rhythm_has_words(rhythm: AfterLastDone | Once | WhenWaterSays, said: str) -> None:
    """Editors and reasons say a rhythm alike."""
    assert plain(rhythm_words(chore(rhythm=rhythm))) == said


@given(
    st.sampled_from(["WEEKLY", "MONTHLY", "YEARLY"]),
    st.lists(st.sampled_from(["MO", "TU", "WE", "TH", "FR", "SA", "SU"]), min_size=1, unique=True),
    st.lists(st.integers(1, 12), max_size=3, unique=True),
    st.integers(1, 6),
)
def test_no_part_of_a_rule_is_left_unsaid(
    freq: str, weekdays: list[str], months: list[int], interval: int
) -> None:
    """Two rules that differ in months or interval differ in words."""
    by_month = f";BYMONTH={','.join(map(str, months))}" if months else ""
    rule = f"FREQ={freq};INTERVAL={interval};BYDAY={','.join(weekdays)}{by_month}"

    said = plain(calendar_words(Calendar(rule, THURSDAY)))

    names = ["January", "February", "March", "April", "May", "June", "July", "August"]
    names += ["September", "October", "November", "December"]
    assert all(names[month - 1] in said for month in months)
    assert (str(interval) in said) == (interval > 1)
