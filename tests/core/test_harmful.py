"""Readings outside their range: until they are read again, a salinity until it is reckoned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import pytest

from tankkeeper.core.estimate import Estimate
from tankkeeper.core.harmful import readings_outside
from tankkeeper.core.household import OwnRange, Stage, Tank, TopOffLimits
from tankkeeper.core.logbook import Entry, Fact, Readings, ReservoirCheck, TopOff, WaterChange
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.salinity_full import Poured
from tankkeeper.core.tank_learning import learn
from tankkeeper.core.tank_water import water_now
from tests.builders import a_box, a_moment, an_entry

FIRST = date(2026, 3, 2)
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


def outside(
    tank: Tank, reckoned_psu: float | None, poured: Sequence[Poured] = (), **values: float
) -> list[str]:
    """Return the names of the readings that stand outside."""
    learned = learn(tank, None, [], FIRST)
    learned = replace(learned, readings=tuple(read(**values)), poured=tuple(poured))
    salinity = None if reckoned_psu is None else Estimate(reckoned_psu, reckoned_psu, reckoned_psu)
    water = replace(water_now(tank, learned, a_moment(FIRST)), salinity=salinity)
    found = readings_outside(water, ())
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


@pytest.mark.parametrize(
    ("read_psu", "poured", "is_told"),
    [
        (35.4, [(34.8, 34.8)], False),
        (35.4, [(35.2, 34.8)], True),
        (35.4, [(34.9, 34.8), (35.3, 34.8)], False),
        (32.6, [(33.4, 32.4)], True),
        (32.6, [(34.0, 33.6)], False),
    ],
    ids=["filled", "too little", "filled once", "low when full", "salt put in"],
)
def test_a_salinity_that_water_brought_inside_is_over_for_good(
    read_psu: float, poured: list[tuple[float, float]], is_told: bool
) -> None:
    """Whatever evaporates afterwards: it is reckoned outside again here, on either side."""
    found = [Poured(*one) for one in poured]
    by_now = 35.2 if read_psu > 35.0 else 32.5

    assert outside(NOOK, by_now, found, salinity=read_psu) == ["salinity"] * is_told


# A litre a day goes of some 86 L: 0.4 PSU a day.
FILLS: list[tuple[int, Fact]] = [(day, TopOff(2.0)) for day in range(0, 20, 2)]


def logged(rows: Sequence[tuple[int, Fact]]) -> list[Entry]:
    """Return entries at noon, each so many days after 2 March."""
    return [
        an_entry(seq, FIRST + timedelta(days=day), fact, tank="nook")
        for seq, (day, fact) in enumerate(rows, start=1)
    ]


def stands(tank: Tank, rows: Sequence[tuple[int, Fact]], after: int) -> bool:
    """Tell whether the salinity stands outside so many days after 2 March, by what was logged."""
    today = FIRST + timedelta(days=after)
    learned = learn(tank, None, logged(rows), today)
    water = water_now(tank, learned, a_moment(today))
    return bool(readings_outside(water, ()))


def psu(value: float) -> Readings:
    return Readings((ReadingValue("salinity", value, "", value),))


def test_a_high_salinity_does_not_come_back_after_a_filling() -> None:
    """35.3 PSU with 1 L missing are 34.9 when full, and three days later 36 are reckoned.

    Half a litre that leaves it above ends nothing, and neither does what goes in before a reading.
    """
    rows = [*FILLS, (19, psu(35.3))]

    assert stands(NOOK, rows, 19)
    assert stands(NOOK, [*rows, (20, TopOff(0.2, to_mark=False))], 20)
    assert not stands(NOOK, [*rows, (20, TopOff(2.0))], 20)
    assert not stands(NOOK, [*rows, (20, TopOff(2.0))], 23)
    assert stands(NOOK, [*rows, (20, TopOff(2.0)), (23, psu(36.0))], 23)
    assert stands(NOOK, [*FILLS, (19, psu(36.0)), (20, TopOff(2.0))], 20)


def test_what_a_later_filling_teaches_brings_no_reading_back() -> None:
    """35.38 PSU are 34.98 when full by a litre a day. Days that took less tell of a little more
    salt in the full tank, where nobody measured the fill after it; but that reading was said to be
    over.
    """
    rows = [*FILLS, (19, psu(35.38)), (20, TopOff(2.0, estimated=True))]
    less = [*rows, (22, TopOff(1.3)), (24, TopOff(1.3)), (26, TopOff(1.3))]
    entries = logged(less)
    full = learn(NOOK, None, entries, FIRST).salinity_at_mark

    assert full is not None
    assert full > 35.0
    assert not stands(NOOK, rows, 20)
    assert not stands(NOOK, less, 26)


def test_water_that_brought_it_below_its_range_tells_that_side() -> None:
    """35.6 PSU read a day before 30 L were filled into some 86 L, and 15 of them missing by then.

    A reading inside the range that a pour leaves far below tells the same, one that may be inside
    does not.
    """
    for read in (35.6, 34.6):
        rows = [*FILLS, (19, psu(read)), (20, TopOff(30.0))]
        today = FIRST + timedelta(days=20)
        water = water_now(NOOK, learn(NOOK, None, logged(rows), today), a_moment(today))
        assert water.net is not None
        # 30 L in two days: half of them were missing when it was read.
        reckoned = read * (1.0 - 15.0 * 0.997 / (water.net.value * 1.023))

        [found] = readings_outside(water, ())

        assert found.is_reckoned
        assert found.value.value == pytest.approx(reckoned, rel=0.01)
    assert not stands(NOOK, [*FILLS, (19, psu(34.6)), (20, TopOff(3.0))], 20)


def test_a_change_of_water_ends_it_and_so_does_a_reservoir_that_is_filled() -> None:
    """45 L of 33 PSU in some 86 L bring 35.4 down by more than one."""
    rows = [*FILLS, (18, psu(35.4)), (18, WaterChange(45.0, salinity=33.0))]
    tank = replace(NOOK, top_off=TopOffLimits(reservoir_l=4.0))
    looks: list[tuple[int, Fact]] = [(day, ReservoirCheck(fill_l=2.0)) for day in range(0, 20, 2)]
    dry = [*looks, (23, psu(35.3)), (24, ReservoirCheck(fill_l=6.0))]

    assert not stands(NOOK, rows, 18)
    assert not stands(NOOK, rows, 21)
    assert stands(NOOK, rows[:-1], 21)
    assert stands(tank, dry[:-1], 23)
    assert not stands(tank, dry, 24)
    assert not stands(tank, dry, 30)


def test_a_low_salinity_that_evaporation_brought_inside_is_low_again_once_filled() -> None:
    """32.8 PSU when full are 33.6 two days later; the fresh water brings them back to 32.8."""
    rows = [*FILLS, (18, psu(32.8))]

    assert stands(NOOK, rows, 18)
    assert not stands(NOOK, rows, 20)
    assert stands(NOOK, [*rows, (20, TopOff(2.0))], 20)
    assert not stands(NOOK, [*rows, (20, TopOff(1.0, to_mark=False))], 20)
    assert stands(NOOK, [*rows, (20, TopOff(1.0, to_mark=False)), (21, TopOff(2.0))], 21)
