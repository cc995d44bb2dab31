"""No command opens, and no key goes to, what stands behind a page that hides it."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication, QDialog, QWidget

from tankkeeper.gui.forms.standing_over import top_form
from tankkeeper.gui.menu import NO_HOUSEHOLD, NOT_THERE
from tankkeeper.gui.pages.first_page import FirstPage
from tankkeeper.gui.shortcuts import TABLE, Command, Where
from tests.gui.conftest import Begin, LiveIn
from tests.gui.first_house import first_page
from tests.gui.round_house import Hands
from tests.gui.test_new_tank import house, stands

# They end the program, or go to another household.
_ENDING = (Command.QUIT, Command.SAMPLE)
_MOVING = (Command.EARLIER_IN_WALK, Command.LATER_IN_WALK)
_COMMANDS = [
    row for row in TABLE if row.where is Where.WINDOW and row.command not in (*NOT_THERE, *_ENDING)
]


def in_sight(hands: Hands) -> bool:
    """Tell whether what has the keys can be seen, and nothing else than it takes them."""
    here = QApplication.focusWidget()
    popup = QApplication.activePopupWidget()
    if popup is not None:
        # The menu, or the list of a choice that Alt+Down lets down.
        return popup.isVisible()
    if here is None:
        return False
    is_modal = top_form() in (None, here.window())
    return here.isVisible() and is_modal


def put_away(hands: Hands) -> None:
    """Close what a command opened over the window."""
    popup = QApplication.activePopupWidget()
    if popup is not None:
        popup.close()
        hands.settle()
    for one in QApplication.topLevelWidgets():
        if isinstance(one, QDialog) and one.isVisible():
            one.reject()
    hands.settle()


def open_pages(hands: Hands) -> list[QWidget]:
    """Return the pages for setting down that count as open."""
    morning = hands.window.morning
    settling = morning.settling if morning is not None else None
    return [] if settling is None else [one.page for one in settling._desks() if one.is_open]


@pytest.mark.parametrize("begun", [False, True])
def test_no_command_leads_behind_the_page_of_a_new_tank(live_in: LiveIn, begun: bool) -> None:
    """What is open can be seen, the keys are in it, and nothing that exists is renamed."""
    hands = live_in()
    before = house(hands)
    # Every second one on a page that was begun, the others on one that was not.
    for row in _COMMANDS[begun::2]:
        hands.press("Ctrl+Shift+N")
        if begun and not first_page(hands.window).is_begun:
            hands.type("Bay")
        hands.press(row.keys[0])

        assert in_sight(hands), row.command
        assert all(page.isVisible() for page in open_pages(hands)), row.command
        put_away(hands)
        assert in_sight(hands), row.command
        # First a page of another household or of settings, then the find bar, then the new tank.
        hands.press("Esc")
        if stands(hands) or hands.frame.is_covered:
            hands.press("Esc")
        hands.press("Ctrl+1")
        assert open_pages(hands) == [], row.command
        assert hands.list.isVisible(), row.command
        assert house(hands) == before or row.command in _MOVING, row.command
        if begun and row.command is not Command.UNDO:
            hands.press("Ctrl+Shift+N")
            assert first_page(hands.window).asked.name.text == "Bay", row.command
            hands.press("Esc")


def test_the_household_is_not_named_by_what_was_meant_for_a_new_tank(live_in: LiveIn) -> None:
    """The page of the household opens in sight, and the draft of the tank waits."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    hands.type("Bay")
    hands.press("Ctrl+,")
    assert not stands(hands)
    assert hands.window.morning.settling.house.page.isVisible()
    hands.type("x")
    hands.press("Esc", "Ctrl+Shift+N")

    assert house(hands).name == "x"
    assert first_page(hands.window).asked.name.text == "Bay"


def test_after_a_tank_was_opened_from_the_page_of_a_new_one_the_round_has_its_keys(
    live_in: LiveIn,
) -> None:
    """The panel tells of the marked row, and Space ticks it."""
    hands = live_in()
    hands.press("Ctrl+Shift+N", "F2", "Esc", "Ctrl+1")
    hands.go_to("lamp")
    assert hands.why is not None
    hands.press("Space")
    assert len(hands.log()) == 1


def test_a_view_that_is_chosen_over_the_page_of_a_new_tank_has_the_keys(live_in: LiveIn) -> None:
    """The page is left as a draft; the keys act in the view."""
    hands = live_in()
    hands.press("Ctrl+Shift+N", "Ctrl+2")
    assert hands.frame.view_id == "calendar"
    assert in_sight(hands)
    assert hands.frame.stack.currentWidget().isAncestorOf(hands.focus())
    hands.press("Ctrl+1", "Ctrl+Shift+N", "Ctrl+1")
    hands.go_to("lamp")
    hands.press("Space")
    assert len(hands.log()) == 1


@pytest.mark.parametrize(("number", "page"), list(enumerate(["F2", "F3", "Ctrl+,"])))
def test_no_command_leads_behind_a_page_of_setting_down(
    live_in: LiveIn, number: int, page: str
) -> None:
    """What opens takes the place of the page; all are shown alike, so each has a third."""
    hands = live_in()
    for row in _COMMANDS[number::3]:
        hands.press(page, row.keys[0])

        assert in_sight(hands), row.command
        is_seen = all(one.isVisible() for one in open_pages(hands))
        assert hands.frame.is_covered or is_seen, row.command
        put_away(hands)
        assert in_sight(hands), row.command
        hands.press("Esc", "Esc", "Ctrl+1")
        assert open_pages(hands) == [], row.command


@pytest.mark.parametrize(
    ("number", "opening"),
    [
        (0, ("Ctrl+L",)),
        (1, ("Ctrl+Shift+O",)),
        (2, ("F9",)),
        (3, ("F2", "Ctrl+Shift+C")),
        (4, ("F2", "Ctrl+Shift+T")),
        (5, ("F3", "Tab", "Tab", "Space")),
    ],
    ids=["write-down", "recent", "keys", "copy", "stage", "catalogue"],
)
def test_no_command_leads_behind_a_form(
    live_in: LiveIn, number: int, opening: tuple[str, ...]
) -> None:
    """A form has all keys until it is left; nothing opens beneath it."""
    hands = live_in()
    before = house(hands)
    # All forms are shown alike, so each has a sixth of the commands to itself.
    for row in _COMMANDS[number::6]:
        hands.press(*opening)
        assert top_form() is not None, row.command
        pages = open_pages(hands)
        hands.press(row.keys[0])

        assert in_sight(hands), row.command
        assert open_pages(hands) == pages, row.command
        assert not hands.frame.is_covered, row.command
        put_away(hands)
        put_away(hands)
        assert house(hands) == before, row.command
        assert in_sight(hands), row.command
        hands.press("Ctrl+1")


@pytest.mark.parametrize("key", ["F2", "F3", "Ctrl+,", "Ctrl+L", "Ctrl+F"])
def test_without_a_household_a_command_for_it_is_refused_in_a_sentence(
    begin: Begin, key: str
) -> None:
    """On the page on which the first one begins."""
    hands = begin()
    hands.press(key)
    page = next(one for one in hands.frame.findChildren(FirstPage) if one.isVisible())
    assert page.refusal.text() == NO_HOUSEHOLD
    assert page.refusal.isVisible()
    assert in_sight(hands)
