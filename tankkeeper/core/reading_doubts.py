"""Whether a reading is far from what earlier ones, or the range of the tank, make likely."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from math import hypot, sqrt

from tankkeeper.core.communities import Range
from tankkeeper.core.household import Stage, Tank
from tankkeeper.core.logbook import Entry
from tankkeeper.core.parameters import PARAMETERS, ReadingValue
from tankkeeper.core.reading_outlook import HABITS, newest_readings, reading_outlook
from tankkeeper.core.target_ranges import range_of
from tankkeeper.core.trend_filter import NINETY
from tankkeeper.core.values import dataclass

# Choices of this project. A trend believes a reading less from 2.5 spreads on; a question is worth
# asking from 4 on. Outside its range a reading is far once it is further off than the range is
# wide; what piles up in any tank, such as nitrate, from twice that on.
FAR_SPREADS = 4.0
FAR_WIDTHS = 1.0
FAR_WIDTHS_PILED_UP = 2.0
_PILES_UP = frozenset({"nitrate", "phosphate"})
_SECONDS_PER_DAY = 86_400.0
# What climbs in a tank that is cycling, far beyond the range of the animals that are to come.
_OF_CYCLING = frozenset({"ammonia", "nitrite", "nitrate"})


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why a reading is asked about: the last one with its entry, or else the range.

    One that is near the last reading is far only from what is `expected` since: with it the entry
    of the water change that moved it, or else of the last reading.
    """

    last: tuple[float, Entry] | None = None
    range: Range | None = None
    expected: tuple[float, Entry] | None = None


def doubt_of(
    tank: Tank, reading: ReadingValue, at: datetime, entries: Sequence[Entry], net_l: float | None
) -> Doubt | None:
    """Return why a reading taken at `at` is to be asked about, None where it is likely enough.

    The expectation is that of the trend, with the water changes since; a range that the reading
    before had left as far says nothing new.
    """
    before = [one for one in entries if one.at < at]
    read = newest_readings(before, reading.parameter)
    doubt = _doubt_of_trend(tank, reading, at, before, net_l) if read else None
    if doubt is not None:
        return doubt
    wanted = range_of(tank, PARAMETERS[reading.parameter])
    side = 0 if _is_expected(tank, reading) else _far_side(reading, wanted)
    if side and not (read and _far_side(replace(reading, value=read[-1][1]), wanted) == side):
        return Doubt(range=wanted)
    return None


def _doubt_of_trend(
    tank: Tank,
    reading: ReadingValue,
    at: datetime,
    before: Sequence[Entry],
    net_l: float | None,
) -> Doubt | None:
    outlook = reading_outlook(tank, reading.parameter, before, net_l)
    habit = HABITS.get(reading.parameter)
    newest, last, after = outlook.newest, outlook.value, outlook.after
    if outlook.trend is None or after is None or newest is None or last is None or habit is None:
        return None
    days = max(0.0, (at - after.at).total_seconds() / _SECONDS_PER_DAY)
    expected = outlook.trend.after(days)
    known = (expected.high - expected.low) / 2.0 / NINETY
    far = FAR_SPREADS * hypot(known, sqrt(habit.settings.variance(expected.value)))
    if abs(reading.value - expected.value) <= far:
        return None
    # What was read says it more plainly, where it says so as well.
    if abs(reading.value - last) > far:
        return Doubt(last=(last, newest))
    return Doubt(expected=(expected.value, after))


def _is_expected(tank: Tank, reading: ReadingValue) -> bool:
    """Tell whether the range is not what such a reading is judged by."""
    has_usual = PARAMETERS[reading.parameter].limits.usual_high is not None
    return has_usual or (tank.stage is Stage.CYCLING and reading.parameter in _OF_CYCLING)


def _far_side(reading: ReadingValue, wanted: Range) -> int:
    """Return 1 far above a range, -1 far below, else 0."""
    if wanted.high is None:
        return 0
    value = reading.value
    widths = FAR_WIDTHS_PILED_UP if reading.parameter in _PILES_UP else FAR_WIDTHS
    reach = widths * (wanted.high - (wanted.low or 0.0))
    if value > wanted.high + reach:
        return 1
    return -1 if wanted.low is not None and value < wanted.low - reach else 0
