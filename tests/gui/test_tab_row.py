"""The parts of a page are one stop for Tab; the arrow keys go along them."""

from __future__ import annotations

from datetime import time

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tankkeeper.gui.pages.settle_page import SettlePage
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.services.reminder_habits import Habits
from tests.gui.conftest import LiveIn, Remind, Wear
from tests.gui.round_house import Hands, small_house
from tests.gui.setting_hands import go
from tests.gui.test_house_page import house, open_house, write
from tests.gui.test_short_window import opened

LAST = "equipment"


def _back(hands: Hands) -> None:
    QTest.keyClick(hands.focus(), Qt.Key.Key_Backtab, Qt.KeyboardModifier.ShiftModifier)


def test_tab_stops_once_at_the_parts_and_there_at_the_chosen_one(live_in: LiveIn) -> None:
    """Backwards from the first field, and forwards again into it."""
    hands = live_in()
    desk = open_house(hands)
    name = hands.focus()
    _back(hands)
    assert hands.focus() is desk.page.buttons["settings"]
    hands.hit("Tab")
    assert hands.focus() is name
    _back(hands)
    _back(hands)
    assert hands.focus() not in list(desk.page.buttons.values())


def test_the_arrow_keys_go_round_and_choose_nothing(live_in: LiveIn) -> None:
    """Home and End go to the ends; Space chooses; leaving goes back to the chosen one."""
    hands = live_in()
    desk = open_house(hands)
    buttons = desk.page.buttons
    _back(hands)
    hands.hit("Left")
    assert hands.focus() is buttons[LAST]
    hands.hit("Right")
    assert hands.focus() is buttons["settings"]
    hands.hit("End")
    assert hands.focus() is buttons[LAST]
    hands.hit("Home")
    assert hands.focus() is buttons["settings"]
    hands.hit("Right")
    hands.hit("Right")
    assert hands.focus() is buttons["people"]
    assert desk.sheet is not None
    hands.hit("Tab")
    assert desk.sheet.fields["name"].isAncestorOf(hands.focus())
    _back(hands)
    assert hands.focus() is buttons["settings"]
    hands.hit("Right")
    hands.hit("Right")
    hands.press("Space")
    assert buttons["people"].isChecked()
    assert hands.focus() is desk.list
    assert desk.list.currentRow() == 0
    _back(hands)
    assert hands.focus() is buttons["people"]


def test_where_nothing_is_listed_yet_the_keys_are_on_what_adds(live_in: LiveIn) -> None:
    """An empty list would hide them."""
    hands = live_in()
    desk = open_house(hands, "supplies")
    assert hands.focus() is desk.page.buttons["new"]


def test_the_page_names_the_keys_for_type_and_colours(live_in: LiveIn) -> None:
    """In one quiet line; the keys are those of the table."""
    hands = live_in()
    desk = open_house(hands)
    told = desk.page.sentence.text()
    for command in (
        Command.LARGER,
        Command.SMALLER,
        Command.LIGHT_OR_DARK,
        Command.HIGH_CONTRAST,
    ):
        assert key_caption(command) in told


@pytest.mark.parametrize(
    ("text", "litres"),
    [("190", 190.0), ("8 L/h", 192.0), ("8/h", 192.0), ("8 per hour", 192.0), ("2,5 l / d", 2.5)],
)
def test_fresh_water_may_be_rated_by_the_hour(live_in: LiveIn, text: str, litres: float) -> None:
    """What is kept is the day's, and that is what is shown from then on."""
    hands = live_in()
    desk = open_house(hands, "water")
    write(hands, desk, "litres_per_day_rated", text)
    hands.press("Ctrl+Return")
    supply = house(hands).water_supply
    assert supply is not None
    assert supply.litres_per_day_rated == pytest.approx(litres)
    hands.press("Esc")
    desk = open_house(hands, "water")
    field = desk.sheet.fields["litres_per_day_rated"].typed
    assert float(field.text) == pytest.approx(litres)


def test_an_impossible_rate_is_refused_by_name(live_in: LiveIn) -> None:
    """A day's water has a limit, however it was written."""
    hands = live_in()
    desk = open_house(hands, "water")
    for text in ("99999 L/h", "8 L/week", "x/h"):
        write(hands, desk, "litres_per_day_rated", text)
        hands.press("Ctrl+Return")
        assert desk.sheet.fields["litres_per_day_rated"].fault
    assert house(hands).water_supply is None


def test_one_hour_fills_all_seven_mornings(remind: Remind) -> None:
    """And one that differs afterwards leaves no hour for every day."""
    one = remind(small_house(), habits=Habits())
    desk = open_house(one.hands, "reminders")
    fields = desk.sheet.fields
    assert fields["every_day"].typed.text == "07:00"
    write(one.hands, desk, "every_day", "7:30")
    assert [fields[f"mornings.{at}"].typed.text for at in range(7)] == ["07:30"] * 7
    write(one.hands, desk, "mornings.6", "9")
    assert fields["every_day"].typed.text == ""
    one.hands.press("Ctrl+Return")
    assert one.kept[-1].mornings == (*[time(7, 30)] * 6, time(9))


def test_an_emptied_hour_for_every_day_takes_none_away(remind: Remind) -> None:
    """A day without a summary is chosen at that day."""
    one = remind(small_house(), habits=Habits())
    desk = open_house(one.hands, "reminders")
    go(one.hands, desk, "every_day")
    one.hands.hit("Delete")
    one.hands.press("Ctrl+Return")
    assert all(kept == Habits() for kept in one.kept)


@pytest.mark.parametrize("size", [(1000, 800), (1280, 700)])
def test_the_parts_stand_in_one_row_that_moves_where_room_is_short(
    remind: Remind, wear: Wear, size: tuple[int, int]
) -> None:
    """At double type the form keeps its room, and the part in hand is seen whole."""
    wear(Scheme.LIGHT, 200)
    hands = opened(remind, size, "pump1", "pump2", "pump").hands
    hands.press("Ctrl+,")
    morning = hands.window.morning
    assert morning is not None
    page = hands.frame.stack.currentWidget()
    assert isinstance(page, SettlePage)
    tabs = page._parts.tabs
    assert len({tab.y() for tab in tabs}) == 1
    assert page.body.height() >= 100

    _back(hands)
    for _ in tabs:
        hands.hit("Right")
        here = hands.focus()
        assert page._parts.rect().contains(here.geometry())

    hands.press("Space")
    wear(Scheme.LIGHT, 100)
    hands.settle()
    assert all(page._parts.rect().contains(tab.geometry()) for tab in tabs)
