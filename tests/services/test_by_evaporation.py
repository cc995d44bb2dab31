"""Work that evaporation decides: fresh water does what fills, and nothing else."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tankkeeper.core.chores import Chore, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.coming import projected_turns
from tankkeeper.core.household import TopOffLimits
from tankkeeper.core.state import Item, items_of
from tankkeeper.core.turns import State
from tankkeeper.reports.numbers_used import numbers_used
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.words import Words
from tankkeeper.services.calendar import calendar_view
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import find_item
from tankkeeper.services.moving import skip
from tankkeeper.services.noting import log_top_off
from tankkeeper.services.round import round_view
from tankkeeper.services.tank_file import read_tank_file, write_household
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_chore, a_household, day
from tests.fakes import SetClock, a_desk

BY_EVAPORATION = WhenWaterSays(Condition.EVAPORATION)
TANK = a_box(top_off=TopOffLimits(allowed_drop_mm=10.0))
TOP_OFF = a_chore(
    BY_EVAPORATION, id="top", kind=ChoreKind.TOP_OFF, tank="nook", name="Top off", minutes=5
)
WIPE = a_chore(
    BY_EVAPORATION,
    id="wipe",
    kind=ChoreKind.OTHER,
    tank="nook",
    name="Wipe the salt creep",
    minutes=3,
    first_due=day("2026-03-01"),
)


def a_home(*chores: Chore) -> tuple[Desk, SetClock]:
    """Return a desk on 2 March at noon; how the level falls is known from the tank's measures."""
    desk, _, clock = a_desk(a_household(tanks=(TANK,), chores=chores), "2026-03-02")
    return desk, clock


def item(desk: Desk, wanted: str) -> Item:
    """Return the line of a chore."""
    found = find_item(desk.state(), wanted)
    assert found is not None
    return found


def lasts(desk: Desk) -> int:
    """Return how many days the water of the tank lasts from full."""
    days = desk.state().waters["nook"].full_interval_days
    assert days is not None
    return days


def test_a_top_off_does_no_other_work_that_evaporation_decides() -> None:
    """What nobody wiped stays open and late, with its minutes; the top-off itself is done."""
    desk, _ = a_home(TOP_OFF, WIPE)
    assert round_view(desk).totals.minutes == 5 + 3

    log_top_off(desk, TANK, 0.8)

    assert item(desk, "top").state is State.DONE
    assert item(desk, "wipe").state is State.OVERDUE
    assert item(desk, "wipe").amount is None
    assert round_view(desk).totals.minutes == 3


def test_its_own_tick_does_it_and_leaves_the_top_off_due() -> None:
    """It counts from there, as many days as the water lasts from full, and tells no litres."""
    desk, clock = a_home(TOP_OFF, WIPE)

    (done,) = tick(desk, [Tick("wipe")])

    assert (item(desk, "wipe").state, item(desk, "top").state) == (State.DONE, State.DUE)
    assert done.entry.fact is None
    state = desk.state()
    one = next(one for one in state.chores if one.chore.id == "wipe")
    assert one.upcoming is not None
    assert one.upcoming.target == day("2026-03-02") + timedelta(days=lasts(desk))
    clock.set_to(one.upcoming.target)
    log_top_off(desk, TANK, 3.0)
    assert item(desk, "wipe").state is State.DUE


def test_what_is_foretold_of_it_is_what_comes() -> None:
    """Each turn follows the one before by the days that the water lasts from full."""
    desk, _ = a_home(TOP_OFF, WIPE)
    tick(desk, [Tick("wipe")])
    state, step = desk.state(), timedelta(days=lasts(desk))
    one = next(one for one in state.chores if one.chore.id == "wipe")
    first = day("2026-03-02")

    turns = projected_turns(state, one, first.toordinal(), (first + 3 * step).toordinal())

    assert [date.fromordinal(turn.day) for _, turn in turns] == [
        first + step,
        first + 2 * step,
        first + 3 * step,
    ]


def test_the_calendar_of_past_days_shows_it_only_where_it_was_ticked() -> None:
    """A top-off beside the round is drawn as the top-off that it was, whichever stands last."""
    for chores in ((TOP_OFF, WIPE), (WIPE, TOP_OFF)):
        desk, clock = a_home(*chores)
        log_top_off(desk, TANK, 0.8)
        clock.set_to("2026-03-03")
        log_top_off(desk, TANK, 0.4, is_part=True)
        clock.set_to("2026-03-05")

        view = calendar_view(desk, day("2026-03-01"), day("2026-03-04"))

        done = [
            (one.day, each.chore.id)
            for one in view.days
            for each in (*one.items, *one.folded)
            if each.state is State.DONE
        ]
        assert done == [(day("2026-03-02"), "top"), (day("2026-03-03"), "top")]


def test_the_reason_says_what_it_counts_from() -> None:
    """Nothing is said of the last filling or of a safe round, which are the top-off's."""
    desk, clock = a_home(TOP_OFF, WIPE)
    words = Words(desk.state().household, desk.state().moment)
    assert reason(item(desk, "wipe"), words).startswith("It has not been done yet.")

    tick(desk, [Tick("wipe")])
    clock.set_to("2026-03-30")
    log_top_off(desk, TANK, 3.0)
    state = desk.state()
    words = Words(state.household, state.moment)
    told = reason(item(desk, "wipe"), words).replace("\u00a0", " ")

    assert told.startswith("Last done on 2 March; only its own tick does it, no top-off. ")
    assert "as long after it was last done as the water lasts from full" in told
    assert "safe round" not in told + str(numbers_used(item(desk, "wipe"), words))

    skip(desk, ["wipe"])
    clock.set_to("2026-04-20")
    state = desk.state()
    told = reason(item(desk, "wipe"), Words(state.household, state.moment))
    assert told.startswith("The last turn was skipped, so it counts from ")


@pytest.mark.parametrize("most", [None, 5])
def test_where_nothing_tells_the_loss_only_its_longest_interval_brings_it(most: int | None) -> None:
    """Never daily because of an unknown level: that is a reason to fill, not to wipe."""
    rhythm = WhenWaterSays(Condition.EVAPORATION, max_days=most)
    unmeasured = replace(TANK, shape=replace(TANK.shape, length_cm=None))
    home = a_household(tanks=(unmeasured,), chores=(replace(WIPE, rhythm=rhythm),))
    desk, _, _ = a_desk(home, "2026-03-02")
    tick(desk, [Tick("wipe")])

    (one,) = desk.state().chores

    target = None if one.upcoming is None else one.upcoming.target
    assert target == (None if most is None else day("2026-03-07"))


def test_a_file_with_such_a_chore_is_read_as_ever() -> None:
    """The tank file allows every rhythm for every kind."""
    desk, _ = a_home(TOP_OFF, WIPE)
    state = desk.state()

    text = write_household(state.household, ())
    again = read_tank_file(text, now=state.moment.now, today=state.moment.day)

    kept = next(one for one in again.household.chores if one.name == WIPE.name)
    assert (kept.kind, kept.rhythm) == (ChoreKind.OTHER, BY_EVAPORATION)
    assert [one.state for one in items_of(state, state.chores[1])] == [State.OVERDUE]
