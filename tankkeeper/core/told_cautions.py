"""The cautions of the catalogue with their numbers in the units that a household reads."""

from __future__ import annotations

from tankkeeper.core.household import ShownUnits
from tankkeeper.core.seawater import salinity_in_unit

# Common practice, no source: new water is as warm and as salty as the tank within these.
_DEGREES_C = 1.0
NEW_WATER_STEP = 0.5
# Where the step in salinity is taken: natural seawater.
_AT_PRACTICAL = 35.0
_F_PER_C = 1.8


def told_caution(text: str, units: ShownUnits) -> str:
    """Return a caution with the steps of temperature and salinity that it names.

    >>> told_caution("Within {degrees}, {salinity}.", ShownUnits(temperature="degF"))
    'Within 2 °F, 0.5 PSU.'
    """
    if "{" not in text:
        return text
    return text.format(degrees=_degrees(units.temperature), salinity=_step(units.salinity))


def _degrees(unit: str) -> str:
    return f"{_DEGREES_C:.0f} °C" if unit == "degC" else f"{_F_PER_C * _DEGREES_C:.0f} °F"


def _step(unit: str) -> str:
    if unit == "practical":
        return f"{NEW_WATER_STEP:.1f} PSU"
    ends = (salinity_in_unit(one, unit) for one in (_AT_PRACTICAL, _AT_PRACTICAL + NEW_WATER_STEP))
    low, high = ends
    # A specific gravity has no unit; its step is read in the fourth decimal.
    return f"{high - low:.4f}" if unit.startswith("sg ") else f"{high - low:.1f} {unit}"
