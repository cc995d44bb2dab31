"""Tick, skip, put off and pause act the same in the round, in a day's list and on the board."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tankkeeper.core.chores import Calendar, ChoreKind
from tankkeeper.core.logbook import Pause, PutOff, Revoke, Skip
from tankkeeper.core.turns import State
from tankkeeper.gui.models.round_rows import ItemRow
from tests.gui.calendar_hands import page_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import THURSDAY, Hands, chore, small_house
from tests.gui.test_calendar_find import here

TODAY = date(2026, 3, 12)
ROUND, DAY, BOARD = "round", "day", "board"
KEYS = {ROUND: (), DAY: ("Ctrl+2", "Return"), BOARD: ("Ctrl+2", "B")}
VIEWS = pytest.mark.parametrize("view", [ROUND, DAY, BOARD])


def go_to(hands: Hands, view: str, chore: str) -> None:
    """Show a view, and let the line or the turn of a chore have the keys."""
    hands.press(*KEYS[view])
    select(hands, view, chore)


def select(hands: Hands, view: str, chore: str) -> None:
    """Let the line or the turn of a chore have the keys in the view that is shown."""
    if view == ROUND:
        hands.go_to(chore)
    else:
        rows = page_of(hands).rows()
        row = next(row for row in rows if row.item.chore.id == chore)
        assert page_of(hands).show_row(row.id)
    hands.settle()
    assert current(hands, view) == chore


def current(hands: Hands, view: str) -> str:
    """Return the chore on which the keys act."""
    return hands.current() if view == ROUND else here(hands)


def row_of(hands: Hands, chore: str) -> ItemRow:
    """Return the line of a chore in the round."""
    return hands.row(chore)


@VIEWS
def test_space_ticks_goes_on_and_takes_back(live_in: LiveIn, view: str) -> None:
    """The keys go on to open work; on the closed line Space takes the tick back."""
    hands = live_in()
    go_to(hands, view, "wipe")

    hands.press("Space")
    assert row_of(hands, "wipe").item.state is State.DONE
    assert hands.told == "Ticked Wipe the lid (Reef). Next on Thu\u00a019."
    assert current(hands, view) != "wipe"

    select(hands, view, "wipe")
    hands.press("Space")
    assert row_of(hands, "wipe").item.state is State.DUE


@VIEWS
def test_s_skips_and_undo_takes_it_back(live_in: LiveIn, view: str) -> None:
    """One key each way."""
    hands = live_in()
    go_to(hands, view, "lamp")

    hands.press("S")
    assert row_of(hands, "lamp").item.state is State.SKIPPED
    hands.press("Ctrl+Z")

    assert row_of(hands, "lamp").item.state is State.DUE
    assert [type(row.entry.fact) for row in hands.log()] == [Revoke, Skip]


@VIEWS
def test_p_puts_off(live_in: LiveIn, view: str) -> None:
    """By the form's day, and on the board by carrying, with the same entry and the same words."""
    hands = live_in()
    go_to(hands, view, "wipe")

    hands.press("P", *(["Right", "Return"] if view == BOARD else ["Return"]))

    fact = hands.log()[0].entry.fact
    assert isinstance(fact, PutOff)
    assert (fact.stood_on, fact.to) == (date(2026, 3, 12), date(2026, 3, 13))
    assert hands.told.replace("\N{NO-BREAK SPACE}", " ") == "Put off Wipe the lid (Reef) to Fri 13."
    assert not hands.has_form()


@VIEWS
def test_a_turn_whose_next_one_comes_tomorrow_is_not_offered_to_be_put_off(
    live_in: LiveIn, view: str
) -> None:
    """On every Thursday and Friday: P on the turn of today says why at once, and holds nothing."""
    rhythm = Calendar("FREQ=WEEKLY;BYDAY=TH,FR", THURSDAY)
    feed = chore("feed", "Feed", None, kind=ChoreKind.FEEDING, rhythm=rhythm)
    hands = live_in(replace(small_house(), chores=(feed,)))
    go_to(hands, view, "feed")
    assert "Put off" not in [one.text for one in hands.why.actions]

    hands.press("P")

    assert not hands.has_form()
    told = hands.why.refusal.replace("\N{NO-BREAK SPACE}", " ")
    assert told == "Cannot be put off: the next turn comes on Friday 13."
    assert hands.log() == []


@VIEWS
def test_shift_p_pauses_and_resumes(live_in: LiveIn, view: str) -> None:
    """The form asks how long; the paused line resumes by the same key."""
    hands = live_in()
    go_to(hands, view, "lamp")

    hands.press("Shift+P", "Return")
    assert isinstance(hands.log()[0].entry.fact, Pause)
    assert not hands.has_form()


@VIEWS
def test_what_asks_for_a_measure_opens_its_form(live_in: LiveIn, view: str) -> None:
    """Space on a water change asks for the litres, wherever it is pressed."""
    hands = live_in()
    go_to(hands, view, "change")

    hands.press("Space")
    assert hands.has_form()
    hands.press("Esc")

    assert hands.log() == []
    assert current(hands, view) == "change"
    assert hands.focus() is not None


@VIEWS
def test_a_note_is_written_from_every_view(live_in: LiveIn, view: str) -> None:
    """N opens the note on the tank of the line."""
    hands = live_in()
    go_to(hands, view, "lamp")

    hands.press("N")

    hands.type("cloudy")
    hands.press("Ctrl+Return")
    entry = hands.log()[0].entry
    assert (entry.note, entry.tank) == ("cloudy", "nook")


@VIEWS
def test_y_ticks_for_yesterday(live_in: LiveIn, view: str) -> None:
    """The tick is dated a day back."""
    hands = live_in()
    go_to(hands, view, "wipe")

    hands.press("Y")

    assert hands.log()[0].entry.day == date(2026, 3, 11)


@VIEWS
def test_a_tank_of_the_rail_narrows_every_view_and_widens_it_again(
    live_in: LiveIn, view: str
) -> None:
    """Chosen by key, seen in what is shown."""
    hands = live_in()
    hands.press(*KEYS[view])

    def tanks() -> set[str | None]:
        rows = hands.rows() if view == ROUND else page_of(hands).rows()
        return {row.item.chore.tank for row in rows}

    hands.press("Ctrl+Down")
    assert tanks() == {"reef"}
    hands.press("Ctrl+Down")
    assert tanks() == {"nook"}
    hands.press("Ctrl+Home")
    assert tanks() == {"reef", "nook", None}


def test_left_and_right_lead_from_day_to_day_in_the_list(live_in: LiveIn) -> None:
    """Also into the next month; the first line has the keys on each."""
    hands = live_in()
    hands.press("Ctrl+2", "Return", "Down", "Down")

    hands.press("Left")
    assert page_of(hands).month.table.day == date(2026, 3, 11)
    hands.press(*["Right"] * 8)
    assert page_of(hands).head.title.text() == "Thursday 19 March"
    assert here(hands) == page_of(hands).month.list.item_rows()[0].item.chore.id
    hands.press(*["Right"] * 14)

    assert page_of(hands).month.table.day == date(2026, 4, 2)
    assert page_of(hands).month.is_day_open
    assert page_of(hands).head.title.text() == "Thursday 2 April"
    assert page_of(hands).month.list.hasFocus()
    hands.press("Esc")
    assert page_of(hands).month.table.day == date(2026, 4, 2)


def test_the_why_panel_tells_of_a_day_without_chores(live_in: LiveIn) -> None:
    """It is never empty while something is selected, and years are told apart."""
    hands = live_in()
    hands.press("Ctrl+2", "Shift+PgUp", "Return")

    assert hands.why.title == "Wednesday 12 March 2025"
    assert hands.why.reason == "Nothing stands on this day."
    assert hands.why.actions == ()


@pytest.mark.parametrize("keys", [(), ("Return",), ("B",)], ids=["month", "day", "board"])
def test_tab_leads_from_the_rail_through_the_calendar_to_the_why_panel(
    live_in: LiveIn, keys: tuple[str, ...]
) -> None:
    """The page is made late, but stands where it is seen: after the rail, before the panel."""
    hands = live_in()
    hands.press("Ctrl+2", *keys)
    hands.frame.rail.setFocus()
    content, order = page_of(hands), []

    for _ in range(16):
        hands.press("Tab")
        order.append(content.isAncestorOf(hands.focus()))
        if hands.frame.why.isAncestorOf(hands.focus()):
            break

    inside = order.count(True)
    assert inside >= 3
    assert order[:inside] == [True] * inside


def test_work_closed_in_the_list_of_a_day_keeps_its_place(live_in: LiveIn) -> None:
    """The keys go on to the next line that is to do, and pass over none."""
    hands = live_in()
    go_to(hands, DAY, "wipe")
    page = page_of(hands)
    order = [row.id for row in page.rows()]
    due = [row.id for row in page.rows() if row.item.counts]

    for at, one in enumerate(due[:-1]):
        page.show_row(one)
        hands.press("S")
        assert [row.id for row in page.rows()] == order
        assert page.selected()[0].id == due[at + 1]


@pytest.mark.parametrize("key", ["Ctrl+2", "Return"])
def test_m_right_behind_b_stays_in_the_month(live_in: LiveIn, key: str) -> None:
    """The board that was asked for first comes later, and is not shown; the last wish holds."""
    hands = live_in()
    hands.press("Ctrl+2", key)
    for wish in ("B", "M", "Right"):
        hands.hit(wish)
    hands.settle()

    page = page_of(hands)
    assert not page.is_board
    assert not page.month.is_day_open
    assert page.month.table.day == THURSDAY + timedelta(days=1)
    hands.window.session.refresh()  # type: ignore[union-attr]
    hands.settle()
    assert not page.is_board
    hands.press("Ctrl+2", "B")
    assert page.is_board


def test_b_right_behind_m_stays_on_the_board(live_in: LiveIn) -> None:
    """The other way round as well."""
    hands = live_in()
    hands.press("Ctrl+2", "B")
    for wish in ("M", "B"):
        hands.hit(wish)
    hands.settle()

    assert page_of(hands).is_board
