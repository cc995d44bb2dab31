"""How much fresh water may go into a tank on one day."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tankkeeper.core.amounts import fresh_water_due, safe_of_spread_l, safe_share_l
from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.household import TopOffLimits
from tankkeeper.core.logbook import Readings, TopOff
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.tank_learning import learn
from tankkeeper.core.tank_water import TankWater, water_now
from tests.builders import a_box, a_moment, an_entry, day

FIRST = day("2026-03-02")
TANK = a_box(top_off=TopOffLimits(allowed_drop_mm=15.0))


def full_water(psu: float) -> TankWater:
    """Return the water of a tank of some 86 L that was read right after a fill."""
    rows = [
        *(
            an_entry(at + 1, FIRST + timedelta(days=2 * at), TopOff(3.0), tank="nook")
            for at in range(10)
        ),
        an_entry(
            20,
            FIRST + timedelta(days=18),
            Readings((ReadingValue("salinity", psu, "", psu),)),
            tank="nook",
        ),
    ]
    moment = a_moment(FIRST + timedelta(days=18))
    return water_now(TANK, learn(TANK, None, rows, FIRST), moment)


def water_after(days: int) -> TankWater:
    """Return the water of that tank some days later, of which nothing was topped off."""
    water = full_water(35.0)
    moment = a_moment(FIRST + timedelta(days=18 + days))
    return water_now(TANK, water.learned, moment)


def test_so_much_goes_in_on_a_day_as_lowers_the_salinity_by_one_and_a_half() -> None:
    """Salt stays: 35 / 33.5 times the mass of before is there once 1.5 PSU are gone.

    1.5 PSU a day is common practice, no source; a litre of fresh water weighs 0.997 kg, one of
    salinity 35 at 25.5 degC 1.023 kg (EOS-80, UNESCO 1983). What is more is spread so that each
    litre lowers it alike, which is a little less than that.
    """
    water = full_water(35.0)
    assert water.net is not None
    most = (35.0 / 33.5 - 1.0) * water.net.value * 1.023 / 0.997

    assert safe_share_l(water, 1.02 * most) is None
    assert safe_share_l(water, 1.4 * most) is None
    assert safe_share_l(water, 1.7 * most) == pytest.approx(most, rel=0.05)
    share = safe_share_l(water, 3.0 * most)
    assert share is not None
    assert share == pytest.approx(most, rel=0.1)


def test_of_what_is_spread_over_days_as_much_is_safe_on_one() -> None:
    """The share of a day is less: what is missing goes in by equal parts.

    In the full tank 1.5 PSU are lost as above; what is missing is counted from the salinity of the
    full tank, so that each litre lowers it alike.
    """
    water = water_after(3)
    assert water.net is not None
    assert water.evaporated is not None
    due = fresh_water_due(ChoreKind.TOP_OFF, water)
    assert due is not None
    assert due.whole is not None
    assert due.days == 2
    most = (35.0 / 33.5 - 1.0) * water.net.value * 1.023 / 0.997

    found = safe_of_spread_l(water)
    assert found is not None
    assert found == pytest.approx(most, rel=0.15)
    assert due.value < 0.9 * found < due.whole
    assert safe_of_spread_l(water_after(2)) is None


def test_nothing_is_too_fast_where_nobody_knows_or_a_reservoir_takes_it() -> None:
    """The pump puts it in as it evaporates."""
    water = full_water(35.0)
    kept_full = replace(TANK, top_off=TopOffLimits(reservoir_l=20.0))

    assert safe_share_l(replace(water, salinity=None), 40.0) is None
    assert safe_share_l(replace(water, tank=kept_full), 40.0) is None
    assert safe_share_l(water, 40.0) is not None
