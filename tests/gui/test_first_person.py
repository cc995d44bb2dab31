"""The first person that a household gets is who is at the window; nobody else is chosen so."""

from __future__ import annotations

from dataclasses import replace

from tankkeeper.core.household import Person
from tankkeeper.gui.top_line import NOBODY
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, small_house
from tests.gui.test_house_page import house, new, open_house, write

AT_WINDOW = "What is done in this window from now on is by {}."


def add(hands: Hands, name: str) -> None:
    """Add a person on the page of the household, which stays open."""
    desk = open_house(hands, "people")
    new(hands, desk)
    write(hands, desk, "name", name)
    hands.press("Ctrl+Return")


def at_window(hands: Hands) -> str:
    """Return who is at the window, as the top right tells it."""
    return hands.frame.top.person.accessibleName().removesuffix(", who minds the tanks")


def test_the_first_person_is_at_the_window(live_in: LiveIn) -> None:
    """The foot says so, and the first tick has the name."""
    hands = live_in(replace(small_house(), people=()))
    assert at_window(hands) == NOBODY

    add(hands, "Ada")

    assert hands.told == f"Added the person Ada. {AT_WINDOW.format('Ada')}"
    assert at_window(hands) == "Ada"
    hands.press("Esc")
    hands.go_to("wipe")
    hands.press("Space")
    assert hands.log()[0].entry.by == house(hands).people[0].id


def test_an_undo_takes_it_back_with_the_adding(live_in: LiveIn) -> None:
    """What is done then is by nobody, and once it is done again by the first person again."""
    hands = live_in(replace(small_house(), people=()))
    add(hands, "Ada")

    hands.press("Ctrl+Z")
    assert at_window(hands) == NOBODY
    assert hands.window.session.person_id is None
    assert hands.told == "Undone: Added the person Ada."
    hands.press("Ctrl+Shift+Z")

    assert at_window(hands) == "Ada"


def test_a_second_person_changes_nothing(live_in: LiveIn) -> None:
    """Who was there stays at the window, and whoever opens a household of two is asked nothing."""
    hands = live_in(replace(small_house(), people=()))
    add(hands, "Ada")
    hands.press("Esc")

    add(hands, "Bo")

    assert hands.told == "Added the person Bo."
    assert at_window(hands) == "Ada"


def test_one_person_who_was_there_from_the_beginning_is_not_chosen(live_in: LiveIn) -> None:
    """The window was left with nobody named, and opens so; another one is no first person."""
    hands = live_in(small_house(people=(Person("ada", "Ada"),)))
    assert at_window(hands) == NOBODY

    add(hands, "Bo")

    assert at_window(hands) == NOBODY
