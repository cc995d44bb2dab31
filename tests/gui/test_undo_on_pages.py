"""Undo on a page of setting down: what was done elsewhere is named before it is taken back."""

from __future__ import annotations

import pytest

from tankkeeper.core.turns import State
from tests.gui.conftest import LiveIn
from tests.gui.first_house import first_page
from tests.gui.round_house import Hands

NAMED = "Nothing to undo on this page. Ctrl+Z again undoes: Ticked Wipe the lamp (Nook)."
UNDONE = "Undone: Ticked Wipe the lamp (Nook)."


def tick(hands: Hands, chore: str) -> None:
    """Tick a chore of the round by its key."""
    hands.go_to(chore)
    hands.press("Space")


@pytest.mark.parametrize("page", ["F2", "F3", "Ctrl+,", "Ctrl+Shift+N"])
def test_undo_on_an_untouched_page_first_names_what_was_done_elsewhere(
    live_in: LiveIn, page: str
) -> None:
    """The second press takes it back, and redo brings it again."""
    hands = live_in()
    tick(hands, "lamp")
    hands.press(page, "Ctrl+Z")

    assert hands.told == NAMED
    assert len(hands.log()) == 1
    hands.press("Ctrl+Z")
    assert hands.told == UNDONE
    assert len(hands.log()) == 2
    hands.press("Ctrl+Y")
    assert hands.told == "Done again: Ticked Wipe the lamp (Nook)."
    hands.press("Esc")
    assert hands.state("lamp") is State.DONE


def test_each_deed_done_elsewhere_is_named_in_its_turn(live_in: LiveIn) -> None:
    """Pressing on takes back no more than was told."""
    hands = live_in()
    tick(hands, "lamp")
    tick(hands, "wipe")
    hands.press("F2", "Ctrl+Z", "Ctrl+Z")
    assert hands.told == "Undone: Ticked Wipe the lid (Reef)."

    hands.press("Ctrl+Z")

    assert hands.told == NAMED
    assert len(hands.log()) == 3


def test_what_was_kept_on_the_page_is_undone_at_once(live_in: LiveIn) -> None:
    """Only what lies before the page is named first."""
    hands = live_in()
    tick(hands, "lamp")
    hands.press("Ctrl+Down", "F2")
    hands.hit("Ctrl+A")
    hands.type("Reefs")
    hands.press("Ctrl+Return", "Ctrl+Z")

    assert hands.told == "Undone: Changed the tank Reefs."
    hands.press("Ctrl+Z")
    assert hands.told == NAMED


def test_typing_between_lets_what_was_done_elsewhere_be_named_again(live_in: LiveIn) -> None:
    """The first press afterwards is for what is typed, the second names, the third takes back."""
    hands = live_in()
    tick(hands, "lamp")
    hands.press("F2", "Ctrl+Z")
    hands.type("x")
    hands.press("Ctrl+Z")
    assert len(hands.log()) == 1
    assert not hands.window.morning._settling.tank.sheet.is_changed
    hands.press("Ctrl+Z")
    assert hands.told == NAMED
    hands.press("Ctrl+Z")
    assert hands.told == UNDONE


def test_what_a_window_before_wrote_is_named_too(live_in: LiveIn) -> None:
    """In a window in which nothing was done yet undo reaches the newest entry of today."""
    hands = live_in()
    tick(hands, "lamp")
    hands.close()
    hands = live_in(is_there=True)
    hands.press("F2", "Ctrl+Z")

    assert hands.told.startswith("Nothing to undo on this page. Ctrl+Z again undoes: ")
    assert "Wipe the lamp" in hands.told
    assert len(hands.log()) == 1
    hands.press("Ctrl+Z")
    assert len(hands.log()) == 2


def test_where_nothing_was_ever_written_undo_on_a_page_says_so(live_in: LiveIn) -> None:
    """There is nothing to name."""
    hands = live_in()
    hands.press("F2", "Ctrl+Z")
    assert hands.told == "Nothing stands in the logbook that could be undone."


def test_what_is_kept_of_a_chore_says_of_which_tank(live_in: LiveIn) -> None:
    """Undone from anywhere, the sentence names the tank."""
    hands = live_in()
    hands.go_to("lamp")
    hands.press("F3", "Return")
    hands.hit("Ctrl+A")
    hands.type("Dust")
    hands.press("Ctrl+Return")
    assert hands.told == "Changed the chore Dust (Nook)."
    hands.press("Ctrl+1", "Ctrl+Z")
    assert hands.told == "Undone: Changed the chore Dust (Nook)."


def test_return_goes_on_to_the_next_question_of_a_new_tank(live_in: LiveIn) -> None:
    """As Tab does, to the proposals at the end; the page is kept by Ctrl and Return."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    asked = first_page(hands.window).asked
    assert hands.focus() is asked.name.field
    hands.type("Bay")
    hands.press("Return")
    assert hands.focus() is asked.room.field
    hands.press("Enter")
    assert hands.focus() is asked.shape
    hands.press("Return")
    assert hands.focus() is asked.stage
    hands.press("Return")
    assert hands.focus() is asked.measures.fields[0].field
    assert hands.log() == []
