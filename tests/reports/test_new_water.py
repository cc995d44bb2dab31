"""What is asked about the salinity of new water: whatever is unlike the tank, unless it helps."""

from __future__ import annotations

from datetime import time

import pytest

from tankkeeper.core.history import history_of
from tankkeeper.core.household import OwnRange, Tank
from tankkeeper.core.logbook import Readings
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.state import HouseholdState, fold_household
from tankkeeper.reports.new_water_doubts import moved_salinity, new_water_words
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.words import Words
from tests.builders import a_box, a_household, a_moment, an_entry

MOMENT = a_moment("2026-03-12")


def asked(has: float, new: float) -> str:
    """Return what is asked of new water for a tank that was read this morning."""
    reef, state, words = read_this_morning(has)
    return plain(new_water_words(reef, new, words, state.waters["reef"]))


def read_this_morning(has: float) -> tuple[Tank, HouseholdState, Words]:
    """Return a tank that was read this morning, and its household."""
    reef = a_box("Reef", target_salinity=35.0, ranges=(OwnRange("salinity", 34.0, 35.5),))
    house = a_household(tanks=(reef,))
    read = Readings((ReadingValue("salinity", has, "practical", has),))
    entry = an_entry(1, "2026-03-12", read, tank="reef", at=time(6, 30))
    state = fold_household(house, history_of((entry,)), MOMENT.now)
    return reef, state, Words(house, MOMENT)


@pytest.mark.parametrize(("has", "new"), [(36.2, 32.5), (33.0, 37.0), (36.2, 0.0)])
def test_water_that_brings_a_tank_back_into_its_range_is_not_doubted(
    has: float, new: float
) -> None:
    """A change with weaker salt water is what its own reason advises."""
    assert asked(has, new) == ""


@pytest.mark.parametrize(
    ("has", "fresh_l", "is_asked"), [(36.2, 2.5, False), (36.2, 6.0, True), (35.0, 2.5, True)]
)
def test_as_much_fresh_water_as_the_reason_advises_is_not_doubted(
    has: float, fresh_l: float, is_asked: bool
) -> None:
    """1.5 PSU a day at most: 2.5 of some 86 L lower 36.2 by 1.0, 6 L by 2.5."""
    reef, state, words = read_this_morning(has)

    told = moved_salinity(reef, 0.0, fresh_l, words, state.waters["reef"])

    assert (" at once, by more than 0.5 PSU." in plain(told)) is is_asked


@pytest.mark.parametrize(("has", "new"), [(36.2, 39.0), (33.0, 30.0), (35.2, 32.0)])
def test_water_that_leads_away_or_is_for_a_tank_in_its_range_is_doubted(
    has: float, new: float
) -> None:
    """A slip of a finger, or the water of another tank."""
    assert f"New water of {new} PSU is far from what Reef has by now" in asked(has, new)


@pytest.mark.parametrize(("has", "new"), [(34.8, 36.0), (34.8, 34.0), (35.2, 35.8)])
def test_water_farther_off_than_the_caution_tells_is_asked_about(has: float, new: float) -> None:
    """Its litres, 36, are a salinity as well; the caution wants it within 0.5 PSU."""
    told = f"New water of {new} PSU is more than 0.5 PSU from what Reef has by now, {has} ± 0.3 PSU"
    assert told in asked(has, new)


@pytest.mark.parametrize(("has", "new"), [(34.8, 35.3), (34.2, 35.5), (35.4, 34.5)])
def test_water_as_near_as_the_caution_tells_is_kept_without_a_question(
    has: float, new: float
) -> None:
    """Near what the tank has or near what it is meant to have: both suit it."""
    assert asked(has, new) == ""
