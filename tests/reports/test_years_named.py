"""A day is told with its year where it would be taken for another one without it."""

from __future__ import annotations

from datetime import date, time

import pytest

from tankkeeper.core.chores import AfterLastDone
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.reports.next_words import next_words
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.words import Words
from tankkeeper.services.next_days import Coming
from tests.builders import a_household, a_moment
from tests.gui.round_house import chore

WORDS = Words(a_household(), a_moment("2026-11-26", time(7)))


@pytest.mark.parametrize(
    ("day", "told"),
    [
        # 182 and 183 days ahead: the day of that name in this year is 183 and 182 days gone.
        (date(2027, 5, 27), "27 May"),
        (date(2027, 5, 28), "28 May 2027"),
        (date(2027, 6, 3), "3 June 2027"),
        # Of this year, however long ago within ten months (300 days before is 30 January).
        (date(2026, 2, 3), "3 February"),
        (date(2026, 1, 30), "30 January 2026"),
        (date(2027, 1, 8), "8 January"),
        (date(2025, 12, 24), "24 December 2025"),
    ],
)
def test_a_day_that_is_not_the_nearest_of_its_name_has_its_year(day: date, told: str) -> None:
    """In words at length, in short, and as the day on which something comes next."""
    assert plain(WORDS.full_date(day)) == told
    assert plain(WORDS.short_day(day)).endswith(str(day.year)) == told.endswith(str(day.year))
    following = chore("a", "Replace the lamp", 1, rhythm=AfterLastDone(YEAR))
    assert plain(next_words([Coming(following, day)], 1, WORDS)) == f"Next on {told}."


YEAR = Interval(1, IntervalUnit.YEARS)
