"""The pages for setting down beside what else happens in the window."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tankkeeper.app.bootstrap import open_desk
from tankkeeper.core.household import Household, Stage
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.services import settling_tanks
from tests.gui.conftest import LiveIn
from tests.gui.first_house import type_box
from tests.gui.round_house import Hands, small_house


def pages(hands: Hands):
    return hands.window.morning.settling


def elsewhere(hands: Hands, stage: Stage) -> None:
    """Change the stage of Reef as another window would."""
    desk = open_desk(hands.path, hands.clock)
    try:
        settling_tanks.set_stage(desk, "reef", stage)
    finally:
        desk.store.close()


def test_a_change_made_elsewhere_appears_on_the_page(live_in: LiveIn) -> None:
    """Another window paused the tank; what is typed here meanwhile does not put it back."""
    hands = live_in()
    hands.press("Ctrl+Down", "F2")
    desk = pages(hands).tank
    elsewhere(hands, Stage.PAUSED)
    hands.window.session.look()
    hands.settle()
    assert desk.page.sentence.text().startswith("The tank is paused.")

    hands.hit("Ctrl+A")
    hands.type("Reefs")
    elsewhere(hands, Stage.CYCLING)
    hands.window.session.look()
    hands.settle()
    hands.press("Esc")

    reef = hands.window.session.household.tanks[0]
    assert (reef.name, reef.stage) == ("Reefs", Stage.CYCLING)


def test_a_tank_that_is_undone_elsewhere_takes_its_page_along(live_in: LiveIn) -> None:
    """The page of a tank that is gone goes back to the round."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    type_box(hands, ("Bay", "59", "39", "40", "36"))
    hands.press("Ctrl+Return", "F2")
    desk = pages(hands).tank
    assert desk.page.title.text() == "Bay"
    assert desk.page.isVisible()
    desk.page.buttons["keep"].setFocus()
    desk.page.buttons["copy"].setFocus()

    hands.press("Ctrl+Z")
    assert hands.told == "Nothing to undo on this page. Ctrl+Z again undoes: Added the tank Bay."
    hands.press("Ctrl+Z")

    assert not desk.page.isVisible()
    assert hands.list.isVisible()


def test_another_household_can_be_opened_over_an_open_page(live_in: LiveIn) -> None:
    """The page goes with its household, after keeping what was typed."""
    hands = live_in()
    hands.press("Ctrl+Down", "F2")
    hands.hit("Ctrl+A")
    hands.type("Reefs")

    hands.window.open(hands.window.doors.sample)
    hands.settle()
    hands.app.processEvents()
    hands.settle()

    assert hands.window.morning is not None
    assert hands.window.session.household.tanks[0].name == "Reefs"
    hands.press("F2")
    assert pages(hands).tank.page.isVisible()


def test_one_page_takes_the_place_of_the_other(live_in: LiveIn) -> None:
    """Tank, its chores, the household: each by its key, one at a time, then back to the round."""
    hands = live_in()
    hands.press("Ctrl+Down", "F2", "F3")
    assert pages(hands).chores.page.isVisible()
    assert not pages(hands).tank.is_open
    hands.press("Ctrl+,")
    assert pages(hands).house.page.isVisible()
    hands.press("F2")
    assert pages(hands).tank.page.isVisible()
    hands.press("Ctrl+2")
    assert not pages(hands).is_open
    hands.press("Ctrl+1")
    assert hands.list.isVisible()
    assert hands.log() == []


def test_a_household_that_can_only_be_read_says_so(live_in: LiveIn, tmp_path: Path) -> None:
    """Nothing typed is written; the page tells why."""
    hands = live_in(small_house())
    hands.press("Ctrl+Down", "F2")
    desk = pages(hands).tank
    store = hands.window.session.desk.store
    object.__setattr__(hands.window.session.last, "is_read_only", True)
    assert store is not None
    hands.hit("Ctrl+A")
    hands.type("Reefs")

    hands.press("Ctrl+Return")

    assert desk.page._notice is not None
    assert hands.log() == []


@pytest.mark.painted
def test_no_view_is_marked_while_a_page_stands_in_its_place(live_in: LiveIn) -> None:
    """A click on the word of the view leads back to it, as its key does."""
    hands = live_in()
    views = hands.frame.top.views
    for key in ("Ctrl+,", "F2", "F3"):
        assert views.marked == 0
        hands.press(key)
        assert views.marked == -1
        seen = views.grab().toImage()
        sea = colours_of(views.palette())[Role.SEA].rgb()
        foot = views.height() - 1
        assert sea not in [seen.pixel(x, foot) for x in range(seen.width())]
        hands.press("Esc")
    assert views.marked == 0

    hands.press("Ctrl+,")
    QTest.mouseClick(views, Qt.MouseButton.LeftButton, pos=views.tabRect(0).center())
    hands.settle()

    assert views.marked == 0
    assert hands.list.isVisible()


def test_a_household_without_tanks_keeps_its_view_marked(live_in: LiveIn) -> None:
    """What stands there can be done about it in every view."""
    hands = live_in(Household("Quay 3", "Europe/Berlin"))
    hands.press("Esc")

    assert hands.frame.top.views.marked == 0
