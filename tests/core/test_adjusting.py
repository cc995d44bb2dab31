"""A proposed chore is changed in its rhythm, its window and its minutes before it is kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.adjusting import (
    Adjustment,
    adjusted,
    adjustment_of,
    stepped,
    still_possible,
)
from tankkeeper.core.catalogue import Proposal, proposed
from tankkeeper.core.chores import (
    AfterLastDone,
    Amount,
    AmountUnit,
    Calendar,
    IfMissed,
    WhenWaterSays,
)
from tankkeeper.core.early_days import early_days
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


def after_steps(key: str, *by: int) -> Proposal:
    """Return a proposal after one step after the other, those that lead nowhere left out."""
    one = proposal(key)
    for step in by:
        wanted = stepped(one, step)
        one = one if wanted is None else adjusted(one, wanted, DAY)
    return one


def test_a_step_changes_the_weeks_and_keeps_the_weekdays() -> None:
    """Every 2 weeks on Saturday becomes each week on Saturday or every 3 weeks, and no less."""
    rule = "FREQ=WEEKLY{};BYDAY={}"
    for key, steps, weeks, days in (
        ("water-change", (-1,), "", "SA"),
        ("water-change", (1,), ";INTERVAL=3", "SA"),
        ("water-change", (-1, -1, -1), "", "SA"),
        ("feed-frozen", (1,), ";INTERVAL=2", "MO,WE,FR"),
    ):
        rhythm = after_steps(key, *steps).chore.rhythm
        assert isinstance(rhythm, Calendar)
        assert rhythm.rule == rule.format(weeks, days)


def test_a_step_from_every_day_is_every_other_day() -> None:
    """There is no week to lengthen; days after the last time step by a day, water by none."""
    assert after_steps("feed", 1).chore.rhythm == AfterLastDone(Interval(2, IntervalUnit.DAYS))
    assert after_steps("glass", 1).chore.rhythm == AfterLastDone(Interval(4, IntervalUnit.DAYS))
    assert stepped(proposal("top-off"), 1) is None
    assert stepped(adjusted(proposal("glass"), Adjustment(1), DAY), -1) is None


def test_a_step_leaves_no_more_days_early_than_there_is_room_for() -> None:
    """The glass may be cleaned a day early, but not a day after the last time."""
    assert after_steps("glass", -1, -1).chore.early_days == 0


def test_no_step_lets_a_window_reach_the_turn_before() -> None:
    """All that the catalogue proposes, taken to its shortest and longer again."""
    for key in [one.row.key for one in proposed(NOOK, HOUSE, DAY)]:
        one = proposal(key)
        for step in (*[-1] * 8, *[1] * 10):
            assert early_days(one.chore) == one.chore.early_days
            wanted = stepped(one, step)
            one = one if wanted is None else adjusted(one, wanted, DAY)


def test_the_minutes_a_day_follow_the_rhythm_as_it_is() -> None:
    """45 minutes every 14 days, each week, on two days of it, and twice on each of these."""
    change = proposal("water-change")
    for wanted, days in (
        (adjustment_of(change), 14.0),
        (Adjustment(1, (5,), minutes=45), 7.0),
        (Adjustment(3, (5,), minutes=45), 21.0),
        (Adjustment(1, (1, 5), minutes=45), 3.5),
        (Adjustment(1, (1, 5), (time(8), time(18)), minutes=45), 1.75),
        (Adjustment(10, minutes=45), 10.0),
    ):
        assert adjusted(change, wanted, DAY).minutes_a_day == pytest.approx(45.0 / days)


def test_an_amount_that_somebody_said_stays_and_one_that_nobody_said_follows() -> None:
    """30 litres whatever the rhythm; without a word it is what is proposed."""
    change = proposal("water-change")
    said = Amount(30.0, AmountUnit.LITRES)
    mine = adjusted(change, replace(adjustment_of(change), amount=said), DAY)
    assert mine.chore.amount == said
    assert adjustment_of(mine).amount == said
    weekly = adjusted(mine, Adjustment(1, (5,)), DAY)
    assert weekly.chore.amount == said
    assert adjustment_of(adjusted(change, Adjustment(1, (5,)), DAY)).amount is None


def test_nobody_changes_more_water_than_there_is() -> None:
    """The nook holds some 83 litres; where that is told later, the amount is the proposed one."""
    change = proposal("water-change")
    wanted = replace(adjustment_of(change), amount=Amount(90.0, AmountUnit.LITRES))
    with pytest.raises(UserFault, match="whole_tank"):
        adjusted(change, wanted, DAY)
    assert still_possible(change, wanted).amount is None
    fitting = replace(wanted, amount=Amount(60.0, AmountUnit.LITRES))
    assert still_possible(change, fitting) == fitting
