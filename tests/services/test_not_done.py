"""What lapsed stands in the calendar on its day: nobody wrote it down, and no later tick does."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time

import pytest

from tankkeeper.core.chores import Calendar, ChoreKind, IfMissed
from tankkeeper.core.state import items_of
from tankkeeper.core.turns import State
from tankkeeper.services.board import board_of
from tankkeeper.services.calendar import CalendarDay, calendar_view
from tankkeeper.services.desk import Desk
from tankkeeper.services.lapsed import Lapsed
from tankkeeper.services.moving import pause_tank, put_off, skip
from tankkeeper.services.noting import Stamp, log_dose, log_feeding
from tankkeeper.services.settling_chores import add_chore
from tankkeeper.services.ticking import Tick, tick
from tests.builders import BERLIN, a_box, a_chore, a_household, by_rule, day
from tests.fakes import SetClock, a_desk

NOOK = a_box()
FEED = a_chore(
    by_rule("FREQ=DAILY", "2026-03-01", (time(8), time(18))),
    id="feed",
    name="Feed",
    tank="nook",
    kind=ChoreKind.FEEDING,
    if_missed=IfMissed.EXPIRE,
    minutes=2,
)
DOSE = a_chore(
    by_rule("FREQ=DAILY", "2026-03-01"),
    id="dose",
    name="Dose bicarbonate",
    tank="nook",
    kind=ChoreKind.DOSE,
    if_missed=IfMissed.EXPIRE,
)
LOOK = a_chore(by_rule("FREQ=DAILY", "2026-03-01"), id="look", tank="nook")


def lived(*chores: object) -> tuple[Desk, SetClock]:
    """Return a desk on which everything was ticked at noon of 4 and 5 March, opened on the 8th."""
    house = a_household(tanks=(NOOK,), chores=chores)
    desk, _, clock = a_desk(house, "2026-03-04")
    for on in ("2026-03-04", "2026-03-05"):
        clock.set_to(on)
        tick(desk, [Tick(one.id) for one in house.chores])
    clock.set_to("2026-03-08")
    return desk, clock


def the_day(desk: Desk, on: str) -> CalendarDay:
    """Return one day of the calendar of March."""
    found = calendar_view(desk, day("2026-02-23"), day("2026-04-05")).day(day(on))
    assert found is not None
    return found


def told(lapsed: tuple[Lapsed, ...]) -> list[str]:
    """Return turns as "chore hour"."""
    return [f"{one.chore.id} {t.at.astimezone(BERLIN):%H}" for one in lapsed for t in one.turns]


def by_day(desk: Desk) -> dict[int, list[str]]:
    """Return what lapsed by the day of March."""
    view = calendar_view(desk, day("2026-02-23"), day("2026-04-05"))
    return {one.day.day: told(one.lapsed) for one in view.days if one.lapsed}


def test_what_nobody_wrote_down_stands_on_its_day() -> None:
    """Noon of the 4th was the first entry ever, and no feeding of that morning is missed."""
    desk, _ = lived(FEED, DOSE, LOOK)

    assert by_day(desk) == {
        4: ["feed 18"],
        5: ["feed 18"],
        6: ["feed 08", "feed 18", "dose 07"],
        7: ["feed 08", "feed 18", "dose 07"],
    }


def test_what_is_written_down_later_with_its_day_is_missed_no_more() -> None:
    """Neither a skip nor a feeding of another hour counts for it."""
    desk, _ = lived(FEED, DOSE)
    first = the_day(desk, "2026-03-06").lapsed[0].turns[1]
    tick(desk, [Tick(first.turn.id, at=first.at)])

    assert by_day(desk)[6] == ["feed 08", "dose 07"]
    assert the_day(desk, "2026-03-06").minutes == 2


def test_nothing_is_missed_that_is_still_open() -> None:
    """What gathers is overdue as one turn, which has its thread; the others were missed behind it.

    Today's hours are the round's.
    """
    desk, clock = lived(replace(FEED, if_missed=IfMissed.COLLAPSE))
    assert by_day(desk) == {}

    clock.set_to("2026-03-08", time(20))
    (feed,) = desk.state().chores
    tick(desk, [Tick(one.id) for one in items_of(desk.state(), feed) if one.is_open])

    assert by_day(desk) == {
        4: ["feed 18"],
        5: ["feed 18"],
        6: ["feed 08", "feed 18"],
        7: ["feed 08", "feed 18"],
    }


def test_a_feeding_that_is_still_open_stands_on_its_own_day() -> None:
    """One turn gathers them, which is told once on each of their days; its minutes are today's."""
    feed = replace(FEED, rhythm=by_rule("FREQ=DAILY", "2026-03-01"), late_days=1)
    desk, clock = lived(replace(feed, if_missed=IfMissed.COLLAPSE), LOOK)
    clock.set_to("2026-03-07")

    sixth = the_day(desk, "2026-03-06")
    assert [(one.chore.id, one.state) for one in sixth.folded] == [("feed", State.DUE)]
    assert (sixth.lapsed, sixth.minutes, sixth.counts.due) == ((), 0, 1)
    assert the_day(desk, "2026-03-07").minutes == 2

    clock.set_to("2026-03-10")
    missed = ["2026-03-06", "2026-03-07", "2026-03-08", "2026-03-09"]
    for on in missed:
        one = the_day(desk, on)
        drawn = [item.state for item in one.items if item.chore.id == "feed"]
        folded = [item.state for item in one.folded if item.chore.id == "feed"]
        # Its thread begins on the 7th, its last day.
        assert drawn == ([State.OVERDUE] if on == "2026-03-07" else [])
        assert [*drawn, *folded] == [State.OVERDUE]
    assert [one.chore.id for one in the_day(desk, "2026-03-10").items].count("feed") == 1

    tick(desk, [Tick("feed")])
    after = [the_day(desk, on) for on in missed]
    assert [one.not_done for one in after] == [1, 1, 1, 1]
    found = [item.chore.id for one in after for item in (*one.items, *one.folded)]
    assert "feed" not in found


def test_a_feeding_that_is_still_open_stands_once_on_the_board() -> None:
    """Under today, though the days before are looked at for what can wait longer than it shows."""
    every_day = replace(FEED, rhythm=by_rule("FREQ=DAILY", "2026-03-01"), late_days=1)
    rarely = by_rule("FREQ=DAILY;INTERVAL=2", "2026-03-02")
    rare = replace(every_day, id="rare", rhythm=rarely, late_days=20)
    gathers = [replace(one, if_missed=IfMissed.COLLAPSE) for one in (every_day, rare)]
    desk, clock = lived(*gathers)
    clock.set_to("2026-03-06")
    tick(desk, [Tick("feed")])
    clock.set_to("2026-03-08")
    assert {one.open[0].state for one in desk.state().chores} == {State.DUE, State.MAY_WAIT}
    assert [strip.minutes[0] for strip in board_of(desk.state(), 7).strips] == [2]

    clock.set_to("2026-03-09")
    (band,) = board_of(desk.state(), 7).bands
    assert [one.item.chore.id for one in band.placed if one.item.is_open].count("rare") == 1


def test_what_was_skipped_put_off_or_paused_is_not_missed() -> None:
    """Somebody decided about each of them."""
    desk, clock = lived(DOSE)
    clock.set_to("2026-03-06")
    skip(desk, ["dose"])
    clock.set_to("2026-03-07")
    pause_tank(desk, NOOK)
    clock.set_to("2026-03-10")

    assert by_day(desk) == {}


def test_one_that_was_put_off_is_missed_on_the_day_it_was_put_off_to() -> None:
    """A weekly turn of Friday that stood on Saturday."""
    weekly = replace(DOSE, rhythm=Calendar("FREQ=WEEKLY;BYDAY=FR", day("2026-03-01")), late_days=2)
    desk, clock = lived(LOOK, weekly)
    clock.set_to("2026-03-06")
    put_off(desk, "dose", day("2026-03-07"))
    clock.set_to("2026-03-12")

    assert by_day(desk) == {7: ["dose 07"]}


def test_a_chore_that_was_added_in_the_evening_missed_nothing_that_morning() -> None:
    """Its hours of that day were over before it was there."""
    desk, clock = lived(LOOK)
    clock.set_to("2026-03-08", time(12))
    add_chore(desk, FEED)
    clock.set_to("2026-03-10")

    assert by_day(desk) == {
        8: ["nook.feed 18"],
        9: ["nook.feed 08", "nook.feed 18"],
    }


def test_another_tank_is_left_out_where_one_is_chosen() -> None:
    """The calendar of one tank tells of that tank alone."""
    cube = a_box(id="cube", name="Cube")
    house = a_household(
        tanks=(NOOK, cube), chores=(FEED, replace(DOSE, id="other", tank="cube"), LOOK)
    )
    desk, _, clock = a_desk(house, "2026-03-04")
    tick(desk, [Tick("look")])
    clock.set_to("2026-03-06")
    view = calendar_view(desk, day("2026-03-01"), day("2026-03-31"), cube)

    assert {one.day.day: told(one.lapsed) for one in view.days if one.lapsed} == {
        4: ["other 07"],
        5: ["other 07"],
    }


@pytest.mark.parametrize("first", ["2026-03-06", "2026-03-01"])
def test_the_first_day_that_is_shown_changes_nothing(first: str) -> None:
    """What was done just before the days shown is known."""
    desk, _ = lived(FEED, DOSE)
    view = calendar_view(desk, day(first), day("2026-03-20"))

    shown = view.day(day("2026-03-06"))
    assert shown is not None
    assert told(shown.lapsed) == ["feed 08", "feed 18", "dose 07"]


@pytest.mark.parametrize(
    ("hour", "left"),
    [(time(18, 10), "feed 08"), (time(9), "feed 18")],
)
def test_a_feeding_of_an_earlier_day_is_its_turn_that_lapsed(hour: time, left: str) -> None:
    """Written down days later with its time and its chore; at 9 it was that of 8 o'clock."""
    desk, clock = lived(FEED)
    clock.set_to("2026-03-06", time(18))
    tick(desk, [Tick("feed")])
    clock.set_to("2026-03-09")
    assert by_day(desk)[6] == ["feed 08"]
    at = datetime.combine(day("2026-03-07"), hour, BERLIN)

    noted = log_feeding(desk, NOOK, Stamp(at), which="feed")

    assert [one.id for one in noted.completed] == ["feed"]
    assert by_day(desk)[7] == [left]


def test_a_dose_of_an_earlier_day_is_its_turn_that_lapsed() -> None:
    """What has no hour is done on its day whenever it was."""
    desk, _ = lived(DOSE)
    at = datetime.combine(day("2026-03-06"), time(21), BERLIN)

    noted = log_dose(desk, NOOK, "bicarbonate", 4.0, Stamp(at), which="dose")

    assert [one.id for one in noted.completed] == ["dose"]
    assert by_day(desk) == {7: ["dose 07"]}


# May be done a day late, so that a missed turn is open on the day after.
LATE_FEED = replace(FEED, rhythm=by_rule("FREQ=DAILY", "2026-03-01"), late_days=1)


@pytest.mark.parametrize("if_missed", [IfMissed.EXPIRE, IfMissed.COLLAPSE])
def test_a_tick_that_closes_a_heap_is_of_its_own_day(if_missed: IfMissed) -> None:
    """The newest of several is done and those before it are missed, whichever names the line."""
    desk, clock = lived(replace(LATE_FEED, if_missed=if_missed))
    clock.set_to("2026-03-08")
    tick(desk, [Tick(one.id) for one in items_of(desk.state(), desk.state().chores[0])])
    clock.set_to("2026-03-09")

    assert by_day(desk) == {6: ["feed 07"], 7: ["feed 07"]}


def test_late_work_of_a_day_without_a_turn_was_the_late_turn() -> None:
    """A weekly turn of Friday that was done on Saturday was not missed."""
    weekly = replace(DOSE, rhythm=by_rule("FREQ=WEEKLY;BYDAY=FR", "2026-03-01"), late_days=2)
    desk, clock = lived(weekly)
    clock.set_to("2026-03-07")
    tick(desk, [Tick("dose")])
    clock.set_to("2026-03-12")

    assert by_day(desk) == {}


def test_late_work_of_two_turns_that_waited_was_the_newer_one() -> None:
    """On Fridays and Sundays, done on Monday as one: Sunday's is done, Friday's was missed."""
    twice = replace(
        DOSE,
        rhythm=by_rule("FREQ=WEEKLY;BYDAY=FR,SU", "2026-03-01"),
        if_missed=IfMissed.COLLAPSE,
        late_days=4,
    )
    desk, clock = lived(twice)
    clock.set_to("2026-03-09")
    tick(desk, [Tick("dose")])
    clock.set_to("2026-03-12")

    assert by_day(desk) == {6: ["dose 07"]}


@pytest.mark.parametrize("way", ["tick", "log"])
def test_a_turn_whose_name_a_later_tick_holds_is_written_down_all_the_same(way: str) -> None:
    """Fed on Saturday, too, which was told only once Sunday was ticked."""
    desk, clock = lived(LATE_FEED)
    clock.set_to("2026-03-08")
    tick(desk, [Tick(one.id) for one in items_of(desk.state(), desk.state().chores[0])])
    at = datetime.combine(day("2026-03-07"), time(19), BERLIN)

    if way == "tick":
        (outcome,) = tick(desk, [Tick("feed@2026-03-07", at=at)])
        assert not outcome.was_done_already
    else:
        noted = log_feeding(desk, NOOK, Stamp(at), which="feed")
        assert [one.completes_chore("feed") for one in [noted.entry]] == [True]
        assert [one.id for one in noted.completed] == ["feed"]

    assert by_day(desk) == {6: ["feed 07"]}
    (again,) = tick(desk, [Tick("feed@2026-03-07", at=at)])
    assert again.was_done_already
    assert [one.state.value for one in items_of(desk.state(), desk.state().chores[0])] == ["done"]


def test_of_a_day_without_an_hour_the_first_that_is_left_is_meant() -> None:
    """Chosen by its day alone, the evening of the 5th, whose morning was written down."""
    desk, clock = lived(FEED)
    clock.set_to("2026-03-07", time(20))
    tick(desk, [Tick("feed")])
    clock.set_to("2026-03-09")
    at = desk.state().moment.round_on(day("2026-03-05"))

    noted = log_feeding(desk, NOOK, Stamp(at), which="feed")

    assert [one.id for one in noted.completed] == ["feed"]
    assert noted.entry.at.astimezone(BERLIN).time() == time(18)
    assert 5 not in by_day(desk)
    again = log_feeding(desk, NOOK, Stamp(at), which="feed")
    assert again.entry.at == at
