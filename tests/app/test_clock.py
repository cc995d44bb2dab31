"""Clocks tell the time in UTC; ids sort by it."""

from datetime import UTC, datetime, timedelta, timezone
from uuid import UUID

import pytest

from tankkeeper.app.clock import FixedClock, Ids, SystemClock

NOON = datetime(2026, 3, 20, 12, tzinfo=UTC)


def test_the_clock_of_the_machine_is_in_utc() -> None:
    """Moments are stored in UTC, wherever the person is."""
    assert SystemClock().now().utcoffset() == timedelta(0)


def test_a_fixed_clock_moves_only_when_told() -> None:
    """Backwards too, as a clock with an empty battery does."""
    clock = FixedClock(NOON.astimezone(timezone(timedelta(hours=2))))

    moments = [clock.now(), clock.now(), clock.forward(timedelta(days=-1)), clock.now()]

    assert moments == [NOON, NOON, NOON - timedelta(days=1), NOON - timedelta(days=1)]
    assert moments[0].utcoffset() == timedelta(0)


def test_a_moment_without_its_offset_is_refused() -> None:
    """A time of day without a place is no moment."""
    with pytest.raises(ValueError, match="offset"):
        FixedClock(datetime(2026, 3, 20, 12))  # noqa: DTZ001 - the very thing that is refused


def test_an_id_is_the_one_of_the_standard() -> None:
    """RFC 9562 (2024), appendix A.6: version 7 of Tue 22 Feb 2022 14:22:22 GMT-05:00."""
    bits = iter([0xCC3, 0x18C4DC0C0C07398F])
    at = datetime(2022, 2, 22, 14, 22, 22, tzinfo=timezone(timedelta(hours=-5)))

    assert Ids(lambda _bits: next(bits)).new(at) == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


def test_ids_of_one_millisecond_keep_their_order() -> None:
    """Five thousand ids at one moment sort as they were made, and none comes twice."""
    ids = Ids()

    made = [ids.new(NOON) for _ in range(5000)]

    assert made == sorted(set(made))
    assert {UUID(one).version for one in made} == {7}


def test_ids_sort_by_the_moment_they_were_made_for() -> None:
    """The later moment has the greater text."""
    ids = Ids()

    made = [ids.new(NOON + timedelta(milliseconds=number)) for number in range(100)]

    assert made == sorted(made)


def test_a_moment_before_the_epoch_has_no_id() -> None:
    """The first 48 bits count milliseconds since 1970 and cannot be negative."""
    with pytest.raises(ValueError, match="1970"):
        Ids().new(datetime(1969, 12, 31, tzinfo=UTC))
