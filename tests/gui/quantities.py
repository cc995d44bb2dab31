"""A small reader of litres with its sentences, as a quantity field is handed one."""

from __future__ import annotations

import re

from tankkeeper.core.errors import UserFault

_LITRES = re.compile(r"(\d+(?:[.,]\d+)?)\s*([A-Za-z]*)")
_FACTOR = {"": 1.0, "L": 1.0, "l": 1.0, "mL": 0.001, "ml": 0.001}


def litres(text: str) -> float:
    """Return the litres of a text such as "12,5", "12.5 L" or "800 mL"."""
    found = _LITRES.fullmatch(text.strip())
    if found is None:
        raise UserFault("not_a_number", field="litres", value=text)
    number, unit = found.groups()
    if unit not in _FACTOR:
        raise UserFault("unknown_unit", field="litres", value=unit)
    return float(number.replace(",", ".")) * _FACTOR[unit]


def worded(fault: UserFault) -> str:
    """Return the sentence of a fault."""
    if fault.code == "unknown_unit":
        return f"{fault.values['value']} is not a measure of water. Litres and millilitres are."
    return f"{fault.values['value']} is not a number. Write it as 12.5 or 12,5."
