"""A tank's own target ranges as they are typed in one field, each in the household's units."""

from __future__ import annotations

from collections.abc import Iterable

from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import OwnRange
from tankkeeper.core.parameters import (
    PARAMETERS,
    Parameter,
    find_parameter,
    from_stored,
    full_name,
    own_unit,
    parse_reading,
    to_stored,
)
from tankkeeper.core.patterns import Pattern
from tankkeeper.core.units import Dimension, Quantity
from tankkeeper.reports.numbers import exact_text
from tankkeeper.reports.words import Words

_SPAN = Pattern(r"(.+?)(?:\s+(?:to|-|–)\s+|(?<=\d)[-–])(.+)")
_END = Pattern(r"(?:at\s+)?(most|least)\s+(.+)")
_NAME = Pattern(r"\s*([^\W\d]\w*)\s+(.+?)\s*")


def ranges_in(text: str, words: Words) -> tuple[OwnRange, ...]:
    """Return the ranges in a text such as "alkalinity 7.5 to 9; nitrate at most 15".

    Bare numbers are in the household's units; names may be short, such as KH or NO3. Raises
    UserFault for what cannot be read, for a value no water has, for ends that are equal or the
    wrong way round, and for a parameter named twice.
    """
    found = [_range_in(part, words) for part in text.split(";") if part.strip()]
    if len({one.parameter for one in found}) < len(found):
        raise UserFault("named_twice")
    return tuple(found)


def _range_in(text: str, words: Words) -> OwnRange:
    named = _NAME.fullmatch(text)
    if named is None:
        raise UserFault("range_unreadable", value=text.strip()[:80])
    known = PARAMETERS.get(full_name(named[1]))
    parameter = find_parameter(named[1]) if known is None else known
    unit, told = words.unit_of(parameter), named[2]
    typed_in = own_unit(named[1], unit) or unit
    end, span = _END.fullmatch(told), _SPAN.fullmatch(told)
    if end is not None:
        value = _read(parameter, end[2], typed_in)
        is_most = end[1].casefold() == "most"
        low, high = (None, value) if is_most else (value, None)
    elif span is not None:
        low, high = (_read(parameter, span[place], typed_in) for place in (1, 2))
        if low == high:
            raise UserFault("ends_equal", low=span[1], high=span[2])
        if low > high:
            raise UserFault("ends_reversed", low=span[1], high=span[2])
    else:
        raise UserFault("range_unreadable", value=text.strip()[:80])
    return OwnRange(
        parameter.name, _shown(low, parameter, unit), _shown(high, parameter, unit), _kept(unit)
    )


def _read(parameter: Parameter, text: str, unit: str) -> float:
    """Return one end as a stored value; what is refused is called by its parameter."""
    try:
        return parse_reading(parameter.name, text, unit).value
    except UserFault as refused:
        raise refused.labelled(parameter.display) from None


def _shown(value: float | None, parameter: Parameter, unit: str) -> float | None:
    """Return a stored value in the unit it is kept in, without what converting added."""
    if value is None or parameter.dimension is Dimension.PLAIN:
        return value
    return round(from_stored(value, parameter.dimension, unit), 6)


def _kept(unit: str) -> str:
    return "" if unit == "pH" else unit


def ranges_text(ranges: Iterable[OwnRange], words: Words) -> str:
    """Return ranges as they are typed, in the household's units."""
    return "; ".join(_text(one, words) for one in ranges)


def _text(one: OwnRange, words: Words) -> str:
    parameter = PARAMETERS[one.parameter]
    unit = words.unit_of(parameter)
    low, high = (_number(end, one.unit, parameter, unit, words) for end in (one.low, one.high))
    if one.low is None:
        return f"{one.parameter} at most {high}"
    if one.high is None:
        return f"{one.parameter} at least {low}"
    return f"{one.parameter} {low} to {high}"


def _number(
    value: float | None, written_in: str, parameter: Parameter, unit: str, words: Words
) -> str:
    if value is None:
        return ""
    if written_in and written_in != unit and parameter.dimension is not Dimension.PLAIN:
        stored = to_stored(Quantity(value, written_in, parameter.dimension))
        value = from_stored(stored, parameter.dimension, unit)
    text = f"{value:.6g}" if abs(value) < 1e6 else exact_text(value)
    return text.replace(".", words.decimal_sign)
