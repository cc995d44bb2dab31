"""What a keeper reads off: the truth with the noise of the kit, rounded to its steps."""

from __future__ import annotations

import math
from random import Random

from tankkeeper.core.parameters import PARAMETERS, ReadingValue, parse_reading
from tankkeeper.core.values import dataclass


@dataclass(frozen=True, slots=True)
class Kit:
    """One way of measuring: standard deviations, and steps or the fields of a colour card."""

    absolute: float = 0.0
    relative: float = 0.0
    step: float = 0.1
    card: tuple[float, ...] = ()


# Judgement, no source: what hobby kits and instruments repeat to.
KITS: dict[str, Kit] = {
    "temperature": Kit(absolute=0.08, step=0.1),
    "salinity": Kit(absolute=0.11, step=0.1),
    "ph": Kit(absolute=0.025, step=0.05),
    "ammonia": Kit(absolute=0.02, relative=0.12, card=(0.0, 0.25, 0.5, 1.0, 2.0, 4.0, 8.0)),
    "nitrite": Kit(absolute=0.01, relative=0.12, card=(0.0, 0.1, 0.25, 0.5, 1.0, 2.0, 5.0)),
    "nitrate": Kit(absolute=0.25, relative=0.05, step=0.5),
    "phosphate": Kit(absolute=0.004, relative=0.05, step=0.01),
    "alkalinity": Kit(absolute=0.08, step=0.1),
    "calcium": Kit(absolute=4.0, step=5.0),
    "magnesium": Kit(absolute=12.0, step=10.0),
}


def read_off(parameter: str, truth: float, rng: Random) -> ReadingValue:
    """Return what the keeper writes down for a true value in the stored unit."""
    kit = KITS[parameter]
    seen = max(0.0, truth + rng.gauss(0.0, math.hypot(kit.absolute, kit.relative * truth)))
    fields = kit.card or (round_to(seen, kit.step),)
    shown = min(fields, key=lambda one: abs(one - seen))
    return parse_reading(parameter, f"{shown:.10g} {PARAMETERS[parameter].stored_unit}".strip())


def round_to(value: float, step: float) -> float:
    """Return `value` on the nearest multiple of `step`, without the dust of binary fractions.

    >>> round_to(1.23, 0.05)
    1.25
    """
    return round(round(value / step) * step, 6)
