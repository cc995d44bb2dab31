"""Amounts with their units: as a chore is set down with them, and as they are due."""

from __future__ import annotations

from collections.abc import Iterable

from tankkeeper.core.amounts import AmountDue, told_litres
from tankkeeper.core.chores import Amount, AmountUnit
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.shown_digits import poured_sum, poured_value
from tankkeeper.core.units import in_unit
from tankkeeper.reports.numbers import NBSP, exact_text, shown
from tankkeeper.reports.words import Words


def set_amount(amount: Amount, words: Words) -> str:
    """Return the amount that a chore is set down with: "30 L", "15 %", "12 g", "2 pieces"."""
    if amount.unit is AmountUnit.LITRES:
        return words.litres(amount.value)
    if amount.unit is AmountUnit.PERCENT:
        return words.percent(amount.value / 100.0)
    return _grams_or_pieces(amount.value, amount.unit is AmountUnit.GRAMS, words)


def due_amount(amount: AmountDue, words: Words) -> str:
    """Return grams, pieces or litres with their unit."""
    if amount.unit in ("pieces", "g"):
        return _grams_or_pieces(amount.value, amount.unit == "g", words)
    return litres_due(amount, words)


def litres_due(amount: AmountDue, words: Words) -> str:
    """Return the litres of an amount, as they stand in the logbook once they are ticked."""
    return words.litres(amount.value)


def litres_in_all(values_l: Iterable[float], words: Words) -> str:
    """Return what the rows of a list come to together, no finer than it can be poured."""
    unit = words.units.volume
    told = [poured_value(in_unit(one, unit), unit) for one in values_l]
    return shown(poured_sum(told), unit, None, words.decimal_sign)


def about(gone: Estimate, words: Words) -> str:
    """Return litres that are small at first without claiming more than a tenth of a litre."""
    if gone.value < 0.05:
        return words.litres(0.0)
    if words.units.volume != "L":
        # A bucket shows no span: the same digits as in the row, which are those of its litres.
        return words.litres(told_litres(gone))
    half = max(0.2 if gone.value >= 1.0 else 0.02, (gone.high - gone.low) / 2.0)
    return words.about_litres(Estimate(gone.value, gone.value - half, gone.value + half))


def _grams_or_pieces(value: float, is_weighed: bool, words: Words) -> str:
    if is_weighed:
        return words.grams(value)
    return f"{exact_text(value, words.decimal_sign)}{NBSP}{'piece' if value == 1 else 'pieces'}"
