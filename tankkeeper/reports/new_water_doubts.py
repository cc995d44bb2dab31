"""What is asked about new water whose salinity is unlike that of its tank."""

from __future__ import annotations

from tankkeeper.core.balance import salinity_after_swap
from tankkeeper.core.household import Tank
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.salinity_limit import LARGEST_LOWERING_PER_DAY, is_high_when_full
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.target_ranges import Side, range_of, side_of
from tankkeeper.core.told_cautions import NEW_WATER_STEP
from tankkeeper.core.told_salinity import HALF_STEP
from tankkeeper.core.usual_water import usual_water_c
from tankkeeper.reports.reading_doubts import unusual_words
from tankkeeper.reports.salinity_words import salinity_now
from tankkeeper.reports.words import Words

# A choice of this project: farther off it is water of another tank, or no salinity at all.
_OTHER_WATER = 2.0
# A move that is told as what the caution names is not beyond it.
_NEAR = NEW_WATER_STEP + HALF_STEP


def new_water_doubt(
    tank: Tank | None,
    salinity: float,
    litres: float | None,
    words: Words,
    water: TankWater | None,
    *,
    is_new: bool = True,
) -> str:
    """Return what is asked about new water: what it does to its tank tells more than a step off.

    With `is_new` its salinity was not asked about before.
    """
    far = new_water_words(tank, salinity, words, water, _OTHER_WATER) if is_new else ""
    moved = far or moved_salinity(tank, salinity, litres, words, water)
    return moved or (new_water_words(tank, salinity, words, water) if is_new else "")


def new_water_words(
    tank: Tank | None,
    salinity: float,
    words: Words,
    water: TankWater | None = None,
    near: float = _NEAR,
) -> str:
    """Return what is asked about the salinity of new water, empty where it suits the tank.

    It suits as `near` what the tank has by now or is meant to have, and what lies between: told is
    what it has where that rests on a reading, as the panel tells it. The caution of a change names
    how near that is, and litres that were typed as a salinity lie beyond it. Of a tank beyond its
    range weaker or stronger water brings it back; how far it moves at once is asked by
    `moved_salinity`.
    """
    has = _salinity_read(water)
    brings_back = has is not None and water is not None and _brings_back(water, has, salinity)
    # Fresh water in place of some of its own is what lowers a tank that is too salty.
    is_fresh = brings_back and salinity == 0.0
    asked = "" if is_fresh else unusual_words(PARAMETERS["salinity"], salinity, words)
    if asked or tank is None:
        return asked
    suits = [one for one in (has, tank.target_salinity) if one is not None]
    off = min((abs(salinity - one) for one in suits), default=0.0)
    if off <= near or min(suits) <= salinity <= max(suits):
        return ""
    if brings_back:
        return ""
    how = "far"
    if off <= _OTHER_WATER:
        how = f"more than {words.salinity_step(min(salinity, *suits), NEW_WATER_STEP)}"
    far = f"New water of {words.salinity(salinity)} is {how} from"
    if has is None or water is None:
        far = f"{far} the target of {tank.name}, {words.salinity(suits[0])}"
    else:
        far = f"{far} what {tank.name} has by now, {salinity_now(water, words)}"
    return f"{far}. Keep it if it was so."


def _brings_back(water: TankWater, has: float, salinity: float) -> bool:
    """Tell whether new water moves a tank that is beyond its range, or full at its end, inside."""
    if _is_high(water, has):
        return salinity < has
    return _side(water, has) is Side.BELOW and salinity > has


def _side(water: TankWater, salinity: float) -> Side | None:
    return side_of(salinity, range_of(water.tank, PARAMETERS["salinity"]))


def _is_high(water: TankWater, has: float) -> bool:
    """Tell whether a tank is above its range, or full at the end of it."""
    return _side(water, has) is Side.ABOVE or is_high_when_full(water.tank, water.learned)


def _is_advised(water: TankWater, before: float, after: float) -> bool:
    """Tell whether a tank that is too salty comes down by no more than it is told to in a day."""
    is_high = water.learned.salinity_is_read and _is_high(water, before)
    if not is_high or _side(water, after) is Side.BELOW:
        return False
    return 0.0 <= before - after <= LARGEST_LOWERING_PER_DAY + HALF_STEP


def moved_salinity(
    tank: Tank | None,
    salinity: float,
    litres: float | None,
    words: Words,
    water: TankWater | None,
) -> str:
    """Return what is asked where new water moves the salinity of its tank by more than is safe.

    By more at once than the caution of a change tells, and more than the advice for a tank that is
    too salty (`lowering_words`). `litres` are those swapped, for water of this `salinity`; nothing
    is asked where those or the water in the system are not known.
    """
    net = None if water is None else water.net
    has = _salinity_read(water)
    before = has if has is not None or tank is None else tank.target_salinity
    if tank is None or water is None or net is None or litres is None or before is None:
        return ""
    gone_l = 0.0 if water.evaporated is None else water.evaporated.value
    if not 0.0 < litres < net.value - gone_l:
        return ""
    after = salinity_after_swap(net.value - gone_l, before, litres, salinity, usual_water_c(tank))
    if abs(after - before) <= _NEAR or _is_advised(water, before, after):
        return ""
    new = f"{words.litres(litres)} of new water of {words.salinity(salinity)}"
    moves = f"from {words.salinity(before)} to {words.salinity(after)}"
    step = words.salinity_step(min(before, after), NEW_WATER_STEP)
    return f"{new} moves {tank.name} {moves} at once, by more than {step}. Keep it if it was so."


def _salinity_read(water: TankWater | None) -> float | None:
    """Return what the tank has by now, where that rests on a reading."""
    if water is None or water.salinity is None or not water.learned.salinity_is_read:
        return None
    return water.salinity.value
