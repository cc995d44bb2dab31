"""Values of a refusal as a person reads them: numbers, days, names of fields, units."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date, datetime, time

from tankkeeper.reports.amount_reasons import parameter_words
from tankkeeper.reports.numbers import decimal_text, listed, unit_sign
from tankkeeper.reports.rhythms import date_words
from tankkeeper.reports.tables import clean, shortened
from tankkeeper.reports.words import Words, wall_time

LONGEST_VALUE = 80
# A path that is cut short cannot be looked up.
LONGEST_PATH = 400
_PATHS = frozenset({"path", "folder"})
Values = Mapping[str, object]

# Units that field names carry at their end.
_SUFFIXES = {
    "_l_per_day": "L",
    "_m_s": "m/s",
    # The price of one of them is no weight.
    "_per_kg": "",
    "_cm2": "cm²",
    "_m2": "m²",
    "_cm": "cm",
    "_mm": "mm",
    "_nm": "nm",
    "_kg": "kg",
    "_c": "°C",
    "_l": "L",
}
_FIELDS = {
    "practical": "salinity",
    "practical_salinity": "salinity",
    "salinity_after": "salinity afterwards",
    "ph": "pH",
    "evaporated_l": "evaporated water",
    "swapped_l": "exchanged water",
    "usable_l": "usable water",
    "stated_litres": "volume",
    "min_days": "shortest interval in days",
    "max_days": "longest interval in days",
    "early_days": "days before the target",
    "late_days": "days after the target",
    "at": "time",
    "on": "day",
    "area_m2": "area",
    "rock_envelope_kg_per_l": "rock's weight a litre",
    "heater_w": "heaters",
    "return_l_per_h": "return flow",
    "overflow_drop_cm": "fall with the pump off",
    "free_l": "free room in the sump",
}
_UNITS = {
    "temperature": "°C",
    "litres": "L",
    "grams": "g",
    "volume": "L",
    "conductivity": "mS/cm",
    "stated_litres": "L",
    "wavelength": "nm",
    "rock_envelope_kg_per_l": "kg/L",
    "heater_w": "W",
    "return_l_per_h": "L/h",
}
# Told with their unit, which the household chooses.
_VOLUMES = ("displaced_l", "gross_l", "reserve_l")


def told_value(name: str, value: object, words: Words | None) -> str:
    """Return a value as text that cannot hurt a terminal or a page."""
    if name == "field":
        return clean(field_name(str(value)))
    if isinstance(value, bool) or value is None:
        return {True: "yes", False: "no", None: "nothing"}[value]
    if isinstance(value, (int, float)):
        number = float(value)
        if name in _VOLUMES:
            return f"{number_text(number)} L" if words is None else words.litres(number)
        return number_text(number, words)
    if isinstance(value, (date, time)):
        return time_text(value, words)
    if isinstance(value, (tuple, list, set, frozenset)):
        joint = "or" if name in ("forms", "keys", "allowed") else "and"
        return listed([told_value(name, one, words) for one in value], joint)
    if name in ("missing", "parameter"):
        return parameter_words(str(value))
    longest = LONGEST_PATH if name in _PATHS else LONGEST_VALUE
    return shortened(clean(str(value)), longest)


def time_text(value: date | time, words: Words | None) -> str:
    """Return an hour, a day, or a moment by the clock of the household."""
    if isinstance(value, time):
        return wall_time(value)
    if isinstance(value, datetime):
        local = value if words is None else value.astimezone(words.moment.zone)
        return f"{date_words(local.date())}, {local:%H:%M}"
    return date_words(value) if words is None else words.named_date(value)


def number_text(value: float, words: Words | None = None) -> str:
    """Return a number as it was given, without an exponent."""
    if not math.isfinite(value):
        return str(value)
    sign = "." if words is None else words.decimal_sign
    decimals = 0 if value == int(value) else max(0, 6 - len(str(int(abs(value)))))
    text = decimal_text(value, decimals)
    return (text.rstrip("0").rstrip(".") if "." in text else text).replace(".", sign)


def field_name(field: str) -> str:
    """Return the name of a field in plain words: "water depth" for "water_depth_cm"."""
    known = _FIELDS.get(field)
    if known is not None:
        return known
    for ending in _SUFFIXES:
        if field.endswith(ending):
            return field.removesuffix(ending).replace("_", " ")
    return field.replace("_", " ")


def unit_of(values: Values) -> str:
    """Return the sign of the unit in which a value was given, empty where none is known."""
    given = values.get("unit")
    if isinstance(given, str) and given:
        # Practical salinity is typed as a bare number, and the sentence names it.
        return "" if given == "practical" else unit_sign(given)
    field = str(values.get("field", ""))
    known = _UNITS.get(field)
    if known is not None:
        return known
    return next((unit for end, unit in _SUFFIXES.items() if field.endswith(end)), "")
