"""Which tests a reading does: the same whether it was ticked or logged."""

from __future__ import annotations

from collections.abc import Callable
from datetime import time

import pytest

from tankkeeper.core.chores import Chore, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.logbook import Readings
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.state import Item
from tankkeeper.core.turns import State
from tankkeeper.reports.noted_words import ticked_besides
from tankkeeper.reports.words import Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import find_item
from tankkeeper.services.noting import log_reading
from tankkeeper.services.taking_back import undo
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_chore, a_household, day
from tests.fakes import SetClock, a_desk

TREND = WhenWaterSays(Condition.FORECAST, of="alkalinity")


def a_test(name: str, *tests: str, **more: object) -> Chore:
    """Return a test of the tank "nook" that is due on 4 March."""
    given: dict[str, object] = {"first_due": day("2026-03-04"), "tests": tests, **more}
    return a_chore(id=name, name=f"Test {name}", kind=ChoreKind.TEST, tank="nook", **given)


EACH = a_test("each", "alkalinity")
BY_TREND = a_test("trend", "alkalinity", rhythm=TREND)
BOTH = a_test("both", "alkalinity", "calcium")
LATER = a_test("later", "alkalinity", first_due=day("2026-03-09"))


def a_home(*chores: Chore) -> tuple[Desk, SetClock]:
    """Return a desk on 4 March at noon."""
    desk, _, clock = a_desk(a_household(tanks=(a_box(),), chores=chores), "2026-03-04")
    return desk, clock


def read(**numbers: float) -> tuple[ReadingValue, ...]:
    """Return values in their stored units."""
    return tuple(ReadingValue(name, number, "", number) for name, number in numbers.items())


def item(desk: Desk, wanted: str) -> Item:
    """Return the line of a chore."""
    found = find_item(desk.state(), wanted)
    assert found is not None
    return found


@pytest.mark.parametrize(
    "write",
    [
        lambda desk: tick(desk, [Tick("trend", values=read(alkalinity=8.0))]),
        lambda desk: log_reading(desk, desk.state().household.tanks[0], read(alkalinity=8.0)),
    ],
    ids=["ticked", "logged"],
)
def test_a_reading_does_every_open_test_that_it_answers(write: Callable[[Desk], object]) -> None:
    """One that waits for more values stays open, and one whose window has not begun its day."""
    desk, clock = a_home(BY_TREND, EACH, BOTH, LATER)

    write(desk)

    assert item(desk, "each").state is item(desk, "trend").state is State.DONE
    assert item(desk, "both").state is State.DUE
    assert not item(desk, "later").is_open
    clock.set_to("2026-03-05")
    assert not item(desk, "each").is_open


def test_a_tick_says_which_tests_its_readings_did() -> None:
    """What they did goes with them when they are taken back."""
    desk, _ = a_home(BY_TREND, EACH, BOTH)
    (done,) = tick(desk, [Tick("both", values=read(alkalinity=8.0, calcium=420.0))])
    state = desk.state()

    words = Words(state.household, state.moment)
    assert ticked_besides(done.entry, words) == "Its readings tick Test trend and Test each, too."

    undo(desk, done.entry.id)
    assert [item(desk, one).state for one in ("both", "trend", "each")] == [State.DUE] * 3


def test_tests_that_are_ticked_together_keep_their_own_values() -> None:
    """None of what was typed is lost because another one came first."""
    desk, _ = a_home(EACH, BOTH)
    ticks = [
        Tick("both", values=read(alkalinity=8.0, calcium=420.0)),
        Tick("each", values=read(alkalinity=8.2)),
    ]

    outcomes = tick(desk, ticks)

    assert [one.was_done_already for one in outcomes] == [False, False]
    assert [[each.chore for each in one.entry.completes] for one in outcomes] == [
        ["both"],
        ["each"],
    ]


def test_values_of_a_test_that_others_did_are_kept_as_extra() -> None:
    """The same test by its own tick is none the less a reading; without values it was done."""
    desk, clock = a_home(EACH, BOTH)
    (first,) = tick(desk, [Tick("both", values=read(alkalinity=8.0, calcium=420.0))])
    clock.set_to("2026-03-04", time(15))

    (again,) = tick(desk, [Tick("each", values=read(alkalinity=8.4))])

    assert (again.was_done_already, again.is_extra) == (False, True)
    assert again.entry.id != first.entry.id
    assert isinstance(again.entry.fact, Readings)
    assert again.entry.fact.values == read(alkalinity=8.4)


def test_a_tick_of_an_earlier_day_does_what_was_open_then() -> None:
    """As readings that are logged for that day do."""
    desk, clock = a_home(EACH, BY_TREND)
    at = clock.now()
    clock.set_to("2026-03-06")

    (done,) = tick(desk, [Tick("each", values=read(alkalinity=8.0), at=at)])

    assert [one.chore for one in done.entry.completes] == ["each", "trend"]
    assert not item(desk, "each").is_open
