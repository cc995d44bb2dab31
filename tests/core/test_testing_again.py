"""A test of what harms comes again the day after the reading, unless a person decided otherwise."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from tankkeeper.core.chores import Chore, ChoreKind, EarlierRhythm
from tankkeeper.core.communities import Community
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Animal, Household, Stage
from tankkeeper.core.logbook import Entry, PutOff, Readings, Skip, Turn
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.state import fold_household
from tankkeeper.core.turns import OpenTurn, State
from tests.builders import a_box, a_chore, a_household, a_moment, an_entry, by_rule, day

TANK = a_box(community=Community.SOFT_CORAL)


def reading(ammonia: float) -> Readings:
    return Readings((ReadingValue("ammonia", ammonia, str(ammonia), "mg/L"),))


HIGH = an_entry(1, "2026-03-10", reading(1.0), done="wipe", key="first", tank="nook")
MOVED = an_entry(3, "2026-03-10", PutOff(Turn("wipe", "after:e1"), day("2026-03-14")))
SKIPPED = an_entry(3, "2026-03-10", Skip(Turn("wipe", "after:e1"), day("2026-03-17")))
GOOD = an_entry(2, "2026-03-11", reading(0.1), tank="nook")


def ammonia_test(**more: object) -> Chore:
    made = a_chore(kind=ChoreKind.TEST, tank="nook", tests=("ammonia",), late_days=2)
    return replace(made, **more)  # type: ignore[arg-type]


def turn_on(
    on: str, entries: tuple[Entry, ...], one: Chore | None = None, **more: object
) -> OpenTurn:
    """Return the open or coming turn of the test on a day."""
    home: Household = a_household(tanks=(TANK,), chores=(one or ammonia_test(),))
    home = replace(home, **more)  # type: ignore[arg-type]
    found = fold_household(home, history_of(entries), a_moment(on).now).chores[0]
    turn = found.open[0] if found.open else found.upcoming
    assert turn is not None
    return turn


@pytest.mark.parametrize(
    ("today", "state"),
    [
        ("2026-03-10", State.PROJECTED),
        ("2026-03-11", State.DUE),
        ("2026-03-12", State.OVERDUE),
    ],
)
def test_a_test_comes_the_day_after_a_reading_that_harms(today: str, state: State) -> None:
    """Counted every week it would come on the 17th, with two days of window."""
    turn = turn_on(today, (HIGH,))
    assert (turn.target, turn.latest, turn.state) == (day("2026-03-11"), day("2026-03-11"), state)
    assert turn.brought_by == HIGH


@pytest.mark.parametrize(
    ("entries", "more", "target"),
    [
        ((HIGH, GOOD), {}, "2026-03-17"),
        ((HIGH, MOVED), {}, "2026-03-14"),
        ((HIGH, SKIPPED), {}, "2026-03-24"),
        ((HIGH,), {"tanks": (replace(TANK, stage=Stage.CYCLING),)}, "2026-03-17"),
        ((HIGH,), {"chores": (ammonia_test(tests=("nitrate",)),)}, "2026-03-17"),
    ],
    ids=["read better since", "put off", "left out", "cycling", "another test"],
)
def test_what_has_decided_otherwise_keeps_its_day(
    entries: tuple[Entry, ...], more: dict[str, object], target: str
) -> None:
    """A better reading, a person, or that the reading harms nothing or is of something else."""
    turn = turn_on("2026-03-11", entries, **more)
    assert (turn.target, turn.brought_by) == (day(target), None)


def test_with_animals_a_cycling_tank_is_tested_again_too() -> None:
    """They are harmed by what the tank is meant to have."""
    cycling = {"tanks": (replace(TANK, stage=Stage.CYCLING),)}
    turn = turn_on("2026-03-11", (HIGH,), animals=(Animal("nook", "clown"),), **cycling)
    assert turn.target == date(2026, 3, 11)


def test_a_test_by_the_calendar_keeps_its_days() -> None:
    """Its rule is the keeper's; the reason tells what to do."""
    saturdays = ammonia_test(rhythm=by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-03-07"))
    turn = turn_on("2026-03-11", (HIGH,), saturdays)
    assert turn.brought_by is None


def test_it_is_judged_by_the_rhythm_of_today_and_not_by_a_later_one() -> None:
    """Counted until April, by the calendar from then on."""
    saturdays = by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-04-04")
    counted = EarlierRhythm(day("2026-03-01"), ammonia_test().rhythm)
    later = ammonia_test(rhythm=saturdays, valid_from=day("2026-04-01"), earlier=(counted,))
    turn = turn_on("2026-03-11", (HIGH,), later)
    assert (turn.target, turn.brought_by) == (day("2026-03-11"), HIGH)
