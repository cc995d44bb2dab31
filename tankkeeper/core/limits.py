"""What an entry may be at all, and what is asked about once more before it is kept."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from types import MappingProxyType

from tankkeeper.core.errors import UserFault
from tankkeeper.core.values import dataclass


@dataclass(frozen=True, slots=True)
class Limits:
    """What an entry may be at all, and beyond what it is asked about once more."""

    low: float
    high: float
    usual_low: float | None = None
    usual_high: float | None = None
    hint_above: str = ""


# The choices of this project, not of a standard; in the unit the entry is stored in.
HARD_RANGES: Mapping[str, Limits] = MappingProxyType(
    {
        "volume": Limits(0.1, 100_000.0),
        "salinity": Limits(0.0, 42.0, 25.0, 40.0),
        "specific_gravity": Limits(0.995, 1.035, 1.018, 1.030),
        "conductivity": Limits(0.0, 70.0),
        "temperature": Limits(-2.0, 45.0, 20.0, 30.0, "fahrenheit"),
        "ph": Limits(0.0, 14.0, 7.5, 9.0),
        "interval_days": Limits(1.0, 3650.0),
        "evaporation_share": Limits(0.0, 0.20, None, 0.05),
        "name_length": Limits(1.0, 200.0),
        "note_length": Limits(0.0, 10_000.0),
    }
)
VOLUME_LEAP = 10.0
EARLIEST_AT = datetime(1990, 1, 1, tzinfo=UTC)
# Clocks of two devices differ a little.
CLOCK_SLACK = timedelta(minutes=5)
LONG_AGO = timedelta(days=60)
PLANNED_BACK = timedelta(days=366)
PLANNED_AHEAD = timedelta(days=3653)


@dataclass(frozen=True, slots=True)
class Unusual:
    """An entry that can be but is unlike the usual: what to ask about, with the usual span."""

    entry: str
    value: float
    usual_low: float | None
    usual_high: float | None


def unusual(entry: str, value: float, last: float | None = None) -> Unusual | None:
    """Return what to ask about once more, None when the entry is as usual.

    For "volume", `last` is the tank's last value; a tenfold leap is asked about.
    """
    limits = HARD_RANGES[entry]
    low, high = limits.usual_low, limits.usual_high
    if entry == "volume" and last is not None:
        high = VOLUME_LEAP * last
    if (low is not None and value < low) or (high is not None and value > high):
        return Unusual(entry, value, low, high)
    return None


def check_done_at(at: datetime, now: datetime) -> None:
    """Refuse a moment of work or test that lies in the future or before 1990."""
    if at > now + CLOCK_SLACK:
        raise UserFault("in_the_future", field="at", value=at, now=now)
    if at < EARLIEST_AT:
        raise UserFault("out_of_range", field="at", value=at, low=EARLIEST_AT, high=now, hint="")


def is_long_ago(at: datetime, now: datetime) -> bool:
    """Return whether a moment is so far back that it is asked about once more."""
    return now - at > LONG_AGO


def check_planned_on(on: date, today: date) -> None:
    """Refuse a planned day more than a year back or ten years ahead."""
    back, ahead = (today - on), (on - today)
    if back > PLANNED_BACK or ahead > PLANNED_AHEAD:
        low, high = today - PLANNED_BACK, today + PLANNED_AHEAD
        raise UserFault("out_of_range", field="on", value=on, low=low, high=high, hint="")
