"""How much a proposed chore takes, as it is typed: litres, grams or a share of the water."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from tankkeeper.core.chores import Amount, AmountUnit
from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.limits import HARD_RANGES
from tankkeeper.core.units import Dimension, in_unit, parse_number, parse_quantity, stored_value
from tankkeeper.reports.numbers import exact_text
from tankkeeper.reports.words import Words

_PERCENT: Final = "%"
_MOST_GRAMS = 100_000.0
_DIMENSIONS: Final = {
    AmountUnit.LITRES: Dimension.VOLUME,
    AmountUnit.PERCENT: Dimension.VOLUME,
    AmountUnit.GRAMS: Dimension.MASS,
}


def unit_shown(amount: Amount, words: Words) -> str:
    """Return the unit in which an amount is asked: that of the household for litres."""
    units = {AmountUnit.LITRES: words.units.volume, AmountUnit.GRAMS: "g"}
    return _PERCENT if amount.unit is AmountUnit.PERCENT else units.get(amount.unit, "")


def amount_text(amount: Amount, words: Words) -> str:
    """Return an amount as it stands in its field, in the unit behind it."""
    unit = unit_shown(amount, words)
    is_litres = amount.unit is AmountUnit.LITRES
    value = in_unit(amount.value, unit) if is_litres else amount.value
    return exact_text(value, words.decimal_sign, unit=unit)


def amount_reader(like: Amount, words: Words) -> Callable[[str], Amount]:
    """Return what reads an amount; shares of the water and litres may take turns."""

    def read(text: str) -> Amount:
        is_share = text.endswith(_PERCENT)
        is_bare = not any(sign.isalpha() for sign in text)
        if is_share or (is_bare and like.unit is AmountUnit.PERCENT):
            return Amount(
                _within(parse_number(text.rstrip(_PERCENT)), 100.0, _PERCENT), AmountUnit.PERCENT
            )
        dimension = _DIMENSIONS.get(like.unit)
        if dimension is None:
            return Amount(_within(parse_number(text), _MOST_GRAMS, ""), like.unit)
        value = stored_value(parse_quantity(text, dimension, unit_shown(like, words)))
        if dimension is Dimension.MASS:
            return Amount(_within(value, _MOST_GRAMS, "g"), AmountUnit.GRAMS)
        return Amount(_within(value, HARD_RANGES["volume"].high, "L"), AmountUnit.LITRES)

    def told(text: str) -> Amount:
        try:
            return read(text)
        except UserFault as fault:
            raise fault.labelled("Amount") from None

    return told


def _within(value: float, most: float, unit: str) -> float:
    if not 0.0 < value <= most:
        fault = out_of_range("amount", value, 0.0, most, "more_than_zero")
        fault.values["unit"] = unit
        raise fault
    return value
