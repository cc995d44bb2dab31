"""Amounts and days among the words that are looked for in the logbook, as its rows show them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from math import inf, nextafter
from typing import Final

from tankkeeper.core.errors import UserFault
from tankkeeper.core.parameters import to_stored
from tankkeeper.core.patterns import Pattern
from tankkeeper.core.units import Dimension, Quantity, find_unit, parse_number
from tankkeeper.reports.called_days import days_called, is_of_today, parts_called
from tankkeeper.reports.typed_days import DayStyle, whole_day
from tankkeeper.reports.words import Words
from tankkeeper.services.log_search import AmountHit, DayHit, Measure

# "Tue 24 November 2026" and "2.5 US gal" are the longest.
LONGEST_PHRASE: Final = 4
_LONGEST_AMOUNT: Final = 3
_SIGNS: Final = ("<", ">", "<=", ">=", "\u2264", "\u2265")
_AMOUNT = Pattern(r"([<>\u2264\u2265]=?)?\s*([0-9]{1,9}(?:[.,][0-9]{1,9})?)\s*(\D.*)?")
_MEASURES: Final = {
    Measure.LITRES: Dimension.VOLUME,
    Measure.GRAMS: Dimension.MASS,
    Measure.SALINITY: Dimension.SALINITY,
    Measure.TEMPERATURE: Dimension.TEMPERATURE,
}
_READ: Final = (
    Dimension.SALINITY,
    Dimension.TEMPERATURE,
    Dimension.ALKALINITY,
    Dimension.CONCENTRATION,
    Dimension.PH,
)
# With so many decimals rows show what was not written down in the same unit.
_SHOWN_DECIMALS: Final = {"practical": 1, "degC": 1, "degF": 1, "mS/cm": 1}
_SG_DECIMALS: Final = 4
_ROUNDING: Final = 1e-9


def amount_hits(
    tokens: Sequence[str], words: Words, named: Sequence[str] = ()
) -> tuple[AmountHit, ...]:
    """Return which amounts words such as "25 L" or "> 20 L" stand for; a bare number for all.

    A comparison counts only for the parameters that were `named` before it, if any were.
    """
    text = " ".join(tokens)
    is_short = len(tokens) <= _LONGEST_AMOUNT + (bool(tokens) and tokens[0] in _SIGNS)
    found = _AMOUNT.fullmatch(text) if is_short else None
    if found is None:
        return ()
    hits = _equal(found[2], (found[3] or "").strip(), words)
    if found[1] is None:
        return hits
    beyond = tuple(_beyond(one, found[1]) for one in hits)
    return _of_named(beyond, named, has_unit=bool(found[3])) if named else beyond


def _of_named(
    hits: Sequence[AmountHit], named: Sequence[str], *, has_unit: bool
) -> tuple[AmountHit, ...]:
    """Return what of these are amounts of some parameters, or of what has the typed unit."""
    found = []
    for hit in hits:
        if hit.of is Measure.READING:
            found.append(replace(hit, parameters=tuple(named)))
        elif hit.of in (Measure.SALINITY, Measure.TEMPERATURE):
            found += [hit] * (hit.of.value in named)
        elif has_unit:
            # "calcium > 5 g" asks for doses.
            found.append(hit)
    return tuple(found)


def _beyond(hit: AmountHit, sign: str) -> AmountHit:
    """Return what is more or less than what was typed, with it where the sign says so."""
    has_it = sign[-1] in "=\u2264\u2265"
    if sign[0] in ">\u2265":
        low = hit.low if has_it else nextafter(hit.high, inf)
        return AmountHit(hit.of, low, inf, hit.unit)
    high = hit.high if has_it else nextafter(hit.low, -inf)
    return AmountHit(hit.of, -inf, high, hit.unit)


def _equal(number: str, unit: str, words: Words) -> tuple[AmountHit, ...]:
    """Return which amounts one number with its unit stands for."""
    hits = [
        hit
        for measure, dimension in _MEASURES.items()
        if (name := _unit(unit, dimension, words)) is not None
        and (hit := _hit(measure, number, name, dimension)) is not None
    ]
    value = parse_number(number)
    if not unit or unit.casefold() in {one.unit.casefold() for one in words.household.supplies}:
        hits.append(_exactly(Measure.STOCK, value))
    if not unit:
        return (*hits, _exactly(Measure.READING, value))
    read = {_known(unit, dimension) for dimension in _READ} - {None}
    return (*hits, *(_exactly(Measure.READING, value, name) for name in sorted(map(str, read))))


def _unit(typed: str, dimension: Dimension, words: Words) -> str | None:
    """Return the unit that was typed, that of the household where none was."""
    units = words.units
    own = {
        Dimension.VOLUME: units.volume,
        Dimension.MASS: "g",
        Dimension.SALINITY: units.salinity,
        Dimension.TEMPERATURE: units.temperature,
    }[dimension]
    # A gallon without a word is that of the household.
    is_own = not typed or typed.casefold() in own.casefold().split()
    return own if is_own else _known(typed, dimension)


def _known(typed: str, dimension: Dimension) -> str | None:
    try:
        return find_unit(typed, dimension)
    except UserFault:
        return None


def _hit(measure: Measure, number: str, unit: str, dimension: Dimension) -> AmountHit | None:
    """Return the stretch of stored values that is shown like a typed number, None for none."""
    value = parse_number(number)
    if unit in ("L", "g"):
        return _exactly(measure, value)
    typed = len(number.replace(",", ".").partition(".")[2])
    shown = _SG_DECIMALS if unit.startswith("sg ") else _SHOWN_DECIMALS.get(unit, 0)
    half = 0.5 * 10.0 ** -max(typed, shown)
    try:
        ends = [to_stored(Quantity(one, unit, dimension)) for one in (value - half, value + half)]
    except UserFault:
        # Nothing is so salty.
        return None
    return AmountHit(measure, min(ends), max(ends))


def _exactly(measure: Measure, value: float, unit: str = "") -> AmountHit:
    slack = _ROUNDING * max(1.0, abs(value))
    return AmountHit(measure, value - slack, value + slack, unit)


def day_hits(tokens: Sequence[str], style: DayStyle, today: date) -> tuple[DayHit, ...]:
    """Return which days words stand for: "24 nov" that of each year, "tue 24", "yesterday"."""
    folded = [one.casefold() for one in tokens]
    whole = whole_day(" ".join(folded), style)
    if whole is not None:
        return (_of_day(whole),)
    if is_of_today(folded):
        return tuple(_of_day(day) for day in days_called(folded, today))
    parts = parts_called(folded, style.order)
    if parts is None:
        return ()
    return (DayHit(parts.weekday, parts.number, parts.month, parts.year),)


def _of_day(day: date) -> DayHit:
    return DayHit(None, day.day, day.month, day.year)
