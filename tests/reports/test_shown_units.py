"""Weights and levels in the units that go with the household's litres or gallons.

By NIST Special Publication 811: a pound is 0.45359237 kg, an inch 2.54 cm.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import time

import pytest

from tankkeeper.core.amounts import amount_of
from tankkeeper.core.chores import Chore, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.household import Person, ShownUnits, TopOffLimits
from tankkeeper.core.tank_learning import learn
from tankkeeper.core.tank_water import water_now
from tankkeeper.reports.amount_words import litres_due
from tankkeeper.reports.people_words import person_line
from tankkeeper.reports.words import Words
from tests.builders import a_box, a_household, a_moment, day

GALLONS = ShownUnits("US gal", "degF")


def words(units: ShownUnits) -> Words:
    return Words(a_household(units=units), a_moment("2026-03-12", time(7)))


@pytest.mark.parametrize(
    ("units", "weight", "level"),
    [(ShownUnits(), "16\u00a0kg", "13\u00a0mm"), (GALLONS, "35.3\u00a0lb", "0.5\u00a0in")],
)
def test_a_weight_and_a_level_stand_in_the_units_of_the_household(
    units: ShownUnits, weight: str, level: str
) -> None:
    """16 kg and half an inch."""
    found = words(units)
    assert found.kilograms(16.0) == weight
    assert found.millimetres(12.7) == level


def test_what_somebody_lifts_is_told_in_pounds_beside_gallons() -> None:
    """As it is typed on the page of people."""
    told = person_line(Person("ada", "Ada", lifts_kg=16.0), words(GALLONS))
    assert told == "Minutes not known, lifts 35.3\u00a0lb"


def test_no_household_has_units_of_two_kinds() -> None:
    """Imperial gallons go with inches and pounds, too; temperature is a choice of its own."""
    for volume in ("US gal", "imp gal"):
        shown = ShownUnits(volume)
        assert (shown.length, shown.thickness) == ("in", "in")
        assert (shown.area, shown.mass) == ("in²", "lb")
    assert (ShownUnits().area, ShownUnits().mass) == ("cm²", "kg")


@pytest.mark.parametrize(
    ("units", "told"),
    [(ShownUnits(), "13\u00a0L"), (GALLONS, "3.4\u00a0US\u00a0gal")],
)
@pytest.mark.parametrize("left", [7.0, 7.04])
def test_an_amount_that_is_worked_out_is_no_more_exact_in_gallons(
    units: ShownUnits, told: str, left: float
) -> None:
    """Some 13 of 20 L, give or take 6: 13 L are 3.434 US gal of 3.785411784 L.

    What is kept of a tick is what was told, so it is told alike in the logbook.
    """
    tank = a_box(top_off=TopOffLimits(reservoir_l=20.0))
    on = day("2026-03-12")
    water = water_now(tank, learn(tank, None, (), on), a_moment(on, time(7)))
    water = replace(water, reservoir_left=Estimate(left, left - 6.0, left + 6.0))
    fill = Chore(
        "fill", ChoreKind.RESERVOIR, "Fill", WhenWaterSays(Condition.EVAPORATION), tank=tank.id
    )

    due = amount_of(fill, water, a_household(units=units))

    assert due is not None
    assert litres_due(due, words(units)) == told
    assert words(units).litres(due.value) == told
