"""Numbers as text: never more digits than a number has, and bound to their unit."""

from __future__ import annotations

from collections.abc import Mapping
from math import floor
from types import MappingProxyType

from tankkeeper.core.estimate import Estimate
from tankkeeper.core.shown_digits import (
    LARGEST_LEAN,
    MOST_DECIMALS,
    decimals_of,
    end_decimals_of,
    is_leaning,
    is_unseen,
    stated_decimals,
)
from tankkeeper.core.units import in_unit

NBSP = "\N{NO-BREAK SPACE}"
WORD_JOINER = "\N{WORD JOINER}"
MINUS = "\N{MINUS SIGN}"

# Of what runs out the low end counts, so that no lean is left out that could be seen.
LEAST_LEAN = 1.1

# How units are written for people, where that differs from their name. Practical salinity has no
# unit; PSU behind the number is how the trade tells it from ppt, mS/cm and specific gravity.
UNIT_SIGNS: Mapping[str, str] = MappingProxyType(
    {"degC": "°C", "degF": "°F", "practical": "PSU", "pH": "", "ml": "mL"}
)
# How units are spoken: one, and more than one.
SPOKEN_UNITS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "L": ("litre", "litres"),
        "ml": ("millilitre", "millilitres"),
        "US gal": ("US gallon", "US gallons"),
        "imp gal": ("imperial gallon", "imperial gallons"),
        "g": ("gram", "grams"),
        "kg": ("kilogram", "kilograms"),
        "lb": ("pound", "pounds"),
        "mm": ("millimetre", "millimetres"),
        "in": ("inch", "inches"),
        "min": ("minute", "minutes"),
        "practical": ("practical salinity unit", "practical salinity units"),
    }
)


def decimal_text(value: float, decimals: int, decimal_sign: str = ".") -> str:
    """Return `value` with so many decimals; negative ones round to tens, hundreds and so on.

    >>> decimal_text(2.68, 1), decimal_text(2.68, 1, ","), decimal_text(1234.0, -1)
    ('2.7', '2,7', '1230')
    """
    rounded = round(value, decimals) + 0.0
    text = f"{rounded:.{max(0, decimals)}f}"
    if float(text) == 0.0:
        text = text.removeprefix("-")
    return text.replace("-", MINUS).replace(".", decimal_sign)


def exact_text(
    value: float, decimal_sign: str = ".", most: int | None = None, unit: str = ""
) -> str:
    """Return a stated or measured number: three digits at most, whole ones as they are.

    `most` bounds its decimals besides; in gallons it has those that a bucket shows.

    >>> exact_text(40.0), exact_text(2.4), exact_text(10.566882), exact_text(1528.0)
    ('40', '2.4', '10.6', '1528')
    """
    text = decimal_text(value, stated_decimals(value, unit, most))
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.replace(".", decimal_sign)


def bound_unit(unit: str) -> str:
    """Return a unit that no line can break: no-break spaces, a word joiner after a slash."""
    return unit.replace(" ", NBSP).replace("/", "/" + WORD_JOINER)


def unit_sign(unit: str) -> str:
    """Return a unit as it stands behind a number; pH has none."""
    return UNIT_SIGNS.get(unit, unit)


def with_unit(number: str, unit: str) -> str:
    """Return a number bound to its unit by a no-break space; alone where there is none."""
    sign = unit_sign(unit)
    return f"{number}{NBSP}{bound_unit(sign)}" if sign else number


def shown(value: float, unit: str, decimals: int | None = None, decimal_sign: str = ".") -> str:
    """Return a number with its unit; without `decimals` as exact as it was stated.

    >>> shown(12.04, "mm", 0) == "12" + NBSP + "mm"
    True
    """
    if decimals is None:
        return with_unit(exact_text(value, decimal_sign, unit=unit), unit)
    return with_unit(decimal_text(value, decimals, decimal_sign), unit)


def thickness_text(value_mm: float, unit: str, decimal_sign: str = ".") -> str:
    """Return whole millimetres, or hundredths of an inch: no eye reads a level closer.

    >>> thickness_text(5.4, "mm"), thickness_text(5.4, "in")
    ('5\xa0mm', '0.21\xa0in')
    """
    if unit == "mm":
        return shown(value_mm, unit, 0, decimal_sign)
    return shown(round(in_unit(0.1 * value_mm, unit), 2), unit, None, decimal_sign)


def shown_estimate(estimate: Estimate, unit: str, decimal_sign: str = ".") -> str:
    """Return the middle value with its unit, with the digits that its span leaves it."""
    decimals = decimals_of(estimate, unit)
    if estimate.low == estimate.high or is_unseen(estimate, decimals):
        most = MOST_DECIMALS.get(unit)
        return with_unit(exact_text(estimate.value, decimal_sign, most, unit), unit)
    return shown(estimate.value, unit, decimals, decimal_sign)


def span_words(
    estimate: Estimate, unit: str, decimal_sign: str = ".", largest_lean: float = LARGEST_LEAN
) -> str:
    """Return value, span and unit: "443 ± 15 L", or "0.9 L (0.5 to 1.6)" where it leans.

    A span that is smaller than what is shown is left out.
    """
    decimals = decimals_of(estimate, unit)
    if estimate.low == estimate.high or is_unseen(estimate, decimals):
        return shown_estimate(estimate, unit, decimal_sign)
    middle = decimal_text(estimate.value, decimals, decimal_sign)
    if not is_leaning(estimate, largest_lean):
        half = decimal_text((estimate.high - estimate.low) / 2.0, decimals, decimal_sign)
        if float(decimal_text((estimate.high - estimate.low) / 2.0, decimals)) == 0.0:
            return with_unit(middle, unit)
        return with_unit(f"{middle}{NBSP}±{NBSP}{half}", unit)
    low, high = _ends(estimate, unit, decimal_sign)
    return f"{with_unit(middle, unit)} ({low}{NBSP}to{NBSP}{high})"


def open_span_words(estimate: Estimate, unit: str, decimal_sign: str = ".") -> str:
    """Return a span of which the upper end may be higher still: "41 PSU (37 to over 44)"."""
    middle = decimal_text(estimate.value, decimals_of(estimate, unit), decimal_sign)
    low, _ = _ends(estimate, unit, decimal_sign)
    high = _below(estimate.high, estimate, unit, decimal_sign)
    return f"{with_unit(middle, unit)} ({low}{NBSP}to{NBSP}over{NBSP}{high})"


def over_words(estimate: Estimate, unit: str, decimal_sign: str = ".") -> str:
    """Return an estimate that lies above its value: "over 44 PSU (at least 37)"."""
    low, high = (
        _below(end, estimate, unit, decimal_sign) for end in (estimate.low, estimate.value)
    )
    over = f"over{NBSP}{with_unit(high, unit)}"
    return over if low == high else f"{over} (at least{NBSP}{low})"


def _below(end: float, estimate: Estimate, unit: str, decimal_sign: str) -> str:
    """Return an end that is never told higher than it is, with the digits of its estimate."""
    decimals = end_decimals_of(estimate, unit)
    step = 10.0**-decimals
    return decimal_text(floor(end / step) * step, decimals, decimal_sign)


def ends_words(estimate: Estimate, unit: str, decimal_sign: str = ".") -> str:
    """Return both ends of a span with the unit, "1.6 to 2.0 L", or one number where they agree."""
    low, high = _ends(estimate, unit, decimal_sign)
    return with_unit(low if low == high else f"{low}{NBSP}to{NBSP}{high}", unit)


def _ends(estimate: Estimate, unit: str, decimal_sign: str) -> tuple[str, str]:
    """Return both ends of a span; one of which nothing is seen is "0", without decimals."""
    decimals = end_decimals_of(estimate, unit)
    low, high = (
        decimal_text(end, decimals if round(end, decimals) else 0, decimal_sign)
        for end in (estimate.low, estimate.high)
    )
    return low, high


def counted(count: int, one: str, many: str) -> str:
    """Return a count bound to its noun: "1 day", "2 days"."""
    return f"{count}{NBSP}{one if count == 1 else many}"


def spoken(text: str, unit: str) -> str:
    """Return a number with its unit as a screen reader should say it: "40 litres"."""
    one, many = SPOKEN_UNITS.get(unit, (UNIT_SIGNS.get(unit, unit),) * 2)
    return f"{text} {one if text == '1' else many}".rstrip()


def heard(measure: str, unit: str) -> str:
    """Return a number that stands with its unit as a screen reader should say it.

    >>> heard("40 L", "L"), heard("5.3 US gal", "US gal")
    ('40 litres', '5.3 US gallons')
    """
    return spoken(plain(measure).removesuffix(unit).rstrip(), unit)


def plain(text: str) -> str:
    """Return text without the signs that only matter on a page: for terminals, JSON, speech."""
    return text.replace(NBSP, " ").replace(WORD_JOINER, "").replace(MINUS, "-")


def listed(parts: list[str], last: str = "and") -> str:
    """Return words in a row: "a", "a and b", "a, b and c"."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {last} {parts[-1]}"
