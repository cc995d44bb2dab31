"""The water of a tank with its sump, by the sizes that are set down of it."""

from __future__ import annotations

from tankkeeper.core.errors import UserFault
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.household import Tank
from tankkeeper.core.volume import net_water


def net_of(tank: Tank) -> Estimate | None:
    """Return the water of a tank, None where too little is known; refuse sizes that cannot be."""
    return net_water(tank.shape, tank.displaced, tank.sump)


def net_if_sound(tank: Tank) -> Estimate | None:
    """Return the water of a tank, None also where its sizes cannot be: that is told elsewhere."""
    try:
        return net_of(tank)
    except UserFault:
        return None
