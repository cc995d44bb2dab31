"""Logical days, wall clock times and the instants they mean."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tankkeeper.core.days import (
    instant_of,
    logical_day,
    parse_zone,
    slot_date,
    slot_instant,
    wall_clock,
)
from tankkeeper.core.errors import UserFault

BERLIN = ZoneInfo("Europe/Berlin")
# Half-hour offsets, a clock change of half an hour, one at midnight, and one of a whole day.
ZONES = st.sampled_from(
    [
        ZoneInfo(name)
        for name in (
            "Europe/Berlin",
            "America/New_York",
            "Asia/Kolkata",
            "Australia/Lord_Howe",
            "America/Santiago",
            "Pacific/Apia",
            "UTC",
        )
    ]
)
MINUTES = st.times().map(lambda wall: wall.replace(second=0, microsecond=0))


@pytest.mark.parametrize(
    ("day", "wall", "zone", "instant", "shown"),
    [
        # Stated in RFC 5545 (2009), section 3.3.5, for New York in 2007.
        ("2007-03-11", "02:30", "America/New_York", "2007-03-11T07:30Z", "03:30-04:00"),
        ("2007-11-04", "01:30", "America/New_York", "2007-11-04T05:30Z", "01:30-04:00"),
        # The same rule; clock changes of the European Union: directive 2000/84/EC, articles 2, 3.
        ("2026-03-29", "02:30", "Europe/Berlin", "2026-03-29T01:30Z", "03:30+02:00"),
        ("2026-10-25", "02:30", "Europe/Berlin", "2026-10-25T00:30Z", "02:30+02:00"),
        # A zone half an hour off: IANA time zone database, Asia/Kolkata +05:30.
        ("2026-06-15", "18:00", "Asia/Kolkata", "2026-06-15T12:30Z", "18:00+05:30"),
    ],
)
def test_a_wall_time_means_the_instant_the_standard_says(
    day: str, wall: str, zone: str, instant: str, shown: str
) -> None:
    """In a gap the offset before it holds, and of a repeated time the first is meant."""
    place = parse_zone(zone)

    moment = instant_of(date.fromisoformat(day), time.fromisoformat(wall), place)

    assert moment == datetime.fromisoformat(instant)
    assert moment.tzinfo is UTC
    assert wall_clock(moment, place).isoformat(timespec="minutes") == f"{day}T{shown}"


def test_a_date_that_never_was_is_shown_on_the_next_one() -> None:
    """Samoa had no 30 December 2011 (IANA time zone database, Pacific/Apia)."""
    samoa = parse_zone("Pacific/Apia")

    moment = instant_of(date(2011, 12, 30), time(8), samoa)

    assert wall_clock(moment, samoa).replace(tzinfo=None) == datetime(2011, 12, 31, 8)  # noqa: DTZ001


def test_lead_times_are_elapsed_hours() -> None:
    """24 hours before 10:00 on the spring day, which has 23 hours, is 09:00 the day before."""
    needed = instant_of(date(2026, 3, 29), time(10), BERLIN)
    plain = instant_of(date(2026, 3, 14), time(10), BERLIN)

    begun = needed - timedelta(hours=24)

    assert begun == datetime(2026, 3, 28, 8, tzinfo=UTC)
    assert wall_clock(begun, BERLIN).time() == time(9)
    assert wall_clock(plain - timedelta(hours=24), BERLIN).time() == time(10)


@pytest.mark.parametrize(
    ("local", "logical"),
    [("2026-03-02T01:30", "2026-03-01"), ("2026-03-02T04:00", "2026-03-02")],
)
def test_the_day_turns_at_the_day_start(local: str, logical: str) -> None:
    """The logical day is the date of the wall time less the day start, here 04:00."""
    moment = datetime.fromisoformat(local).replace(tzinfo=BERLIN)

    assert logical_day(moment, BERLIN, time(4)) == date.fromisoformat(logical)


def test_a_slot_before_the_day_start_stands_on_the_next_date() -> None:
    """01:00 of 1 March with a day start of 04:00 comes after the evening of 1 March."""
    day = date(2026, 3, 1)

    night = slot_instant(day, time(1), BERLIN, time(4))
    morning = slot_instant(day, time(8), BERLIN, time(4))

    assert night == datetime(2026, 3, 2, 0, tzinfo=UTC)
    assert morning == datetime(2026, 3, 1, 7, tzinfo=UTC)
    assert slot_date(day, time(4), time(4)) == day


def shown_at(local: datetime, zone: ZoneInfo) -> list[datetime]:
    """Returns every UTC moment at which clocks in the zone show `local`, by trying offsets."""
    reach = local.replace(tzinfo=UTC)
    tried = {(reach + timedelta(hours=shift)).astimezone(zone).utcoffset() for shift in (-48, 48)}
    moments = {reach - offset for offset in tried if offset is not None}
    return sorted(
        moment for moment in moments if moment.astimezone(zone).replace(tzinfo=None) == local
    )


@given(st.dates(date(2005, 1, 1), date(2037, 12, 31)), MINUTES, ZONES)
def test_every_wall_time_means_one_instant(day: date, wall: time, zone: ZoneInfo) -> None:
    """Back to local time it is the same, save in a gap, where it is later; the first one counts."""
    local = datetime.combine(day, wall)

    moment = instant_of(day, wall, zone)

    shown = wall_clock(moment, zone).replace(tzinfo=None)
    possible = shown_at(local, zone)
    if possible:
        assert moment == possible[0]
        assert shown == local
    else:
        assert shown > local


@pytest.mark.parametrize(
    ("zone", "day"),
    [
        ("Europe/Berlin", date(2026, 3, 29)),
        ("Europe/Berlin", date(2026, 10, 25)),
        ("Australia/Lord_Howe", date(2026, 10, 4)),
        ("Australia/Lord_Howe", date(2026, 4, 5)),
        ("America/Santiago", date(2026, 9, 6)),
    ],
)
def test_every_minute_of_a_clock_change_means_one_instant(zone: str, day: date) -> None:
    """The same as above, for each minute of days on which the clocks change."""
    place = parse_zone(zone)
    gaps = 0
    for minute in range(24 * 60):
        local = datetime.combine(day, time(minute // 60, minute % 60))
        moment = instant_of(day, local.time(), place)
        possible = shown_at(local, place)
        gaps += not possible
        if possible:
            assert moment == possible[0]
        else:
            assert wall_clock(moment, place).replace(tzinfo=None) > local

    assert gaps in (0, 30, 60)


@given(
    st.dates(date(2005, 1, 1), date(2037, 12, 31)),
    MINUTES,
    ZONES,
    st.integers(0, 6 * 60).map(lambda minutes: time(minutes // 60, minutes % 60)),
)
def test_a_slot_lies_in_its_own_logical_day(
    day: date, slot: time, zone: ZoneInfo, day_begins: time
) -> None:
    """The logical day of a slot's instant is the day it was asked for, if that time exists."""
    local = datetime.combine(slot_date(day, slot, day_begins), slot)
    assume(shown_at(local, zone))

    assert logical_day(slot_instant(day, slot, zone, day_begins), zone, day_begins) == day


@pytest.mark.parametrize(
    "name", ["", "Nowhere/None", "Europe", "../secret", "/etc/localtime", "\0"]
)
def test_an_unknown_zone_is_refused(name: str) -> None:
    """A name that is no IANA zone is a fault of the person, whatever it looks like."""
    with pytest.raises(UserFault) as refused:
        parse_zone(name)

    assert refused.value.code == "unknown_zone"
    assert refused.value.values["zone"] == name


def test_the_ends_of_the_calendar_are_refused() -> None:
    """No instant lies before the first or after the last date there is."""
    for attempt in (
        lambda: slot_instant(date.max, time(1), BERLIN, time(4)),
        lambda: instant_of(date.max, time(23), ZoneInfo("America/New_York")),
        lambda: instant_of(date.min, time(0), ZoneInfo("Asia/Kolkata")),
    ):
        with pytest.raises(UserFault) as refused:
            attempt()
        assert refused.value.code == "date_out_of_reach"


def test_a_moment_without_an_offset_is_a_mistake_in_the_program() -> None:
    """A naive moment names no instant; guessing a zone would hide the mistake."""
    with pytest.raises(ValueError, match="offset"):
        logical_day(datetime(2026, 3, 1, 8), BERLIN, time(4))  # noqa: DTZ001
    with pytest.raises(ValueError, match="zone"):
        instant_of(date(2026, 3, 1), time(8, tzinfo=UTC), BERLIN)
