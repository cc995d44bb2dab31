"""Readings that harm animals for as long as they stand: told until a later one is better."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final

from tankkeeper.core.communities import Range
from tankkeeper.core.household import Animal, Stage, Tank
from tankkeeper.core.logbook import Entry
from tankkeeper.core.parameters import PARAMETERS, ReadingValue
from tankkeeper.core.pauses import SLEEPING_STAGES
from tankkeeper.core.salinity_full import Poured
from tankkeeper.core.salinity_limit import SALINITY
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.target_ranges import Side, range_of, side_of
from tankkeeper.core.values import dataclass

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
    return not any(one.tank == tank.id and one.lives for one in animals)


@dataclass(frozen=True, slots=True)
class Harm:
    """A newest reading of a tank, one that harms what lives in it or lies outside its range."""

    value: ReadingValue
    entry: Entry
    # Of a salinity that is not as it was read any more, but reckoned since.
    is_reckoned: bool = False


def harms_of(
    tank: Tank, readings: Iterable[tuple[ReadingValue, Entry]], animals: Iterable[Animal]
) -> tuple[Harm, ...]:
    """Return which of the newest readings of a tank harm animals, until a later one does not.

    None of a tank that cycles without animals, or that rests.
    """
    if tank.stage in SLEEPING_STAGES or cycles_unstocked(tank, animals):
        return ()
    return tuple(
        Harm(value, entry)
        for value, entry in readings
        if is_harmful(value.parameter, value.value, range_of(tank, PARAMETERS[value.parameter]))
    )


def readings_outside(water: TankWater, animals: Iterable[Animal]) -> tuple[Harm, ...]:
    """Return the newest readings outside their range that harm nothing yet, as `harms_of` does.

    A tank that cycles without animals is meant to have ammonia and nitrite. Which counts no more,
    `is_over` says.
    """
    tank = water.tank
    if tank.stage in SLEEPING_STAGES:
        return ()
    expected: tuple[str, ...] = POISONS if cycles_unstocked(tank, animals) else ()
    found = []
    for value, entry in water.learned.readings:
        name, wanted = value.parameter, range_of(tank, PARAMETERS[value.parameter])
        fallen = fallen_to(value, water)
        if fallen is not None:
            found.append(Harm(ReadingValue(name, fallen, "", fallen), entry, is_reckoned=True))
            continue
        if side_of(value.value, wanted) is None or name in expected or is_over(value, water):
            continue
        if not is_harmful(name, value.value, wanted):
            found.append(Harm(value, entry))
    return tuple(found)


def is_over(value: ReadingValue, water: TankWater) -> bool:
    """Tell whether a newest reading outside its range counts no more, unless it harms.

    A salinity does not while it is reckoned inside, and never again once it was brought inside by
    water that went in since: what evaporates later is no news of that reading. All else is known
    only when it is read again.
    """
    wanted = range_of(water.tank, PARAMETERS[value.parameter])
    side = side_of(value.value, wanted)
    if value.parameter != SALINITY.name or side is None:
        return False
    if is_harmful(value.parameter, value.value, wanted):
        return False
    reckoned = water.salinity_now
    is_inside = reckoned is not None and side_of(reckoned, wanted) is None
    return is_inside or _was_brought_inside(side, wanted, water.learned.poured)


def fallen_to(value: ReadingValue, water: TankWater) -> float | None:
    """Return the practical salinity below its range to which water that went in brought a tank.

    None where it was read below, or where it may be inside by what is not known well.
    """
    wanted, now = range_of(water.tank, SALINITY), water.salinity
    if value.parameter != SALINITY.name or now is None or wanted.low is None:
        return None
    if side_of(value.value, wanted) is Side.BELOW or now.high >= wanted.low:
        return None
    return now.value


def reckoned_nearer(value: ReadingValue, water: TankWater) -> float | None:
    """Return the practical salinity that is reckoned now of a reading outside, None for no news.

    Where water that went in since brought it nearer to its range. What evaporated alone is no news,
    nor is it of a tank that was read too low and takes fresh water again.
    """
    side, psu = side_of(value.value, range_of(water.tank, SALINITY)), water.salinity_now
    poured = water.learned.poured
    if value.parameter != SALINITY.name or side is None or psu is None or not poured:
        return None
    if side is Side.ABOVE:
        return psu if psu < value.value else None
    return psu if min(psu, poured[-1].when_full) > value.value else None


def _was_brought_inside(side: Side, wanted: Range, poured: Iterable[Poured]) -> bool:
    """Tell whether water that went in brought a salinity inside its range.

    One that was too low must be inside when full: what evaporated alone would be back with the next
    fresh water.
    """
    psu = (one.now if side is Side.ABOVE else one.when_full for one in poured)
    return any(side_of(one, wanted) is None for one in psu)


def poisons_of(
    tank: Tank, readings: Iterable[tuple[ReadingValue, Entry]], animals: Iterable[Animal]
) -> tuple[Harm, ...]:
    """Return those of the harmful readings that a change of water thins out."""
    return tuple(one for one in harms_of(tank, readings, animals) if one.value.parameter in POISONS)


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
