"""Where the keys lead: Tab goes round the first page both ways, arrows go as the boxes stand."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.gui.forms.many_field import ManyField
from tests.gui.conftest import Begin, LiveIn
from tests.gui.first_house import first_page, type_box
from tests.gui.round_house import Hands
from tests.gui.test_house_page import open_house


def ring(hands: Hands, key: str) -> list[QWidget]:
    """Return what the key leads through until it is where it began."""
    start, seen = hands.focus(), []
    for _ in range(60):
        seen.append(hands.focus())
        hands.hit(key)
        if hands.focus() is start:
            return seen
    raise AssertionError(f"{key} does not come round")


def test_tab_goes_round_the_first_page_both_ways(begin: Begin) -> None:
    """From Accept to the ways on, then to the first question, and back the same way."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)
    page.setFocus()
    assert page.asked.name.field.hasFocus()

    on, back = ring(hands, "Tab"), ring(hands, "Shift+Tab")

    assert on == [back[0], *reversed(back[1:])]
    after = on.index(page.accept)
    assert on[after + 1] is page.asked.others[0]
    assert on.index(page.asked.household.zone) == after + len(page.asked.others) + 1


def test_tab_goes_round_the_page_of_a_new_tank_both_ways(live_in: LiveIn) -> None:
    """Back is behind Accept, and the name comes after it."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    type_box(hands)
    page = first_page(hands.window)
    page.setFocus()

    on, back = ring(hands, "Tab"), ring(hands, "Shift+Tab")

    assert on == [back[0], *reversed(back[1:])]
    assert on[-2:] == [page.accept, page.asked.back]


@pytest.mark.parametrize("high", [800, 756, 700])
def test_the_chips_are_seen_whole_when_the_keys_come_to_one(begin: Begin, high: int) -> None:
    """In the usual window, and in one from which a title bar takes some of the height."""
    hands = begin(size=(1280, high))
    type_box(hands)
    page = first_page(hands.window)
    page.setFocus()
    page.asked.community.choice.chips[0].setFocus()
    chips = page.asked.community.choice
    view = page.asked.viewport()

    for key in ("", "Right", "Right", "Right", "Right"):
        if key:
            hands.press(key)
        top = chips.mapTo(view, QPoint(0, 0)).y()
        assert top >= 0
        assert top + chips.height() <= view.height()


def test_arrows_go_through_boxes_as_they_stand(live_in: LiveIn) -> None:
    """Down goes to the box below, and stays in the last row."""
    hands = live_in()
    desk = open_house(hands, "people")
    hands.press("Home", "Return")
    assert desk.sheet is not None
    many = next(
        one.many
        for one in desk.sheet.fields.values()
        if one.many is not None and len({box.y() for box in one.many.boxes}) > 2
    )
    assert isinstance(many, ManyField)
    many.setFocus()
    ticked = many.value
    first = QApplication.focusWidget()
    assert first is not None

    hands.press("Down")
    below = QApplication.focusWidget()
    assert below is not None
    assert below.x() == first.x()
    assert below.y() > first.y()
    hands.press("Up")
    assert QApplication.focusWidget() is first
    hands.press(*["Down"] * 30)
    last = QApplication.focusWidget()
    assert last is not None
    assert last.y() == max(box.y() for box in many.boxes)
    assert many.value == ticked
