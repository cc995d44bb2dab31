"""How a salinity above its range comes back into it, with the litres that it takes."""

from __future__ import annotations

from tankkeeper.core.balance import daily_salinity_steps, fresh_swap_l
from tankkeeper.core.communities import Range
from tankkeeper.core.harmful import Harm
from tankkeeper.core.household import DRY_STAGES
from tankkeeper.core.salinity_limit import LARGEST_LOWERING_PER_DAY, SALINITY, is_high_when_full
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.target_ranges import Side, side_of
from tankkeeper.core.told_salinity import HALF_STEP
from tankkeeper.reports.amount_words import about
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.outside_words import tank_range
from tankkeeper.reports.words import Words


def lowering_sentence(water: TankWater, words: Words) -> str:
    """Return what lowers a salinity that was read above its range, empty where that is not known.

    A tank whose water evaporated comes back by its top-off; one that is too salty when full does
    not: "About 12 L of fresh water in place of as much water of the full tank brings it to 35.0
    PSU; lower it by no more than 1.5 PSU a day."
    """
    full, wanted = water.learned.salinity_at_mark, tank_range(water.tank, "salinity")
    if full is None or wanted.high is None or water.tank.stage in DRY_STAGES:
        return ""
    if is_high_when_full(water.tank, water.learned) or side_of(full, wanted) is Side.ABOVE:
        return exchange_sentence(water, words)
    if water.tank.has_automatic_top_off:
        return ""
    return f"Filled to the mark it has about {words.salinity(full)}: topping off brings it back."


def lowering_of(one: Harm, water: TankWater, words: Words) -> str:
    """Return what can be done about a reading outside its range, empty for all but such a one."""
    name, value = one.value.parameter, one.value.value
    if name != SALINITY.name or side_of(value, tank_range(water.tank, name)) is not Side.ABOVE:
        return ""
    return lowering_sentence(water, words)


def exchange_sentence(water: TankWater, words: Words) -> str:
    """Return how much fresh water in place of its own lowers a tank that is too salty when full."""
    full, net = water.learned.salinity_at_mark, water.net
    if full is None or net is None:
        return ""
    to = _aim(water.tank.target_salinity, tank_range(water.tank, "salinity"))
    if to is None or full - to <= HALF_STEP:
        return ""
    steps = daily_salinity_steps(full, to, LARGEST_LOWERING_PER_DAY)
    # What the top-off lowers counts for its day: it has that for itself where more would be taken.
    by_filling = max(0.0, water.salinity.value - full) if water.salinity is not None else 0.0
    fills_first = by_filling + full - steps[0] > LARGEST_LOWERING_PER_DAY
    litres = about(net.scaled(fresh_swap_l(1.0, full, steps[0])), words)
    most = words.salinity_step(full - LARGEST_LOWERING_PER_DAY, LARGEST_LOWERING_PER_DAY)
    days = f" on each of {counted(len(steps), 'day', 'days')}" if len(steps) > 1 else ""
    how = f"lower it by no more than {most} a day"
    if by_filling > HALF_STEP:
        how += ", so top off the day before" if fills_first else ", the top-off included"
    if days:
        how += ", and read it before each"
    return (
        f"About {litres} of fresh water in place of as much water of the full tank{days} brings it "
        f"to {words.salinity(to)}; {how}."
    )


def _aim(target: float | None, wanted: Range) -> float | None:
    """Return the salinity to come to: the target, else the middle of the range."""
    if target is not None:
        return target
    if wanted.low is None or wanted.high is None:
        return wanted.high
    return (wanted.low + wanted.high) / 2.0
