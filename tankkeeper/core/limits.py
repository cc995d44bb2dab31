"""What an entry may be at all, and what is asked about once more before it is kept."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from types import MappingProxyType

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
