"""The air of a room, month by month."""

from __future__ import annotations

import calendar
from collections.abc import Iterable
from datetime import date

from tankkeeper.core.errors import UserFault, check_within
from tankkeeper.core.values import dataclass


@dataclass(frozen=True, slots=True)
class Air:
    """The air of a room: temperature, and relative humidity as a share of one."""

    temperature_c: float
    humidity: float


USUAL_AIR = Air(22.0, 0.5)


@dataclass(frozen=True, slots=True)
class ClimateRow:
    """The air of a room in the middle of a month, or all year where no month is named."""

    month: int | None = None
    temperature_c: float | None = None
    humidity: float | None = None


Climate = tuple[ClimateRow, ...]
_Series = list[tuple[int, float]]


def check_air(air: Air) -> None:
    """Refuse air that no room has, with a hint where a percentage stands for a share."""
    check_within("temperature", air.temperature_c, 0.0, 45.0)
    hint = "share_of_one" if 1.0 < air.humidity <= 100.0 else ""
    check_within("humidity", air.humidity, 0.0, 1.0, hint)


def check_climate(climate: Climate) -> None:
    """Refuse rows that cannot be, and two rows for one month."""
    for row in climate:
        if row.month is not None:
            check_within("month", row.month, 1, 12)
        check_air(usual_where_unknown(row.temperature_c, row.humidity))
    months = [row.month for row in climate]
    twice = next((month for month in months if months.count(month) > 1), None)
    if twice is not None:
        raise UserFault("month_given_twice", month=twice)


def climate_on(climate: Climate, on: date) -> Air | None:
    """Return the air on a day, between the months given, around the year.

    None where temperature or humidity is not known. What one row does not say, the others do; one
    row holds all year, and so does a row without a month where no month says more.
    """
    warmth, humidity = air_known_on(climate, on)
    return None if warmth is None or humidity is None else Air(warmth, humidity)


def air_known_on(climate: Climate, on: date) -> tuple[float | None, float | None]:
    """Return temperature and humidity on a day, each None where no row says it."""
    warmth, humidity = known_by_month(climate)
    return _between(warmth, on), _between(humidity, on)


def known_by_month(climate: Climate) -> tuple[_Series, _Series]:
    """Return what is known of temperature and of humidity, by month."""
    return (
        _known((row.month, row.temperature_c) for row in climate),
        _known((row.month, row.humidity) for row in climate),
    )


def _known(rows: Iterable[tuple[int | None, float | None]]) -> _Series:
    """Return the known values in the order of the months, those of all year where there is none."""
    known = [(month, value) for month, value in rows if value is not None]
    by_month = sorted((month, value) for month, value in known if month is not None)
    return by_month or [(1, value) for _, value in known]


def _between(series: _Series, on: date) -> float | None:
    if len(series) < 2:
        return series[0][1] if series else None
    days = 366 if calendar.isleap(on.year) else 365
    # In months from the middle of January, so that a whole number is the middle of a month.
    place = 12.0 * (on.timetuple().tm_yday - 0.5) / days + 0.5
    after = next((i for i, (month, _) in enumerate(series) if month > place), 0)
    (before, value), (later, other) = series[after - 1], series[after]
    share = ((place - before) % 12) / ((later - before) % 12)
    return value + share * (other - value)


def usual_where_unknown(temperature_c: float | None, humidity: float | None) -> Air:
    return Air(
        USUAL_AIR.temperature_c if temperature_c is None else temperature_c,
        USUAL_AIR.humidity if humidity is None else humidity,
    )


def mean_air(climate: Climate) -> Air:
    """Return the mean of what is known, the conditions that `climate_factor` refers to."""
    warmth, humidity = map(_mean, known_by_month(climate))
    return usual_where_unknown(warmth, humidity)


def _mean(series: _Series) -> float | None:
    return sum(value for _, value in series) / len(series) if series else None
