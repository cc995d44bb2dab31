"""Refused numbers that carry no unit of their own, told in the units of the household."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from tankkeeper.core.shown_digits import poured_value
from tankkeeper.core.units import in_unit
from tankkeeper.reports.numbers import unit_sign
from tankkeeper.reports.words import Words

# Which unit of the household goes with the one that is stored, and how many of the unit of its
# dimension it is.
_OF_HOUSEHOLD: Mapping[str, tuple[str, float]] = MappingProxyType(
    {
        "L": ("volume", 1.0),
        "cm": ("length", 1.0),
        "mm": ("thickness", 0.1),
        "kg": ("mass", 1000.0),
        "°C": ("temperature", 1.0),
    }
)
# A refusal that has this tells numbers of a file, as they stand there.
AS_STORED = "as_stored"
# Litres that the names of their fields do not tell.
_OF_WATER = frozenset({"left", "fill", "part"})
_ENDS = ("value", "low", "high")


def in_household(
    values: Mapping[str, object], stored: str, words: Words | None
) -> Mapping[str, object]:
    """Return the values of a refusal with its numbers in the unit that the household sees.

    What was refused as it was typed carries its unit and stays; so does what stands in a file.
    """
    own = "L" if values.get("field") in _OF_WATER else stored
    known = _OF_HOUSEHOLD.get(own)
    if words is None or known is None or values.get("unit") or values.get(AS_STORED):
        return values
    if values.get("hint") == "fahrenheit":
        return values
    unit = getattr(words.units, known[0])
    if unit_sign(unit) == own:
        return values
    told: dict[str, object] = {**values, "unit": unit}
    numbers = {
        end: in_unit(known[1] * number, unit)
        for end in _ENDS
        if isinstance(number := values.get(end), (int, float)) and not isinstance(number, bool)
    }
    told |= {end: _told(end, number, unit) for end, number in numbers.items()}
    if told.get("value") in (told.get("low"), told.get("high")) and "value" in numbers:
        # Told so short, what is refused would be what is possible.
        told["value"] = float(f"{numbers['value']:.6g}")
    return told


def _told(end: str, number: float, unit: str) -> float:
    """Return a number as it is told; the least is itself allowed, the most is as it stands."""
    poured = poured_value(number, unit)
    if end == "low" and poured < number:
        return poured + 10.0 ** (math.floor(math.log10(number)) - 1)
    return poured
