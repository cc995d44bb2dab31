"""Which moments and days a person may enter."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tankkeeper.core.errors import UserFault
from tankkeeper.core.limits import check_done_at, check_planned_on, is_long_ago

NOW = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)
TODAY = date(2026, 3, 1)


@pytest.mark.parametrize(
    ("at", "code"),
    [
        (NOW, None),
        (NOW + timedelta(minutes=5), None),
        (NOW + timedelta(minutes=5, seconds=1), "in_the_future"),
        (datetime(1990, 1, 1, tzinfo=UTC), None),
        (datetime(1989, 12, 31, 23, 59, tzinfo=UTC), "out_of_range"),
        (datetime(2026, 3, 1, 13, 0, tzinfo=ZoneInfo("Europe/Oslo")), None),
        (datetime(2026, 3, 1, 12, 30, tzinfo=ZoneInfo("America/New_York")), "in_the_future"),
    ],
)
def test_what_was_done_lies_between_1990_and_now(at: datetime, code: str | None) -> None:
    """Five minutes of slack for clocks that differ; zones are compared as moments."""
    if code is None:
        check_done_at(at, NOW)
        return

    with pytest.raises(UserFault) as refused:
        check_done_at(at, NOW)

    assert refused.value.code == code
    assert refused.value.values["field"] == "at"


def test_what_was_done_more_than_two_months_back_is_asked_about() -> None:
    """Sixty days are still recent, a second more is not."""
    assert not is_long_ago(NOW - timedelta(days=60), NOW)
    assert is_long_ago(NOW - timedelta(days=60, seconds=1), NOW)


@pytest.mark.parametrize(
    ("on", "allowed"),
    [
        (date(2025, 3, 1), True),
        (date(2025, 2, 27), False),
        (date(2036, 3, 1), True),
        (date(2036, 3, 3), False),
        (date.max, False),
        (date.min, False),
    ],
)
def test_a_plan_reaches_a_year_back_and_ten_ahead(on: date, allowed: bool) -> None:
    """The ends of the calendar are refused, not overflowed."""
    if allowed:
        check_planned_on(on, TODAY)
        return

    with pytest.raises(UserFault, match="out_of_range"):
        check_planned_on(on, TODAY)
