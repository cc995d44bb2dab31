"""Communities of a tank and the target ranges each starts from (common practice, no source)."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from tankkeeper.core.values import dataclass


class Community(StrEnum):
    """What lives in a tank."""

    FISH_ONLY = "fish only"
    FISH_WITH_LIVE_ROCK = "fish with live rock"
    SOFT_CORAL = "soft coral"
    LARGE_POLYP_STONY = "large-polyp stony"
    SMALL_POLYP_STONY = "small-polyp stony"
    ANEMONE = "anemone"


@dataclass(frozen=True, slots=True)
class Range:
    """The target of one parameter in its stored unit; None where it has no such end."""

    low: float | None
    high: float | None


# Common practice, no source. One column a community, in the order of `Community`.
_ROWS: Mapping[str, tuple[tuple[float | None, float | None], ...]] = {
    "temperature": ((24, 27), (24, 27), (24, 27), (24.5, 26.5), (24.5, 26.5), (24.5, 27)),
    "salinity": ((30, 35), (33, 35.5), (33, 35.5), (34, 35.5), (34.5, 35.5), (34, 35.5)),
    "ph": ((7.9, 8.4), (7.9, 8.4), (7.9, 8.4), (8.0, 8.4), (8.0, 8.5), (8.0, 8.4)),
    # Below the first step of the usual colour test.
    "ammonia": ((None, 0.25),) * 6,
    "nitrite": ((None, 0.5), (None, 0.2), (None, 0.1), (None, 0.1), (None, 0.1), (None, 0.1)),
    "nitrate": ((None, 40), (None, 30), (2, 20), (2, 15), (1, 10), (1, 15)),
    "phosphate": (
        (None, 0.5),
        (None, 0.25),
        (0.03, 0.15),
        (0.03, 0.10),
        (0.02, 0.08),
        (0.02, 0.10),
    ),
    "alkalinity": ((6.5, 11), (7, 11), (7, 11), (7.5, 10), (7, 9), (7.5, 10)),
    "calcium": ((350, 480), (380, 450), (380, 450), (400, 450), (400, 450), (390, 450)),
    "magnesium": (
        (1100, 1500),
        (1200, 1450),
        (1200, 1450),
        (1250, 1400),
        (1280, 1400),
        (1250, 1400),
    ),
}
# Common practice, no source: what most keepers aim at.
USUAL_SALINITY = 35.0
_SWING_C = (1.5, 1.5, 1.0, 1.0, 0.7, 1.0)


def _column(index: int) -> Mapping[str, Range]:
    return MappingProxyType(
        {
            name: Range(*(None if end is None else float(end) for end in row[index]))
            for name, row in _ROWS.items()
        }
    )


_RANGES = {community: _column(index) for index, community in enumerate(Community)}
_SWINGS = dict(zip(Community, _SWING_C, strict=True))


def default_ranges(community: Community) -> Mapping[str, Range]:
    """Return the target ranges a tank of this community starts from, by parameter name."""
    return _RANGES[community]


def usual_salinity(community: Community | None, rise: float) -> float:
    """Return the practical salinity that a tank is to have where its keeper says none.

    One that may rise by `rise` before it is topped off stays inside its range meanwhile: what most
    keepers aim at where there is room for that, else the middle of the range to a half.
    """
    wanted = Range(None, None) if community is None else _RANGES[community]["salinity"]
    if wanted.low is None or wanted.high is None or wanted.high >= USUAL_SALINITY + rise:
        return USUAL_SALINITY
    return round(wanted.low + wanted.high) / 2.0


def largest_daily_swing_c(community: Community) -> float:
    """Return how much the temperature may move within a day, in kelvin."""
    return _SWINGS[community]
