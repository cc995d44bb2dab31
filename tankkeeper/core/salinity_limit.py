"""Up to where the salinity of a tank may rise before a top-off is due, and why."""

from __future__ import annotations

from enum import StrEnum
from operator import itemgetter

from tankkeeper.core.balance import litres_until_salinity
from tankkeeper.core.evaporation import factor_on
from tankkeeper.core.household import Tank
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.tank_learning import Learned
from tankkeeper.core.target_ranges import range_of
from tankkeeper.core.told_salinity import HALF_STEP
from tankkeeper.core.usual_water import usual_water_c
from tankkeeper.core.water_lost import lasting_days

# Engineering judgement, no source: a salinity may rise this far before a top-off is due.
DEFAULT_SALINITY_RISE = 0.5
# Common practice, no source: salinity may be lowered by this much in one day.
LARGEST_LOWERING_PER_DAY = 1.5
# A choice of this project: nobody can top off more often than in each round.
_LEAST_DAYS = 1.0
# A choice of this project: with more room than half the usual rise below the end of the range, it
# is no full tank that is too salty, but a loss that is large for it.
_MOST_ROOM = 0.5 * DEFAULT_SALINITY_RISE
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
    amiss. It does not rise beyond its range, unless the full tank is there already, or so near
    that it would be there again before the next round; of a tank that has no range of its own the
    rise wins that was set for it.
    """
    found, high = _by_rise(tank, learned), _binding_end(tank)
    if found is None or high is None or high >= found[0]:
        return found
    return found if is_high_when_full(tank, learned) else (high, LimitFrom.RANGE)


def _by_rise(tank: Tank, learned: Learned) -> tuple[float, LimitFrom] | None:
    """Return up to where the salinity may rise, whatever the range of the tank."""
    full = learned.salinity_at_mark
    if full is None:
        return None
    rise = allowed_rise(tank)
    target = tank.target_salinity if tank.target_salinity is not None else full
    by_target = min(
        (target + rise, LimitFrom.TARGET), (full + LARGEST_LOWERING_PER_DAY, LimitFrom.LOWERING)
    )
    limit, begins = max((full + rise, LimitFrom.FULL), by_target, key=itemgetter(0))
    return min(42.0, limit), begins


def is_past_when_full(tank: Tank, learned: Learned) -> bool:
    """Tell whether the full tank is as salty as its range allows: fresh water does not help it."""
    full, high = learned.salinity_at_mark, _highest(tank)
    return full is not None and high is not None and full > high - HALF_STEP


def is_high_when_full(tank: Tank, learned: Learned) -> bool:
    """Tell whether the full tank is so salty that fresh water does not help it, or not for a day.

    Then what it has when full is to be lowered; topping off is no means against it.
    """
    if is_past_when_full(tank, learned):
        return True
    full, high = learned.salinity_at_mark, _binding_end(tank)
    if full is None or high is None or high - full > _MOST_ROOM:
        return False
    return _is_there_within_a_day(tank, learned, high)


def _is_there_within_a_day(tank: Tank, learned: Learned, high: float) -> bool:
    """Tell whether what may evaporate in a day takes the full tank to the end of its range."""
    full, net, mark = learned.salinity_at_mark, learned.net, learned.log.mark
    if tank.has_automatic_top_off or full is None or full <= 0.0 or net is None:
        return False
    if learned.state is None or mark is None:
        return False
    litres = litres_until_salinity(net.value, full, high, usual_water_c(tank))
    lasts = lasting_days(learned, litres, factor_on(learned.factors, mark.day))
    return lasts is None or lasts < _LEAST_DAYS


def _binding_end(tank: Tank) -> float | None:
    """Return the high end of the range beyond which a tank is not let rise, None without one."""
    is_bound = _has_own_range(tank) or not tank.top_off.allowed_salinity_rise
    return _highest(tank) if is_bound else None


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
