"""What a change of water leaves of the salt, by the balance of mass: source of every number here.

Salt neither evaporates nor comes from nowhere: what a tank holds is litres times salinity, a change
takes out litres times the salinity by then and brings litres times that of the new water. (The
density of salt water differs by 0.15 % between 33 and 35 PSU, so litres stand for kilograms within
0.001 PSU; fresh water is 2.7 % lighter, where they do not.)
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tankkeeper.core.household import Tank, TopOffLimits
from tankkeeper.core.logbook import Entry, Fact, Readings, ReservoirCheck, TopOff, WaterChange
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.tank_learning import learn
from tankkeeper.core.tank_water import TankWater, water_now
from tankkeeper.core.water_turns import Limit
from tests.builders import a_box, a_moment, an_entry, day

FIRST = day("2026-03-02")
BY_HAND = a_box(target_salinity=35.0, top_off=TopOffLimits(allowed_drop_mm=15.0))
SALT_BINDS = a_box(target_salinity=35.0, top_off=TopOffLimits(allowed_drop_mm=150.0))
# 1.5 L a day, the last fill on day 38.
FILLS: list[tuple[int, Fact]] = [(2 * number, TopOff(3.0)) for number in range(20)]


def logged(rows: Sequence[tuple[int, Fact]]) -> list[Entry]:
    """Return entries at noon, each so many days after 2 March."""
    return [
        an_entry(seq, FIRST + timedelta(days=after), fact, tank="nook")
        for seq, (after, fact) in enumerate(rows, start=1)
    ]


def water(rows: Sequence[tuple[int, Fact]], after: int, tank: Tank = BY_HAND) -> TankWater:
    """Return the water of a tank at noon, so many days after 2 March."""
    today = FIRST + timedelta(days=after)
    return water_now(tank, learn(tank, None, logged(rows), today), a_moment(today))


def psu(value: float) -> Readings:
    """Return a reading of the salinity."""
    return Readings((ReadingValue("salinity", value, "", value),))


def stands(found: TankWater) -> tuple[float, float, float]:
    """Return the litres that are there, the salinity and that of the full tank."""
    assert found.net is not None
    assert found.salinity is not None
    assert found.learned.salinity_at_mark is not None
    gone = 0.0 if found.evaporated is None else found.evaporated.value
    return found.net.value - gone, found.salinity.value, found.learned.salinity_at_mark


def test_below_the_mark_a_change_takes_out_water_as_salty_as_it_is_by_then() -> None:
    """35.0 when full on day 38; on day 42 some 6 of 86 L have gone, so that it has 37.6.

    20 L of 34.5 in place of 20 L of 37.6 make (60 x 37.6 + 20 x 34.5) / 80 = 36.8. What is taken
    out as if it still had 35.0 would leave 0.6 more in the tank.
    """
    rows = [*FILLS, (38, psu(35.0))]
    litres, before, _ = stands(water(rows, 42))
    assert litres == pytest.approx(80.0, abs=1.0)
    assert before == pytest.approx(37.6, abs=0.15)

    after = water([*rows, (42, WaterChange(20.0, salinity=34.5))], 42)

    left, now, full = stands(after)
    assert left == pytest.approx(litres)
    assert now == pytest.approx(((litres - 20.0) * before + 20.0 * 34.5) / litres, abs=0.01)
    # Filled up, the same salt is in all of the water.
    assert full == pytest.approx(now * litres / stands(water(rows, 38))[0], rel=0.002)


def test_a_change_at_the_mark_mixes_the_shares_of_both_waters() -> None:
    """20 L of some 86 L that have 35.0 are replaced by as much of 33.0, right after the fill."""
    rows = [*FILLS, (38, psu(35.0)), (38, WaterChange(20.0, salinity=33.0))]
    litres, now, full = stands(water(rows, 38))

    assert now == full == pytest.approx(35.0 + 20.0 / litres * (33.0 - 35.0), abs=1e-3)


def test_fresh_water_in_place_of_salt_water_counts_by_its_mass() -> None:
    """300 L come from 37 to 35 by 16.64 L of fresh water; by litres 16.22 L would be enough.

    Worked from the densities of Millero & Poisson 1981 at 25 degC, 1024.85 kg/m3 at 37 and 997.05
    of fresh water: 37 (300 - x) 1.02485 = 35 ((300 - x) 1.02485 + x 0.99705).
    """
    rows = [*FILLS, (38, psu(37.0))]
    litres, *_ = stands(water(rows, 38))
    swapped = 16.64 / 300.0 * litres

    _, now, full = stands(water([*rows, (38, WaterChange(swapped, salinity=0.0))], 38))

    assert now == full == pytest.approx(35.0, abs=2e-3)


def test_the_next_measured_fill_tells_how_much_was_missing_when_water_was_changed() -> None:
    """12 L went in right after it, so that 12 L were missing, and not the 3 that were expected."""
    rows = [*FILLS, (38, psu(35.0)), (40, WaterChange(20.0, salinity=34.5)), (40, TopOff(12.0))]
    litres, _, full = stands(water(rows, 40))
    salt = litres * 35.0
    salt += 20.0 * 34.5 - 20.0 * salt / (litres - 12.0)

    assert full == pytest.approx(salt / litres, abs=0.06)


def test_a_whole_change_leaves_nothing_of_the_old_salt() -> None:
    """All that is there goes out and as much of 34.0 goes in: that is what the tank has then."""
    rows = [*FILLS, (38, psu(36.0))]
    litres, _, _ = stands(water(rows, 42))

    _, now, _ = stands(water([*rows, (42, WaterChange(litres, salinity=34.0))], 42))

    assert now == pytest.approx(34.0, abs=0.02)


@pytest.mark.parametrize("added_l", [17.0, 22.0])
def test_other_litres_in_than_out_bring_their_own_salt(added_l: float) -> None:
    """Of 37.6 some 80 L are there; 20 L go out, and 17 or 22 L of 34.5 go in."""
    rows = [*FILLS, (38, psu(35.0))]
    litres, before, _ = stands(water(rows, 42))

    after = water([*rows, (42, WaterChange(20.0, added_l, 34.5))], 42)

    left, now, _ = stands(after)
    assert left == pytest.approx(litres - 20.0 + added_l)
    assert now == pytest.approx(((litres - 20.0) * before + added_l * 34.5) / left, abs=0.02)


def test_what_goes_in_beyond_the_mark_makes_the_water_no_saltier() -> None:
    """A tank at its mark takes 20 L of 35.0 for 15 L of 35.0: it has 35.0 as before."""
    rows = [*FILLS, (38, psu(35.0)), (38, WaterChange(15.0, 20.0, 35.0))]

    assert stands(water(rows, 38))[1] == pytest.approx(35.0, abs=1e-9)


def test_the_span_after_a_change_is_that_of_mixing_the_span_before_it() -> None:
    """More that had gone means saltier water, of which the same litres take out more salt.

    So each end is mixed like the middle, from the litres that are there by that loss.
    """
    rows = FILLS[:4]
    was = water(rows, 9)
    assert was.evaporated is not None
    assert was.salinity is not None
    assert was.net is not None

    now = water([*rows, (9, WaterChange(20.0, salinity=34.5))], 9).salinity
    assert now is not None

    litres = was.net.value - was.evaporated.high
    mixed = ((litres - 20.0) * was.salinity.high + 20.0 * 34.5) / litres
    assert now.high == pytest.approx(mixed, abs=0.3)
    assert now.low <= now.value <= now.high < was.salinity.high
    assert now.high - now.value < was.salinity.high - was.salinity.value


def test_of_a_reading_below_the_mark_unsure_is_only_what_went_since() -> None:
    """Right after the salinity was read the meter's 0.3 is all that a change leaves unsure."""
    rows = [*FILLS[:2], (12, psu(36.5)), (12, WaterChange(20.0, salinity=34.5))]
    litres, now, _ = stands(water(rows, 12))
    found = water(rows, 12).salinity
    assert found is not None

    assert now == pytest.approx(((litres - 20.0) * 36.5 + 20.0 * 34.5) / litres, abs=0.02)
    assert found.high - found.value == pytest.approx(0.3, abs=0.02)
    assert found.value - found.low == pytest.approx(0.3, abs=0.02)


@example(read_psu=36.0, new_psu=35.0, after=20, litres=0.6, added_l=None)
@given(
    read_psu=st.floats(0.0, 42.0),
    new_psu=st.floats(0.0, 42.0),
    after=st.integers(0, 200),
    litres=st.floats(0.1, 200.0),
    added_l=st.none() | st.floats(0.0, 200.0),
)
def test_whatever_is_changed_however_late_leaves_a_salinity_that_can_be(
    read_psu: float, new_psu: float, after: int, litres: float, added_l: float | None
) -> None:
    """Also where more has evaporated by then than the formulas of sea water hold for."""
    change = WaterChange(litres, added_l, new_psu)
    found = water([*FILLS, (38, psu(read_psu)), (38 + after, change)], 38 + after)

    assert found.salinity is not None
    assert found.learned.salinity_at_mark is not None
    assert 0.0 <= found.learned.salinity_at_mark <= 42.0
    assert found.salinity.low <= found.salinity.value <= found.salinity.high


def test_a_tank_that_its_reservoir_keeps_full_loses_as_much_salt_as_at_the_mark() -> None:
    """Two days after it was filled the reservoir still holds water: nothing is missing."""
    tank = a_box(target_salinity=35.0, top_off=TopOffLimits(reservoir_l=20.0))
    filled: list[tuple[int, Fact]] = [
        (4 * number, ReservoirCheck(fill_l=6.0)) for number in range(10)
    ]
    rows = [*filled, (38, psu(35.0)), (38, WaterChange(20.0, salinity=33.0))]
    found = water(rows, 38, tank)
    assert found.net is not None

    assert found.learned.salinity_at_mark == pytest.approx(35.0 - 40.0 / found.net.value, abs=1e-3)


def test_a_limit_that_even_the_low_end_of_the_salinity_is_past_is_surely_passed() -> None:
    """Two fills tell little of the loss, of which 2 L were made up for; but 36.2 were read since.

    That is more than 35.5, and than the 0.3 that a reading may be wrong. Without it a small loss
    since the mark would leave the tank within its limit for days.
    """
    rows = [*FILLS[:2], (5, TopOff(2.0, to_mark=False))]
    now = a_moment(FIRST + timedelta(days=6)).now

    for more, is_sure in (([], False), ([(6, psu(36.2))], True)):
        found = water([*rows, *more], 6, SALT_BINDS)
        assert found.limit.limit is Limit.SALINITY
        assert found.salinity is not None
        assert found.salinity_limit is not None
        assert (found.salinity.low > found.salinity_limit) is is_sure
        assert found.limit.is_surely_passed(now) is is_sure
        moments = found.limit.limit_at, found.limit.likely_at, found.limit.surely_at
        assert list(moments) == sorted(one for one in moments if one is not None)
