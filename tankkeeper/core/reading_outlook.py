"""When a measured parameter of a tank may leave its range, or can no longer be told closely."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from enum import StrEnum
from math import hypot, sqrt
from types import MappingProxyType

from tankkeeper.core.communities import Range
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry, Readings, WaterChange
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.target_ranges import range_of, side_of
from tankkeeper.core.trend_filter import (
    HORIZON_DAYS,
    Event,
    Mixed,
    Reading,
    Trend,
    TrendSettings,
    first_day,
    follow,
)
from tankkeeper.core.values import dataclass

# Older readings, and more of them, tell nothing more of where the water is going now.
MOST_READINGS = 30
OLDEST_DAYS = 200
LEAST_READINGS = 3
# A range may be left once it is as likely as this: the other end of a 90 % bound to one side.
CHANCE = 0.10


@dataclass(frozen=True, slots=True)
class Habit:
    """How a parameter is followed, and the usual bounds of days from one test to the next."""

    settings: TrendSettings
    least_days: int
    most_days: int


# Common practice, no source: what a careful reading with a drop or colour test is good for, how
# fast a reef at home moves, and how often keepers test.
HABITS: Mapping[str, Habit] = MappingProxyType(
    {
        "alkalinity": Habit(TrendSettings(error=0.2, rate=0.5), 2, 14),
        "calcium": Habit(TrendSettings(error=8.0, rate=4.0), 3, 30),
        "magnesium": Habit(TrendSettings(error=20.0, rate=5.0), 7, 45),
        "nitrate": Habit(TrendSettings(error=1.0, rate=1.0, share=0.15), 3, 21),
        "phosphate": Habit(TrendSettings(error=0.012, rate=0.005, share=0.10), 3, 21),
        "salinity": Habit(TrendSettings(error=0.3, rate=0.1), 1, 14),
        "ph": Habit(TrendSettings(error=0.1, rate=0.02), 1, 14),
    }
)
# What no trend foretells: a cycling tank's ammonia and nitrite, and a temperature.
UNTRENDED_LEAST_DAYS, UNTRENDED_MOST_DAYS = 1, 7
# Of new salt water: free of what food leaves behind, and in the middle of the range of what corals
# take up, a quarter of the range uncertain.
_FREE_OF = MappingProxyType({"nitrate": 0.5, "phosphate": 0.01})
_IN_THE_MIDDLE = frozenset({"alkalinity", "calcium", "magnesium"})
# Of a change whose litres, or whose tank's litres, nobody gave: the usual share and its spread.
_USUAL_SHARE = (0.15, 0.1)


class Ground(StrEnum):
    """What the outlook rests on, the first that holds."""

    UNREAD = "never read"
    UNTRENDED = "told by each reading alone"
    NO_RANGE = "no range given"
    OUTSIDE = "outside now"
    FEW = "few readings"
    TREND = "trend"


@dataclass(frozen=True, slots=True)
class ReadingOutlook:
    """Where a parameter of a tank is going, all in its stored unit.

    `inside_until` is the last day on which it is inside its range but for one chance in ten, None
    when no end is in sight within 60 days or nothing can be told; `told_until` the last day on
    which the trend says it closely enough. `newest` is the newest reading, `after` the newest event
    that the trend knows of. `before` is the outlook without the water changes since the newest
    reading, where a test was to be made before the first of them.
    """

    parameter: str
    range: Range
    ground: Ground
    readings: int = 0
    newest: Entry | None = None
    value: float | None = None
    after: Entry | None = None
    trend: Trend | None = None
    inside_until: date | None = None
    told_until: date | None = None
    before: ReadingOutlook | None = None

    @property
    def test_by(self) -> date | None:
        """The last day on which a test still tells in time, None where none is in sight."""
        if self.ground is Ground.FEW and self.newest is not None:
            return self.newest.day
        known = [one for one in (self.inside_until, self.told_until) if one is not None]
        return min(known, default=None)

    @property
    def least_days(self) -> int:
        """The usual fewest days from one test to the next."""
        return least_days_of(self.parameter)

    @property
    def most_days(self) -> int:
        """The usual most days from one test to the next."""
        habit = HABITS.get(self.parameter)
        return UNTRENDED_MOST_DAYS if habit is None else habit.most_days

    @property
    def is_begun(self) -> bool:
        """Whether its trend is still to be made known by more readings, which can make it so."""
        if self.ground is Ground.FEW:
            return True
        has_range = self.range.low is not None or self.range.high is not None
        return self.ground is Ground.UNREAD and self.parameter in HABITS and has_range

    @property
    def may_be_still(self) -> bool:
        """Whether the 90 % span of the rate holds 0: it may move, or not at all."""
        return self.trend is not None and self.trend.rate.low <= 0.0 <= self.trend.rate.high

    @property
    def is_steady(self) -> bool:
        """Whether it may stand still and no test is likely to tell otherwise for long.

        That is until the longest usual interval has passed, or its range may be left.
        """
        habit = HABITS.get(self.parameter)
        if self.trend is None or self.newest is None or habit is None or not self.may_be_still:
            return False
        days = self.most_days
        if self.inside_until is not None:
            days = max(days, (self.inside_until - self.newest.day).days + 1)
        told = sqrt(habit.settings.variance(self.value or 0.0))
        return abs(self.trend.rate.value) * days <= told

    def value_on(self, day: date) -> Estimate | None:
        """Return the value expected on a day after the newest event, with its 90 % span."""
        if self.trend is None or self.after is None:
            return None
        return self.trend.after(max(0.0, float((day - self.after.day).days)))


def least_days_of(parameter: str) -> int:
    """Return the usual fewest days from one test of a parameter to the next."""
    habit = HABITS.get(parameter)
    return UNTRENDED_LEAST_DAYS if habit is None else habit.least_days


def reading_outlook(
    tank: Tank, parameter: str, entries: Sequence[Entry], net_l: float | None
) -> ReadingOutlook:
    """Return the outlook of `parameter` from the water entries of a tank, in order of time.

    `net_l` is the net water, without which a change is taken for the usual share. Single doses are
    not counted apart: what is dosed steadily is part of the trend.
    """
    read = newest_readings(entries, parameter)
    if not read:
        return ReadingOutlook(parameter, range_of(tank, PARAMETERS[parameter]), Ground.UNREAD)
    newest = read[-1][0]
    outlook = _outlook(tank, parameter, read, entries, net_l)
    changed_on = outlook.after.day if outlook.after is not None else newest.day
    if changed_on == newest.day:
        return outlook
    # A change moves the water, but nobody has looked since: what was to be tested is so still.
    until = [one for one in entries if (one.at, one.seq) <= (newest.at, newest.seq)]
    before = _outlook(tank, parameter, read, until, net_l)
    is_late = before.test_by is not None and before.test_by < _first_change(entries, newest)
    return replace(outlook, before=before) if is_late else outlook


def _first_change(entries: Iterable[Entry], newest: Entry) -> date:
    """Return the day of the first change after a reading, which there is."""
    return next(
        one.day
        for one in entries
        if isinstance(one.fact, WaterChange) and (one.at, one.seq) > (newest.at, newest.seq)
    )


def _outlook(
    tank: Tank,
    parameter: str,
    read: Sequence[tuple[Entry, float]],
    entries: Sequence[Entry],
    net_l: float | None,
) -> ReadingOutlook:
    wanted = range_of(tank, PARAMETERS[parameter])
    newest, value = read[-1]
    ground = _ground(parameter, wanted, value, len(read))
    habit, trend, after = HABITS.get(parameter), None, newest
    if habit is not None:
        events = _events(parameter, wanted, tank, read, entries, net_l)
        trend = follow([one for one, _ in events], habit.settings)
        after = events[-1][1]
    if trend is not None and ground is Ground.TREND and trend.readings < LEAST_READINGS:
        ground = Ground.FEW
    inside_until = told_until = None
    if ground is Ground.OUTSIDE:
        inside_until = told_until = newest.day
    elif ground is Ground.TREND and trend is not None:
        inside_until = _until(after.day, first_day(trend, wanted.low, wanted.high, CHANCE))
        told_until = _until(after.day, _first_unsure(trend, wanted))
    return ReadingOutlook(
        parameter=parameter,
        range=wanted,
        ground=ground,
        readings=0 if trend is None else trend.readings,
        newest=newest,
        value=value,
        after=after,
        trend=trend,
        inside_until=inside_until,
        told_until=told_until,
    )


def newest_readings(entries: Iterable[Entry], parameter: str) -> list[tuple[Entry, float]]:
    """Return the readings that a trend rests on, in order of time."""
    found = [
        (one, value.value)
        for one in entries
        if isinstance(one.fact, Readings)
        for value in one.fact.values
        if value.parameter == parameter
    ]
    if not found:
        return []
    first = found[-1][0].day - timedelta(days=OLDEST_DAYS)
    return [one for one in found if one[0].day >= first][-MOST_READINGS:]


def _ground(parameter: str, wanted: Range, value: float, readings: int) -> Ground:
    if side_of(value, wanted) is not None:
        return Ground.OUTSIDE
    if parameter not in HABITS:
        return Ground.UNTRENDED
    if wanted.low is None and wanted.high is None:
        return Ground.NO_RANGE
    return Ground.FEW if readings < LEAST_READINGS else Ground.TREND


def _events(
    parameter: str,
    wanted: Range,
    tank: Tank,
    read: Sequence[tuple[Entry, float]],
    entries: Iterable[Entry],
    net_l: float | None,
) -> list[tuple[Event, Entry]]:
    """Return what measured or moved the parameter, in days since the first reading."""
    begun, newest = read[0][0], read[-1][1]
    found: list[tuple[Event, Entry]] = [
        (Reading(_days(begun, entry), value), entry) for entry, value in read
    ]
    for entry in entries:
        fact = entry.fact
        if isinstance(fact, WaterChange) and (entry.at, entry.seq) > (begun.at, begun.seq):
            new = _new_water(parameter, wanted, tank, fact)
            if new is not None:
                share, share_spread = _share(fact, net_l)
                spread = hypot(share * new[1], share_spread * (newest - new[0]))
                mixed = Mixed(_days(begun, entry), share, share * new[0], spread)
                found.append((mixed, entry))
    found.sort(key=lambda one: (one[1].at, one[1].seq))
    return found


def _days(begun: Entry, entry: Entry) -> float:
    return (entry.at - begun.at).total_seconds() / 86400.0


def _share(change: WaterChange, net_l: float | None) -> tuple[float, float]:
    """Return the share of the water that a change replaced, and its spread."""
    litres = change.litres if change.added_l is None else change.added_l
    if litres is None or net_l is None or net_l <= 0.0:
        return _USUAL_SHARE
    return min(1.0, litres / net_l), 0.0


def _new_water(
    parameter: str, wanted: Range, tank: Tank, change: WaterChange
) -> tuple[float, float] | None:
    """Return what the new salt water holds and its spread, None where it moves nothing known."""
    if parameter in _FREE_OF:
        return 0.0, _FREE_OF[parameter]
    if parameter in _IN_THE_MIDDLE and wanted.low is not None and wanted.high is not None:
        return (wanted.low + wanted.high) / 2.0, (wanted.high - wanted.low) / 4.0
    if parameter == "salinity":
        given = tank.target_salinity if change.salinity is None else change.salinity
        return None if given is None else (given, 0.3 if change.salinity is not None else 0.5)
    return None


def _until(after: date, day: int | None) -> date | None:
    """Return the last day before the `day`-th after an event."""
    return None if day is None else after + timedelta(days=day - 1)


def _first_unsure(trend: Trend, wanted: Range) -> int | None:
    """Return the first day on which the value is told too coarsely to keep it in its range.

    That is a quarter of the range to either side, or half again as coarse as on the day of the
    last event, since no test tells it closer than that.
    """
    if wanted.low is not None and wanted.high is not None:
        quarter = (wanted.high - wanted.low) / 4.0
    else:
        quarter = abs(wanted.high if wanted.high is not None else wanted.low or 0.0) / 4.0
    most = max(quarter, 1.5 * _half(trend.after(0.0)))
    return next(
        (day for day in range(1, HORIZON_DAYS + 1) if _half(trend.after(float(day))) > most), None
    )


def _half(one: Estimate) -> float:
    return (one.high - one.low) / 2.0
