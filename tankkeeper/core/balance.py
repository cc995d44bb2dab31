"""Salt and water of a tank kept in balance: top-off, correction, wet loss, reservoir.

Everything is worked out in mass: salinity in grams per kilogram times the mass of the water.
The temperature is taken as equal throughout a step.
"""

from __future__ import annotations

import math
from enum import StrEnum

from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.seawater import (
    USUAL_TEMPERATURE_C,
    K,
    check_salinity,
    density_kg_m3,
    fresh_density_kg_m3,
)
from tankkeeper.core.units import HARD_RANGES
from tankkeeper.core.values import dataclass

# Common practice, no source: one to two units a day; the careful end.
SAFE_SALINITY_STEP_PER_DAY = 1.0
LARGEST_SHARE_LOST = 0.20
_LOWEST_YIELD, _HIGHEST_YIELD = 0.5, 1.0
# Two readings of a salinity step, each good to 0.2.
_READING_ERROR = 0.2
SURE_STEP = 3.0


class Limit(StrEnum):
    """What makes a top-off due."""

    LEVEL = "level"
    SALINITY = "salinity"


@dataclass(frozen=True, slots=True)
class TopOffDue:
    """After how many days a top-off is due, and which limit says so; each limit by itself too."""

    days: float
    limited_by: Limit
    days_by_level: float | None
    days_by_salinity: float | None


@dataclass(frozen=True, slots=True)
class ReservoirDays:
    """How many days a reservoir lasts: expected, and to be safe."""

    expected: float
    safe: float


def _positive(field: str, value: float) -> None:
    if not 0.0 < value < math.inf:
        raise out_of_range(field, value, 0.0, 1e6, "more_than_zero")


def _water(volume_l: float, *salinities: float) -> None:
    _positive("volume_l", volume_l)
    for practical in salinities:
        check_salinity(practical)


def _higher(target: float, salinity: float) -> None:
    if target <= salinity:
        raise UserFault("target_not_higher", field="target_salinity", value=target, now=salinity)


def water_mass_kg(
    volume_l: float, practical_salinity: float, temperature_c: float = USUAL_TEMPERATURE_C
) -> float:
    """Return the mass of the water with its salt."""
    _water(volume_l, practical_salinity)
    return volume_l * density_kg_m3(practical_salinity, temperature_c) / 1000.0


def salt_mass_g(
    volume_l: float, practical_salinity: float, temperature_c: float = USUAL_TEMPERATURE_C
) -> float:
    """Return the grams of sea salt in the water."""
    return K * practical_salinity * water_mass_kg(volume_l, practical_salinity, temperature_c)


def salinity_after_evaporation(
    volume_l: float,
    salinity: float,
    evaporated_l: float,
    temperature_c: float = USUAL_TEMPERATURE_C,
) -> float:
    """Return the salinity after losing this much fresh water, with no top-off.

    >>> round(salinity_after_evaporation(300.0, 35.0, 3.0), 3)
    35.344
    """
    mass = water_mass_kg(volume_l, salinity, temperature_c)
    if not 0.0 <= evaporated_l < LARGEST_SHARE_LOST * volume_l:
        raise out_of_range("evaporated_l", evaporated_l, 0.0, LARGEST_SHARE_LOST * volume_l)
    lost = evaporated_l * fresh_density_kg_m3(temperature_c) / 1000.0
    return salinity * mass / (mass - lost)


def days_until_salinity(
    volume_l: float,
    salinity: float,
    highest_salinity: float,
    loss_l_per_day: float,
    temperature_c: float = USUAL_TEMPERATURE_C,
) -> float:
    """Return the days of evaporation until a salinity limit; 0 where it is reached already."""
    litres = litres_until_salinity(volume_l, salinity, highest_salinity, temperature_c)
    _positive("loss_l_per_day", loss_l_per_day)
    return litres / loss_l_per_day


def litres_until_salinity(
    volume_l: float,
    salinity: float,
    highest_salinity: float,
    temperature_c: float = USUAL_TEMPERATURE_C,
) -> float:
    """Return the litres that may evaporate before a salinity limit; 0 where it is reached."""
    mass = water_mass_kg(volume_l, salinity, temperature_c)
    check_salinity(highest_salinity)
    if highest_salinity <= salinity:
        return 0.0
    share = 1.0 - salinity / highest_salinity
    return 1000.0 * mass * share / fresh_density_kg_m3(temperature_c)


def litres_until_level(level_area_cm2: float, allowed_drop_mm: float) -> float:
    """Return the litres that may evaporate before the level has fallen this far."""
    _positive("level_area_cm2", level_area_cm2)
    _positive("allowed_drop_mm", allowed_drop_mm)
    return level_area_cm2 * allowed_drop_mm / 10_000.0


def top_off_due(
    loss_l_per_day: float,
    *,
    litres_by_level: float | None,
    litres_by_salinity: float | None,
) -> TopOffDue | None:
    """Return when a top-off is due and which limit binds; None where neither limit is known.

    The litres come from `litres_until_level` and `litres_until_salinity`, the loss should be
    the upper end of its span.
    """
    _positive("loss_l_per_day", loss_l_per_day)
    level = None if litres_by_level is None else litres_by_level / loss_l_per_day
    salt = None if litres_by_salinity is None else litres_by_salinity / loss_l_per_day
    if level is not None and (salt is None or level <= salt):
        return TopOffDue(level, Limit.LEVEL, level, salt)
    if salt is not None:
        return TopOffDue(salt, Limit.SALINITY, level, salt)
    return None


def fresh_swap_l(
    volume_l: float,
    salinity: float,
    target_salinity: float,
    temperature_c: float = USUAL_TEMPERATURE_C,
) -> float:
    """Return the litres of tank water to swap for as much fresh water, to lower the salinity."""
    _water(volume_l, salinity, target_salinity)
    if target_salinity >= salinity:
        raise UserFault(
            "target_not_lower", field="target_salinity", value=target_salinity, now=salinity
        )
    return _swap_l(volume_l, salinity, target_salinity, 0.0, temperature_c)


def salt_water_swap_l(
    volume_l: float,
    salinity: float,
    target_salinity: float,
    new_salinity: float,
    temperature_c: float = USUAL_TEMPERATURE_C,
) -> float:
    """Return the litres to swap for water of `new_salinity`, to raise or lower the salinity."""
    _water(volume_l, salinity, target_salinity)
    check_salinity(new_salinity, "new_salinity")
    if target_salinity == salinity:
        return 0.0
    if not min(salinity, new_salinity) < target_salinity < max(salinity, new_salinity):
        raise UserFault(
            "new_water_not_beyond_target",
            field="new_salinity",
            value=new_salinity,
            target=target_salinity,
            now=salinity,
        )
    return _swap_l(volume_l, salinity, target_salinity, new_salinity, temperature_c)


def _swap_l(volume_l: float, s0: float, s1: float, s_new: float, temperature_c: float) -> float:
    rho0, rho_new = density_kg_m3(s0, temperature_c), density_kg_m3(s_new, temperature_c)
    swapped = volume_l * rho0 * (s1 - s0) / (s_new * rho_new - s0 * rho0 + s1 * (rho0 - rho_new))
    if swapped >= volume_l:
        raise out_of_range("swapped_l", swapped, 0.0, volume_l)
    return swapped


def salinity_after_swap(
    volume_l: float,
    salinity: float,
    swapped_l: float,
    new_salinity: float,
    temperature_c: float = USUAL_TEMPERATURE_C,
) -> float:
    """Return the salinity after taking out and putting in `swapped_l`."""
    _water(volume_l, salinity)
    check_salinity(new_salinity, "new_salinity")
    if not 0.0 <= swapped_l < volume_l:
        raise out_of_range("swapped_l", swapped_l, 0.0, volume_l)
    return salinity_of_mixture(
        volume_l - swapped_l, salinity, swapped_l, new_salinity, temperature_c
    )


def salinity_of_mixture(
    left_l: float,
    salinity: float,
    added_l: float,
    new_salinity: float,
    temperature_c: float = USUAL_TEMPERATURE_C,
) -> float:
    """Return the salinity of water that is left with water added to it.

    The salt of both in the mass of both: salinity is a share of the mass, and litres of salt water
    weigh more than those of fresh water. What is left may have evaporated beyond the salinities for
    which the equation of density holds; a unit of it weighs 0.08 % of the water and no more, so
    that of their end is taken.
    """
    left = left_l * density_kg_m3(min(salinity, HARD_RANGES["salinity"].high), temperature_c)
    added = added_l * density_kg_m3(new_salinity, temperature_c)
    return (salinity * left + new_salinity * added) / (left + added)


def _check_yield(salt_yield: float) -> None:
    if not _LOWEST_YIELD <= salt_yield <= _HIGHEST_YIELD:
        raise out_of_range("salt_yield", salt_yield, _LOWEST_YIELD, _HIGHEST_YIELD)


def dry_salt_g(
    volume_l: float,
    salinity: float,
    target_salinity: float,
    salt_yield: float = 1.0,
    temperature_c: float = USUAL_TEMPERATURE_C,
) -> float:
    """Return the grams of dry product that raise the salinity; to be dissolved outside the tank.

    `salt_yield` is the dissolved sea salt in a gram of product, 0.5-1.
    """
    mass = water_mass_kg(volume_l, salinity, temperature_c)
    check_salinity(target_salinity)
    _check_yield(salt_yield)
    _higher(target_salinity, salinity)
    rise = K * (target_salinity - salinity)
    return 1000.0 * mass * rise / (1000.0 * salt_yield - K * target_salinity)


def salinity_after_dry_salt(
    volume_l: float,
    salinity: float,
    grams: float,
    salt_yield: float = 1.0,
    temperature_c: float = USUAL_TEMPERATURE_C,
) -> float:
    """Return the salinity after dissolving this much dry product; undoes `dry_salt_g`."""
    mass = water_mass_kg(volume_l, salinity, temperature_c)
    _check_yield(salt_yield)
    if not 0.0 <= grams < math.inf:
        raise out_of_range("grams", grams, 0.0, 1e6)
    salt_g = K * salinity * mass + salt_yield * grams
    after = salt_g / (mass + grams / 1000.0) / K
    check_salinity(after)
    return after


def volume_from_salt_step(
    grams: float,
    salinity: float,
    salinity_after: float,
    salt_yield: float = 1.0,
    temperature_c: float = USUAL_TEMPERATURE_C,
) -> Estimate:
    """Return the water in a system from the rise that a weighed amount of salt made.

    The span holds an error of 0.2 in each reading; below a rise of `SURE_STEP` it is wide.
    """
    _positive("grams", grams)
    check_salinity(salinity)
    check_salinity(salinity_after)
    _check_yield(salt_yield)
    _higher(salinity_after, salinity)
    step = salinity_after - salinity
    density = density_kg_m3(salinity, temperature_c)
    volume = grams * (1000.0 * salt_yield - K * salinity_after) / (K * density * step)
    error = _READING_ERROR * math.sqrt(2.0)
    if step <= error:
        raise out_of_range("salinity_after", salinity_after, salinity + error, 42.0)
    return Estimate(volume, volume * step / (step + error), volume * step / (step - error))


def salinity_after_wet_loss(
    volume_l: float, salinity: float, wet_loss_l_per_day: float, days: float
) -> float:
    """Return the salinity after skimmate, spray or a leak was made up with fresh water.

    The small change of density is left out.
    """
    _water(volume_l, salinity)
    for field, value in (("wet_loss_l_per_day", wet_loss_l_per_day), ("days", days)):
        if not 0.0 <= value < math.inf:
            raise out_of_range(field, value, 0.0, 1e6)
    return salinity * math.exp(-wet_loss_l_per_day * days / volume_l)


def reservoir_days(usable_l: float, loss_l_per_day: Estimate) -> ReservoirDays:
    """Return how long a top-off reservoir lasts, by the middle and by the upper loss."""
    if not 0.0 <= usable_l < math.inf:
        raise out_of_range("usable_l", usable_l, 0.0, 1e6)
    _positive("loss_l_per_day", loss_l_per_day.value)
    _positive("loss_l_per_day", loss_l_per_day.high)
    return ReservoirDays(usable_l / loss_l_per_day.value, usable_l / loss_l_per_day.high)


def daily_salinity_steps(
    salinity: float, target_salinity: float, most_per_day: float = SAFE_SALINITY_STEP_PER_DAY
) -> tuple[float, ...]:
    """Return the salinity to reach on each day, in equal steps no larger than `most_per_day`.

    >>> daily_salinity_steps(33.0, 35.0)
    (34.0, 35.0)
    """
    check_salinity(salinity)
    check_salinity(target_salinity)
    _positive("most_per_day", most_per_day)
    # A hair of slack, or 0.1 + 0.2 would cost a day more than 0.3.
    rise = target_salinity - salinity
    days = max(math.ceil(abs(rise) / most_per_day - 1e-9), 1) if rise else 0
    step = rise / days if days else 0.0
    return tuple(
        target_salinity if day == days else salinity + day * step for day in range(1, days + 1)
    )
