"""How many digits of a number mean something, and what a number is once it is told with them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from tankkeeper.core.estimate import Estimate

# Digits that a stated or measured number may show; more would be noise of a conversion.
MOST_DIGITS = 3
# A span that is wider than this on one side is told by its two ends.
LARGEST_LEAN = 1.5
# No jug is read closer than this; what is worked out shows no more decimals, whatever its span.
MOST_DECIMALS: Mapping[str, int] = MappingProxyType({"L": 2, "US gal": 2, "imp gal": 2})
# In gallons nobody pours closer than two digits, or tenths from ten on. What was stated in them
# with more is no noise of a conversion and keeps them.
_POURED_DIGITS: Mapping[str, int] = MappingProxyType({"US gal": 2, "imp gal": 2})
_STATED = 1e-6
# A sum carries the noise of adding behind these.
_SUM_DECIMALS = 6
# Below this a single digit is off by a tenth and more, and what is reckoned with it, too.
_TWO_DIGITS_BELOW = 5.0


def exact_decimals(value: float, most: int | None = None) -> int:
    """Return the decimals of a stated or measured number: three digits at most.

    >>> exact_decimals(2.4), exact_decimals(10.566882), exact_decimals(1528.0)
    (2, 1, 0)
    """
    decimals = max(0, MOST_DIGITS - 1 - _decade(value))
    return decimals if most is None else min(decimals, most)


def stated_decimals(value: float, unit: str = "", most: int | None = None) -> int:
    """Return the decimals of a stated or measured number in its unit.

    Litres that are told in gallons would show the digits of the conversion: 13 L are 3.434 US
    gallons. They have those that a bucket shows, unless they were stated in gallons themselves.

    >>> [stated_decimals(one, "US gal") for one in (3.434, 3.43, 0.0343, 10.566882)]
    [1, 2, 4, 1]
    >>> stated_decimals(3.434, "L")
    2
    """
    exact = exact_decimals(value, most)
    digits = _POURED_DIGITS.get(unit)
    if digits is None or abs(value - round(value, exact)) <= _STATED * abs(value):
        return exact
    return min(exact, max(1, digits - 1 - _decade(value)))


def poured_value(value: float, unit: str) -> float:
    """Return a stated or measured number as it is told in gallons; litres are what they are.

    >>> poured_value(3.434, "US gal"), poured_value(12.25, "L")
    (3.4, 12.25)
    """
    if unit not in _POURED_DIGITS:
        return value
    return round(value, stated_decimals(value, unit)) + 0.0


def poured_sum(parts: Sequence[float]) -> float:
    """Return what numbers come to together as a bucket shows it, in litres or gallons as told.

    From one on it has the decimals of its parts from one on, and tenths at least: nobody pours
    3.3 L and 0.96 L as 4.26 L. Below it has hundredths, where those are two digits.

    >>> poured_sum((3.3, 0.96)), poured_sum((0.36, 0.48)), poured_sum((6.0, 2.25))
    (4.3, 0.84, 8.25)
    """
    if len(parts) == 1:
        return parts[0]
    total = round(sum(parts), _SUM_DECIMALS)
    if total < 1.0:
        return round(total, 2) if total >= 0.1 else total
    large = [one for one in parts if one >= 1.0]
    decimals = 1
    while decimals < _SUM_DECIMALS and any(
        abs(one - round(one, decimals)) > _STATED * one for one in large
    ):
        decimals += 1
    return round(total, decimals)


def decimals_of(estimate: Estimate, unit: str = "") -> int:
    """Return the decimals that an estimate has by its span, as far as its unit can be measured.

    The half span shows one digit, or two where the first is a 1. The value always keeps one, and
    litres and gallons two where one would hide a tenth: days are reckoned with them. That is left
    where it were the third digit of the half span: nobody reckons with what is known so little.
    Gallons keep two digits: tens of them would be a step of a whole small tank.

    >>> decimals_of(Estimate(0.953, 0.83, 1.07)), decimals_of(Estimate(443.2, 428.0, 458.0))
    (2, 0)
    >>> decimals_of(Estimate(2.68, 2.3, 3.0)), decimals_of(Estimate(36.0, 35.99, 36.0001), "L")
    (1, 1)
    >>> decimals_of(Estimate(1.32, 0.2, 4.0), "US gal"), decimals_of(Estimate(5.0, 0.8, 15.0), "L")
    (1, 0)
    >>> decimals_of(Estimate(0.36, 0.0, 6.66), "L"), decimals_of(Estimate(0.36, 0.3, 0.4), "L")
    (1, 2)
    >>> decimals_of(Estimate(68.7, 48.0, 89.0), "US gal"), decimals_of(Estimate(260, 180, 340), "L")
    (0, -1)
    """
    decimals = _by_span(estimate)
    most = MOST_DECIMALS.get(unit)
    if most is None:
        return decimals
    decade = _decade(estimate.value)
    if decade == 1 and unit in _POURED_DIGITS:
        decimals = max(decimals, 0)
    if 0.0 < abs(estimate.value) < _TWO_DIGITS_BELOW * 10.0**decade:
        decimals = max(decimals, _most_by_span(estimate, 1 - decade))
    return min(decimals, exact_decimals(estimate.value, most))


def end_decimals_of(estimate: Estimate, unit: str = "") -> int:
    """Return the decimals of both ends of a span: those of its middle, and two digits of its half.

    >>> end_decimals_of(Estimate(0.9, 0.5, 1.6), "L"), end_decimals_of(Estimate(0.04, 0, 6.66), "L")
    (1, 1)
    """
    return _most_by_span(estimate, decimals_of(estimate, unit))


def is_leaning(estimate: Estimate, largest_lean: float = LARGEST_LEAN) -> bool:
    """Tell whether a span is told by both its ends, and not by the half of it."""
    below, above = estimate.value - estimate.low, estimate.high - estimate.value
    return max(below, above) > largest_lean * min(below, above)


def told_low(estimate: Estimate, *, has_ends: bool = False) -> float:
    """Return the low end of a span as it is told: its middle less its half, both rounded.

    One that leans to a side is told by its ends, as is one that `has_ends` for another reason.

    >>> told_low(Estimate(35.74, 35.47, 36.01)), told_low(Estimate(35.76, 35.51, 36.01))
    (35.4, 35.5)
    >>> told_low(Estimate(35.87, 35.07, 37.75))
    35.1
    """
    if has_ends or is_leaning(estimate):
        return round(estimate.low, end_decimals_of(estimate))
    decimals = decimals_of(estimate)
    half = round((estimate.high - estimate.low) / 2.0, decimals)
    told = round(round(estimate.value, decimals) - half, decimals)
    return min(told, round(estimate.low, end_decimals_of(estimate)))


def is_unseen(estimate: Estimate, decimals: int) -> bool:
    """Tell whether both ends of a span are told like its middle, so that it tells nothing."""
    ends = (estimate.low, estimate.value, estimate.high)
    return len({round(one, decimals) for one in ends}) == 1


def told_decimals(estimate: Estimate, unit: str) -> int:
    """Return the decimals with which the middle of an estimate is told alone."""
    decimals = decimals_of(estimate, unit)
    if estimate.low == estimate.high or is_unseen(estimate, decimals):
        return stated_decimals(estimate.value, unit, MOST_DECIMALS.get(unit))
    return decimals


def told_value(estimate: Estimate, unit: str) -> float:
    """Return the middle of an estimate as it is told: no finer than its span or a jug.

    >>> told_value(Estimate(27.3, 25.1, 29.6), "L"), told_value(Estimate(2.449, 2.2, 2.7), "L")
    (27.0, 2.4)
    """
    return round(estimate.value, told_decimals(estimate, unit)) + 0.0


def _most_by_span(estimate: Estimate, decimals: int) -> int:
    """Return these decimals, fewer where more than two digits of the half span would be told."""
    half = (estimate.high - estimate.low) / 2.0
    return decimals if half <= 0.0 else min(decimals, max(0, 1 - _decade(half)))


def _by_span(estimate: Estimate) -> int:
    half = (estimate.high - estimate.low) / 2.0
    if half <= 0.0:
        return exact_decimals(estimate.value)
    leading, _, power = f"{half:.1e}".partition("e")
    by_span = -int(power) + (1 if float(leading) < 2.0 else 0)
    least = -_decade(estimate.value) if estimate.value else by_span
    return max(by_span, least)


def _decade(value: float) -> int:
    """Return the power of ten of the first digit; 0 for zero."""
    return math.floor(math.log10(abs(value)) + 1e-12) if value else 0
