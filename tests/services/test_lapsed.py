"""What lapsed in days off: which turns it is, and that they can be written down one by one."""

from __future__ import annotations

from dataclasses import replace
from datetime import time

import pytest

from tankkeeper.core.chores import Chore, ChoreKind, IfMissed
from tankkeeper.core.errors import UserFault
from tankkeeper.core.state import items_of
from tankkeeper.services.away import absence, away_since, piled_up
from tankkeeper.services.calendar import calendar_view
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import find_item
from tankkeeper.services.lapsed import lapsed, lapsed_yesterday
from tankkeeper.services.moving import pause_tank, put_off
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
    """The dose is overdue, but is asked turn by turn, not as one piece of work.

    It is counted as overdue alone, with the two days that wait in it.
    """
    desk, _, _ = away(FEED, DOSE, LOOK)
    state = desk.state()
    since = away_since(state)
    assert since is not None

    found = absence(state, since)

    assert found is not None
    assert (found.overdue, found.lapsed) == (2, 5)
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


FROZEN = a_chore(
    by_rule("FREQ=WEEKLY;BYDAY=TU,TH,SU", "2026-03-01"),
    id="frozen",
    tank="nook",
    kind=ChoreKind.FEEDING,
)


def test_a_turn_put_off_into_the_days_away_lapsed_on_the_day_it_was_put_off_to() -> None:
    """Sunday 1 March is put off to Monday: that day and Tuesday are asked, and each is written.

    Nothing is asked of Sunday itself, on which it stood no more.
    """
    house = a_household(tanks=(NOOK,), chores=(FROZEN, LOOK))
    desk, store, clock = a_desk(house, "2026-03-01")
    put_off(desk, "frozen", day("2026-03-02"))
    tick(desk, [Tick("look")])
    clock.set_to("2026-03-05")
    state, since = desk.state(), away_since(desk.state())
    assert since is not None

    [found] = lapsed(state, since)

    assert found.days == (day("2026-03-02"), day("2026-03-03"))
    tick(desk, [Tick(one.turn.id, at=one.at) for one in found.turns])
    written = [one for one in store.entries if one.completes_chore("frozen")]
    assert [(one.day, one.completes[0].key) for one in written] == [
        (day("2026-03-02"), "2026-03-01"),
        (day("2026-03-03"), "2026-03-03"),
    ]
    assert lapsed(desk.state(), since) == ()


def test_the_later_of_two_alone_leaves_the_one_that_was_put_off_to_be_said() -> None:
    """Said of Tuesday first, the turn that stood on Monday can still be written down."""
    house = a_household(tanks=(NOOK,), chores=(FROZEN, LOOK))
    desk, store, clock = a_desk(house, "2026-03-01")
    put_off(desk, "frozen", day("2026-03-02"))
    tick(desk, [Tick("look")])
    clock.set_to("2026-03-05")
    since = away_since(desk.state())
    assert since is not None
    monday, tuesday = lapsed(desk.state(), since)[0].turns
    tick(desk, [Tick(tuesday.turn.id, at=tuesday.at)])

    [left] = lapsed(desk.state(), since)

    assert left.turns == (monday,)
    tick(desk, [Tick(monday.turn.id, at=monday.at)])
    newest = store.entries[-1]
    assert (newest.day, newest.completes[0].key) == (day("2026-03-02"), "2026-03-01")


def test_a_turn_that_was_put_off_to_yesterday_is_found_there() -> None:
    """Of Sunday put off to Monday, Tuesday asks by its own key."""
    house = a_household(tanks=(NOOK,), chores=(FROZEN,))
    desk, _, clock = a_desk(house, "2026-03-01")
    put_off(desk, "frozen", day("2026-03-02"))
    clock.set_to("2026-03-03")
    item = find_item(desk.state(), "frozen")
    assert item is not None

    found = lapsed_yesterday(desk.state(), item)

    assert found is not None
    assert (found.turn.id, found.day) == ("frozen@2026-03-01", day("2026-03-02"))


def test_a_late_turn_that_can_still_be_done_is_counted_once() -> None:
    """Of Tuesday 3 March and open on Friday 6: overdue, and told day by day, but in one count.

    The calendar counts it the same way. A feeding that lapsed beside it is told as not done.
    """
    late = replace(FROZEN, rhythm=by_rule("FREQ=WEEKLY;BYDAY=TU", "2026-03-01"))
    house = a_household(tanks=(NOOK,), chores=(FEED, late))
    desk, _, clock = a_desk(house, "2026-03-01")
    tick(desk, [Tick("feed")])
    clock.set_to("2026-03-02", time(20))
    tick(desk, [Tick("feed")])
    clock.set_to("2026-03-06", time(7))
    state, since = desk.state(), away_since(desk.state())
    assert since is not None

    found = absence(state, since)

    assert found is not None
    assert (found.overdue, found.due, found.lapsed) == (1, 2, 7)
    view = calendar_view(desk, day("2026-03-02"), day("2026-03-06"))
    assert sum(one.not_done for one in view.days) == found.lapsed
    lines = {one.chore.id: one.turns for one in lapsed(state, since)}
    assert [turn.day for turn in lines["frozen"]] == [day("2026-03-03")]
    tick(desk, [Tick(turn.turn.id, at=turn.at) for turn in lines["frozen"]])
    told_then = absence(desk.state(), since)
    assert told_then is not None
    assert (told_then.overdue, told_then.lapsed) == (0, 7)
