"""The parameters of the water that can be measured, and the reading of one from text."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from types import MappingProxyType
from typing import cast

from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.seawater import practical_salinity_from, salinity_in_unit
from tankkeeper.core.units import (
    HARD_RANGES,
    STORED_UNIT,
    Dimension,
    Limits,
    Quantity,
    in_unit,
    parse_quantity,
    stored_value,
)
from tankkeeper.core.values import dataclass


@dataclass(frozen=True, slots=True)
class Parameter:
    """One thing that can be measured; its limits are in the stored unit."""

    name: str
    display: str
    dimension: Dimension
    limits: Limits

    @property
    def stored_unit(self) -> str:
        """The unit in which its values are kept."""
        return STORED_UNIT[self.dimension]


# Limits that no table names are choices of this project: wide enough for any test, narrow
# enough to catch a slip of the decimal sign. Ammonia counts all of it, as nitrogen.
_TABLE = (
    Parameter("temperature", "Temperature", Dimension.TEMPERATURE, HARD_RANGES["temperature"]),
    Parameter("salinity", "Salinity", Dimension.SALINITY, HARD_RANGES["salinity"]),
    Parameter("ph", "pH", Dimension.PH, HARD_RANGES["ph"]),
    Parameter("ammonia", "Ammonia", Dimension.CONCENTRATION, Limits(0.0, 50.0)),
    Parameter("nitrite", "Nitrite", Dimension.CONCENTRATION, Limits(0.0, 100.0)),
    Parameter("nitrate", "Nitrate", Dimension.CONCENTRATION, Limits(0.0, 1000.0)),
    Parameter("phosphate", "Phosphate", Dimension.CONCENTRATION, Limits(0.0, 50.0)),
    Parameter("alkalinity", "Alkalinity", Dimension.ALKALINITY, Limits(0.0, 50.0)),
    Parameter("calcium", "Calcium", Dimension.CONCENTRATION, Limits(0.0, 2000.0)),
    Parameter("magnesium", "Magnesium", Dimension.CONCENTRATION, Limits(0.0, 5000.0)),
)
PARAMETERS: Mapping[str, Parameter] = MappingProxyType({entry.name: entry for entry in _TABLE})


# What keepers and test kits call them for short; common practice, no source. A tank file has the
# full names alone.
SHORT_NAMES: Mapping[str, str] = MappingProxyType(
    {
        "kh": "alkalinity",
        "alk": "alkalinity",
        "ca": "calcium",
        "mg": "magnesium",
        "no2": "nitrite",
        "no3": "nitrate",
        "po4": "phosphate",
        "nh3": "ammonia",
        "nh4": "ammonia",
        "sal": "salinity",
        "sg": "salinity",
        "temp": "temperature",
    }
)
# A bare number of a specific gravity is one, whatever else a salinity is shown in.
_OWN_UNIT: Mapping[str, str] = MappingProxyType({"sg": "sg 25/25"})


@dataclass(frozen=True, slots=True)
class ReadingValue:
    """One measured value in its stored unit, with number and unit as they were typed."""

    parameter: str
    value: float
    unit: str
    typed: float
    sample_temperature_c: float | None = None


def find_parameter(name: str) -> Parameter:
    """Return the parameter called `name`, upper and lower case alike."""
    known = PARAMETERS.get(name.strip().casefold())
    if known is None:
        near = difflib.get_close_matches(name.strip().casefold()[:60], PARAMETERS, n=1, cutoff=0.5)
        raise UserFault("unknown_parameter", name=name[:60], nearest=near[0] if near else None)
    return known


def full_name(name: str) -> str:
    """Return the name of a parameter that may be typed in short: "alkalinity" for "KH"."""
    typed = name.strip().casefold()
    return SHORT_NAMES.get(typed, typed)


def own_unit(name: str, usual: str | None = None) -> str | None:
    """Return the unit of a bare number beside a name as it was typed, `usual` for most."""
    own = _OWN_UNIT.get(name.strip().casefold())
    return usual if own is None or (usual or "").startswith("sg ") else own


def to_stored(quantity: Quantity) -> float:
    """Return a quantity of any dimension in its stored unit."""
    if quantity.dimension is Dimension.SALINITY:
        return practical_salinity_from(quantity)
    return stored_value(quantity)


def from_stored(
    value: float, dimension: Dimension, unit: str, sample_temperature_c: float | None = None
) -> float:
    """Return a value in the stored unit as a number of `unit`; the inverse of `to_stored`."""
    if dimension is Dimension.SALINITY:
        return salinity_in_unit(value, unit, sample_temperature_c)
    return in_unit(value, unit)


def parse_reading(name: str, text: str, default_unit: str | None = None) -> ReadingValue:
    """Return the reading of parameter `name` in `text`, a bare number in `default_unit`."""
    parameter = find_parameter(name)
    unit = parameter.stored_unit if default_unit is None else default_unit
    try:
        quantity = parse_quantity(text, parameter.dimension, unit)
    except UserFault as refused:
        if refused.code != "out_of_range" or not _is_narrower(parameter):
            raise
        typed = cast(float, refused.values["value"])
        raise _out_of_limits(parameter, typed, str(refused.values["unit"])) from None
    value = to_stored(quantity)
    if not parameter.limits.low <= value <= parameter.limits.high + 1e-9:
        raise _out_of_limits(parameter, quantity.value, quantity.unit)
    return ReadingValue(
        parameter.name, value, quantity.unit, quantity.value, quantity.sample_temperature_c
    )


def _is_narrower(parameter: Parameter) -> bool:
    """Tell whether a parameter has limits of its own, within those of all that is so measured."""
    return parameter.dimension in (Dimension.CONCENTRATION, Dimension.ALKALINITY)


def _out_of_limits(parameter: Parameter, typed: float, unit: str) -> UserFault:
    """Return the fault for a reading beyond the limits of its parameter, in the unit typed."""
    if not _is_narrower(parameter):
        return out_of_range(parameter.name, typed, parameter.limits.low, parameter.limits.high)
    low, high = (
        from_stored(end, parameter.dimension, unit)
        for end in (parameter.limits.low, parameter.limits.high)
    )
    refused = out_of_range(parameter.name, typed, low, high)
    refused.values["unit"] = unit
    return refused


def reading_quantity(reading: ReadingValue) -> Quantity:
    """Return the quantity as it was typed, for showing it or writing it to a file."""
    dimension = find_parameter(reading.parameter).dimension
    return Quantity(reading.typed, reading.unit, dimension, reading.sample_temperature_c)
