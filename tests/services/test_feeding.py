"""Writing down a feeding outside the round: it ticks the one that has begun, else stands beside."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

from tankkeeper.core.chores import Calendar, Chore, ChoreKind, IfMissed
from tankkeeper.core.logbook import Note
from tankkeeper.core.turns import State
from tankkeeper.services.desk import Desk
from tankkeeper.services.fed import Fed
from tankkeeper.services.noting import EXTRA_FEEDING, Stamp, log_feeding
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_chore, a_household
from tests.fakes import FakeStore, SetClock, a_desk

TODAY = "2026-03-04"
NOOK, REEF = a_box(), a_box("Reef")
DAILY = Calendar("FREQ=DAILY", date(2026, 3, 4))
# The desk's clock says noon.
TWICE = Calendar("FREQ=DAILY", date(2026, 3, 4), (time(8), time(18)))
EVENING = Calendar("FREQ=DAILY", date(2026, 3, 4), (time(18),))


def feed(chore_id: str, rhythm: Calendar, tank: str = "nook") -> Chore:
    """Return a feeding by the calendar."""
    return a_chore(rhythm, id=chore_id, name="Feed", kind=ChoreKind.FEEDING, tank=tank)


def house(*chores: Chore) -> tuple[Desk, FakeStore, SetClock]:
    """Return a desk on 4 March at noon."""
    return a_desk(a_household(tanks=(NOOK, REEF), chores=chores), TODAY)


def states(desk: Desk) -> list[tuple[time | None, State]]:
    """Return how today's turns stand, by their hour."""
    one = desk.state().chores[0]
    turns = [*one.open, *one.closed]
    return sorted(((turn.turn.slot, turn.state) for turn in turns), key=str)


def test_a_feeding_ticks_the_open_one() -> None:
    """Where today's feeding is open, writing one down does it."""
    desk, store, _ = house(feed("feed", DAILY), feed("other", DAILY, "reef"))

    noted = log_feeding(desk, NOOK)

    assert [one.id for one in noted.completed] == ["feed"]
    assert noted.entry.completes[0].key == TODAY
    assert store.entries[0].tank == "nook"
    assert states(desk) == [(None, State.DONE)]


def test_a_second_feeding_is_extra_and_moves_nothing() -> None:
    """It stands in the history of the chore, without a turn; tomorrow's turn stays."""
    desk, _, _ = house(feed("feed", DAILY))
    log_feeding(desk, NOOK)
    before = desk.state().chores[0].upcoming

    noted = log_feeding(desk, NOOK)

    assert [turn.key for turn in noted.entry.completes] == [""]
    assert desk.state().chores[0].upcoming == before


def test_a_feeding_at_noon_leaves_the_one_of_the_evening() -> None:
    """The evening's turn stands in the round all day; animals still wait for it."""
    desk, _, _ = house(feed("feed", TWICE))

    first = log_feeding(desk, NOOK)
    second = log_feeding(desk, NOOK)

    assert first.entry.completes[0].slot == time(8)
    assert second.entry.completes[0].key == "extra"
    assert (time(18), State.DUE) in states(desk)


def test_a_feeding_before_the_first_hour_does_no_turn_at_all() -> None:
    """Work without a turn would count for the first hour, which has not come."""
    desk, _, _ = house(feed("feed", EVENING))

    noted = log_feeding(desk, NOOK, Stamp(note="two cubes"))

    assert noted.entry.completes == ()
    assert isinstance(noted.entry.fact, Note)
    assert noted.entry.note == f"{EXTRA_FEEDING}. two cubes"
    assert states(desk) == [(time(18), State.DUE)]


def test_a_tank_without_a_feeding_chore_keeps_the_feeding_as_a_note() -> None:
    """Nothing is refused for the want of a chore."""
    desk, _, _ = house()

    noted = log_feeding(desk, NOOK)

    assert (noted.entry.tank, noted.entry.note) == ("nook", EXTRA_FEEDING)


def test_a_feeding_of_yesterday_does_what_was_open_then() -> None:
    """Today's turn stays open."""
    desk, _, clock = house(feed("feed", DAILY))
    yesterday = clock.now()
    clock.set_to("2026-03-05")

    log_feeding(desk, NOOK, Stamp(at=yesterday))

    assert desk.state().chores[0].open[0].turn.key == "2026-03-05"


def test_an_extra_feeding_completes_nothing_that_is_open() -> None:
    """It is said to be extra, so the animals still wait for theirs."""
    desk, _, _ = house(feed("feed", TWICE))

    noted = log_feeding(desk, NOOK, which=None)

    assert noted.entry.completes == ()
    assert State.DONE not in [state for _slot, state in states(desk)]


def test_an_extra_feeding_moves_no_chore_that_is_counted() -> None:
    """Done early it would stand for the time to come."""
    sheet = a_chore(id="sheet", name="Hang a sheet", kind=ChoreKind.FEEDING, tank="nook")
    sheet = replace(sheet, first_due=date(2026, 3, 8))
    desk, _, _ = house(sheet)
    before = desk.state().chores[0].upcoming

    noted = log_feeding(desk, NOOK, which=None)

    assert noted.entry.completes == ()
    assert desk.state().chores[0].upcoming == before


def test_a_feeding_is_of_the_chore_that_is_named() -> None:
    """Of several the named one; where it is not open, the feeding stands beside the plan."""
    desk, _, _ = house(feed("pellets", DAILY), feed("sheet", DAILY))

    first = log_feeding(desk, NOOK, which="sheet")
    second = log_feeding(desk, NOOK, which="sheet")

    assert [turn.chore for turn in first.entry.completes] == ["sheet"]
    assert second.entry.completes == ()
    assert second.entry.note == EXTRA_FEEDING


def test_a_feeding_to_come_is_done_where_it_is_named() -> None:
    """As by a tick in the round: the one of six in the evening, written down at noon."""
    desk, _, _ = house(feed("feed", EVENING))

    noted = log_feeding(desk, NOOK, which="feed")

    assert [turn.slot for turn in noted.entry.completes] == [time(18)]
    assert states(desk) == [(time(18), State.DONE)]


def test_a_feeding_is_of_the_chore_whose_food_it_was() -> None:
    """The name of the food tells more than the hour."""
    pellets, sheet = replace(feed("a", DAILY), name="Feed pellets"), feed("b", DAILY)
    desk, _, _ = house(sheet, pellets)

    noted = log_feeding(desk, NOOK, fed=Fed(food="pellets"))

    assert [turn.chore for turn in noted.entry.completes] == ["a"]


def test_a_feeding_that_lapsed_today_is_written_down_where_it_is_named() -> None:
    """At seven in the evening that of 8:00 stands in no list; unnamed, it is the one of 18:00."""
    lapsing = replace(feed("feed", TWICE), if_missed=IfMissed.EXPIRE)
    desk, _, clock = house(lapsing)
    clock.set_to(TODAY, time(19))

    noted = log_feeding(desk, NOOK, which=f"feed@{TODAY}T0800")

    assert [(turn.key, turn.slot) for turn in noted.entry.completes] == [(TODAY, time(8))]
    assert states(desk) == [(time(18), State.DUE), (time(8), State.DONE)]
    assert log_feeding(desk, NOOK).entry.completes[0].slot == time(18)


def test_a_turn_that_lapsed_today_is_ticked_once_by_its_id() -> None:
    """As one of a day gone by is."""
    lapsing = replace(feed("feed", TWICE), if_missed=IfMissed.EXPIRE)
    desk, _, clock = house(lapsing)
    clock.set_to(TODAY, time(19))

    first = tick(desk, [Tick(f"feed@{TODAY}T0800")])
    second = tick(desk, [Tick(f"feed@{TODAY}T0800")])

    assert [turn.slot for turn in first[0].entry.completes] == [time(8)]
    assert second[0].was_done_already
