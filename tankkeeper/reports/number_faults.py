"""Refusals of a number: what is not possible, and what was likely meant or what can be."""

from __future__ import annotations

import math
from collections.abc import Callable

from tankkeeper.core.errors import UserFault
from tankkeeper.core.limits import HARD_RANGES
from tankkeeper.core.seawater import practical_from_specific_gravity, salinity_in_unit
from tankkeeper.reports.fault_units import in_household
from tankkeeper.reports.fault_values import Values, field_name, number_text, told_value, unit_of
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import bound_unit, decimal_text, unit_sign, with_unit
from tankkeeper.reports.words import Words

_SAID_BY_UNIT = ("Litres", "Grams")


def out_of_range_words(values: Values, words: Words | None) -> str:
    """Return what is not possible, and what was likely meant or what is possible."""
    values = in_household(values, unit_of(values), words)
    name = str(values.get("label") or field_name(str(values.get("field", "value"))))
    field = name if name == "pH" else capital(name)
    unit = unit_of(values)
    value = values.get("value")
    if not isinstance(value, (int, float)) or isinstance(value, bool):
        low, high = (told_value("", values.get(end), words) for end in ("low", "high"))
        shown = told_value("", value, words)
        return f"{field} {shown} is not possible. It can be from {low} to {high}."
    told = with_unit(number_text(float(value), words), unit)
    # Where the unit says it, its name before the number would say it twice.
    refused = f"{told if field in _SAID_BY_UNIT and unit else f'{field} {told}'} is not possible."
    meant = _meant(values, float(value), words)
    return f"{refused} {meant or _possible(values, unit, words)}"


def _meant(values: Values, value: float, words: Words | None) -> str:
    """Return what was likely meant, empty where nothing is near."""
    hint = values.get("hint")
    sign = "." if words is None else words.decimal_sign
    if hint == "fahrenheit" and 50.0 <= value <= 113.0:
        return f"Did you mean {with_unit(number_text(value, words), '°F')}?"
    if hint == "share_of_one":
        return f"Did you mean {number_text(value / 100.0, words)}?"
    limits = HARD_RANGES.get(str(values.get("field", "")).rpartition("_")[2])
    if limits is None or limits.usual_low is None or limits.usual_high is None:
        return ""
    if values.get("unit") not in (None, "", "practical", "degC", "pH"):
        return ""
    for power in (10.0, 100.0, 1000.0):
        if limits.usual_low <= value / power <= limits.usual_high:
            meant = decimal_text(value / power, 1 if power == 10.0 else int(math.log10(power)))
            return f"Did you mean {meant.replace('.', sign)}?"
    return ""


_POSSIBLE = {
    "more_than_zero": "It has to be more than zero, up to {high}.",
    "quarter_of_volume": "It can be from {low} to {high}, a quarter of the water.",
    "reservoir_size": "It can be from {low} to {high}, what the reservoir holds.",
    "reservoir_and_tank": "It can be from {low} to {high}, it and a quarter of the tank.",
    "whole_tank": "It can be from {low} to {high}, all the water of the tank.",
    "share_of_one": "It is a share of one, from {low} to {high}.",
}


def _possible(values: Values, unit: str, words: Words | None) -> str:
    low, high = (values.get(end) for end in ("low", "high"))
    if not isinstance(low, (int, float)) or not isinstance(high, (int, float)):
        return f"It can be from {told_value('', low, words)} to {told_value('', high, words)}."
    template = _POSSIBLE.get(str(values.get("hint")), "It can be from {low} to {high}.")
    lowest = number_text(_rounded(low, math.ceil), words)
    highest = with_unit(number_text(_rounded(high, math.floor), words), unit)
    return template.format(low=lowest, high=highest)


def _rounded(value: float, towards: Callable[[float], int]) -> float:
    """Return a limit with four digits, rounded so that it is itself allowed."""
    if value == int(value):
        return float(value)
    scale = 10.0 ** (3 - math.floor(math.log10(abs(value))))
    return towards(round(value * scale, 6)) / scale


def gravity_words(values: Values, words: Words | None) -> str:
    """Return that a salinity looks like a specific gravity, and how either is written."""
    value = values.get("value")
    assert isinstance(value, (int, float))
    told = number_text(float(value), words)
    unit = bound_unit("sg 25/25")
    try:
        salinity = practical_from_specific_gravity(float(value))
    except UserFault:
        return f"Salinity {told} looks like a specific gravity. Give a practical salinity."
    sign = "." if words is None else words.decimal_sign
    practical = decimal_text(salinity, 1, sign)
    return (
        f"Salinity {told} looks like a specific gravity, which would be salinity {practical}. "
        f"Write that, or the unit {unit} behind the number."
    )


def salinity_taken_words(values: Values, words: Words | None) -> str:
    """Return both ways that are taken: the number with its own unit, or a specific gravity."""
    value, unit = values.get("value"), values.get("unit")
    assert isinstance(value, (int, float))
    told, sign = number_text(float(value), words), "." if words is None else words.decimal_sign
    write = f"Write {with_unit(told, unit_sign('practical'))}"
    refused = f"{told} looks like a practical salinity, not like a specific gravity. {write}"
    try:
        gravity = decimal_text(salinity_in_unit(float(value), str(unit)), 4, sign)
    except UserFault:
        return f"{refused}."
    return f"{refused}, or the specific gravity {gravity}."


def not_finite_words(values: Values, words: Words | None) -> str:
    """Return that a text is no number, or one without an end."""
    text = values.get("text", values.get("key", "That"))
    return f"{told_value('', text, words)} is not a number that can be used."
