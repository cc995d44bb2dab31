"""The range in which a tank should keep a parameter, and on which side of it a reading lies."""

from __future__ import annotations

from enum import StrEnum

from tankkeeper.core.communities import Range, default_ranges
from tankkeeper.core.household import Tank
from tankkeeper.core.parameters import Parameter, to_stored
from tankkeeper.core.units import Dimension, Quantity


class Side(StrEnum):
    """Where a value outside its range lies."""

    BELOW = "below"
    ABOVE = "above"


def range_of(tank: Tank, parameter: Parameter) -> Range:
    """Return the range of a parameter in its stored unit: the tank's own, else its community's."""
    for own in tank.ranges:
        if own.parameter == parameter.name:
            return Range(
                _in_stored(own.low, own.unit, parameter), _in_stored(own.high, own.unit, parameter)
            )
    if tank.community is None:
        return Range(None, None)
    return default_ranges(tank.community).get(parameter.name, Range(None, None))


def side_of(value: float, wanted: Range) -> Side | None:
    """Return on which side of a range a value lies, None where it is inside."""
    if wanted.low is not None and value < wanted.low:
        return Side.BELOW
    return Side.ABOVE if wanted.high is not None and value > wanted.high else None


def _in_stored(value: float | None, unit: str, parameter: Parameter) -> float | None:
    if value is None or not unit or parameter.dimension is Dimension.PLAIN:
        return value
    return to_stored(Quantity(value, unit, parameter.dimension))
