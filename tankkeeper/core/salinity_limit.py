"""Up to where the salinity of a tank may rise before a top-off is due, and why."""

from __future__ import annotations

from enum import StrEnum
from operator import itemgetter

from tankkeeper.core.household import Tank
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.tank_learning import Learned
from tankkeeper.core.target_ranges import range_of

# Engineering judgement, no source: a salinity may rise this far before a top-off is due.
DEFAULT_SALINITY_RISE = 0.5
# Common practice, no source: salinity may be lowered by this much in one day.
LARGEST_LOWERING_PER_DAY = 1.5
# Half the step in which a salinity is told: nearer to an end of its range it is told as that end.
_AT_THE_END = 0.05
SALINITY = PARAMETERS["salinity"]


class LimitFrom(StrEnum):
    """What the limit of the salinity is counted from."""

    FULL = "the full tank"
    TARGET = "the target"
    LOWERING = "what one top-off may lower"
    RANGE = "the high end of the range"


def salinity_limit(tank: Tank, learned: Learned) -> tuple[float, LimitFrom] | None:
    """Return up to where the salinity may rise before a top-off, and what that follows from.

    By the rise from what it is in a full tank. One that is kept below its target may rise beyond
    the target by as much, as far as a single top-off may lower it again: at its target nothing is
    amiss. It does not rise beyond its range, unless the full tank is there already; of a tank that
    has no range of its own the rise wins that was set for it.
    """
    full = learned.salinity_at_mark
    if full is None:
        return None
    rise = allowed_rise(tank)
    target = tank.target_salinity if tank.target_salinity is not None else full
    by_target = min(
        (target + rise, LimitFrom.TARGET), (full + LARGEST_LOWERING_PER_DAY, LimitFrom.LOWERING)
    )
    limit, begins = max((full + rise, LimitFrom.FULL), by_target, key=itemgetter(0))
    high = _highest(tank)
    is_bound = _has_own_range(tank) or not tank.top_off.allowed_salinity_rise
    if is_bound and high is not None and high < limit and not is_high_when_full(tank, learned):
        return high, LimitFrom.RANGE
    return min(42.0, limit), begins


def is_high_when_full(tank: Tank, learned: Learned) -> bool:
    """Tell whether the full tank is as salty as its range allows: fresh water does not help it."""
    full, high = learned.salinity_at_mark, _highest(tank)
    return full is not None and high is not None and full > high - _AT_THE_END


def _has_own_range(tank: Tank) -> bool:
    return any(one.parameter == SALINITY.name for one in tank.ranges)


def _highest(tank: Tank) -> float | None:
    """Return the high end of the range of the salinity; None where the tank's target is no lower.

    What the keeper aims at wins.
    """
    high, target = range_of(tank, SALINITY).high, tank.target_salinity
    return None if high is None or (target is not None and target >= high) else high


def allowed_rise(tank: Tank) -> float:
    """Return by how much the salinity of a tank may rise before a top-off is due."""
    return tank.top_off.allowed_salinity_rise or DEFAULT_SALINITY_RISE
