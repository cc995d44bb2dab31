"""What scrolls is scrolled by its keys wherever the focus stands: sheet of keys, page, form."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QScrollArea

from tankkeeper.gui.forms.key_sheet import KeySheet
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.buttons import Button
from tests.gui.conftest import LiveIn, Wear
from tests.gui.test_sheet_travel import area_of
from tests.gui.test_tank_page import open_page


@pytest.mark.parametrize("at_button", [False, True], ids=["at its keys", "at its button"])
def test_the_sheet_of_keys_is_scrolled_wherever_the_keys_are(
    live_in: LiveIn, at_button: bool
) -> None:
    """By pages, to its end and to its beginning."""
    hands = live_in()
    hands.press("F9")
    sheet = next(one for one in hands.frame.findChildren(KeySheet) if one.isVisible())
    area, close = sheet.findChildren(QScrollArea)[0], sheet.findChildren(Button)[0]
    (close if at_button else area).setFocus()
    bar = area.verticalScrollBar()
    assert bar.maximum() > bar.pageStep()
    assert bar.value() == 0

    for key, place in (
        ("PgDown", bar.pageStep()),
        ("End", bar.maximum()),
        ("PgUp", bar.maximum() - bar.pageStep()),
        ("Home", 0),
    ):
        hands.press(key)
        assert (key, bar.value()) == (key, place)
    assert sheet.isVisible()
    hands.press("Esc")
    assert not [one for one in hands.frame.findChildren(KeySheet) if one.isVisible()]


def test_a_page_of_settings_is_scrolled_from_its_buttons(live_in: LiveIn) -> None:
    """As from its fields; in the row of the parts Home and End go along the row."""
    hands = live_in()
    desk = open_page(hands)
    area = area_of(desk)
    bar = area.verticalScrollBar()
    desk.page.buttons["copy"].setFocus()
    assert bar.maximum() > 0
    hands.press("End")
    assert bar.value() == bar.maximum()
    hands.press("PgUp")
    assert bar.value() == max(0, bar.maximum() - bar.pageStep())
    hands.press("Home")
    assert bar.value() == 0
    assert hands.focus() is desk.page.buttons["copy"]


def test_a_form_that_is_too_high_is_scrolled_from_its_buttons(live_in: LiveIn, wear: Wear) -> None:
    """In the largest type not all readings find room."""
    wear(Scheme.LIGHT, 200)
    hands = live_in()
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.what.setCurrentIndex(form.what.findData(What.READINGS))
    hands.settle()
    bar = form.area.verticalScrollBar()
    assert bar.maximum() > 0
    form.primary.setFocus()
    hands.press("End")
    assert bar.value() == bar.maximum()
    hands.press("Home")
    assert bar.value() == 0
