"""How long water lasts, in hours or days, as one person would say it."""

from __future__ import annotations

import pytest

from tankkeeper.core.estimate import Estimate
from tankkeeper.reports.lasting_words import lasting_words, time_words
from tankkeeper.reports.numbers import LEAST_LEAN, plain, span_words

HOUR = 1 / 24


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [
        (9.0, 14.2, "9 to 14 days"),
        (2.9, 5.6, "2 to 6 days"),
        (2.0, 2.4, "about 2 days"),
        (23.2 * HOUR, 4.6, "23 hours to 5 days"),
        (1.5 * HOUR, 2.2, "1 hour to 2 days"),
        (0.05 * HOUR, 3.9, "at most 4 days"),
        (0.0, 3.9, "at most 4 days"),
        (5.4 * HOUR, 40.0 * HOUR, "5 to 40 hours"),
        (5.4 * HOUR, 5.4 * HOUR, "about 5 hours"),
        (0.0, 1.2 * HOUR, "at most 1 hour"),
        (0.0, 0.2 * HOUR, "under 1 hour"),
        (0.0, 0.0, "0 days"),
        (20.0, 400.0, "at least 20 days"),
        (30.0 * HOUR, 400.0, "at least 30 hours"),
        (366.0, 800.0, "more than a year"),
    ],
)
def test_water_lasts_hours_below_two_days_and_days_beyond(
    low: float, high: float, told: str
) -> None:
    """Of the low end no hour and no day counts that is not full."""
    assert plain(lasting_words(Estimate((low + high) / 2, low, high))) == told


def test_a_time_rounds_as_the_low_end_of_a_span_does() -> None:
    """What stands beside it in another column is the same number."""
    days = (0.02, 1.0, 1.99, 2.0, 2.99, 7.5)

    assert [plain(time_words(one)) for one in days] == [
        "under 1 hour", "24 hours", "47 hours", "2 days", "2 days", "7 days",
    ]  # fmt: skip


def test_what_runs_out_shows_a_low_end_that_a_mean_would_hide() -> None:
    """5 L (0 to 9) by hand: below it 5.1, above it 3.8, which makes a mean of 4.4 on both sides."""
    left = Estimate(5.1, 0.02, 8.9)

    assert plain(span_words(left, "L")) == "5 ± 4 L"
    assert plain(span_words(left, "L", ".", LEAST_LEAN)) == "5 L (0 to 9)"
