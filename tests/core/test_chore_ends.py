"""A chore that ends with its turns is not over while one of them is open.

The days were counted by hand: every three days from Sun 29 November, twice, with a day's window;
the second turn is on Wed 2 December and can wait to Thu 3, which is the last day of the chore.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankkeeper.core.chore_ends import ended, ends_with_its_turns
from tankkeeper.core.chores import Chore, IfMissed
from tankkeeper.core.logbook import Entry, PutOff, Shift, Skip, Turn
from tankkeeper.core.turns import State
from tests.builders import a_chore, an_entry, by_rule, day, target_of
from tests.core.test_schedule import done, fold

TWICE = a_chore(
    by_rule("FREQ=DAILY;INTERVAL=3;COUNT=2", "2026-11-29"),
    late_days=1,
    valid_from=day("2026-11-27"),
    ended_on=day("2026-12-03"),
)
FIRST = done(1, "2026-11-29")
SECOND = Turn("wipe", "2026-12-02")


def _until(last: str, **changes: object) -> Chore:
    return replace(TWICE, ended_on=day(last), **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("today", "state", "overdue"),
    [
        ("2026-12-03", State.DUE, 0),
        ("2026-12-04", State.OVERDUE, 1),
        ("2026-12-20", State.OVERDUE, 17),
    ],
)
def test_the_last_turn_stays_open_past_the_last_day(today: str, state: State, overdue: int) -> None:
    """It is overdue, as any other turn would be."""
    (turn,) = fold(TWICE, [FIRST], today).open
    assert (turn.turn, turn.state, turn.missed) == (SECOND, state, 0)
    assert turn.days_overdue(day(today)) == overdue


@pytest.mark.parametrize(
    "last", [done(2, "2026-12-04"), an_entry(2, "2026-12-04", Skip(SECOND, day("2026-12-02")))]
)
def test_it_is_over_once_its_last_turn_was_done_or_skipped(last: Entry) -> None:
    """Nothing of it is open, nothing comes, on that day and after it."""
    for today in ("2026-12-04", "2026-12-05"):
        found = fold(TWICE, [FIRST, last], today)
        assert found.is_over(day(today))
    assert not fold(TWICE, [FIRST], "2026-12-04").is_over(day("2026-12-04"))


def test_both_turns_missed_are_one_line() -> None:
    """By the rule for missed turns: as old as the first of them."""
    (turn,) = fold(TWICE, [], "2026-12-06").open
    assert (turn.target, turn.missed) == (day("2026-11-29"), 1)


def test_a_turn_moved_past_the_last_day_still_comes() -> None:
    """Put off alone, or with the series: it is one of its turns as before."""
    for moved in (PutOff(SECOND, day("2026-12-06")), Shift(SECOND, day("2026-12-06"))):
        entries = [FIRST, an_entry(2, "2026-12-02", moved)]
        before = fold(TWICE, entries, "2026-12-05")
        assert before.open == () or before.open[0].state is State.MAY_WAIT
        assert not before.is_over(day("2026-12-05"))
        assert target_of(fold(TWICE, entries, "2026-12-06")) == day("2026-12-06")


def test_what_lapses_leaves_nothing_open() -> None:
    """Its own rule says that it is missed then."""
    chore = replace(TWICE, if_missed=IfMissed.EXPIRE)
    assert fold(chore, [FIRST], "2026-12-04").open == ()


@pytest.mark.parametrize("last", ["2026-12-01", "2026-12-02", "2026-12-04"])
def test_any_other_last_day_voids_what_was_missed(last: str) -> None:
    """Somebody said it, and said another day than its turns do."""
    assert fold(_until(last), [], "2026-12-09").open == ()
    forever = _until(last, rhythm=by_rule("FREQ=DAILY;INTERVAL=3", "2026-11-29"))
    assert fold(forever, [], "2026-12-09").open == ()


def test_a_rule_that_ends_on_a_day_is_as_one_that_counts() -> None:
    """Its last turn is the last day that it yields, not the day it names."""
    rule = by_rule("FREQ=DAILY;INTERVAL=3;UNTIL=20261204", "2026-11-29")
    assert ends_with_its_turns(replace(TWICE, rhythm=rule))


def test_ended_by_somebody_nothing_stays_open_whatever_the_day() -> None:
    """Also on the day after its window, when the last day would be the one of its turns."""
    for last in ("2026-12-02", "2026-12-03", "2026-12-04"):
        chore = ended(TWICE, day(last))
        assert chore.has_ended(day("2026-12-05"))
        assert fold(chore, [FIRST], "2026-12-05").open == ()
