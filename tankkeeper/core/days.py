"""Calendar days of the household: logical days, wall clock times and the instants they mean.

Zones are read with `zoneinfo`; a local time is first fixed as a date and a time of day and gets its
zone last, so that a clock change moves an instant and never a date.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from tankkeeper.core.errors import UserFault

# Later, what is called last night or tonight would be the morning.
EARLIEST_DAY_START, LATEST_DAY_START = time(0), time(6)


def parse_zone(name: str) -> ZoneInfo:
    """Return the zone with this IANA name.

    >>> parse_zone("Europe/Berlin").key
    'Europe/Berlin'
    """
    try:
        return ZoneInfo(name.strip())
    except (ZoneInfoNotFoundError, ValueError, OSError) as missing:
        raise UserFault("unknown_zone", zone=name) from missing


def check_day_start(at: time) -> time:
    """Return the hour at which a day of the household begins, or refuse one in the daytime."""
    low, high = EARLIEST_DAY_START, LATEST_DAY_START
    if not low <= at <= high:
        raise UserFault("day_begins_late", field="day_begins", at=at, low=low, high=high)
    return at


def wall_clock(moment: datetime, zone: ZoneInfo) -> datetime:
    """Return the same moment as the household's clock shows it, with its offset."""
    return _aware(moment).astimezone(zone)


def logical_day(moment: datetime, zone: ZoneInfo, day_begins: time) -> date:
    """Return the day of the household that `moment` belongs to: date of (wall time - day start).

    >>> logical_day(datetime(2026, 3, 2, 1, 30, tzinfo=UTC), ZoneInfo("UTC"), time(4))
    datetime.date(2026, 3, 1)
    """
    shown = wall_clock(moment, zone).replace(tzinfo=None)
    return (shown - _since_midnight(day_begins)).date()


def instant_of(day: date, wall: time, zone: ZoneInfo) -> datetime:
    """Return the UTC moment of a wall clock time on a calendar date.

    A time left out by a clock change is read with the offset before it, a repeated one is the first
    (RFC 5545 section 3.3.5); `fold=0` means just that in both cases (PEP 495).

    >>> instant_of(date(2026, 3, 29), time(2, 30), ZoneInfo("Europe/Berlin")).isoformat()
    '2026-03-29T01:30:00+00:00'
    """
    if wall.tzinfo is not None:
        raise ValueError("a wall clock time carries no zone of its own")
    local = datetime.combine(day, wall.replace(fold=0), tzinfo=zone)
    try:
        return local.astimezone(UTC)
    except OverflowError as beyond:
        raise UserFault("date_out_of_reach", day=day) from beyond


def slot_instant(logical_day: date, slot: time, zone: ZoneInfo, day_begins: time) -> datetime:
    """Return the UTC moment of a slot on a logical day.

    A slot before the day start is late in that day, so it stands on the next calendar date.

    >>> slot_instant(date(2026, 3, 1), time(1), ZoneInfo("UTC"), time(4)).isoformat()
    '2026-03-02T01:00:00+00:00'
    """
    return instant_of(slot_date(logical_day, slot, day_begins), slot, zone)


def slot_date(logical_day: date, slot: time, day_begins: time) -> date:
    """Return the calendar date on which a slot of a logical day stands."""
    if slot >= day_begins:
        return logical_day
    if logical_day == date.max:
        raise UserFault("date_out_of_reach", day=logical_day)
    return logical_day + timedelta(days=1)


def _since_midnight(wall: time) -> timedelta:
    """Return how far a wall clock time lies after midnight, as the clock counts."""
    return timedelta(
        hours=wall.hour, minutes=wall.minute, seconds=wall.second, microseconds=wall.microsecond
    )


def _aware(moment: datetime) -> datetime:
    """Return `moment` itself if it says its offset; without one it names no moment."""
    if moment.utcoffset() is None:
        raise ValueError("a moment needs its offset from UTC")
    return moment
