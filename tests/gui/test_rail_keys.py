"""Keys of the view while the rail has the keys: they act, or it is said where they do."""

from __future__ import annotations

import pytest

from tankkeeper.gui.forms.note_form import NoteForm
from tankkeeper.gui.rail_keys import NOT_HERE
from tankkeeper.gui.shortcuts import Command, key_caption
from tests.gui.conftest import LiveIn
from tests.gui.setting_hands import go
from tests.gui.test_tank_page import open_page, tanks


def test_the_key_that_keeps_a_page_acts_from_the_rail(live_in: LiveIn) -> None:
    """The page stands beside the rail with what was typed; where the keys are is not looked at."""
    hands = live_in()
    page = open_page(hands)
    go(hands, page, "shape.water_depth_cm")
    hands.hit("Ctrl+A")
    hands.type("30")
    hands.frame.rail.setFocus()

    hands.press("Ctrl+Return")

    assert tanks(hands)["reef"].shape.water_depth_cm == 30.0
    assert page.is_open
    hands.frame.rail.setFocus()
    hands.press("Esc")
    assert not page.is_open


@pytest.mark.parametrize("key", ["Return", "Enter"])
def test_return_goes_on_from_the_rail_into_the_list(live_in: LiveIn, key: str) -> None:
    """The tank is chosen by then; nothing is ticked by the key that leads there."""
    hands = live_in()
    hands.frame.rail.setFocus()
    hands.press("Down", key)

    assert hands.list.hasFocus()
    assert not hands.has_form()
    assert hands.frame.rail.chosen_id == "reef"


def test_a_key_that_ticks_says_in_the_rail_where_it_acts(live_in: LiveIn) -> None:
    """It ticks nothing that is not in hand; in the logbook nothing is taken back."""
    hands = live_in()
    before = len(hands.log())
    hands.frame.rail.setFocus()
    hands.press("Space")
    assert hands.told == NOT_HERE
    assert len(hands.log()) == before


def test_a_key_of_the_logbook_acts_from_the_rail_unless_it_takes_back(live_in: LiveIn) -> None:
    """A key with Ctrl has no other meaning there; an entry out of sight is not taken back."""
    hands = live_in()
    hands.press("Space", "Ctrl+6")
    written = len(hands.log())
    hands.frame.rail.setFocus()
    hands.press("Del")
    assert hands.told == NOT_HERE
    assert len(hands.log()) == written

    hands.press("Ctrl+M")

    assert isinstance(hands.form(), NoteForm)


def test_the_rail_marks_the_tank_that_a_page_is_about(live_in: LiveIn) -> None:
    """The whole house stays chosen for the round; Ctrl+Down goes on to the tank below."""
    hands = live_in()
    rail = hands.frame.rail
    hands.go_to("lamp")
    cards = {card.id: card for card in rail.cards}

    def marked() -> list[str | None]:
        return [
            one
            for one, card in cards.items()
            if rail.is_shown_chosen(card, is_chosen=one == rail.chosen_id)
        ]

    assert marked() == [None]
    for key in (key_caption(Command.CHORES), key_caption(Command.TANK)):
        hands.press(key)
        assert marked() == ["nook"]
        assert rail.chosen_id is None
        hands.press("Esc")
        hands.settle()
        assert marked() == [None]
