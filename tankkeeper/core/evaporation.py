"""What a water surface loses by evaporation, from the air of the room and the water."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from enum import StrEnum

from tankkeeper.core.climate import (
    USUAL_AIR,
    Air,
    Climate,
    air_known_on,
    check_air,
    check_climate,
    climate_on,
    known_by_month,
    mean_air,
    usual_where_unknown,
)
from tankkeeper.core.errors import check_within, out_of_range
from tankkeeper.core.seawater import check_salinity, reference_salinity
from tankkeeper.core.values import dataclass

STANDARD_PRESSURE_PA = 101_325.0
# Lowering of vapour pressure per g/kg of sea salt: Robinson 1954 (from memory).
_ACTIVITY_PER_G_KG = 0.000537
# Vapour over dry air molar mass, and gas constant of dry air in J/(kg K): ASHRAE Handbook
# Fundamentals, psychrometrics.
_MASS_RATIO = 0.621945
_DRY_AIR_GAS = 287.042
_KELVIN = 273.15
_WATER_KG_PER_L = 0.99705
_LATENT_HEAT_KJ_PER_KG = 2441.7  # at 25 degC
_SECONDS_PER_DAY = 86_400.0
# The table of `climate_factors` has a row of 31 days for every month.
DAYS_IN_FACTOR_MONTH = 31

# Judgement, no source: what a cover holds back where it lies, and how a cabinet slows it.
COVER_EFFECT = {"open": 0.0, "mesh": 0.15, "lid": 0.9}
CABINET_FACTOR = 0.5
USUAL_WATER_C = 25.5
USUAL_SALINITY = 35.0
# Judgement, no source: standard deviation of the logarithm of the loss.
SD_ROOM_CLIMATE = 0.45
SD_AREA = 0.7
SD_VOLUME = 1.0
# Common practice, no source.
VOLUME_SHARE_PER_DAY = 0.01
# The season may move the loss this far from its reference before the model is not believed.
_SMALLEST_FACTOR, _LARGEST_FACTOR = 0.2, 5.0


class Agitation(StrEnum):
    """How broken the water surface is."""

    STILL = "still"
    USUAL = "usual"
    STRONG = "strong"


# Judgement, no source.
_AGITATION_FACTOR = {Agitation.STILL: 1.0, Agitation.USUAL: 1.3, Agitation.STRONG: 1.7}


@dataclass(frozen=True, slots=True)
class SurfacePart:
    """One open surface: its area, how broken it is, what covers it, and whether it is shut in."""

    area_m2: float
    agitation: Agitation = Agitation.USUAL
    covered: float = 0.0
    cover_effect: float = 0.0
    in_cabinet: bool = False


class PriorBasis(StrEnum):
    """What the first figure for a tank's loss rests on."""

    ROOM_CLIMATE = "room climate"
    AREA = "area"
    VOLUME = "volume"


@dataclass(frozen=True, slots=True)
class Prior:
    """The loss expected before anything was logged, and the spread of its logarithm."""

    loss_l_per_day: float
    sd_ln: float
    basis: PriorBasis


def saturation_pressure_pa(temperature_c: float) -> float:
    """Return the vapour pressure over pure water, Pa, 0-200 degC.

    Hyland & Wexler, ASHRAE Transactions 89(2A), 1983, as in the ASHRAE Handbook Fundamentals.
    """
    t = temperature_c + _KELVIN
    return math.exp(
        -5.8002206e3 / t
        + 1.3914993
        + t * (-4.8640239e-2 + t * (4.1764768e-5 - t * 1.4452093e-8))
        + 6.5459673 * math.log(t)
    )


def water_activity(practical_salinity: float) -> float:
    """Return by what the salt lowers the vapour pressure, 1 for fresh water."""
    check_salinity(practical_salinity)
    return 1.0 - _ACTIVITY_PER_G_KG * reference_salinity(practical_salinity)


def _dry_air_density(vapour_pa: float, temperature_c: float, pressure_pa: float) -> float:
    return (pressure_pa - vapour_pa) / (_DRY_AIR_GAS * (temperature_c + _KELVIN))


def _humidity_ratio(vapour_pa: float, pressure_pa: float) -> float:
    return _MASS_RATIO * vapour_pa / (pressure_pa - vapour_pa)


def undisturbed_kg_m2_h(
    water_c: float,
    air: Air,
    practical_salinity: float = USUAL_SALINITY,
    pressure_pa: float = STANDARD_PRESSURE_PA,
) -> float:
    """Return what a still, open surface loses, kg/(m2 h); 0 where the air is too moist.

    Shah, Methods for Calculation of Evaporation from Swimming Pools and Other Water Surfaces,
    ASHRAE Transactions 120(2), 2014 (formula from memory): the larger of natural and forced
    convection. The densities are those of dry air.
    """
    check_air(air)
    check_within("temperature", water_c, 5.0, 40.0)
    check_within("pressure", pressure_pa, 60_000.0, 110_000.0)
    over_water = water_activity(practical_salinity) * saturation_pressure_pa(water_c)
    in_room = air.humidity * saturation_pressure_pa(air.temperature_c)
    forced = 5e-5 * (over_water - in_room)
    if forced <= 0.0:
        return 0.0
    density = _dry_air_density(over_water, water_c, pressure_pa)
    rise = max(_dry_air_density(in_room, air.temperature_c, pressure_pa) - density, 0.0)
    moisture = _humidity_ratio(over_water, pressure_pa) - _humidity_ratio(in_room, pressure_pa)
    return max(35.0 * density * math.cbrt(rise) * moisture if rise else 0.0, forced)


def open_area_m2(parts: Sequence[SurfacePart]) -> float:
    """Return the still, open area that would lose as much as these surfaces."""
    total = 0.0
    for part in parts:
        if part.area_m2 <= 0.0:
            raise out_of_range("area_m2", part.area_m2, 0.0, 1e4, "more_than_zero")
        check_within("area_m2", part.area_m2, 0.0, 1e4)
        check_within("covered", part.covered, 0.0, 1.0)
        cabinet = CABINET_FACTOR if part.in_cabinet else 1.0
        bare = 1.0 - part.covered * part.cover_effect
        total += part.area_m2 * _AGITATION_FACTOR[part.agitation] * cabinet * bare
    return total


def surfaces_of(
    display_cm2: float | None,
    sump_cm2: float | None = None,
    *,
    cover: str = "open",
    covered: float | None = None,
    sump_in_cabinet: bool | None = None,
) -> tuple[SurfacePart, ...]:
    """Return the surfaces of a tank; cover is "open", "mesh" or "lid", over all unless said."""
    parts = []
    if display_cm2 is not None:
        share = 1.0 if covered is None else covered
        effect = COVER_EFFECT[cover]
        parts.append(SurfacePart(display_cm2 / 1e4, covered=share, cover_effect=effect))
    if sump_cm2 is not None:
        parts.append(SurfacePart(sump_cm2 / 1e4, in_cabinet=bool(sump_in_cabinet)))
    return tuple(parts)


def loss_l_per_day(
    parts: Sequence[SurfacePart],
    water_c: float,
    air: Air,
    *,
    practical_salinity: float = USUAL_SALINITY,
    air_speed_m_s: float = 0.0,
    pressure_pa: float = STANDARD_PRESSURE_PA,
) -> float:
    """Return the litres a tank loses a day by the model.

    The air speed acts as in the pool form of the ASHRAE Handbook, HVAC Applications (from
    memory), 0-5 m/s.
    """
    check_within("air_speed_m_s", air_speed_m_s, 0.0, 5.0)
    rate = undisturbed_kg_m2_h(water_c, air, practical_salinity, pressure_pa)
    wind = (0.089 + 0.0782 * air_speed_m_s) / 0.089
    return 24.0 * open_area_m2(parts) * rate * wind / _WATER_KG_PER_L


def heat_w(loss: float) -> float:
    """Return the watts that a loss of this many litres a day carries off."""
    return loss * _WATER_KG_PER_L * _LATENT_HEAT_KJ_PER_KG * 1000.0 / _SECONDS_PER_DAY


def prior_loss(
    parts: Sequence[SurfacePart],
    climate: Climate,
    on: date,
    *,
    volume_l: float | None = None,
    water_c: float | None = None,
    practical_salinity: float | None = None,
    air_speed_m_s: float | None = None,
    pressure_pa: float = STANDARD_PRESSURE_PA,
) -> Prior | None:
    """Return the loss to expect before anything was logged; None when nothing is known.

    With room climate, then with the area alone, then 1 % of the volume a day. Where the model
    expects no loss at all, the room's climate is not believed and the usual air is taken. Of air
    that is known in part, the usual value stands for the rest, with the spread of the area alone.
    """
    check_climate(climate)
    water = USUAL_WATER_C if water_c is None else water_c
    salinity = USUAL_SALINITY if practical_salinity is None else practical_salinity
    speed = 0.0 if air_speed_m_s is None else air_speed_m_s

    def by_model(air: Air) -> float:
        return loss_l_per_day(
            parts,
            water,
            air,
            practical_salinity=salinity,
            air_speed_m_s=speed,
            pressure_pa=pressure_pa,
        )

    air = climate_on(climate, on)
    if parts and air is not None and (loss := by_model(air)) > 0.0:
        return Prior(loss, SD_ROOM_CLIMATE, PriorBasis.ROOM_CLIMATE)
    in_part = usual_where_unknown(*air_known_on(climate, on))
    if parts and air is None and (loss := by_model(in_part)) > 0.0:
        return Prior(loss, SD_AREA, PriorBasis.AREA)
    if parts and (loss := by_model(USUAL_AIR)) > 0.0:
        # Here the air that is known was not believed.
        return Prior(loss, SD_VOLUME, PriorBasis.AREA)
    if volume_l is not None:
        check_within("volume", volume_l, 0.1, 100_000.0)
        return Prior(VOLUME_SHARE_PER_DAY * volume_l, SD_VOLUME, PriorBasis.VOLUME)
    return None


def climate_factor(
    climate: Climate,
    on: date,
    reference: Air | None = None,
    *,
    water_c: float = USUAL_WATER_C,
    practical_salinity: float = USUAL_SALINITY,
) -> float:
    """Return the loss on a day over that in `reference` air, by default the year's mean air.

    1 where the air is not known. Kept between a fifth and five: where the room is nearly saturated
    the model says almost nothing, and a factor of zero would make every logged litre a surprise.
    """
    air = climate_on(climate, on)
    if air is None:
        return 1.0
    still = undisturbed_kg_m2_h(water_c, reference or mean_air(climate), practical_salinity)
    if still <= 0.0:
        return 1.0
    ratio = undisturbed_kg_m2_h(water_c, air, practical_salinity) / still
    return min(max(ratio, _SMALLEST_FACTOR), _LARGEST_FACTOR)


def climate_factors(
    climate: Climate,
    *,
    water_c: float = USUAL_WATER_C,
    practical_salinity: float = USUAL_SALINITY,
) -> tuple[float, ...] | None:
    """Return the factor for every day of the year, for `factor_on`; None without a season.

    The model is asked once a month and the days between lie on straight lines, so that the
    table of a tank costs little when a long log is read.
    """
    check_climate(climate)
    warmth, humidity = known_by_month(climate)
    if not warmth or not humidity or len(warmth) + len(humidity) < 3:
        return None
    reference = mean_air(climate)
    middles = [
        climate_factor(
            climate,
            date(2023, month, 15),
            reference,
            water_c=water_c,
            practical_salinity=practical_salinity,
        )
        for month in range(1, 13)
    ]
    table = []
    for month, middle in enumerate(middles):
        for day in range(DAYS_IN_FACTOR_MONTH):
            away = (day - 14) / 30.5
            other = middles[(month + (1 if away > 0 else -1)) % 12]
            table.append(middle + abs(away) * (other - middle))
    return tuple(table)


def factor_on(factors: Sequence[float] | None, on: date) -> float:
    """Return the factor of a day from the table of `climate_factors`, 1 without a table."""
    if factors is None:
        return 1.0
    return factors[(on.month - 1) * DAYS_IN_FACTOR_MONTH + on.day - 1]
