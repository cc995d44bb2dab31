"""A rhythm that counts, until a day to come on which a calendar takes its place."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from tankkeeper.core.chores import Chore, Condition, EarlierRhythm, WhenWaterSays
from tankkeeper.core.projection import project
from tankkeeper.core.rhythm_ahead import as_on, parted, rhythm_on
from tankkeeper.core.schedule import fold_chore
from tankkeeper.core.turns import ChoreState, State
from tests.builders import a_chore, a_moment, an_entry, by_rule, day, days

SUNDAYS = by_rule("FREQ=WEEKLY;BYDAY=SU", "2026-12-05")
COUNTED = a_chore().rhythm


def changing(**more: object) -> Chore:
    """Return a chore counted in weeks whose first day is 29 November, Sundays from 5 December."""
    first = EarlierRhythm(day("2026-11-29"), a_chore().rhythm)
    known = {"first_due": day("2026-11-29"), "valid_from": day("2026-12-05"), "earlier": (first,)}
    return a_chore(SUNDAYS, **(known | more))


def coming(chore: Chore, today: str, last: str, *entries: object) -> list[date]:
    """Return the targets from today to a day: open work, and what is expected after it."""
    moment = a_moment(today)
    state = fold_chore(chore, entries, (), moment)  # type: ignore[arg-type]
    parts = [state, *([ChoreState(state.later)] if state.later is not None else [])]
    first = moment.day.toordinal()
    return [one.target for one in state.open] + [
        date.fromordinal(one.day)
        for part in parts
        for one in project(part, entries, (), moment, first, day(last).toordinal())  # type: ignore[arg-type]
    ]


def test_what_is_counted_comes_until_the_calendar_begins() -> None:
    """A first turn on 29 November that nobody has done, and then the Sundays."""
    assert coming(changing(), "2026-11-26", "2026-12-14") == [
        day("2026-11-29"),
        day("2026-12-06"),
        day("2026-12-13"),
    ]


def test_what_was_done_is_followed_by_its_interval_only_before_the_calendar() -> None:
    """Done on 26 November: again on 3 December, and not on the 10th, but on Sundays."""
    done = an_entry(1, "2026-11-26", done="wipe")
    found = coming(changing(), "2026-11-27", "2026-12-14", done)
    assert found == [day("2026-12-03"), day("2026-12-06"), day("2026-12-13")]


def test_a_counted_turn_is_open_and_late_as_it_was_before_the_change() -> None:
    """The past stays; the rhythm in the state is the one that holds."""
    state = fold_chore(changing(), (), (), a_moment("2026-12-02"))
    assert [(one.target, one.state) for one in state.open] == [(day("2026-11-29"), State.OVERDUE)]
    assert state.chore.rhythm == COUNTED


def test_where_nothing_is_counted_any_more_the_calendar_stands_alone() -> None:
    """Done on 1 December: the next week ends after the calendar has begun."""
    done = an_entry(1, "2026-12-01", done="wipe")
    state = fold_chore(changing(), (done,), (), a_moment("2026-12-01"))
    assert state.later is None
    assert state.upcoming is not None
    assert state.upcoming.target == day("2026-12-06")


def test_from_its_day_on_only_the_calendar_counts() -> None:
    """What was not done before it does not come back."""
    state = fold_chore(changing(), (), (), a_moment("2026-12-05"))
    assert state.open == ()
    assert state.chore.rhythm == SUNDAYS


@pytest.mark.parametrize(
    "chore",
    [
        a_chore(),
        a_chore(valid_from=day("2026-12-20")),
        changing(valid_from=day("2026-11-20")),
        changing(earlier=(EarlierRhythm(day("2026-01-01"), by_rule("FREQ=DAILY", "2026-01-01")),)),
        replace(changing(), rhythm=WhenWaterSays(Condition.EVAPORATION)),
    ],
    ids=["never changed", "begins later", "changed already", "calendars", "water later"],
)
def test_other_chores_stay_whole(chore: Chore) -> None:
    """Two calendars are one series of rules; what the water will say nobody knows yet."""
    assert parted(chore, day("2026-11-26")) == (chore, None)


def test_a_chore_that_ends_before_its_change_ends_then() -> None:
    """The earlier of the two days is the last one."""
    now, later = parted(changing(ended_on=day("2026-11-28")), day("2026-11-26"))
    assert now.ended_on == day("2026-11-28")
    assert later is not None
    assert days(7) == now.rhythm.interval  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("on", "rhythm"),
    [("2026-11-01", COUNTED), ("2026-11-30", COUNTED), ("2026-12-05", SUNDAYS)],
    ids=["before any", "the first one", "the one to come"],
)
def test_each_day_has_the_rhythm_that_holds_on_it(on: str, rhythm: object) -> None:
    """Words and counts about a day go by it, whatever is planned for later."""
    assert rhythm_on(changing(), day(on)) == rhythm
    assert as_on(changing(), day(on)).rhythm == rhythm
