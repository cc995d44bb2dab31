"""Readings outside their range: until they are read again, a salinity until it is reckoned."""

from __future__ import annotations

import pytest

from tankkeeper.core.harmful import readings_outside
from tankkeeper.core.household import OwnRange, Stage, Tank
from tankkeeper.core.logbook import Entry, Readings
from tankkeeper.core.parameters import ReadingValue
from tests.builders import a_box, an_entry

NOOK = a_box(
    ranges=(
        OwnRange("salinity", 33.0, 35.0, ""),
        OwnRange("ph", 7.9, 8.5, ""),
        OwnRange("ammonia", None, 0.25, ""),
    )
)


def read(**values: float) -> list[tuple[ReadingValue, Entry]]:
    """Return readings of one morning."""
    found = [ReadingValue(name, value, "", value) for name, value in values.items()]
    entry = an_entry(1, "2026-03-02", Readings(tuple(found)), tank="nook")
    return [(one, entry) for one in found]


def outside(tank: Tank, reckoned_psu: float | None, **values: float) -> list[str]:
    """Return the names of the readings that stand outside."""
    found = readings_outside(tank, read(**values), (), reckoned_psu)
    return [one.value.parameter for one in found]


@pytest.mark.parametrize(
    ("reckoned", "told"),
    [
        (None, ["salinity", "ph"]),
        (35.1, ["salinity", "ph"]),
        (34.9, ["ph"]),
        (32.9, ["salinity", "ph"]),
    ],
)
def test_a_salinity_stands_outside_until_it_is_reckoned_inside(
    reckoned: float | None, told: list[str]
) -> None:
    """Fresh water that was put in moves it and nothing else; on the other side it is no better."""
    assert outside(NOOK, reckoned, salinity=35.4, ph=7.7) == told


def test_what_is_inside_its_range_or_harms_is_not_among_them() -> None:
    """What harms is told by itself: here a salinity by more than two over its range."""
    assert outside(NOOK, None, salinity=34.0, ph=8.2) == []
    assert outside(NOOK, 37.5, salinity=37.5, ammonia=1.0) == []


def test_a_tank_that_rests_or_cycles_expects_it() -> None:
    """Ammonia is what the bacteria of an empty tank live on."""
    cycling = a_box(stage=Stage.CYCLING, ranges=NOOK.ranges)
    paused = a_box(stage=Stage.PAUSED, ranges=NOOK.ranges)

    assert outside(cycling, None, ammonia=1.0, ph=7.7) == ["ph"]
    assert outside(paused, None, ph=7.7) == []
