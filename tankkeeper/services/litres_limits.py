"""Between which litres an entry is believed, so that one sentence can name both ends."""

from __future__ import annotations

from typing import NamedTuple

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.household import Tank
from tankkeeper.core.limits import HARD_RANGES
from tankkeeper.core.loss_filter import LARGEST_SHARE_OF_VOLUME
from tankkeeper.core.shown_digits import poured_value
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.units import Dimension, Quantity, in_unit, stored_value


class LitresLimits(NamedTuple):
    """The least and the most that is believed, and why no more.

    `slack` is how much more the most is as it is told in the household's unit: who types what
    stands in the sentence is believed.
    """

    low: float
    high: float
    why: str = ""
    slack: float = 0.0

    def refusal(self, litres: float, field: str = "litres") -> UserFault:
        """Return the fault for litres that are not believed."""
        return out_of_range(field, litres, self.low, self.high, self.why)

    def holds(self, litres: float) -> bool:
        """Tell whether litres are believed."""
        return self.low <= litres <= self.high + self.slack

    def check(self, litres: float, field: str = "litres") -> None:
        """Refuse litres outside."""
        if not self.holds(litres):
            raise self.refusal(litres, field)


NO_LIMITS = LitresLimits(HARD_RANGES["volume"].low, HARD_RANGES["volume"].high)


def checked_litres(litres: float, field_name: str = "litres") -> float:
    """Return litres that can be, or refuse them."""
    limits = HARD_RANGES["volume"]
    if not limits.low <= litres <= limits.high:
        raise out_of_range(field_name, litres, limits.low, limits.high)
    return litres


def within_tank(then: HouseholdState, tank_id: str | None, litres: float) -> float:
    """Return fresh litres that fit a tank, or refuse more than a quarter of its water."""
    litres_limits(then, ChoreKind.TOP_OFF, tank_id).check(litres)
    return litres


def within_reservoir(
    then: HouseholdState, tank_id: str | None, field_name: str, litres: float
) -> float:
    """Return litres that fit a reservoir, and the tank below it where that may have run dry."""
    limits = litres_limits(then, ChoreKind.RESERVOIR, tank_id)
    if limits.why:
        limits.check(litres, field_name)
    return litres


def checked_left(tank: Tank, left_l: float, unit: str) -> float:
    """Return litres that a reservoir can hold, or refuse them."""
    capacity = tank.top_off.reservoir_l
    if capacity is None:
        raise UserFault("no_reservoir", tank=tank.name)
    if not 0.0 <= left_l <= capacity + told_above(capacity, unit):
        raise out_of_range("left", left_l, 0.0, capacity, "reservoir_size")
    return min(left_l, capacity)


def litres_limits(state: HouseholdState, kind: ChoreKind, tank_id: str | None) -> LitresLimits:
    """Return the limits for litres of a top-off, a reservoir or a water change of a tank."""
    found = _limits(state, kind, tank_id)
    return found._replace(slack=told_above(found.high, state.household.units.volume))


def told_above(litres: float, unit: str) -> float:
    """Return how much more litres are as they are told: 20 L stand there as 5.3 US gallons."""
    told = stored_value(Quantity(poured_value(in_unit(litres, unit), unit), unit, Dimension.VOLUME))
    return max(0.0, told - litres)


def _limits(state: HouseholdState, kind: ChoreKind, tank_id: str | None) -> LitresLimits:
    water = state.waters.get(tank_id) if tank_id is not None else None
    if water is None:
        return NO_LIMITS
    net = None if water.net is None else water.net.value
    quarter = None if net is None else LARGEST_SHARE_OF_VOLUME * net
    if kind is ChoreKind.WATER_CHANGE and net is not None:
        return LitresLimits(NO_LIMITS.low, net, "whole_tank")
    if kind is ChoreKind.TOP_OFF and quarter is not None:
        return LitresLimits(NO_LIMITS.low, quarter, "quarter_of_volume")
    capacity = water.tank.top_off.reservoir_l
    if kind is not ChoreKind.RESERVOIR or capacity is None:
        return NO_LIMITS
    gone = water.evaporated
    if gone is None or quarter is None or gone.high <= 0.0:
        return LitresLimits(0.0, capacity, "reservoir_size")
    # The tank below it may have run dry as well.
    return LitresLimits(0.0, capacity + quarter, "reservoir_and_tank")
