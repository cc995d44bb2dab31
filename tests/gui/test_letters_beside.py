"""Letters typed beside the lines of the round and the calendar: they begin to find there, too."""

from __future__ import annotations

from datetime import time

import pytest
from PySide6.QtWidgets import QAbstractButton, QWidget

from tankkeeper.core.turns import State
from tankkeeper.gui.finding import FindDesk
from tankkeeper.gui.shortcuts import Command
from tankkeeper.gui.widgets.notice_bar import NoticeBar
from tests.builders import an_entry
from tests.gui.calendar_hands import month_of, page_of
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands
from tests.gui.test_find import house
from tests.gui.test_word_begun import Fingers

VIEWS = ["Ctrl+1", "Ctrl+2"]


def _desk(hands: Hands) -> FindDesk:
    assert hands.window.morning is not None
    assert hands.window.morning.finders is not None
    desk = hands.window.morning.finders.here
    assert desk is not None
    return desk


def _found(hands: Hands) -> str | None:
    assert hands.window.morning is not None
    finders = hands.window.morning.finders
    desk = None if finders is None else finders.here
    return desk.bar.text if desk is not None and desk.is_open else None


def _button_of_why(hands: Hands, text: str) -> QAbstractButton:
    buttons = hands.frame.why.findChildren(QAbstractButton)
    return next(one for one in buttons if one.text() == text and one.isVisible())


def _is_in_why(hands: Hands) -> bool:
    return hands.frame.why.isAncestorOf(hands.focus())


@pytest.mark.parametrize("is_settled", [False, True])
@pytest.mark.parametrize("view", VIEWS)
def test_a_word_that_is_typed_in_the_why_panel_is_found(
    live_in: LiveIn, view: str, is_settled: bool
) -> None:
    """All of it, with its space; Escape leads back into the panel."""
    hands = live_in(house())
    hands.press(view, "F1")
    assert _is_in_why(hands)

    for letter in "top off":
        hands.type(letter)
        if is_settled:
            hands.settle()
    hands.settle()

    assert _found(hands) == "top off"
    hands.press("Esc")
    assert _found(hands) is None
    assert _is_in_why(hands)
    assert hands.log() == []


def test_a_word_that_is_typed_on_a_button_of_the_panel_is_found(live_in: LiveIn) -> None:
    """The space in it presses nothing."""
    hands = live_in(house())
    hands.go_to("floss")
    hands.settle()
    _button_of_why(hands, "Tick").setFocus()

    hands.type("top off")
    hands.settle()

    assert _found(hands) == "top off"
    assert hands.current() == "fill"
    hands.press("Esc")
    assert _is_in_why(hands)
    assert hands.current() == "floss"
    assert hands.log() == []


def test_a_letter_under_a_button_of_the_panel_still_acts_there(live_in: LiveIn) -> None:
    """Alone it is the command that the button names."""
    hands = live_in(house())
    hands.go_to("floss")
    hands.press("F1", "S")

    assert _found(hands) is None
    assert hands.state("floss") is State.SKIPPED


@pytest.mark.parametrize("is_settled", [False, True])
@pytest.mark.parametrize("word", ["salt", "yearly", "pebble"])
def test_a_word_that_begins_with_a_letter_under_a_button_is_found(
    live_in: LiveIn, word: str, is_settled: bool
) -> None:
    """What the letter did is taken back, as in a list, and Escape leads back into the panel."""
    hands = live_in(house())
    fingers = Fingers(hands)
    hands.go_to("floss")
    hands.press("F1")

    (fingers.write if is_settled else fingers.type)(word)
    # Keys that a form gets late were pressed when they were pressed.
    fingers._after_s = 0.1
    hands.settle()
    fingers._after_s = None

    assert _found(hands) == word
    assert not hands.has_form()
    hands.press("Esc")
    assert hands.state("floss") is not State.SKIPPED
    assert hands.row("floss").item.is_open
    assert hands.current() == "floss"
    assert _is_in_why(hands)


def test_p_in_the_panel_begins_a_word_on_the_board_as_well(live_in: LiveIn) -> None:
    """There it opens the list of days, where in the board it takes hold of the turn."""
    hands = live_in(house())
    hands.press("Ctrl+2", "B")
    page = page_of(hands)
    row = next(one for one in page.rows() if one.item.chore.id == "wipe")
    assert page.show_row(row.id)
    hands.press("F1")

    Fingers(hands).write("pebble")

    assert not hands.has_form()
    assert _found(hands) == "pebble"
    hands.press("Esc")
    assert _is_in_why(hands)
    assert not page.is_carrying


def test_what_is_carried_on_the_board_stays_in_hand_while_something_is_found(
    live_in: LiveIn,
) -> None:
    """Typed in the panel, as in the board itself."""
    hands = live_in(house())
    hands.press("Ctrl+2", "B")
    page = page_of(hands)
    row = next(one for one in page.rows() if one.item.chore.id == "wipe")
    assert page.show_row(row.id)
    hands.press("P", "F1")

    hands.type("top")
    hands.press("Esc")

    assert page.is_carrying
    assert _is_in_why(hands)


def test_the_panel_stays_open_as_a_drawer_while_something_is_found(live_in: LiveIn) -> None:
    """The field stands beside it, and Escape leads back into it."""
    hands = live_in(house())
    hands.window.shell.resize(900, 700)
    hands.settle()
    hands.go_to("floss")
    hands.press("F1")
    assert hands.frame.metrics.why_is_drawer

    hands.type("top off")
    hands.settle()
    field = _desk(hands).bar.field
    right = field.mapTo(hands.frame, field.rect().topRight()).x()
    assert right < hands.frame.why.mapTo(hands.frame, hands.frame.why.rect().topLeft()).x()
    hands.press("Esc")

    assert _is_in_why(hands)
    assert hands.current() == "floss"


@pytest.mark.parametrize("word", ["top off", "salt", "pebble"])
def test_a_chore_that_was_found_is_told_of_again_after_another_search(
    live_in: LiveIn, word: str
) -> None:
    """It has no line in the page, so that the panel has the keys; Escape leads back to that."""
    hands = live_in(house())
    hands.press("Ctrl+F")
    hands.type("order")
    hands.press("Return")
    assert hands.why.title == "Order salt"
    assert _is_in_why(hands)

    Fingers(hands).write(word)
    assert _found(hands) == word
    hands.press("Esc")

    assert hands.why.title == "Order salt"
    assert _is_in_why(hands)
    assert not hands.has_form()
    # What S did is taken back.
    assert [type(one.entry.fact).__name__ for one in hands.log()] == (
        ["Revoke", "Skip"] if word == "salt" else []
    )


@pytest.mark.parametrize("view", VIEWS)
def test_a_word_that_is_typed_in_the_rail_is_found(live_in: LiveIn, view: str) -> None:
    """Letters that are keys in the list are none there, and no tank is chosen by them."""
    hands = live_in(house())
    hands.press(view)
    hands.frame.rail.setFocus()

    hands.type("siphon the")
    hands.settle()

    assert _found(hands) == "siphon the"
    assert hands.frame.rail.chosen_id is None
    hands.press("Esc")
    assert hands.frame.rail.hasFocus()
    assert hands.log() == []


def test_the_name_of_a_tank_leads_to_it_from_the_rail(live_in: LiveIn) -> None:
    """Its chores come first where the list has the keys; here it is the tank that is meant."""
    hands = live_in(house())
    hands.frame.rail.setFocus()

    hands.type("nook")
    hands.press("Return")

    assert hands.frame.rail.chosen_id == "nook"
    assert hands.list.hasFocus()


@pytest.mark.parametrize("key", ["Ctrl+6", "F2"])
def test_the_rail_keeps_its_letters_where_nothing_is_found_by_them(
    live_in: LiveIn, key: str
) -> None:
    """Beside the logbook, and beside a page of setting down, they go to a tank by its name."""
    hands = live_in(house())
    hands.press(key)
    hands.frame.rail.setFocus()

    hands.press("N")

    assert hands.frame.rail.chosen_id == "nook"
    assert _found(hands) is None


def _head_button(hands: Hands, command: Command) -> QWidget:
    head = page_of(hands).head
    found = head.findChild(QWidget, command.value)
    assert isinstance(found, QWidget)
    return found


@pytest.mark.parametrize("command", [Command.TODAY, Command.BOARD])
def test_a_word_that_is_typed_at_the_head_of_the_calendar_is_found(
    live_in: LiveIn, command: Command
) -> None:
    """S skips nothing there, and the space presses no button."""
    hands = live_in(house())
    hands.press("Ctrl+2")
    button = _head_button(hands, command)
    button.setFocus()

    hands.type("siphon the")
    hands.settle()

    assert _found(hands) == "siphon the"
    assert not page_of(hands).is_board
    hands.press("Esc")
    assert hands.focus() is button


def test_m_and_b_still_act_at_the_head_of_the_calendar(live_in: LiveIn) -> None:
    """Alone they show the month and the board."""
    hands = live_in(house())
    hands.press("Ctrl+2")
    _head_button(hands, Command.MONTH).setFocus()

    hands.press("B")
    assert page_of(hands).is_board
    hands.press("M")
    assert not page_of(hands).is_board
    assert _found(hands) is None


@pytest.mark.parametrize("is_settled", [False, True])
@pytest.mark.parametrize("word", ["bucket", "monday", "outlet"])
def test_a_word_that_begins_with_a_key_of_the_calendar_is_found_at_its_head(
    live_in: LiveIn, word: str, is_settled: bool
) -> None:
    """The month stays where it was, and Escape leads back to the button."""
    hands = live_in(house())
    fingers = Fingers(hands)
    hands.press("Ctrl+2", "Right")
    day = month_of(hands).day
    button = _head_button(hands, Command.MONTH)
    button.setFocus()

    (fingers.write if is_settled else fingers.type)(word)
    hands.settle()

    assert _found(hands) == word
    assert not page_of(hands).is_board
    assert month_of(hands).day == day
    hands.press("Esc")
    assert hands.focus() is button


def test_letters_on_the_buttons_of_the_top_line_and_of_the_bar_begin_to_find(
    live_in: LiveIn,
) -> None:
    """Wherever the keys are on the round; those on the bar replace what stands in it."""
    hands = live_in(house())
    hands.frame.top.views.setFocus()
    hands.type("top off")
    hands.settle()
    assert _found(hands) == "top off"

    _desk(hands).bar.close_button.setFocus()
    hands.type("floss")
    hands.settle()

    assert _found(hands) == "floss"
    assert hands.current() == "floss"
    hands.press("Esc")
    assert hands.frame.top.views.hasFocus()


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("word", ["top off", "monday", "outlet", "water"])
def test_a_word_that_is_typed_on_a_button_of_a_notice_is_found(
    live_in: LiveIn, view: str, word: str
) -> None:
    """In the calendar some of its letters are keys all over the page."""
    before = an_entry(1, "2026-03-08", done="glass", at=time(19, 30))
    hands = live_in(house(), entries=(before,))
    hands.press(view)
    bar = next(one for one in hands.frame.findChildren(NoticeBar) if one.isVisible())
    button = next(one for one in bar.findChildren(QAbstractButton) if one.isVisible())
    button.setFocus()
    fingers = Fingers(hands)

    fingers.write(word)
    hands.settle()

    assert _found(hands) == word
    assert not hands.has_form()
    hands.press("Esc")
    assert hands.focus() is button
