"""A long sheet of fields by keys: from group to group, a page on, and on from what is seen."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication, QScrollArea

from tankkeeper.gui.forms.spec_field import SpecField
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.settle_desk import TankDesk
from tankkeeper.gui.shortcuts import Where, sheet
from tests.gui.conftest import LiveIn, Remind, Wear
from tests.gui.round_house import Hands
from tests.gui.test_large_type import with_two_reminders
from tests.gui.test_tank_page import open_page


def field_with_keys(hands: Hands, desk: TankDesk) -> SpecField:
    assert desk.sheet is not None
    return next(one for one in desk.sheet.fields.values() if one.isAncestorOf(hands.focus()))


def area_of(desk: TankDesk) -> QScrollArea:
    area = desk.page.body.currentWidget()
    assert isinstance(area, QScrollArea)
    return area


def is_seen(desk: TankDesk, field: SpecField) -> bool:
    area = area_of(desk)
    top = field.mapTo(area.viewport(), QPoint(0, 0)).y()
    return top >= 0 and top + field.height() <= area.viewport().height()


def test_groups_are_gone_through_by_key_to_the_own_ranges(live_in: LiveIn) -> None:
    """A handful of keys from the name to the own ranges, each stop in view, and back again."""
    hands = live_in()
    desk = open_page(hands)
    stops = []
    for _ in range(12):
        stops.append(field_with_keys(hands, desk).spec.path)
        assert is_seen(desk, field_with_keys(hands, desk))
        hands.press("Ctrl+PgDown")
    path = dict.fromkeys(stops)
    assert "target_salinity" in path
    assert list(path).index("target_salinity") <= 6
    hands.press("Tab", "Tab")
    assert field_with_keys(hands, desk).spec.path == "ranges"
    hands.press("Ctrl+PgUp")
    assert field_with_keys(hands, desk).spec.path == "target_salinity"
    for _ in range(12):
        hands.press("Ctrl+PgUp")
    assert field_with_keys(hands, desk).spec.path == "name"


@pytest.mark.parametrize(
    ("key", "path"), [("Ctrl+PgDown", "name"), ("Ctrl+PgUp", "target_salinity")]
)
def test_groups_are_gone_to_from_the_top_line_too(live_in: LiveIn, key: str, path: str) -> None:
    """Where Tab leads past the last button of the page: to its first group, or its last."""
    hands = live_in()
    desk = open_page(hands)
    top = hands.window.frame.top
    for _ in range(80):
        if top.isAncestorOf(hands.focus()):
            break
        hands.press("Shift+Tab")
    assert top.isAncestorOf(hands.focus())

    hands.press(key)

    assert field_with_keys(hands, desk).spec.path == path


def test_page_down_takes_the_keys_along(live_in: LiveIn) -> None:
    """Tab goes on from what is seen then, and does not jump back."""
    hands = live_in()
    desk = open_page(hands)
    bar = area_of(desk).verticalScrollBar()
    hands.press("PgDown")
    assert bar.value() > 0
    assert is_seen(desk, field_with_keys(hands, desk))
    before = bar.value()
    hands.press("Tab")
    assert bar.value() >= before
    for _ in range(5):
        hands.press("PgDown")
    assert bar.value() == bar.maximum()
    assert field_with_keys(hands, desk).spec.path == "ranges"


def test_tab_goes_on_from_what_the_wheel_brought_into_view(live_in: LiveIn) -> None:
    """The field that had the keys is far above by then."""
    hands = live_in()
    desk = open_page(hands)
    area = area_of(desk)
    for _ in range(12):
        middle = QPointF(area.viewport().rect().center())
        turn = QWheelEvent(
            middle,
            QPointF(area.viewport().mapToGlobal(middle)),
            QPoint(0, 0),
            QPoint(0, -120),
            Qt.MouseButton.NoButton,
            Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QApplication.sendEvent(area.viewport(), turn)
    value = area.verticalScrollBar().value()
    assert value > 0
    hands.press("Tab")
    assert area.verticalScrollBar().value() == value
    assert is_seen(desk, field_with_keys(hands, desk))


@pytest.mark.parametrize("percent", [100, 125, 150])
def test_a_page_opens_with_its_heading_whole_beside_two_reminders(
    remind: Remind, wear: Wear, percent: int
) -> None:
    """As long as heading and field stand in what is left of the page."""
    wear(Scheme.LIGHT, percent)
    hands = with_two_reminders(remind).hands
    desk = open_page(hands)

    assert field_with_keys(hands, desk).spec.path == "name"
    assert area_of(desk).verticalScrollBar().value() == 0


def test_the_sheet_of_keys_tells_of_the_groups() -> None:
    """Beside what keeps a page and what leaves it."""
    assert ("Next group, or part of the page", "Ctrl+PgDown") in sheet()[Where.SETTLING]
