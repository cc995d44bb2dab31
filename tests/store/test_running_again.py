"""A tank that rested by its stage owes nothing for those days once it runs again."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import AfterLastDone, Calendar, Chore, ChoreKind
from tankkeeper.core.household import Stage
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.logbook import Entry, How, Redefined, Thing
from tankkeeper.core.state import items_of
from tankkeeper.core.turns import State
from tankkeeper.services import settling_chores, settling_tanks
from tankkeeper.services.desk import Desk
from tankkeeper.services.taking_back import undo
from tankkeeper.services.ticking import Tick, tick
from tankkeeper.store.file_store import FileStore
from tests.fakes import CountingIds
from tests.store.households import NOON

DAY = timedelta(days=1)
IMPORTED = Redefined(How.IMPORTED, Thing.HOUSEHOLD)


@pytest.fixture
def clock() -> FixedClock:
    """A clock that the test moves."""
    return FixedClock(NOON)


@pytest.fixture
def desk(store: FileStore, clock: FixedClock) -> Desk:
    """A desk on one tank with a daily chore that was done today, and one of every two days."""
    desk = Desk(store, clock, CountingIds())
    daily = Calendar("FREQ=DAILY", NOON.date())
    every = AfterLastDone(Interval(2, IntervalUnit.DAYS))
    settling_chores.add_chore(desk, Chore("", ChoreKind.CHECK, "Look", daily, "skerry"))
    settling_chores.add_chore(
        desk, Chore("", ChoreKind.CHECK, "Wipe", every, "skerry", first_due=NOON.date())
    )
    for name in ("Look", "Wipe"):
        tick(desk, [Tick(_items(desk)[name].id)])
    return desk


def _items(desk: Desk):  # type: ignore[no-untyped-def]
    state = desk.state()
    return {
        item.chore.name: item
        for one in state.chores
        for item in items_of(state, one)
        if item.chore.name in ("Look", "Wipe")
    }


def _rests(desk: Desk) -> bool:
    state = desk.state()
    return state.pause_of(state.household.tanks[0]) is not None


@pytest.mark.parametrize("stage", [Stage.PAUSED, Stage.RETIRED])
def test_days_of_rest_are_no_missed_turns(desk: Desk, clock: FixedClock, stage: Stage) -> None:
    """Due again from today on, as was promised; counted days go on where they stood."""
    clock.forward(DAY)
    settling_tanks.set_stage(desk, "skerry", stage)
    clock.forward(4 * DAY)

    settling_tanks.set_stage(desk, "skerry", Stage.RUNNING)

    items = _items(desk)
    assert items["Look"].state is State.DUE
    assert items["Look"].open.missed == 0
    assert "Wipe" not in items
    clock.forward(DAY)
    assert _items(desk)["Wipe"].state is State.DUE


@pytest.mark.parametrize("stage", [Stage.PLANNED, Stage.RETIRED])
def test_a_tank_that_was_paused_once_rests_when_it_enters_another_stage(
    desk: Desk, clock: FixedClock, stage: Stage
) -> None:
    """Out of the pause straight away, or after it ran in between."""
    clock.forward(DAY)
    settling_tanks.set_stage(desk, "skerry", Stage.PAUSED)
    clock.forward(DAY)
    settling_tanks.set_stage(desk, "skerry", stage)
    clock.forward(DAY)
    assert _rests(desk)

    settling_tanks.set_stage(desk, "skerry", Stage.RUNNING)
    assert not _rests(desk)
    clock.forward(DAY)
    settling_tanks.set_stage(desk, "skerry", stage)
    clock.forward(DAY)
    assert _rests(desk)


@pytest.mark.parametrize("begins", [Stage.RUNNING, Stage.CYCLING])
def test_a_planned_tank_that_begins_owes_nothing_for_the_days_before(
    desk: Desk, clock: FixedClock, begins: Stage
) -> None:
    """Whatever stage it begins in."""
    clock.forward(DAY)
    settling_tanks.set_stage(desk, "skerry", Stage.PLANNED)
    clock.forward(4 * DAY)
    settling_tanks.set_stage(desk, "skerry", begins)
    assert (_items(desk)["Look"].state, _items(desk)["Look"].open.missed) == (State.DUE, 0)


@pytest.mark.parametrize("stage", [Stage.PLANNED, Stage.PAUSED])
def test_a_tank_that_came_at_rest_owes_nothing_for_the_days_before_it_began(
    desk: Desk, clock: FixedClock, stage: Stage
) -> None:
    """No row of the log tells since when; the tank does, until it begins."""
    since = NOON.date() + DAY
    with desk.store.writing() as writing:
        house = writing.household()
        tanks = tuple(replace(one, stage=stage, since=since) for one in house.tanks)
        row = Entry("row", 0, NOON, NOON.date(), house.zone, fact=IMPORTED)
        writing.redefine(row, replace(house, tanks=tanks))
    clock.forward(5 * DAY)

    done = settling_tanks.set_stage(desk, "skerry", Stage.RUNNING)

    begun = How.BEGUN if stage is Stage.PLANNED else How.RESUMED
    assert done.entry is not None
    assert done.entry.fact == Redefined(
        begun, Thing.TANK, "Skerry", rested_since=since, stage=Stage.RUNNING
    )
    assert (_items(desk)["Look"].state, _items(desk)["Look"].open.missed) == (State.DUE, 0)
    assert "Wipe" not in _items(desk)
    undo(desk)
    assert _rests(desk)


def test_an_undo_of_running_again_lets_it_rest(desk: Desk, clock: FixedClock) -> None:
    """And an undo of that lets it run as if nothing had been."""
    clock.forward(DAY)
    settling_tanks.set_stage(desk, "skerry", Stage.PAUSED)
    clock.forward(4 * DAY)
    settling_tanks.set_stage(desk, "skerry", Stage.RUNNING)

    undo(desk)
    state = desk.state()
    assert state.pause_of(state.household.tanks[0]) is not None
    undo(desk)
    assert _items(desk)["Look"].open.missed == 4
