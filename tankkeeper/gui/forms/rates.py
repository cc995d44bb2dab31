"""Water a day as it is typed: a bare number is a day's, "8 L/h" is worked out."""

from __future__ import annotations

from tankkeeper.core.parameters import to_stored
from tankkeeper.core.patterns import Pattern
from tankkeeper.core.units import Dimension, parse_quantity

_RATE = Pattern(r"(.*\S)\s*(?:/|\s(?:per|an?)\s)\s*(h|hr|hour|d|day)")
_HOURS = 24.0


def litres_a_day_in(text: str, unit: str) -> float:
    """Return litres a day in a text such as "190", "8 L/h" or "8 per hour"."""
    found = _RATE.fullmatch(text.strip())
    amount, span = (text, "day") if found is None else (found[1], found[2])
    litres = to_stored(parse_quantity(amount, Dimension.VOLUME, unit))
    return litres * _HOURS if span.startswith("h") else litres
