"""Work beside the turns of a chore counts for none, whatever its rhythm or window becomes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, time

import pytest

from tankkeeper.core.chores import Calendar, Chore, ChoreKind, IfMissed
from tankkeeper.services import settling_chores
from tankkeeper.services.desk import Desk
from tankkeeper.services.exchange import export_household, household_in
from tankkeeper.services.finding import items_of_chore, past_beside
from tankkeeper.services.noting import log_feeding, log_top_off
from tankkeeper.services.taking_back import undo
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_chore, a_household, day
from tests.fakes import FakeStore, SetClock, a_desk

# Mondays, every second week.
BIWEEKLY = Calendar("FREQ=WEEKLY;INTERVAL=2;BYDAY=MO", day("2026-03-02"))
WEEKLY = Calendar("FREQ=WEEKLY;BYDAY=MO", day("2026-03-02"))
NOOK = a_box("Nook")


def house(kind: ChoreKind, **more: object) -> tuple[Desk, FakeStore, SetClock]:
    """Return a desk on Thursday 5 March, the turn of Monday done then."""
    values = {"kind": kind, "tank": "nook"} | more
    chore = a_chore(BIWEEKLY, **values)
    desk, store, clock = a_desk(a_household(tanks=(NOOK,), chores=(chore,)), "2026-03-02")
    tick(desk, [Tick("wipe", litres=2.0 if kind is ChoreKind.TOP_OFF else None)])
    clock.set_to("2026-03-05")
    return desk, store, clock


def change(desk: Desk, **more: object) -> None:
    chore: Chore = desk.state().household.chores[0]
    settling_chores.change_chore(desk, replace(chore, **more))  # type: ignore[arg-type]


def open_days(desk: Desk) -> list[date]:
    return [one.target for one in desk.state().chores[0].open]


def _tick(desk: Desk) -> None:
    (outcome,) = tick(desk, [Tick("wipe")])
    assert outcome.is_extra


def _feed(desk: Desk) -> None:
    assert log_feeding(desk, NOOK).completed == ()


def _top_off(desk: Desk) -> None:
    assert log_top_off(desk, NOOK, 1.0).completed == ()


@pytest.mark.parametrize("missed", [IfMissed.COLLAPSE, IfMissed.EACH])
@pytest.mark.parametrize(
    ("kind", "work"),
    [
        (ChoreKind.GLASS, _tick),
        (ChoreKind.FEEDING, _feed),
        (ChoreKind.TOP_OFF, _top_off),
    ],
)
def test_extra_work_counts_for_no_turn_of_another_rhythm_or_window(
    kind: ChoreKind, work: Callable[[Desk], None], missed: IfMissed
) -> None:
    """Extra on Thursday the 5th; every week with four days before, the 9th is open then."""
    desk, store, _ = house(kind, if_missed=missed)
    work(desk)
    # Its line stands among what was done today all the same.
    (done,) = desk.state().chores[0].closed
    assert done.turn.id == f"wipe@extra:{store.entries[-1].id}"

    change(desk, rhythm=WEEKLY, early_days=4)

    assert open_days(desk) == [day("2026-03-09")]
    assert done.entry == desk.state().chores[0].last_done


def test_extra_work_is_kept_as_often_as_it_is_done() -> None:
    """A turn is done once; what is beside the turns claims none."""
    desk, store, _ = house(ChoreKind.TOP_OFF)
    _top_off(desk)
    _top_off(desk)

    assert len(store.entries) == 3
    assert len(desk.state().chores[0].closed) == 2


def test_extra_work_is_extra_in_a_tank_file_too() -> None:
    """Read in again it names no turn, nor would it count by its day."""
    desk, _, _ = house(ChoreKind.GLASS)
    _tick(desk)

    read = household_in(desk, export_household(desk))

    assert [turn.key for turn in read.entries[-1].completes] == ["extra"]


def test_what_a_file_of_before_says_without_a_turn_does_none_that_it_did_not() -> None:
    """A completion without a key counts by its day: Thursday is before the window of Monday."""
    desk, store, _ = house(ChoreKind.GLASS)
    _tick(desk)
    old = store.entries[-1]
    store.entries[-1] = replace(old, completes=(replace(old.completes[0], key=""),))

    assert open_days(desk) == []
    change(desk, rhythm=WEEKLY)
    upcoming = desk.state().chores[0].upcoming
    assert upcoming is not None
    assert upcoming.target == day("2026-03-09")


def test_what_was_done_first_counts_once_the_later_tick_is_taken_back() -> None:
    """Ticked on Wednesday, written down for Monday as well: without Wednesday Monday stays done."""
    chore = a_chore(WEEKLY, late_days=3, tank="nook")
    desk, _, clock = a_desk(a_household(tanks=(NOOK,), chores=(chore,)), "2026-03-04")
    (first,) = tick(desk, [Tick("wipe")])
    monday = clock.now().replace(day=2)
    clock.set_to("2026-03-05")
    (second,) = tick(desk, [Tick("wipe", at=monday, note="In the morning.")])
    assert second.is_extra

    undo(desk, first.entry.id)

    assert open_days(desk) == []


def test_an_extra_feeding_after_the_hours_of_the_day_does_none_of_another_hour() -> None:
    """Fed at 8 and once more at 9; with an hour at 9 besides that one is still to be fed."""
    slots = Calendar("FREQ=DAILY", day("2026-03-02"), (time(8),))
    chore = a_chore(slots, kind=ChoreKind.FEEDING, tank="nook", if_missed=IfMissed.EXPIRE)
    house = a_household(tanks=(NOOK,), chores=(chore,))
    desk, _, clock = a_desk(house, "2026-03-02", time(8, 5))
    log_feeding(desk, NOOK)
    clock.set_to("2026-03-02", time(9, 30))
    _feed(desk)

    change(desk, rhythm=replace(slots, slots=(time(8), time(9))))

    assert open_days(desk) == [day("2026-03-02")]


def test_work_beside_the_turns_does_not_stand_for_an_hour_to_come() -> None:
    """Fed at seven and once more at nine; that of 18 is open, and its own."""
    slots = Calendar("FREQ=DAILY", day("2026-03-02"), (time(7), time(18)))
    chore = a_chore(slots, kind=ChoreKind.FEEDING, tank="nook", if_missed=IfMissed.EXPIRE)
    desk, _, clock = a_desk(a_household(tanks=(NOOK,), chores=(chore,)), "2026-03-02", time(7, 5))
    log_feeding(desk, NOOK)
    clock.set_to("2026-03-02", time(9))
    _feed(desk)
    state = desk.state()
    extra = next(one for one in items_of_chore(state, "wipe") if one.turn.key.startswith("extra"))

    assert past_beside(state, extra) == extra

    clock.set_to("2026-03-02", time(18, 5))
    log_feeding(desk, NOOK)
    state = desk.state()
    assert past_beside(state, extra).turn.key == "2026-03-03"
