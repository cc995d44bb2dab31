"""Which fields of a thing differ between two households, each as it was and as it becomes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import date, time
from enum import Enum
from typing import Any, Final

from tankkeeper.core.chores import Amount, Chore
from tankkeeper.core.units import plain_text
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.rhythms import rhythm_words

NOT_SAID: Final = "not said"
_FIELDS_TOLD: Final = 4
# What stands in the name of a field because its number is plain.
_UNITS: Final = {
    "_l_per_h": "L/h",
    "_w": "W",
    "_cm": "cm",
    "_mm": "mm",
    "_l": "L",
    "_c": "\u00b0C",
    "_kg": "kg",
    "_days": "days",
}
# They say since when something holds, not what.
_NEVER_TOLD: Final = frozenset({"valid_from", "earlier", "id"})


def altered_text(was: object, became: object) -> str:
    """Return what differs: "every 7 days \u2192 every 14 days; minutes: 10 \u2192 15"."""
    found = list(_differing(was, became))
    told = [f"{name}{before} \u2192 {after}" for name, before, after in found]
    more = len(told) - _FIELDS_TOLD
    if more > 0:
        told = [*told[:_FIELDS_TOLD], f"{counted(more, 'field', 'fields')} more"]
    return "; ".join(told)


def _differing(was: Any, became: Any, within: str = "") -> Iterator[tuple[str, str, str]]:
    for one in fields(became):
        if one.name in _NEVER_TOLD:
            continue
        before, after = getattr(was, one.name, None), getattr(became, one.name, None)
        if before == after:
            continue
        name = f"{within}{_name(one.name)}"
        if one.name == "rhythm" and isinstance(was, Chore) and isinstance(became, Chore):
            yield "", rhythm_words(was), rhythm_words(became)
        elif _can_be_opened(before) and type(before) is type(after):
            yield from _differing(before, after, f"{name}, ")
        else:
            yield f"{name}: ", _value(one.name, before), _value(one.name, after)


def _can_be_opened(value: object) -> bool:
    return is_dataclass(value) and not isinstance(value, Amount)


def _name(field: str) -> str:
    unit = next((one for one in _UNITS if field.endswith(one)), "")
    return field.removesuffix(unit).replace("_", " ")


def _value(field: str, value: object) -> str:
    if value is None or value in ("", ()):
        return NOT_SAID
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Amount):
        return f"{plain_text(value.value)}\u00a0{value.unit.value}"
    if isinstance(value, (int, float)):
        unit = next((sign for end, sign in _UNITS.items() if field.endswith(end)), "")
        return f"{plain_text(float(value))}\u00a0{unit}".rstrip("\u00a0")
    if isinstance(value, time):
        return f"{value:%H:%M}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Enum):
        return str(value.value).replace("_", " ")
    if isinstance(value, tuple):
        return ", ".join(_value("", one) for one in value)
    if is_dataclass(value):
        parts = (getattr(value, one.name) for one in fields(value))
        return " ".join(_value("", one) for one in parts if one not in (None, "", ()))
    return str(value)
