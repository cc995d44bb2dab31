"""Undo on a page of setting down: what was done elsewhere is named before it is taken back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.core.chores import Use
from tankkeeper.core.household import Supply
from tankkeeper.core.turns import State
from tankkeeper.services.settling_tanks import change_tank
from tests.gui.conftest import LiveIn
from tests.gui.first_house import first_page
from tests.gui.round_house import Hands, small_house

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
    assert not hands.window.morning.settling.tank.sheet.is_changed
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


# What was done on another page, or on this one before


def lengthen(hands: Hands, text: str) -> None:
    """Type the length on the page of the tank and keep it."""
    settling = hands.window.morning.settling
    for _ in range(40):
        if settling.tank.sheet.fields["shape.length_cm"].isAncestorOf(hands.focus()):
            break
        hands.hit("Tab")
    hands.hit("Ctrl+A")
    hands.type(text)
    hands.press("Ctrl+Return")


def test_what_was_changed_on_this_very_page_before_is_undone_at_once(live_in: LiveIn) -> None:
    """Left and opened again, it is still the page on which it was done."""
    hands = live_in()
    hands.press("F2")
    lengthen(hands, "70")
    hands.press("Esc", "F2", "Ctrl+Z")
    assert hands.told == "Undone: Changed the tank Reef."


def test_what_was_changed_on_another_page_is_named_first(live_in: LiveIn) -> None:
    """A setting, from the page of a tank that was opened from there; and a tank from its chores."""
    hands = live_in()
    hands.press("Ctrl+,")
    hands.type("Quay 4")
    hands.press("F2", "Ctrl+Z")
    assert hands.told.startswith("Nothing to undo on this page. Ctrl+Z again undoes: ")
    assert hands.window.session.household.name == "Quay 4"
    hands.press("Ctrl+Z")
    assert hands.window.session.household.name == "Quay 3"

    lengthen(hands, "70")
    hands.press("F3", "Ctrl+Z")
    assert hands.told.endswith("Ctrl+Z again undoes: Changed the tank Reef.")
    hands.press("F2", "Ctrl+Z")
    assert hands.told == "Undone: Changed the tank Reef."


def test_what_was_changed_at_another_tank_is_named_first(live_in: LiveIn) -> None:
    """The rail goes on to another tank, whose page is another one."""
    hands = live_in()
    hands.press("Ctrl+Down", "F2")
    lengthen(hands, "70")
    hands.press("Ctrl+Down", "Ctrl+Z")
    assert hands.told.endswith("Ctrl+Z again undoes: Changed the tank Reef.")


# What changes underneath an open page


def go_to_part(hands: Hands, part: str) -> None:
    """Open the page of the household at one of its parts."""
    hands.press("Ctrl+,")
    hands.window.morning.settling.house.page.buttons[part].setFocus()
    hands.press("Space")


def take_out(hands: Hands, part: str) -> None:
    """Take the first thing of a part out, once it was told who uses it."""
    go_to_part(hands, part)
    hands.press("Return")
    hands.window.morning.settling.house.page.buttons["remove"].setFocus()
    hands.press("Space", "Space")


def test_a_room_that_comes_back_stands_on_the_page_of_its_tank(live_in: LiveIn) -> None:
    """Nothing was typed there, so nothing is kept when the page is left."""
    hands = live_in()
    take_out(hands, "rooms")
    hands.press("F2", "Ctrl+Z", "Ctrl+Z")
    assert hands.told == "Undone: Took out hall."
    sheet = hands.window.morning.settling.tank.sheet
    assert sheet.fields["room"].choice.currentText() == "hall"
    assert not sheet.is_changed
    written = len(hands.log())

    hands.press("Esc")

    assert len(hands.log()) == written
    assert hands.window.session.household.tank("reef").room == "hall"


def test_a_room_that_goes_is_offered_no_more(live_in: LiveIn) -> None:
    """Redo takes it out again while the page is open; new ones are offered."""
    hands = live_in()
    take_out(hands, "rooms")
    hands.press("Ctrl+Z", "F2", "Ctrl+Y")
    field = hands.window.morning.settling.tank.sheet.fields["room"]
    names = [field.choice.itemText(at) for at in range(field.choice.count())]
    assert "hall" not in names
    assert field.value is None
    assert not hands.window.morning.settling.tank.sheet.is_changed


def test_a_supply_that_comes_back_stands_on_the_page_of_its_chore(live_in: LiveIn) -> None:
    """The rows of what a chore uses follow, too."""
    floss = Supply("floss", "Floss", "pieces")
    house = small_house(supplies=(floss,))
    chores = tuple(
        replace(one, uses=(Use("floss", 2.0),)) if one.id == "glass" else one
        for one in house.chores
    )
    hands = live_in(replace(house, chores=chores))
    take_out(hands, "supplies")
    hands.press("Esc")
    hands.go_to("glass")
    hands.press("F3", "Return", "Ctrl+Z", "Ctrl+Z")
    assert hands.told == "Undone: Took out Floss."
    desk = hands.window.morning.settling.chores
    assert desk.sheet.fields["uses.0.supply"].choice.currentText() == "Floss"
    assert desk.sheet.fields["uses.0.amount"].value == 2.0
    assert not desk.sheet.is_changed
    written = len(hands.log())
    hands.press("Esc", "Esc")
    assert len(hands.log()) == written


def test_what_is_typed_stays_while_other_fields_follow(live_in: LiveIn) -> None:
    """Another program changes width and length while the length is typed."""
    hands = live_in()
    hands.press("F2")
    sheet = hands.window.morning.settling.tank.sheet
    for _ in range(40):
        if sheet.fields["shape.length_cm"].isAncestorOf(hands.focus()):
            break
        hands.hit("Tab")
    hands.type("75")
    desk = open_desk(hands.path, hands.clock)
    try:
        with desk.store.reading() as reading:
            tank = desk.household(reading).tank("reef")
        shape = replace(tank.shape, width_cm=45.0, length_cm=66.0)
        change_tank(desk, replace(tank, shape=shape), None, tank)
    finally:
        desk.store.close()
    hands.window.session.look()
    hands.settle()

    assert sheet.fields["shape.width_cm"].typed.text == "45"
    assert sheet.fields["shape.length_cm"].typed.text == "75"
    # The first is for the letters typed, the second for the page.
    hands.press("Ctrl+Z", "Ctrl+Z")
    sheet = hands.window.morning.settling.tank.sheet
    assert hands.told == "Put back what stood there before."
    assert sheet.fields["shape.length_cm"].typed.text == "66"
    assert not sheet.is_changed


def test_who_uses_a_thing_is_named_before_it_is_taken_out(live_in: LiveIn) -> None:
    """The second press takes it out, and undo brings it back."""
    hands = live_in()
    go_to_part(hands, "rooms")
    hands.press("Return")
    page = hands.window.morning.settling.house.page
    page.buttons["remove"].setFocus()
    hands.press("Space")
    assert page._notice is not None
    assert hands.window.session.household.rooms
    assert (
        page._notice.label.text()
        == "Reef and Nook stand in it. Take out again does it; Ctrl+Z brings it back."
    )
    hands.press("Space")
    assert hands.told == "Took out hall."
    assert hands.window.session.household.rooms == ()
    hands.press("Ctrl+Z")
    assert hands.window.session.household.tank("nook").room == "hall"
