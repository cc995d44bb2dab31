"""What warms, cools and moves the water of a tank, and what runs back when its pump stops."""

from __future__ import annotations

from tankkeeper.core.errors import out_of_range
from tankkeeper.core.values import dataclass
from tankkeeper.core.volume import (
    LARGEST_SIZE_CM,
    LARGEST_VOLUME_L,
    Shape,
    Sump,
    drain_down_litres,
    spare_sump_litres,
    surface_cm2,
)

# Choices of this project: the largest tank it reckons with, 100,000 L, warmed by one degree an
# hour takes 116 kW (4.2 kJ a litre and degree), and turned over once an hour 100,000 L/h.
MOST_HEATER_W = 200_000.0
MOST_FLOW_L_PER_H = LARGEST_VOLUME_L
MOST_FANS = 100


@dataclass(frozen=True, slots=True)
class HeatAndFlow:
    """Heaters, fans and the return; None is not known, zero is none.

    `heater_w` is what all heaters take together, `fans` how many blow over the water,
    `overflow_drop_cm` how far the display's water falls when the return pump stops: from its
    running level to the edge of the overflow, or to the return's outlet where that is lower.
    """

    heater_w: float | None = None
    fans: int | None = None
    return_l_per_h: float | None = None
    overflow_drop_cm: float | None = None


@dataclass(frozen=True, slots=True)
class PumpOff:
    """What runs into the sump when the return pump stops, and what it has room for.

    Without the water in the pipes it is more than `back_l`; a `spare_l` below zero overflows.
    """

    back_l: float
    has_pipes: bool
    free_l: float | None = None
    spare_l: float | None = None

    @property
    def overflows(self) -> bool:
        """Whether the sump has less room than what runs back."""
        return self.spare_l is not None and self.spare_l < 0.0


def check_heat_and_flow(one: HeatAndFlow, shape: Shape | None = None) -> None:
    """Refuse what cannot be: the water falls no lower than the floor of the tank."""
    for field, value, most in (
        ("heater_w", one.heater_w, MOST_HEATER_W),
        ("fans", one.fans, MOST_FANS),
        ("return_l_per_h", one.return_l_per_h, MOST_FLOW_L_PER_H),
        ("overflow_drop_cm", one.overflow_drop_cm, _deepest_cm(shape)),
    ):
        if value is not None and not 0.0 <= value <= most:
            raise out_of_range(field, value, 0.0, most)


def _deepest_cm(shape: Shape | None) -> float:
    known = () if shape is None else (shape.water_depth_cm, shape.height_cm)
    return next((one for one in known if one is not None), LARGEST_SIZE_CM)


def pump_off(shape: Shape, sump: Sump | None, flow: HeatAndFlow | None) -> PumpOff | None:
    """Return what runs back when the pump stops; None where that is not known."""
    surface = surface_cm2(shape)
    drop = flow.overflow_drop_cm if flow is not None else None
    if surface is None or drop is None or sump is None:
        return None
    back = drain_down_litres(surface, drop, sump.pipes_l or 0.0)
    spare = None if sump.free_l is None else spare_sump_litres(sump.free_l, back)
    return PumpOff(back, sump.pipes_l is not None, sump.free_l, spare)


def turnover_per_hour(flow: HeatAndFlow | None, net_l: float | None) -> float | None:
    """Return how often an hour the return moves as much water as there is; None not known."""
    if flow is None or flow.return_l_per_h is None or not net_l:
        return None
    return flow.return_l_per_h / net_l
