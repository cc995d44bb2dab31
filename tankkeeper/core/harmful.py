"""Readings that harm animals for as long as they stand: told until a later one is better."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final

from tankkeeper.core.communities import Range
from tankkeeper.core.household import Animal, Stage, Tank
from tankkeeper.core.target_ranges import Side, side_of

# Common practice, no source: any ammonia that a test shows in a tank past its cycle is a warning.
# Nitrite harms sea fish far less than others, because chloride competes with it at the gills (Boyd
# 2014, Global Aquaculture Advocate), but it tells that the bacteria do not keep up.
POISONS: Final = ("ammonia", "nitrite")
# How far outside the range these are no longer merely off: by more than is brought back in a day.
# Common practice, no source, for the day's change; that it is the mark is a choice of this project.
_FAR_OUTSIDE: Final[Mapping[str, float]] = MappingProxyType({"temperature": 2.0, "salinity": 2.0})


def cycles_unstocked(tank: Tank, animals: Iterable[Animal]) -> bool:
    """Tell whether a tank cycles without animals: it is meant to have ammonia and nitrite then."""
    if tank.stage is not Stage.CYCLING:
        return False
    return not any(one.tank == tank.id and one.lost is None for one in animals)


def is_harmful(parameter: str, value: float, wanted: Range) -> bool:
    """Tell whether a value, in the stored unit, harms animals that are meant to have this range.

    >>> is_harmful("temperature", 31.0, Range(24.5, 26.5)), is_harmful("nitrate", 80, Range(1, 10))
    (True, False)
    """
    side = side_of(value, wanted)
    if parameter in POISONS:
        return side is Side.ABOVE
    far = _FAR_OUTSIDE.get(parameter)
    if far is None or side is None:
        return False
    low, high = wanted.low, wanted.high
    beyond = (low - value) if side is Side.BELOW and low is not None else value - (high or 0.0)
    return beyond > far
