"""The moment that governs a fold: now, and the household's day it belongs to."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tankkeeper.core.days import instant_of, logical_day, parse_zone, slot_instant
from tankkeeper.core.household import Household
from tankkeeper.core.values import dataclass


@dataclass(frozen=True, slots=True)
class Moment:
    """Now, as an aware UTC moment, with the logical day and the household's hours."""

    now: datetime
    day: date
    zone: ZoneInfo
    day_begins: time
    round_at: time

    @property
    def local(self) -> datetime:
        """Now on the household's wall clock."""
        return self.now.astimezone(self.zone)

    def day_of(self, moment: datetime) -> date:
        """Return the logical day to which another moment belongs."""
        return logical_day(moment, self.zone, self.day_begins)

    def at(self, day: date, wall: time) -> datetime:
        """Return the UTC instant of a wall time that belongs to the logical day `day`."""
        return slot_instant(day, wall, self.zone, self.day_begins)

    def usual(self, days_ago: int) -> datetime:
        """Return the UTC instant of the usual round so many days ago."""
        return self.round_on(self.day - timedelta(days=days_ago))

    def round_on(self, day: date) -> datetime:
        """Return the UTC instant of the usual round of `day`."""
        return instant_of(day, self.round_at, self.zone)

    def is_round(self, at: datetime) -> bool:
        """Tell whether `at` is exactly the usual round, as of work told without an hour."""
        return at == self.round_on(self.day_of(at))


def moment_of(household: Household, now: datetime) -> Moment:
    """Return the moment `now` as this household sees it."""
    zone = parse_zone(household.zone)
    return Moment(
        now=now,
        day=logical_day(now, zone, household.day_begins),
        zone=zone,
        day_begins=household.day_begins,
        round_at=household.round_at,
    )
