"""The range in which a tank should keep a parameter."""

from __future__ import annotations

from tankkeeper.core.communities import Range, default_ranges
from tankkeeper.core.household import Tank
from tankkeeper.core.parameters import Parameter, to_stored
from tankkeeper.core.units import Dimension, Quantity


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


def _in_stored(value: float | None, unit: str, parameter: Parameter) -> float | None:
    if value is None or not unit or parameter.dimension is Dimension.PLAIN:
        return value
    return to_stored(Quantity(value, unit, parameter.dimension))
