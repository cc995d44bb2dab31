"""What can wait until a day stands there, and its minutes are told beside those of the day."""

from __future__ import annotations

from datetime import date

from tankkeeper.core.chores import AfterLastDone
from tankkeeper.core.household import Person
from tankkeeper.core.state import HouseholdState
from tankkeeper.gui.models.board_sheet import board_sheet
from tankkeeper.gui.models.month_sheet import day_reason, day_sentence, month_sheet
from tankkeeper.gui.widgets.board_fold import folded_words
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.words import Words
from tankkeeper.services.board import board_of
from tankkeeper.services.calendar import calendar_of
from tests.builders import a_box, a_chore, a_household, day, days
from tests.fakes import a_desk

TODAY = day("2026-03-12")
SUNDAY = day("2026-03-15")


def a_state(late_days: int = 5) -> HouseholdState:
    """Return a day with work that was due on Tuesday, beside some that comes on Sunday."""
    wait = a_chore(
        AfterLastDone(days(60)),
        id="wait",
        tank="nook",
        who=("ada",),
        first_due=day("2026-03-10"),
        late_days=late_days,
        minutes=20,
    )
    sunday = a_chore(
        AfterLastDone(days(60)),
        id="sunday",
        tank="nook",
        who=("ada",),
        first_due=SUNDAY,
        minutes=4,
    )
    house = a_household(
        tanks=(a_box(),), people=(Person("ada", "Ada", minutes=(3,) * 7),), chores=(wait, sunday)
    )
    return a_desk(house, TODAY.isoformat())[0].state()


def said_of(state: HouseholdState, on: date) -> str:
    """Return a day of the month as it is read aloud."""
    (one,) = calendar_of(state, (), on, on).days
    return day_sentence(one, state.moment.day)


def strips(state: HouseholdState) -> tuple[str, tuple[str, ...]]:
    """Return the label of a strip of the board, and its days as they are read aloud."""
    sheet = board_sheet(board_of(state, 5), Words(state.household, state.moment), frozenset())
    (strip,) = sheet.strips
    return strip.total.replace("\N{NO-BREAK SPACE}", " "), strip.days


def test_the_last_day_tells_its_own_minutes_and_those_that_can_wait_for_it() -> None:
    """The round of that day asks for both, where nothing was done before."""
    assert said_of(a_state(), SUNDAY) == (
        "Sunday 15 March, 2 chores, 1 can wait, 4 minutes, "
        "beside 20 minutes that can wait until then"
    )


def test_a_last_day_without_other_work_tells_what_can_wait_alone() -> None:
    """Nothing is expected there, so there are no minutes of the day."""
    assert said_of(a_state(late_days=4), day("2026-03-14")) == (
        "Saturday 14 March, 1 chore, 1 can wait, 20 minutes that can wait until then"
    )


def test_the_why_panel_says_what_both_numbers_at_the_head_of_a_day_are() -> None:
    """There stands 4+20 min, which the plus alone does not explain."""
    state = a_state()
    (sunday,) = calendar_of(state, (), SUNDAY, SUNDAY).days
    (today,) = calendar_of(state, (), TODAY, TODAY).days

    assert plain(day_reason(sunday, TODAY)).endswith(
        ". 4+20 min at the head of the day: 4 min are expected, 20 min can wait until this day."
    )
    assert "at the head" not in day_reason(today, TODAY)


def test_the_why_panel_says_what_a_head_of_nothing_but_waiting_minutes_is() -> None:
    """0 minutes would be taken for no work."""
    on = day("2026-03-14")
    (saturday,) = calendar_of(a_state(late_days=4), (), on, on).days

    assert plain(day_reason(saturday, TODAY)).endswith(
        "0+20 min at the head of the day: nothing is expected, 20 min can wait until this day."
    )


def test_the_strip_of_the_board_tells_them_beside_each_other() -> None:
    """A person is over their time by what must be done, not by what can be done before."""
    total, days_told = strips(a_state())

    assert total == "4 min, and 20 min that can wait"
    assert days_told[3] == (
        "Sunday 15 March, Ada, 4 minutes of 3, 1 over, beside 20 minutes that can wait until then"
    )


def test_what_can_wait_for_longer_than_the_board_is_in_no_sum_of_it() -> None:
    """Its last day is on none of the columns; the month has it there."""
    total, days_told = strips(a_state(late_days=30))

    assert total == "4 min"
    assert days_told[0] == "Thursday 12 March, Ada, 0 minutes of 3"


def test_a_cell_and_a_folded_board_show_both_behind_a_plus() -> None:
    """Seen at once, as the sum that the round of that day asks for where nothing is done before."""
    state = a_state()
    words = Words(state.household, state.moment)
    view = calendar_of(state, (), day("2026-02-23"), day("2026-04-05"))

    sheet = month_sheet(view, day("2026-03-01"), words, "", is_narrowed=False)
    board = board_sheet(board_of(state, 5), words, frozenset())

    cell = sheet.cell(SUNDAY)
    assert cell is not None
    assert plain(cell.minutes) == "4+20 min"
    assert plain(folded_words(board, 3)[0]) == "4+20 min"
    assert plain(folded_words(board, 0)[0]) == "0 min"
