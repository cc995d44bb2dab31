"""Every proposal has its reason in words."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from tankkeeper.core.adjusting import Adjustment, adjusted
from tankkeeper.core.catalogue import proposed
from tankkeeper.core.chores import Amount, AmountUnit
from tankkeeper.core.communities import Community
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.household import TopOffLimits
from tankkeeper.core.logbook import ReservoirCheck
from tankkeeper.core.moment import moment_of
from tankkeeper.core.tank_learning import learn
from tankkeeper.core.tank_water import water_now
from tankkeeper.core.volume import Shape, ShapeKind
from tankkeeper.reports.numbers import NBSP
from tankkeeper.reports.proposals import proposal_reason, proposal_rhythm, window_words
from tankkeeper.reports.words import Words
from tests.builders import an_entry
from tests.core.test_catalogue import DAY, HOUSE, NOOK

WORDS = Words(HOUSE, moment_of(HOUSE, datetime(2026, 3, 12, 6, tzinfo=UTC)))


def test_every_proposal_has_reason_rhythm_and_window() -> None:
    """For each community; no sentence is empty."""
    for community in Community:
        for one in proposed(replace(NOOK, community=community), HOUSE, DAY):
            assert proposal_reason(one, WORDS)
            assert proposal_rhythm(one, WORDS)
            assert "min" in window_words(one)


def test_what_somebody_switched_off_is_not_said_to_be_off_for_want_of_gear() -> None:
    """Floss is proposed though nobody named it; a skimmer cup is off because of the skimmer."""
    found = {one.row.key: one for one in proposed(NOOK, HOUSE, DAY)}
    floss, cup = found["floss"], found["skimmer-cup"]
    assert floss.is_on
    assert proposal_reason(replace(floss, is_on=False), WORDS) == proposal_reason(floss, WORDS)
    assert proposal_reason(cup, WORDS) == "off, because no skimmer was named"


def test_the_climb_of_salinity_stands_in_the_households_unit() -> None:
    """From 35 on 0.5 is 0.0004 of specific gravity at 25 degrees, by the project's conversions."""
    top_off = next(one for one in proposed(NOOK, HOUSE, DAY) if one.row.key == "top-off")
    house = replace(HOUSE, units=replace(HOUSE.units, salinity="sg 25/25"))

    reason = proposal_reason(top_off, replace(WORDS, household=house))

    assert f"salinity climbs 0.0004{NBSP}" in reason


def test_the_top_off_tells_what_evaporates() -> None:
    """Litres and salinity a day, with the decimal sign of the household."""
    top_off = next(one for one in proposed(NOOK, HOUSE, DAY) if one.row.key == "top-off")

    reason = proposal_reason(top_off, replace(WORDS, decimal_sign=","))

    assert reason == f"about 1,1{NBSP}L a day will evaporate; salinity climbs 0,5{NBSP}PSU a day"


def test_a_top_off_is_told_as_what_it_is_and_not_as_a_rhythm_of_days() -> None:
    """The water decides; the days are what is expected of it, and unknown without measures."""
    top_off = next(one for one in proposed(NOOK, HOUSE, DAY) if one.row.key == "top-off")
    for days, told in (
        (Estimate(2.2, 1.0, 3.4), f"by evaporation, every 1 to 3{NBSP}days"),
        (Estimate(2.2, 2.0, 2.4), f"by evaporation, about every 2{NBSP}days"),
        (Estimate(0.8, 0.6, 1.2), "by evaporation, about every day"),
        (None, "by evaporation"),
    ):
        expected = replace(top_off.expected, top_off_days=days)
        assert proposal_rhythm(replace(top_off, expected=expected), WORDS) == told


@pytest.mark.parametrize("litres", [20.0, 18.92705892, 8.0])
def test_a_reservoir_is_proposed_as_often_as_it_is_planned_once_it_is_full(litres: float) -> None:
    """Nine days at most, by the rhythm itself; 5 US gal are 18.9 L (NIST SP 811)."""
    tank = replace(NOOK, top_off=TopOffLimits(reservoir_l=litres))
    row = next(one for one in proposed(tank, HOUSE, DAY) if one.row.key == "reservoir")
    moment = moment_of(HOUSE, datetime(DAY.year, DAY.month, DAY.day, 12, tzinfo=UTC))
    full = replace(
        an_entry(1, DAY, ReservoirCheck(), tank=tank.id), at=moment.now - timedelta(seconds=1)
    )
    water = water_now(tank, learn(tank, None, [full], DAY), moment)
    days = water.reservoir_days
    assert days is not None
    assert water.limit.latest_on is not None

    low = int(days.low)

    assert (water.limit.latest_on - DAY).days in (low - 1, low)
    told = f"by evaporation, every {low} to {min(9, round(days.high))}{NBSP}days"
    assert proposal_rhythm(row, WORDS) == told


def test_a_chore_without_its_gear_says_why_it_is_off() -> None:
    """It can be switched on all the same."""
    sand = next(one for one in proposed(NOOK, HOUSE, DAY) if one.row.key == "siphon-sand")

    assert proposal_reason(sand, WORDS) == "off, because no sand was named"


def test_what_is_of_a_quarantine_says_so_only_while_it_is_off() -> None:
    """Nothing is missing any more once somebody wants it."""
    daily = next(one for one in proposed(NOOK, HOUSE, DAY) if one.row.key == "quarantine-daily")

    assert proposal_reason(daily, WORDS) == "off, because this is no quarantine tank"
    assert proposal_reason(replace(daily, is_on=True), WORDS) == "a small tank turns within a day"


def test_a_water_change_tells_its_amount_and_the_share_that_it_is() -> None:
    """12 litres are proposed of about 83; 30 are 36 % of them, which nobody has to work out."""
    change = next(one for one in proposed(NOOK, HOUSE, DAY) if one.row.key == "water-change")
    litres = f"12{NBSP}L"
    assert proposal_rhythm(change, WORDS) == f"every 2{NBSP}weeks on Saturday, {litres}"
    assert proposal_reason(change, WORDS).startswith(f"14{NBSP}% of the water: nitrate goes")

    mine = adjusted(change, Adjustment(1, (5,), amount=Amount(30.0, AmountUnit.LITRES)), DAY)
    assert proposal_rhythm(mine, WORDS) == f"every Saturday, 30{NBSP}L"
    assert proposal_reason(mine, WORDS).startswith(f"36{NBSP}% of the water: nitrate goes")


def test_a_share_of_water_that_is_not_known_is_told_as_a_share() -> None:
    """Without measures there are no litres."""
    bare = replace(NOOK, shape=Shape(ShapeKind.BOX))
    change = next(one for one in proposed(bare, HOUSE, DAY) if one.row.key == "water-change")
    assert proposal_rhythm(change, WORDS).endswith(f"on Saturday, 15{NBSP}%")


def test_daily_is_every_day_whatever_it_is_counted_from() -> None:
    """By the calendar or after the last time: one wording."""
    feed = next(one for one in proposed(NOOK, HOUSE, DAY) if one.row.key == "feed")
    assert proposal_rhythm(feed, WORDS) == "every day"
    assert proposal_rhythm(adjusted(feed, Adjustment(1), DAY), WORDS) == "every day"
