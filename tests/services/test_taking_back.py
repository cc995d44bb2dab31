"""Undo and redo: rows that take back rows, by two people and in chains."""

from __future__ import annotations

from datetime import time

import pytest

from tankkeeper.core.chores import AfterLastDone, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Person, TopOffLimits
from tankkeeper.core.logbook import Revoke, TopOff
from tankkeeper.core.turns import State
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import find_item
from tankkeeper.services.moving import put_off, skip
from tankkeeper.services.noting import log_note, log_top_off
from tankkeeper.services.taking_back import redo, take_back_all, undo
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_chore, a_household, by_rule, day, days
from tests.fakes import FakeStore, SetClock, a_desk

TANK = a_box(top_off=TopOffLimits(allowed_drop_mm=20.0))
SATURDAYS = by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-03-07")
HOUSE = a_household(
    tanks=(TANK,),
    people=(Person("ilse", "Ilse"), Person("jon", "Jon")),
    chores=(
        a_chore(AfterLastDone(days(7)), tank="nook", first_due=day("2026-03-02")),
        a_chore(SATURDAYS, id="glass", name="Glass", tank="nook"),
        a_chore(
            WhenWaterSays(Condition.EVAPORATION),
            id="fill",
            name="Fill",
            tank="nook",
            kind=ChoreKind.TOP_OFF,
        ),
    ),
)


def house(on: str = "2026-04-02") -> tuple[Desk, FakeStore, SetClock]:
    """Return a desk on a day on which four Saturdays were missed."""
    return a_desk(HOUSE, on)


def state_of(desk: Desk, wanted: str) -> State | None:
    """Return the state of a line, or None where it stands in no list."""
    item = find_item(desk.state(), wanted)
    return None if item is None else item.state


def test_undo_brings_back_all_that_a_tick_had_settled() -> None:
    """Four missed Saturdays were one item, are done by one tick, and are one item again."""
    desk, store, _ = house()
    before = desk.state().chores
    tick(desk, [Tick("glass", by="ilse")])
    done = undo(desk, by="jon")
    assert desk.state().chores == before
    assert (done.target, store.entries[-1].fact) == (store.entries[0], Revoke("n1"))
    assert store.entries[-1].by == "jon"
    assert len(store.entries) == 2


def test_redo_takes_back_the_undo() -> None:
    """The tick holds again, by a third row."""
    desk, store, _ = house()
    tick(desk, [Tick("glass")])
    after = desk.state().chores
    undo(desk)
    redo(desk)
    assert desk.state().chores == after
    assert [one.fact for one in store.entries[1:]] == [Revoke("n1"), Revoke("n2")]


def test_a_chain_of_undos_walks_back_and_redos_walk_forward() -> None:
    """Each undo takes the newest entry that still holds, each redo the newest undo."""
    desk, _, _ = house()
    states = [desk.state().chores]
    for step in (
        lambda: tick(desk, [Tick("glass")]),
        lambda: put_off(desk, "wipe", day("2026-04-05")),
        lambda: skip(desk, ["wipe"]),
    ):
        step()
        states.append(desk.state().chores)
    for expected in reversed(states[:-1]):
        undo(desk)
        assert desk.state().chores == expected
    with pytest.raises(UserFault, match="nothing_to_undo"):
        undo(desk)
    for expected in states[1:]:
        redo(desk)
        assert desk.state().chores == expected
    with pytest.raises(UserFault, match="nothing_to_redo"):
        redo(desk)


def test_tick_undo_tick_is_one_valid_completion() -> None:
    """The undo frees the turn; the redo of the first tick is refused then."""
    desk, store, _ = house()
    tick(desk, [Tick("glass@2026-03-07", by="ilse")])
    undo(desk)
    (again,) = tick(desk, [Tick("glass@2026-03-07", by="jon")])
    assert not again.was_done_already
    with pytest.raises(UserFault, match="redo_is_held") as fault:
        redo(desk)
    holder = fault.value.values["holder"]
    assert holder == again.entry
    assert len(store.entries) == 3


def test_any_entry_can_be_taken_back_but_only_once() -> None:
    """Not only the newest; and what nobody wrote cannot be."""
    desk, store, _ = house()
    tick(desk, [Tick("wipe")])
    tick(desk, [Tick("glass")])
    undo(desk, "n1")
    assert state_of(desk, "wipe") is State.OVERDUE
    assert state_of(desk, "glass@2026-03-07") is State.DONE
    for wanted, code in (("n1", "already_taken_back"), ("nothing", "no_such_entry")):
        with pytest.raises(UserFault, match=code):
            undo(desk, wanted)
    assert len(store.entries) == 3


def test_an_undo_named_by_its_own_id_is_taken_back() -> None:
    """It is a row like any other."""
    desk, _, _ = house()
    tick(desk, [Tick("wipe")])
    undo(desk)
    undo(desk, "n2")
    assert state_of(desk, "wipe@first") is State.DONE


def test_undo_of_the_base_brings_back_the_put_off_before_it() -> None:
    """Put off to the 5th, done on the 3rd, taken back: it stands on the 5th again."""
    desk, _, clock = house()
    put_off(desk, "wipe", day("2026-04-05"))
    clock.set_to("2026-04-03")
    tick(desk, [Tick("wipe@first")])
    undo(desk)
    item = find_item(desk.state(), "wipe@first")
    assert item is not None
    assert item.open is not None
    assert item.open.target == day("2026-04-05")


def test_undo_of_a_top_off_takes_its_water_out_again() -> None:
    """The level is unknown again, and the loss is not learned from it."""
    desk, _, clock = house()
    log_top_off(desk, TANK, 3.0)
    first = desk.state().waters["nook"]
    clock.set_to("2026-04-04")
    tick(desk, [Tick("fill", litres=4.0)])
    assert desk.state().waters["nook"].loss != first.loss
    undo(desk)
    after = desk.state().waters["nook"]
    assert after.loss == first.loss
    assert after.limit.base is not None
    assert after.limit.base.fact == TopOff(3.0)
    undo(desk)
    assert desk.state().waters["nook"].evaporated is None


def test_several_taken_back_at_once_or_none() -> None:
    """One that is gone already holds the others back."""
    desk, store, _ = house()
    tick(desk, [Tick("wipe"), Tick("glass")])
    undo(desk, "n2")
    with pytest.raises(UserFault, match="already_taken_back"):
        take_back_all(desk, ["n1", "n2"])
    assert len(store.entries) == 3
    rows = take_back_all(desk, ["n1"])
    assert state_of(desk, "wipe") is State.OVERDUE
    take_back_all(desk, [row.id for row in rows])
    assert state_of(desk, "wipe@first") is State.DONE


def test_the_newest_of_any_kind_is_taken_back() -> None:
    """A note is an entry too."""
    desk, store, _ = house()
    tick(desk, [Tick("wipe")])
    log_note(desk, "new lamp")
    assert undo(desk).target.id == "n2"
    assert undo(desk).target.id == "n1"
    assert len(store.entries) == 4


def test_a_clock_behind_takes_back_as_well() -> None:
    """The order is that of the rows, so an undo on an earlier day still undoes."""
    desk, _, clock = house()
    tick(desk, [Tick("wipe")])
    clock.set_to("2026-03-29", time(9))
    undo(desk)
    clock.set_to("2026-04-02")
    assert state_of(desk, "wipe") is State.OVERDUE
