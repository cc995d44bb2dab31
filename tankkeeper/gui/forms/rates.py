"""Water by day or hour as it is typed: a bare number is of the field, "8 L/h" is worked out."""

from __future__ import annotations

from tankkeeper.core.errors import UserFault
from tankkeeper.core.parameters import to_stored
from tankkeeper.core.patterns import Pattern
from tankkeeper.core.units import Dimension, parse_quantity

_RATE = Pattern(r"(.*\S)\s*(?:/|\s(?:per|an?)\s)\s*(h|hr|hour|d|day)")
_HOURS = 24.0


def litres_a_day_in(text: str, unit: str) -> float:
    """Return litres a day in a text such as "190", "8 L/h" or "8 per hour"."""
    litres, span = _litres_in(text, unit, "day")
    return litres * _HOURS if span.startswith("h") else litres


def litres_an_hour_in(text: str, unit: str) -> float:
    """Return litres an hour in a text such as "2400" or "600 gal/h"."""
    try:
        litres, span = _litres_in(text, unit, "hour")
    except UserFault as refused:
        if "unit" in refused.values and "/" not in text:
            refused.values["unit"] = f"{refused.values['unit']}/h"
        raise
    return litres if span.startswith("h") else litres / _HOURS


def _litres_in(text: str, unit: str, usual: str) -> tuple[float, str]:
    found = _RATE.fullmatch(text.strip())
    amount, span = (text, usual) if found is None else (found[1], found[2])
    return to_stored(parse_quantity(amount, Dimension.VOLUME, unit)), span
