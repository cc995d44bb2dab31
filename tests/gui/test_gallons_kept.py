"""Fields show gallons as a bucket does, and what nobody touches is kept to its last digit."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankkeeper.core.household import Household, ShownUnits, TopOffLimits
from tankkeeper.core.logbook import TopOff
from tankkeeper.core.units import US_GALLON_L
from tests.gui.conftest import LiveIn
from tests.gui.round_house import small_house
from tests.gui.setting_hands import go
from tests.gui.test_tank_page import open_page, tanks, write


def gallons(**top_off: float) -> Household:
    """Return the small house in US gallons, with a reservoir at its first tank."""
    house = small_house(units=ShownUnits("US gal", "degF"))
    reef, nook = house.tanks
    return replace(house, tanks=(replace(reef, top_off=TopOffLimits(**top_off)), nook))


def test_a_reservoir_of_20_litres_stands_there_as_5_3_gallons(live_in: LiveIn) -> None:
    """And has 20 L still once another field of the page was kept."""
    hands = live_in(gallons(reservoir_l=20.0, reserve_l=0.12))
    desk = open_page(hands)
    fields = desk.sheet.fields
    assert fields["top_off.reservoir_l"].typed.text == "5.3"
    # 0.12 / 3.785 = 0.0317.
    assert fields["top_off.reserve_l"].typed.text == "0.032"
    assert not desk.sheet.is_changed

    go(hands, desk, "shape.water_depth_cm")
    write(hands, "10")
    hands.press("Ctrl+Return")

    reef = tanks(hands)["reef"]
    assert reef.shape.water_depth_cm == pytest.approx(25.4)
    assert (reef.top_off.reservoir_l, reef.top_off.reserve_l) == (20.0, 0.12)


@pytest.mark.parametrize("typed", ["5.28", "5.25", "5.3", "120.5"])
def test_what_is_typed_in_gallons_stands_there_as_typed(live_in: LiveIn, typed: str) -> None:
    """Also where a bucket does not show so much, and where the text is the one that stood there."""
    hands = live_in(gallons(reservoir_l=40.0))
    desk = open_page(hands)
    go(hands, desk, "top_off.reservoir_l")
    write(hands, typed)
    hands.press("Ctrl+Return")

    assert tanks(hands)["reef"].top_off.reservoir_l == pytest.approx(float(typed) * US_GALLON_L)
    hands.press("Esc", "F2")
    desk = hands.window.morning.settling.tank
    assert desk.sheet.fields["top_off.reservoir_l"].typed.text == typed


@pytest.mark.parametrize(
    ("length_cm", "shown"), [(80.0, "31.5"), (25.0, "9.84"), (25.7175, "10.125"), (50.8, "20")]
)
def test_lengths_stand_in_inches_as_a_rule_tells_them(
    live_in: LiveIn, length_cm: float, shown: str
) -> None:
    """80 / 2.54 = 31.49606; 25.7175 cm are 10 1/8 in. Untouched, the centimetres are kept."""
    house = gallons()
    reef, nook = house.tanks
    reef = replace(reef, shape=replace(reef.shape, length_cm=length_cm))
    hands = live_in(replace(house, tanks=(reef, nook)))
    desk = open_page(hands)
    assert desk.sheet.fields["shape.length_cm"].typed.text == shown
    assert not desk.sheet.is_changed

    go(hands, desk, "shape.water_depth_cm")
    write(hands, "10")
    hands.press("Ctrl+Return")

    shape = tanks(hands)["reef"].shape
    assert (shape.length_cm, shape.water_depth_cm) == (length_cm, pytest.approx(25.4))


def test_a_correction_of_a_note_leaves_the_litres_alone(live_in: LiveIn) -> None:
    """1.5 L are proposed and stand as 0.4 gallons in the correction."""
    hands = live_in(gallons())
    hands.go_to("fill")
    hands.press("Return", "Return")
    kept = hands.log()[0].entry.fact
    assert isinstance(kept, TopOff)
    hands.press("Ctrl+6", "Home", "Return")
    form = hands.form()
    assert form.quantities["litres"].text == "0.4"

    form.note.setPlainText("slowly")
    hands.press("Ctrl+Return")

    entry = hands.log()[0].entry
    assert (entry.fact, entry.note) == (kept, "slowly")
