"""Weights and levels in the units that go with the household's litres or gallons.

By NIST Special Publication 811: a pound is 0.45359237 kg, an inch 2.54 cm.
"""

from __future__ import annotations

from datetime import time

import pytest

from tankkeeper.core.household import Person, ShownUnits
from tankkeeper.reports.people_words import person_line
from tankkeeper.reports.words import Words
from tests.builders import a_household, a_moment

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
