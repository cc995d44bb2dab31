"""What may have been done in days off, and on which of their days."""

from __future__ import annotations

from dataclasses import replace
from datetime import time

from tankkeeper.core.chores import AfterLastDone, Chore, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.household import TopOffLimits
from tankkeeper.core.logbook import TopOff
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.turns import State
from tankkeeper.services.away import PiledUp, absence, away_since, done_at, piled_up
from tankkeeper.services.desk import Desk
from tankkeeper.services.moving import pause_tank, put_off
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_chore, a_household, by_rule, day, days
from tests.fakes import FakeStore, SetClock, a_desk

# Limits that no two days reach, so that the days of the rhythm bind.
NOOK = a_box(top_off=TopOffLimits(allowed_drop_mm=100.0, allowed_salinity_rise=5.0))
# At the latest two days after the last time, whatever the water says.
FILL = a_chore(
    WhenWaterSays(Condition.EVAPORATION, max_days=2),
    id="fill",
    tank="nook",
    kind=ChoreKind.TOP_OFF,
)
# Two days after it was done, and three days longer can it wait.
GLASS = a_chore(AfterLastDone(days(2)), id="glass", tank="nook", late_days=3)
# Two days before its day it may be done already.
CORNERS = a_chore(AfterLastDone(days(6)), id="corners", tank="nook", early_days=2, late_days=3)


def away(*chores: Chore) -> tuple[Desk, FakeStore, SetClock]:
    """Return a desk on which all was done on Sunday 1 March at noon, on Thursday 5."""
    desk, store, clock = a_desk(a_household(tanks=(NOOK,), chores=chores), "2026-03-01")
    litres = {"fill": 1.1}
    tick(desk, [Tick(one.id, litres=litres.get(one.id)) for one in chores])
    clock.set_to("2026-03-05")
    return desk, store, clock


def found_in(state: HouseholdState) -> tuple[PiledUp, ...]:
    """Return what is offered."""
    since = away_since(state)
    assert since is not None
    return piled_up(state, since)


def offered(state: HouseholdState) -> dict[str, list[int]]:
    """Return by chore the days of March that are offered."""
    return {one.item.chore.id: [on.day for on in one.days] for one in found_in(state)}


def test_what_can_still_wait_beyond_its_day_is_offered_and_not_counted() -> None:
    """The glass was for Tuesday 3 and can wait to Friday; the corners are for Saturday 7."""
    desk, _, _ = away(GLASS, CORNERS)
    state = desk.state()
    since = away_since(state)
    assert since is not None
    assert {turn.state for one in state.chores for turn in one.open} == {State.MAY_WAIT}

    assert offered(state) == {"glass": [3, 4]}
    assert absence(state, since) is None


def test_the_day_on_which_somebody_was_there_is_offered_only_where_it_is_the_only_one() -> None:
    """The last word was of Tuesday 3, and the day of the glass was that same Tuesday."""
    desk, _, clock = away(GLASS, replace(GLASS, id="pane"))
    clock.set_to("2026-03-03")
    tick(desk, [Tick("pane")])
    clock.set_to("2026-03-06")
    assert offered(desk.state()) == {"glass": [4, 5], "pane": [5]}

    clock.set_to("2026-03-04", time(23))
    since = desk.state().history.newest_at
    assert since is not None
    (piled,) = piled_up(desk.state(), since)
    assert piled.days == (day("2026-03-03"),)


def test_a_filling_is_offered_from_the_day_after_the_last_one() -> None:
    """It was asked for on Tuesday 3; who looks after the tank may have filled it on Monday."""
    desk, store, _ = away(FILL)
    state = desk.state()
    (one,) = found_in(state)
    assert one.item.open is not None
    assert one.item.open.earliest == day("2026-03-03")

    assert [on.day for on in one.days] == [2, 3, 4]
    since = away_since(state)
    assert since is not None
    at = done_at(state, day("2026-03-02"), since)
    tick(desk, [Tick(one.item.id, at=at, as_proposed=True)])
    entry = store.entries[-1]
    assert entry.day == day("2026-03-02")
    assert entry.completes_chore("fill")
    assert isinstance(entry.fact, TopOff)


def test_a_filling_of_every_day_is_offered_for_each_day_away() -> None:
    """By the calendar its first open turn is that of Monday 2."""
    daily = a_chore(
        by_rule("FREQ=DAILY", "2026-03-01"), id="fill", tank="nook", kind=ChoreKind.TOP_OFF
    )
    desk, _, _ = away(daily)

    assert offered(desk.state()) == {"fill": [2, 3, 4]}


def test_a_filling_is_offered_for_no_day_on_which_its_tank_rested() -> None:
    """Paused to Monday 2, that day included; put off to Wednesday 4, it was left till then."""
    desk, _, clock = away(FILL)
    clock.set_to("2026-03-01")
    pause_tank(desk, NOOK, until=day("2026-03-02"))
    clock.set_to("2026-03-05")
    assert offered(desk.state()) == {"fill": [3, 4]}

    desk, _, clock = away(FILL)
    clock.set_to("2026-03-01")
    (fill,) = desk.state().chores
    assert fill.upcoming is not None
    put_off(desk, fill.upcoming.turn.id, day("2026-03-04"))
    clock.set_to("2026-03-06")
    assert offered(desk.state()) == {"fill": [4, 5]}
