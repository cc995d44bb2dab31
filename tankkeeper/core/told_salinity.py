"""Whether a salinity is told as being beyond its limit, by the digits of the unit shown."""

from __future__ import annotations

from tankkeeper.core.estimate import Estimate
from tankkeeper.core.seawater import salinity_in_unit
from tankkeeper.core.shown_digits import told_low
from tankkeeper.core.units import HARD_RANGES

# Half the step in which a practical salinity is told: nearer to another it is told as that one.
HALF_STEP = 0.05


def is_told_beyond(salinity: Estimate, limit: float, unit: str, *, is_open: bool = False) -> bool:
    """Tell whether the low end of a salinity, as it is told, is at or beyond its limit as told.

    One whose upper end `is_open`, as it may be higher still, is told by its ends. Beyond the scale
    of the instruments only practical salinity is told.
    """
    if salinity.high > HARD_RANGES["salinity"].high:
        unit = "practical"
    value, low, high, end = (
        salinity_in_unit(one, unit) for one in (salinity.value, salinity.low, salinity.high, limit)
    )
    decimals = 4 if unit.startswith("sg ") else 1
    return told_low(Estimate(value, low, high), has_ends=is_open) >= round(end, decimals)
