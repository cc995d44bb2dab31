"""Numbers as text: never more digits than a number has, and bound to their unit."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from tankkeeper.core.estimate import Estimate

NBSP = "\N{NO-BREAK SPACE}"
WORD_JOINER = "\N{WORD JOINER}"
MINUS = "\N{MINUS SIGN}"

# Digits that a stated or measured number may show; more would be noise of a conversion.
MOST_DIGITS = 3
# No jug is read closer than this; what is worked out shows no more decimals, whatever its span.
MOST_DECIMALS: Mapping[str, int] = MappingProxyType({"L": 2, "US gal": 2})
# A span that is wider than this on one side is told by its two ends.
LARGEST_LEAN = 1.5

# How units are written for people, where that differs from their name. Practical salinity has no
# unit; PSU behind the number is how the trade tells it from ppt, mS/cm and specific gravity.
UNIT_SIGNS: Mapping[str, str] = MappingProxyType(
    {"degC": "°C", "degF": "°F", "practical": "PSU", "pH": "", "ml": "mL"}
)
# How units are spoken: one, and more than one.
SPOKEN_UNITS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "L": ("litre", "litres"),
        "US gal": ("US gallon", "US gallons"),
        "g": ("gram", "grams"),
        "kg": ("kilogram", "kilograms"),
        "mm": ("millimetre", "millimetres"),
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


def exact_text(value: float, decimal_sign: str = ".", most: int | None = None) -> str:
    """Return a stated or measured number: three digits at most, whole ones as they are.

    `most` bounds its decimals besides.

    >>> exact_text(40.0), exact_text(2.4), exact_text(10.566882), exact_text(1528.0)
    ('40', '2.4', '10.6', '1528')
    """
    decimals = max(0, MOST_DIGITS - 1 - _decade(value))
    if most is not None:
        decimals = min(decimals, most)
    text = decimal_text(value, decimals)
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.replace(".", decimal_sign)


def decimals_of(estimate: Estimate, unit: str = "") -> int:
    """Return the decimals that an estimate has by its span, as far as its unit can be measured.

    The half span shows one digit, or two where the first is a 1; the value always keeps one.

    >>> decimals_of(Estimate(0.953, 0.83, 1.07)), decimals_of(Estimate(443.2, 428.0, 458.0))
    (2, 0)
    >>> decimals_of(Estimate(2.68, 2.3, 3.0)), decimals_of(Estimate(36.0, 35.99, 36.0001), "L")
    (1, 2)
    """
    decimals = _by_span(estimate)
    return min(decimals, MOST_DECIMALS.get(unit, decimals))


def _by_span(estimate: Estimate) -> int:
    half = (estimate.high - estimate.low) / 2.0
    if half <= 0.0:
        return max(0, MOST_DIGITS - 1 - _decade(estimate.value))
    leading, _, power = f"{half:.1e}".partition("e")
    by_span = -int(power) + (1 if float(leading) < 2.0 else 0)
    least = -_decade(estimate.value) if estimate.value else by_span
    return max(by_span, least)


def _decade(value: float) -> int:
    """Return the power of ten of the first digit; 0 for zero."""
    return math.floor(math.log10(abs(value)) + 1e-12) if value else 0


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
        return with_unit(exact_text(value, decimal_sign), unit)
    return with_unit(decimal_text(value, decimals, decimal_sign), unit)


def shown_estimate(estimate: Estimate, unit: str, decimal_sign: str = ".") -> str:
    """Return the middle value with its unit, with the digits that its span leaves it."""
    decimals = decimals_of(estimate, unit)
    if estimate.low == estimate.high or _is_unseen(estimate, decimals):
        most = MOST_DECIMALS.get(unit)
        return with_unit(exact_text(estimate.value, decimal_sign, most), unit)
    return shown(estimate.value, unit, decimals, decimal_sign)


def _is_unseen(estimate: Estimate, decimals: int) -> bool:
    """Tell whether both ends of a span are shown like its middle, so that it tells nothing."""
    ends = {decimal_text(one, decimals) for one in (estimate.low, estimate.value, estimate.high)}
    return len(ends) == 1


def span_words(estimate: Estimate, unit: str, decimal_sign: str = ".") -> str:
    """Return value, span and unit: "443 ± 15 L", or "0.9 L (0.5 to 1.6)" where it leans.

    A span that is smaller than what is shown is left out.
    """
    decimals = decimals_of(estimate, unit)
    if estimate.low == estimate.high or _is_unseen(estimate, decimals):
        return shown_estimate(estimate, unit, decimal_sign)
    middle = decimal_text(estimate.value, decimals, decimal_sign)
    below, above = estimate.value - estimate.low, estimate.high - estimate.value
    if max(below, above) <= LARGEST_LEAN * min(below, above):
        half = decimal_text((below + above) / 2.0, decimals, decimal_sign)
        if float(decimal_text((below + above) / 2.0, decimals)) == 0.0:
            return with_unit(middle, unit)
        return with_unit(f"{middle}{NBSP}±{NBSP}{half}", unit)
    low = decimal_text(estimate.low, decimals, decimal_sign)
    high = decimal_text(estimate.high, decimals, decimal_sign)
    return f"{with_unit(middle, unit)} ({low}{NBSP}to{NBSP}{high})"


def counted(count: int, one: str, many: str) -> str:
    """Return a count bound to its noun: "1 day", "2 days"."""
    return f"{count}{NBSP}{one if count == 1 else many}"


def spoken(text: str, unit: str) -> str:
    """Return a number with its unit as a screen reader should say it: "40 litres"."""
    one, many = SPOKEN_UNITS.get(unit, (UNIT_SIGNS.get(unit, unit),) * 2)
    return f"{text} {one if text == '1' else many}".rstrip()


def plain(text: str) -> str:
    """Return text without the signs that only matter on a page: for terminals, JSON, speech."""
    return text.replace(NBSP, " ").replace(WORD_JOINER, "").replace(MINUS, "-")


def listed(parts: list[str], last: str = "and") -> str:
    """Return words in a row: "a", "a and b", "a, b and c"."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {last} {parts[-1]}"
