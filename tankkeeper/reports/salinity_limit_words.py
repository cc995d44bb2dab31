"""What the salinity to top off at follows from, in words."""

from __future__ import annotations

from tankkeeper.core.salinity_limit import LimitFrom, salinity_limit
from tankkeeper.core.tank_water import TankWater
from tankkeeper.reports.words import Words


def limit_from(water: TankWater, words: Words) -> str:
    """Return what the limit of the salinity follows from: it need not be the range of a test.

    Where that is the full tank, by which reading it is known: the next one may move the limit.
    """
    tank, full = water.tank, water.learned.salinity_at_mark
    found = salinity_limit(tank, water.learned)
    assert found is not None
    assert full is not None
    limit, begins = found
    if begins is LimitFrom.RANGE:
        return "the high end of its range"
    if begins is LimitFrom.LOWERING:
        return f"as far above the full tank as one top-off may lower it{_by_reading(water, words)}"
    if begins is LimitFrom.TARGET and tank.target_salinity is not None:
        target = tank.target_salinity
        return f"{words.salinity_step(target, limit - target)} above its target"
    step = words.salinity_step(full, limit - full)
    return f"{step} above the full tank{_by_reading(water, words)}"


def _by_reading(water: TankWater, words: Words) -> str:
    """Return what the full tank has, and by which reading; empty where nobody read it.

    It is reckoned from a reading that said otherwise: what was missing then, and what water was
    changed since.
    """
    full, at = water.learned.salinity_at_mark, water.learned.salinity_read_at
    if full is None or at is None:
        return ""
    told = words.salinity(full)
    of_salinity = (one for one in water.learned.readings if one[0].parameter == "salinity")
    read = next((words.salinity(value.value) for value, one in of_salinity if one.at == at), told)
    how = "by" if read == told else "reckoned from"
    return f", about {told} {how} the reading of {words.day_at(at, is_noun=True)}"
