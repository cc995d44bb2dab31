"""How warm the water of a tank usually is."""

from __future__ import annotations

from tankkeeper.core.household import Tank

USUAL_TEMPERATURE_C = 25.5


def usual_water_c(tank: Tank) -> float:
    return tank.target_temperature_c or USUAL_TEMPERATURE_C
