"""A proposed chore is changed in its rhythm, its window and its minutes before it is kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.adjusting import Adjustment, adjusted, adjustment_of
from tankkeeper.core.catalogue import Proposal, proposed
from tankkeeper.core.chores import AfterLastDone, Calendar, IfMissed, WhenWaterSays
from tankkeeper.core.errors import UserFault
from tankkeeper.core.intervals import Interval, IntervalUnit
from tests.core.test_catalogue import DAY, HOUSE, NOOK


def proposal(key: str) -> Proposal:
    return next(one for one in proposed(NOOK, HOUSE, DAY) if one.row.key == key)


def test_what_nobody_changed_stays_as_it_was_proposed() -> None:
    """Taken apart and put together again, each of them is the chore it was."""
    for one in proposed(NOOK, HOUSE, DAY):
        same = adjusted(one, adjustment_of(one), DAY)
        assert same.chore.rhythm == one.chore.rhythm
        assert same == one


def test_days_of_the_week_with_times_of_day() -> None:
    """Feeding at eight and at six on all days is each day; a slot that is missed is over."""
    both = Adjustment(1, tuple(range(7)), (time(8), time(18)), 0, 0, 3)
    fed = adjusted(proposal("feed"), both, DAY).chore
    assert fed.rhythm == Calendar("FREQ=DAILY", DAY, (time(8), time(18)))
    assert fed.if_missed is IfMissed.EXPIRE
    floss = adjusted(proposal("floss"), Adjustment(2, (5, 1), (), 1, 2, 4), DAY).chore
    assert floss.rhythm == Calendar("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,SA", DAY)
    assert (floss.early_days, floss.late_days, floss.minutes) == (1, 2, 4)
    assert floss.first_due is None


def test_a_calendar_becomes_days_after_the_last_time() -> None:
    """It begins where the calendar would have begun, at the latest on the day of the answer."""
    change = adjusted(proposal("water-change"), Adjustment(10, (), (), 2, 5, 45), DAY).chore
    assert change.rhythm == AfterLastDone(Interval(10, IntervalUnit.DAYS))
    assert change.first_due == DAY


def test_nobody_can_be_earlier_than_the_interval_is_long() -> None:
    """Two days cannot be two days early."""
    with pytest.raises(UserFault, match="out_of_range"):
        adjusted(proposal("glass"), Adjustment(2, (), (), 2, 0, 5), DAY)
    with pytest.raises(UserFault, match="out_of_range"):
        # From Tuesday to Friday are three days.
        adjusted(proposal("glass"), Adjustment(1, (1, 4), (), 3, 0, 5), DAY)
    with pytest.raises(UserFault, match="out_of_range"):
        adjusted(proposal("glass"), Adjustment(0, (), (), 0, 0, 5), DAY)


def test_where_the_water_decides_only_window_and_minutes_change() -> None:
    """Its rhythm is none of a person's."""
    top_off = proposal("top-off")
    assert adjustment_of(top_off).every is None
    chore = adjusted(top_off, replace(adjustment_of(top_off), minutes=9), DAY).chore
    assert isinstance(chore.rhythm, WhenWaterSays)
    assert chore.minutes == 9


@given(
    every=st.integers(1, 60),
    days=st.sets(st.integers(0, 6)),
    late=st.integers(0, 30),
    minutes=st.none() | st.integers(0, 600),
)
def test_what_is_wanted_is_what_stands_there_afterwards(
    every: int, days: set[int], late: int, minutes: int | None
) -> None:
    """Any adjustment comes out of the chore that it made."""
    wanted = Adjustment(every, tuple(sorted(days)), (), 0, late, minutes)
    for key in ("glass", "feed", "water-change"):
        assert adjustment_of(adjusted(proposal(key), wanted, date(2026, 3, 12))) == wanted
