"""Who types the most that a sentence in gallons tells is believed."""

from __future__ import annotations

import pytest

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.history import history_of
from tankkeeper.core.household import ShownUnits, TopOffLimits
from tankkeeper.core.state import fold_household
from tankkeeper.core.units import US_GALLON_L
from tankkeeper.services.litres_limits import checked_left, litres_limits
from tests.builders import a_box, a_household, a_moment


def test_a_reservoir_holds_as_much_as_is_told_of_it() -> None:
    """20 L are told as 5.3 US gallons, which are 20.06 L; what is kept as left in it are its 20."""
    tank = a_box("Reef", top_off=TopOffLimits(reservoir_l=20.0))
    house = a_household(tanks=(tank,), units=ShownUnits("US gal"))
    state = fold_household(house, history_of(()), a_moment("2026-03-12").now)
    limits = litres_limits(state, ChoreKind.RESERVOIR, "reef")

    assert limits.high == 20.0
    assert limits.holds(5.3 * US_GALLON_L)
    assert not limits.holds(5.4 * US_GALLON_L)
    assert checked_left(tank, 5.3 * US_GALLON_L, "US gal") == 20.0
    with pytest.raises(UserFault):
        checked_left(tank, 5.4 * US_GALLON_L, "US gal")


def test_in_litres_the_most_is_the_most() -> None:
    """20.06 L do not go into 20."""
    tank = a_box("Reef", top_off=TopOffLimits(reservoir_l=20.0))
    state = fold_household(a_household(tanks=(tank,)), history_of(()), a_moment("2026-03-12").now)
    assert not litres_limits(state, ChoreKind.RESERVOIR, "reef").holds(20.06)
    with pytest.raises(UserFault):
        checked_left(tank, 20.06, "L")
