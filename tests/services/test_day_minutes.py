"""The minutes of a day are the same in the round, in the month and on the board."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tankkeeper.core.chores import AfterLastDone
from tankkeeper.core.household import Person
from tankkeeper.core.state import HouseholdState, items_of
from tankkeeper.services.board import board_of
from tankkeeper.services.calendar import calendar_of
from tankkeeper.services.desk import Desk
from tankkeeper.services.forecasting import board_if_put_off
from tankkeeper.services.moving import put_off
from tankkeeper.services.round import round_of
from tests.builders import a_box, a_chore, a_household, day, days
from tests.fakes import a_desk

TODAY = "2026-03-12"


def a_house(*chores: object) -> Desk:
    """Return a desk on the twelfth of March with these chores of Ada's."""
    house = a_household(tanks=(a_box(),), people=(Person("ada", "Ada"),), chores=chores)
    return a_desk(house, TODAY)[0]


def every(interval: int, chore_id: str, first: str, **more: object) -> object:
    """Return a chore of Ada's counted from the last time."""
    values = {"id": chore_id, "tank": "nook", "who": ("ada",), "first_due": day(first)}
    return a_chore(AfterLastDone(days(interval)), **(values | more))


def everywhere(state: HouseholdState, ahead: int = 0) -> tuple[int, int]:
    """Return the minutes of a day by the month and by the board."""
    on = state.moment.day + timedelta(days=ahead)
    (one,) = calendar_of(state, (), on, on).days
    return one.minutes, sum(strip.minutes[ahead] for strip in board_of(state, 7).strips)


def test_what_can_wait_since_a_past_day_is_in_no_minutes_of_today() -> None:
    """Due on Tuesday and good until Sunday: told beside the minutes of Sunday."""
    desk = a_house(
        every(7, "late", "2026-03-04", minutes=7),
        every(7, "today", TODAY, minutes=11),
        every(7, "wait", "2026-03-10", late_days=5, minutes=20),
    )
    state = desk.state()

    (ada,) = board_of(state, 7).strips

    assert round_of(state).totals.minutes == 18
    assert everywhere(state) == (18, 18)
    assert everywhere(state, 3) == (0, 0)
    assert ada.waiting == (0, 0, 0, 20, 0, 0, 0)


@pytest.mark.parametrize(
    ("count", "drawn", "waiting"),
    [(7, TODAY, 7 * (0,)), (30, "2026-04-04", 23 * (0,) + (20,) + 6 * (0,))],
)
def test_what_can_wait_beyond_the_board_is_in_no_minutes_of_it(
    count: int, drawn: str, waiting: tuple[int, ...]
) -> None:
    """It is drawn under today; how far a board reaches changes nothing of what today asks for."""
    state = a_house(every(60, "wait", "2026-03-10", late_days=25, minutes=20)).state()
    (month,) = calendar_of(state, (), day(TODAY), day(TODAY)).days

    board = board_of(state, count)

    assert [(one.day, one.item.id) for one in board.bands[0].placed] == [(day(drawn), "wait@first")]
    assert (month.minutes, month.waiting) == (0, 0)
    assert (sum(board.strips[0].minutes), board.strips[0].waiting) == (0, waiting)


def test_the_minutes_told_ahead_and_beside_of_a_last_day_are_those_of_its_round() -> None:
    """Nothing done in between: what was told on Thursday is asked for on Sunday."""
    desk = a_house(
        every(7, "wait", "2026-03-10", late_days=5, minutes=20),
        every(60, "sunday", "2026-03-15", minutes=4),
    )
    state = desk.state()
    told = everywhere(state, 3)
    (one,) = calendar_of(state, (), day("2026-03-15"), day("2026-03-15")).days

    desk.clock.set_to("2026-03-15")

    assert told == (4, 4)
    assert one.waiting == 20
    assert round_of(desk.state()).totals.minutes == 24


def test_on_its_last_day_it_counts_everywhere() -> None:
    """What could wait until today must be done today."""
    state = a_house(every(7, "wait", "2026-03-10", late_days=2, minutes=20)).state()

    assert round_of(state).totals.minutes == 20
    assert everywhere(state) == (20, 20)


def test_what_was_put_off_counts_on_its_day() -> None:
    """Open work that waits for a day to come is that day's work, in the month and on the board."""
    desk = a_house(every(7, "wipe", TODAY, minutes=9))
    put_off(desk, "wipe", day("2026-03-14"))
    state = desk.state()

    assert round_of(state).totals.minutes == 0
    assert everywhere(state) == (0, 0)
    assert everywhere(state, 2) == (9, 9)


@pytest.mark.parametrize("to", ["2026-03-13", "2026-03-15", "2026-03-16"])
def test_the_forecast_of_a_move_is_the_board_after_it(to: str) -> None:
    """The next turn moves along, so the day that it stood on loses its minutes."""
    desk = a_house(
        every(3, "floss", TODAY, minutes=5, late_days=5), every(4, "glass", TODAY, minutes=8)
    )
    state = desk.state()
    floss = next(one for one in state.chores if one.chore.id == "floss")
    (item,) = items_of(state, floss)

    foreseen = board_if_put_off(state, item, day(to), 14)
    put_off(desk, "floss", day(to))

    assert foreseen.strips == board_of(desk.state(), 14).strips
    assert foreseen.strips != board_of(state, 14).strips
