"""How long water lasts: in hours below two days, in days beyond, one rounding for all."""

from __future__ import annotations

from tankkeeper.core.estimate import Estimate
from tankkeeper.reports.numbers import NBSP, counted

# Beyond this what is left is no longer told in days.
FAR_DAYS = 365.0
# Below this a day more or less is too coarse for what is to be done by then.
TOLD_IN_HOURS = 2.0


def whole_days(days: Estimate) -> tuple[int, int]:
    """Return the ends of a span as whole days; of the first no day counts that is not full."""
    return _whole(days.low, days.high)


def lasting_words(days: Estimate) -> str:
    """Return a span of days: "9 to 14 days", "23 hours to 5 days", "at most 4 days".

    "more than a year" where even the low end is, "0 days" once it is over.
    """
    if days.low >= FAR_DAYS:
        return "more than a year"
    if not days.high:
        return counted(0, "day", "days")
    if days.high >= FAR_DAYS:
        return f"at least {time_words(days.low)}"
    if days.high < TOLD_IN_HOURS:
        low, high = _whole(24.0 * days.low, 24.0 * days.high)
        return _span(low, high, "hour", "hours")
    low, high = whole_days(days)
    if days.low < TOLD_IN_HOURS:
        until = counted(high, "day", "days")
        return f"{time_words(days.low)} to {until}" if int(24.0 * days.low) else f"at most {until}"
    return _span(low, high, "day", "days")


def time_words(days: float) -> str:
    """Return the whole hours or days of a time: "23 hours", "5 days", "under 1 hour"."""
    if days >= TOLD_IN_HOURS:
        return counted(int(days), "day", "days")
    hours = int(24.0 * days)
    return counted(hours, "hour", "hours") if hours else f"under{NBSP}1{NBSP}hour"


def _whole(low: float, high: float) -> tuple[int, int]:
    return int(low), max(int(low), round(high))


def _span(low: int, high: int, one: str, many: str) -> str:
    if high == 0:
        return f"under{NBSP}1{NBSP}{one}"
    if low == high:
        return f"about {counted(low, one, many)}"
    if low == 0:
        return f"at most {counted(high, one, many)}"
    return f"{low}{NBSP}to{NBSP}{counted(high, one, many)}"
