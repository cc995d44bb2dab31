"""What lapsed in days off: which turns it is, and that they can be written down one by one."""

from __future__ import annotations

from datetime import time

import pytest

from tankkeeper.core.chores import Chore, ChoreKind, IfMissed
from tankkeeper.core.errors import UserFault
from tankkeeper.core.state import items_of
from tankkeeper.services.away import absence, away_since, piled_up
from tankkeeper.services.desk import Desk
from tankkeeper.services.lapsed import lapsed, lapsed_yesterday
from tankkeeper.services.moving import pause_tank
from tankkeeper.services.ticking import Tick, tick
from tests.builders import BERLIN, a_box, a_chore, a_household, by_rule, day
from tests.fakes import FakeStore, SetClock, a_desk

NOOK = a_box()
FEED = a_chore(
    by_rule("FREQ=DAILY", "2026-03-01", (time(8), time(18))),
    id="feed",
    tank="nook",
    kind=ChoreKind.FEEDING,
    if_missed=IfMissed.EXPIRE,
)
DOSE = a_chore(by_rule("FREQ=DAILY", "2026-03-01"), id="dose", tank="nook", kind=ChoreKind.DOSE)
LOOK = a_chore(by_rule("FREQ=DAILY", "2026-03-01"), id="look", tank="nook")


def away(*chores: Chore) -> tuple[Desk, FakeStore, SetClock]:
    """Return a desk that was ticked on Wednesday 4 March at noon and opened on Saturday 7."""
    house = a_household(tanks=(NOOK,), chores=chores)
    desk, store, clock = a_desk(house, "2026-03-04")
    tick(desk, [Tick(one.id) for one in chores])
    clock.set_to("2026-03-07")
    return desk, store, clock


def told(desk: Desk) -> dict[str, list[str]]:
    """Return by chore the turns that lapsed, as "day hour"."""
    state = desk.state()
    since = away_since(state)
    assert since is not None
    return {
        one.chore.id: [f"{turn.at.astimezone(BERLIN):%d %H}" for turn in one.turns]
        for one in lapsed(state, since)
    }


def test_turns_after_the_last_entry_and_before_today_lapsed() -> None:
    """The morning of the 4th was fed; its evening and two days were not. What gathers waits."""
    desk, _, _ = away(FEED, DOSE, LOOK)

    assert told(desk) == {
        "feed": ["04 18", "05 08", "05 18", "06 08", "06 18"],
        "dose": ["05 07", "06 07"],
    }


def test_what_was_due_on_the_day_of_the_last_entry_and_not_ticked_lapsed_too() -> None:
    """On the 4th only the look was ticked, at noon: feedings and dose of that day are asked.

    A dose of no hour is not written down before that entry.
    """
    house = a_household(tanks=(NOOK,), chores=(FEED, DOSE, LOOK))
    desk, _, clock = a_desk(house, "2026-03-04")
    tick(desk, [Tick("look")])
    clock.set_to("2026-03-07")

    assert told(desk) == {
        "feed": ["04 08", "04 18", "05 08", "05 18", "06 08", "06 18"],
        "dose": ["04 12", "05 07", "06 07"],
    }


def test_the_turn_of_yesterday_that_nobody_wrote_down_is_found() -> None:
    """That of the same hour as the line first, else the last one; each once."""
    desk, _, clock = away(FEED, LOOK)
    clock.set_to("2026-03-05")
    state = desk.state()
    fed = next(one for one in state.chores if one.chore.id == "feed")
    morning, evening = items_of(state, fed)

    clock.set_to("2026-03-06")
    found = [lapsed_yesterday(desk.state(), one) for one in (morning, evening)]
    assert [one.turn.id for one in found if one is not None] == [
        "feed@2026-03-05T0800",
        "feed@2026-03-05T1800",
    ]
    missed = found[1]
    assert missed is not None
    tick(desk, [Tick(missed.turn.id, at=missed.at)])
    left = lapsed_yesterday(desk.state(), evening)
    assert left is not None
    assert left.turn.id == "feed@2026-03-05T0800"
    tick(desk, [Tick(left.turn.id, at=left.at)])
    assert lapsed_yesterday(desk.state(), evening) is None
    look = next(one for one in desk.state().chores if one.chore.id == "look")
    (line,) = items_of(desk.state(), look)
    assert lapsed_yesterday(desk.state(), line) is None


def test_what_lapsed_is_counted_and_stands_in_no_other_list() -> None:
    """The dose is overdue, but is asked turn by turn, not as one piece of work."""
    desk, _, _ = away(FEED, DOSE, LOOK)
    state = desk.state()
    since = away_since(state)
    assert since is not None

    found = absence(state, since)

    assert found is not None
    assert found.lapsed == 7
    assert [one.item.chore.id for one in piled_up(state, since)] == ["look"]


def test_a_tick_today_leaves_the_days_before_to_be_said() -> None:
    """Who feeds first and then says what was done meanwhile finds the same turns."""
    desk, _, _ = away(FEED)
    before = told(desk)
    since = desk.state().history.newest_at
    assert since is not None
    tick(desk, [Tick("feed")])

    after = [turn.at for one in lapsed(desk.state(), since) for turn in one.turns]

    assert [f"{at.astimezone(BERLIN):%d %H}" for at in after] == before["feed"]


def test_each_turn_is_written_down_once_at_its_own_hour() -> None:
    """A turn of Thursday evening; said twice it is done already, on another day it is none."""
    desk, store, _ = away(FEED)
    since = away_since(desk.state())
    assert since is not None
    turn = lapsed(desk.state(), since)[0].turns[2]
    rows = len(store.entries)

    [first] = tick(desk, [Tick(turn.turn.id, at=turn.at)])
    [again] = tick(desk, [Tick(turn.turn.id, at=turn.at)])

    assert (first.entry.at, first.entry.day) == (turn.at, day("2026-03-05"))
    assert first.entry.completes == (turn.turn,)
    assert again.was_done_already
    assert len(store.entries) == rows + 1
    with pytest.raises(UserFault, match="no_such_turn"):
        tick(desk, [Tick("feed@2026-03-06T0800", at=turn.at)])


def test_days_of_a_pause_are_nobodys_debt() -> None:
    """A tank that rested was not fed."""
    desk, _, clock = away(FEED)
    clock.set_to("2026-03-05")
    pause_tank(desk, NOOK, until=day("2026-03-06"))
    clock.set_to("2026-03-08")

    assert told(desk) == {"feed": ["07 08", "07 18"]}
