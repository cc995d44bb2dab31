"""Fields of what is set down, by their names in the program: what they are called, and hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date, time
from enum import Enum
from types import MappingProxyType
from typing import Final

from tankkeeper.core.chores import Amount, AmountUnit
from tankkeeper.core.evaporation import USUAL_SALINITY
from tankkeeper.core.shown_digits import stated_decimals
from tankkeeper.core.units import in_unit
from tankkeeper.reports.amount_words import set_amount
from tankkeeper.reports.numbers import SPOKEN_UNITS
from tankkeeper.reports.words import Words

NOT_SAID: Final = "not said"
# Digits beyond those of a stated number, where two would look the same without them.
_ALL_DIGITS: Final = 10
# What stands in the name of a field because its number is plain: which unit of the household, how
# many of those that are stored it is, and what stands behind the sign.
_MEASURED: Final[Mapping[str, tuple[str, float, str]]] = MappingProxyType(
    {
        "_l_per_h": ("volume", 1.0, "/h"),
        "_cm2": ("area", 1.0, ""),
        "_kg": ("mass", 1000.0, ""),
        "_cm": ("length", 1.0, ""),
        "_mm": ("thickness", 0.1, ""),
        "_l": ("volume", 1.0, ""),
        "_litres": ("volume", 1.0, ""),
        "_c": ("temperature", 1.0, ""),
    }
)
_PLAIN: Final = {
    "_kg_per_l": "kg/L",
    "_w": "W",
    "_days": "days",
    "_hours": "h",
    "_months": "months",
}
# What is not told by its ending.
_CALLED: Final = {
    "litres": ("water", "_litres"),
    "litres_per_day_rated": ("water a day, as rated", "_litres"),
    "price_per_kg": ("price per kg", ""),
    "air_speed_m_s": ("speed of the air in m/s", ""),
    "target_salinity": ("target salinity", ""),
}
# What is said of each unit: which unit of the household goes with the one in the name, how many of
# the stored unit that is, and what is alike for every unit.
_EACH: Final[Mapping[str, tuple[str, str]]] = MappingProxyType(
    {"_per_litre": ("volume", "L"), "_per_kg": ("mass", "kg")}
)
_OF_STORED: Final[Mapping[str, float]] = MappingProxyType({"L": 1.0, "kg": 1000.0})
_RATIOS: Final = frozenset({"waste_per_litre"})
_SHARES: Final = frozenset({"rock_submerged", "rock_open_porosity", "sand_porosity", "covered"})
_AMOUNTS: Final = {AmountUnit.GRAMS: "g", AmountUnit.PIECES: "pieces", AmountUnit.PERCENT: "%"}


def field_name(field: str, words: Words | None = None) -> str:
    """Return how a field is called; with `words` what is said of each litre names their unit.

    >>> field_name("last_chamber_cm2"), field_name("heater_w"), field_name("litres")
    ('last chamber', 'heater', 'water')
    """
    per = _per(field)
    if per and words is not None:
        kind, stored = _EACH[per]
        unit: str = getattr(words.units, kind)
        if unit != stored:
            return f"{field.removesuffix(per).replace('_', ' ')} per {SPOKEN_UNITS[unit][0]}"
    if field in _CALLED:
        return _CALLED[field][0]
    return field.removesuffix(_ending(field)).replace("_", " ")


def field_value(field: str, value: object, words: Words, digits: int | None = None) -> str:
    """Return what a field holds, in the units and with the names of the household.

    Numbers have as many digits as one that was stated, or so many.
    """
    if value is None or value in ("", ()):
        return NOT_SAID
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Amount):
        return _amount(value, words, digits)
    if isinstance(value, (int, float)):
        return _number(field, float(value), words, digits)
    if isinstance(value, tuple):
        return ", ".join(field_value(field, one, words, digits) for one in value)
    if is_dataclass(value):
        parts = [(one.name, getattr(value, one.name)) for one in fields(value)]
        told = [(name, one) for name, one in parts if one not in (None, "", ())]
        return " ".join(field_value(name, one, words, digits) for name, one in told)
    return _text(field, value, words)


def _text(field: str, value: object, words: Words) -> str:
    """Return what is no number and has no parts."""
    if isinstance(value, time):
        return f"{value:%H:%M}"
    if isinstance(value, date):
        return words.full_date(value)
    if isinstance(value, Enum):
        return str(value.value).replace("_", " ")
    return _named(field, str(value), words)


def field_values(
    field: str, before: object, after: object, words: Words, then: Words
) -> tuple[str, str]:
    """Return what a field held and what it will hold, `then`, told so that they differ."""
    told = field_value(field, before, words), field_value(field, after, then)
    if told[0] != told[1]:
        return told
    return (
        field_value(field, before, words, _ALL_DIGITS),
        field_value(field, after, then, _ALL_DIGITS),
    )


def _per(field: str) -> str:
    """Return the end of the name of what is said of each litre or kilogram, else nothing."""
    return next((end for end in _EACH if field.endswith(end)), "")


def _of_each(field: str, value: float, words: Words) -> float:
    """Return what is said of each litre or kilogram as it is for the unit of the household."""
    per = _per(field)
    if not per or field in _RATIOS:
        return value
    kind, stored = _EACH[per]
    return value / in_unit(_OF_STORED[stored], getattr(words.units, kind))


def _ending(field: str) -> str:
    # A price per kilogram is no mass.
    if field in _CALLED:
        return _CALLED[field][1]
    return next((end for end in (*_PLAIN, *_MEASURED) if field.endswith(end)), "")


def _number(field: str, value: float, words: Words, digits: int | None) -> str:
    if field == "target_salinity":
        return words.salinity(value)
    if field == "allowed_salinity_rise":
        if digits is None:
            return words.salinity_step(USUAL_SALINITY, value)
        return _with_digits(value, "practical", words, digits)
    value = _of_each(field, value, words)
    if field == "price_per_kg":
        return _with_digits(value, words.household.currency, words, digits)
    if field in _SHARES:
        return _with_digits(100.0 * value, "%", words, digits)
    ending = _ending(field)
    if ending not in _MEASURED:
        return _with_digits(value, _PLAIN.get(ending, ""), words, digits)
    kind, of_stored, behind = _MEASURED[ending]
    unit: str = getattr(words.units, kind)
    return _with_digits(in_unit(value * of_stored, unit), unit, words, digits) + behind


def _with_digits(value: float, unit: str, words: Words, digits: int | None) -> str:
    number = round(value, stated_decimals(value, unit) if digits is None else digits)
    return words.typed(number, unit)


def _amount(amount: Amount, words: Words, digits: int | None) -> str:
    if digits is None:
        return set_amount(amount, words)
    if amount.unit is AmountUnit.LITRES:
        return _number("_litres", amount.value, words, digits)
    return _with_digits(amount.value, _AMOUNTS[amount.unit], words, digits)


def _named(field: str, value: str, words: Words) -> str:
    """Return the name of what a field names by its id; all other text as it is."""
    house = words.household
    if field == "who":
        return words.person(value) or value
    if field == "tank":
        return words.tank_name(value) or value
    names = {
        "room": {one.id: one.name for one in house.rooms},
        "supply": {one.id: one.name for one in house.supplies},
    }
    return names.get(field, {}).get(value, value)
