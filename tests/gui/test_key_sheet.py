"""The sheet of keys by the keys alone: it scrolls wherever the focus stands in it."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QScrollArea

from tankkeeper.gui.forms.key_sheet import KeySheet
from tankkeeper.gui.widgets.buttons import Button
from tests.gui.conftest import LiveIn


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
