"""How days off are told: the part of the day while it is remembered, the date beyond."""

from __future__ import annotations

from datetime import datetime, time, timedelta

import pytest

from tankkeeper.reports.away_words import absence_sentence, done_every_day, done_on
from tankkeeper.reports.words import Words
from tankkeeper.services.away import Absence
from tests.builders import BERLIN, a_household, a_moment, day

WORDS = Words(a_household(), a_moment("2026-03-12", time(7)))


@pytest.mark.parametrize(
    ("since", "told"),
    [
        ("2026-03-08T03:59", "the night to Sun 8"),
        ("2026-03-08T04:59", "Sunday morning"),
        ("2026-03-08T05:00", "Sunday morning"),
        ("2026-03-08T12:00", "Sunday afternoon"),
        ("2026-03-08T18:00", "Sunday evening"),
        ("2026-03-06T23:59", "Friday evening"),
        ("2026-03-05T19:00", "5 March"),
        ("2025-03-05T19:00", "5 March 2025"),
    ],
)
def test_since_when_is_told_as_people_remember_it(since: str, told: str) -> None:
    """Within a week by weekday and part of the day on the household's wall, else by date."""
    at = datetime.fromisoformat(since).replace(tzinfo=BERLIN)

    sentence = absence_sentence(Absence(at, 6, 9), WORDS)

    assert sentence.replace("\N{NO-BREAK SPACE}", " ") == f"Away since {told}: 6 overdue, 9 due."


@pytest.mark.parametrize(
    ("overdue", "due", "told"),
    [(0, 2, "2 due."), (1, 0, "1 overdue."), (1, 2, "1 overdue, 2 due.")],
)
def test_only_what_there_is_gets_counted(overdue: int, due: int, told: str) -> None:
    """A nought is no news."""
    at = datetime(2026, 3, 9, 9, tzinfo=BERLIN)

    assert absence_sentence(Absence(at, overdue, due), WORDS).endswith(f": {told}")


def test_a_day_is_named_like_everywhere() -> None:
    """Weekday and number, as on the form that puts off."""
    assert done_on(day("2026-03-10"), WORDS).replace("\N{NO-BREAK SPACE}", " ") == "Done Tue 10"


@pytest.mark.parametrize(
    ("first", "last", "told"),
    [
        ("2026-03-08", "2026-03-11", "Done Sun 8 to Wed 11"),
        ("2026-03-11", "2026-03-11", "Done Wed 11"),
        ("2026-02-01", "2026-03-11", "Done 1 Feb to 11 Mar"),
        # Two months with their weekdays would be cut in a narrow field.
        ("2026-02-27", "2026-03-05", "Done 27 Feb to 5 Mar"),
    ],
)
def test_the_days_of_what_comes_day_by_day_are_told_short(first: str, last: str, told: str) -> None:
    """They stand in a narrow field."""
    begins, ends = day(first), day(last)
    days = [begins + timedelta(days=one) for one in range((ends - begins).days + 1)]
    said = done_every_day(days, WORDS)

    assert said.replace("\N{NO-BREAK SPACE}", " ") == told


def test_what_was_not_written_down_is_counted() -> None:
    """Turns that lapsed, beside what is overdue and due."""
    at = datetime(2026, 3, 9, 9, tzinfo=BERLIN)

    assert absence_sentence(Absence(at, 0, 2, 12), WORDS).endswith(": 2 due, 12 not written down.")


def test_days_that_do_not_follow_each_other_are_counted() -> None:
    """Every other day is not "Sun 8 to Wed 11"."""
    days = tuple(day(one) for one in ("2026-03-06", "2026-03-09", "2026-03-11"))

    assert done_every_day(days, WORDS) == "Done on all 3 days"
    assert done_every_day((days[0], days[2]), WORDS) == "Done on both days"
