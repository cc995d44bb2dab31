"""In how long a limit is reached, in the table of the tanks."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.household import TopOffLimits
from tankkeeper.core.logbook import ReservoirCheck
from tankkeeper.core.state import Item
from tankkeeper.core.water_turns import Limit
from tankkeeper.reports.limit_words import limit_in_words, limit_words
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.numbers_used import numbers_used
from tankkeeper.reports.words import Words
from tests.builders import a_box, an_entry
from tests.reports.scenes import EVAPORATION, chore, item


def _reservoir(litres: float, *filled: str) -> tuple[Item, Words]:
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=litres))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    fact = ReservoirCheck(fill_l=3.0)
    log = [an_entry(seq, on, fact, tank="nook", done="it") for seq, on in enumerate(filled, 1)]
    return item(refill, log, tanks=(tank,))


@pytest.mark.parametrize(
    ("litres", "told"),
    [
        (25.0, "may be in 5 days, likely in 20 days"),
        (10.8, "may be in 2 days, likely in 8 days"),
        (3.0, "may be passed since Thu 06:37, likely in 41 hours"),
        (800.0, "may be in 168 days, likely in more than a year"),
    ],
)
def test_of_a_loss_that_nobody_measured_the_earliest_and_the_likely_moment_are_told(
    litres: float, told: str
) -> None:
    """Filled at noon the day before; at 1.2 L a day 25 L last 20.9 days from then, 3 L 2.5."""
    row, words = _reservoir(litres, "2026-03-11")
    assert row.water is not None

    assert plain(limit_in_words(row.water, words)) == told


def test_both_moments_lie_where_the_panel_has_the_safe_rounds() -> None:
    """The early one behind the last surely safe round, the other behind the last likely one."""
    row, words = _reservoir(10.8, "2026-03-11")
    limit, figures = row.limit, dict(numbers_used(row, words))
    assert limit.limit_at is not None
    assert limit.likely_at is not None

    for at, label in (
        (limit.limit_at, "Last safe round"),
        (limit.likely_at, "Last likely safe round"),
    ):
        day = words.moment.day_of(at)
        assert figures[label] in (words.day(day), words.day(day - timedelta(days=1)))


def test_of_a_loss_that_was_measured_both_moments_are_told_where_they_differ() -> None:
    """As a caution will tell them: from when on it may be, not when it surely is."""
    row, words = _reservoir(25.0, *(f"2026-03-{day:02d}" for day in (2, 5, 8, 11)))
    assert row.water is not None
    assert plain(limit_in_words(row.water, words)) == "may be in 17 days, likely in 24 days"

    limit = replace(row.limit, likely_at=row.limit.limit_at)
    alike = replace(row.water, limit=limit)
    assert plain(limit_in_words(alike, words)) == "17 days"


@pytest.mark.parametrize(
    ("hours_ago", "told"),
    [
        ((3, -5, -9), "may be passed since Thu 04:04, likely in 5 hours"),
        ((9, 5, -3), "may be passed since Wed 22:04, likely since Thu 02:04"),
        ((9, 5, 3), "passed, maybe since Wed 22:04, likely since Thu 02:04"),
        ((3, 3, 3), "passed since Thu 04:04"),
    ],
)
def test_a_limit_that_surely_is_passed_still_tells_since_when_it_may_be(
    hours_ago: tuple[int, int, int], told: str
) -> None:
    """The caution names that moment, and a table that begins later would contradict it."""
    row, words = _reservoir(25.0, *(f"2026-03-{day:02d}" for day in (2, 5, 8, 11)))
    assert row.water is not None
    soon, likely, surely = (words.moment.now - timedelta(hours=one) for one in hours_ago)
    limit = replace(row.limit, limit_at=soon, likely_at=likely, surely_at=surely)

    assert plain(limit_in_words(replace(row.water, limit=limit), words)) == told


@pytest.mark.parametrize(
    ("limit", "surely", "told"),
    [
        (Limit.SALINITY, 3, "the salinity may be past its top-off limit of 35.5 PSU since {}"),
        (Limit.SALINITY, -3, "the salinity is past its top-off limit of 35.5 PSU, maybe since {}"),
        (Limit.SALINITY, -9, "the salinity has been past its top-off limit of 35.5 PSU since {}"),
        (Limit.LEVEL, -3, "the water level is past its limit, maybe since {}"),
        (Limit.RESERVOIR, 3, "the reservoir may be empty since {}"),
        (Limit.RESERVOIR, -3, "the reservoir is empty, maybe since {}"),
        (Limit.RESERVOIR, -9, "the reservoir has been empty since {}"),
    ],
)
def test_the_caution_tells_as_so_what_surely_is_so(limit: Limit, surely: int, told: str) -> None:
    """Nine hours ago it may have been reached; `surely` are the hours until it is for certain."""
    _, words = _reservoir(25.0, "2026-03-11")
    now = words.moment.now
    by, sure = now - timedelta(hours=9), now + timedelta(hours=surely)

    said = limit_words(limit, a_box(), by, words, surely=sure, salinity=35.5)

    assert plain(said) == told.format("yesterday, 22:04")


def test_what_is_still_to_come_is_told_alike_however_sure_it_is() -> None:
    """In three hours it may be so, also where it then is for certain."""
    _, words = _reservoir(25.0, "2026-03-11")
    by = words.moment.now + timedelta(hours=3)

    said = limit_words(Limit.LEVEL, a_box(), by, words, surely=by)

    assert plain(said) == "the water level may reach its limit today at 10:04"
