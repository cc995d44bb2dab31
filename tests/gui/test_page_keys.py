"""The key of a page of setting down that is open already leads to the beginning of the page."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QLineEdit

from tankkeeper.gui.settling import Settling
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands
from tests.gui.setting_hands import go


def settling(hands: Hands) -> Settling:
    """Return the pages of setting down."""
    assert hands.window.morning is not None
    assert hands.window.morning.settling is not None
    return hands.window.morning.settling


@pytest.mark.parametrize("key", ["F2", "Ctrl+,"])
def test_the_key_of_a_page_leads_from_its_last_field_to_its_first(
    live_in: LiveIn, key: str
) -> None:
    """What is typed next takes the place of what stands there; Esc leaves the page."""
    hands = live_in()
    hands.press("Ctrl+Down", key)
    desk = settling(hands).tank if key == "F2" else settling(hands).house
    assert desk is not None
    assert desk.sheet is not None
    first = hands.focus()
    hands.press("Ctrl+PgDown", "Ctrl+PgDown")
    assert hands.focus() is not first

    hands.press(key)

    assert desk.is_open
    assert hands.focus() is first
    assert isinstance(first, QLineEdit)
    assert first.selectedText() == first.text() == desk.sheet.base.name
    hands.press("Esc")
    assert not desk.is_open
    assert hands.log() == []


@pytest.mark.parametrize(("key", "path"), [("F2", "shape.length_cm"), ("Ctrl+,", "currency")])
def test_what_was_typed_stays_where_the_key_leads_to_the_first_field(
    live_in: LiveIn, key: str, path: str
) -> None:
    """Nothing is kept by it and nothing is lost, and no letter takes the place of the name."""
    hands = live_in()
    hands.press("Ctrl+Down", key)
    desk = settling(hands).tank if key == "F2" else settling(hands).house
    assert desk is not None
    assert desk.sheet is not None
    go(hands, desk, path)
    hands.hit("Ctrl+A")
    hands.type("XTS")

    hands.press(key)

    assert desk.sheet.fields[path].standing == "XTS"
    assert desk.sheet.fields["name"].isAncestorOf(hands.focus())
    assert desk.is_changed
    assert hands.log() == []


def test_the_key_of_the_settings_leads_back_to_their_first_part(live_in: LiveIn) -> None:
    """From a list and from one of its things, which is kept as when another part is chosen."""
    hands = live_in()
    hands.press("Ctrl+,")
    house = settling(hands).house
    assert house is not None
    hands.press("Esc")
    for keys in ((), ("Return",)):
        hands.press("Ctrl+,")
        house.page.buttons["people"].setFocus()
        hands.press("Space", *keys)
        assert house.part_id == "people"
        if house.sheet is not None:
            hands.type("Ida")

        hands.press("Ctrl+,")

        assert house.part_id == "settings"
        assert house.sheet is not None
        assert house.sheet.fields["name"].isAncestorOf(hands.focus())
        hands.press("Esc")
    household = hands.window.session.household if hands.window.session is not None else None
    assert household is not None
    assert [one.name for one in household.people] == ["Ida", "Bo"]


def test_what_cannot_be_kept_holds_the_key_back_at_its_field(live_in: LiveIn) -> None:
    """As when another part is chosen: the keys stand where the fault is."""
    hands = live_in()
    hands.press("Ctrl+,")
    house = settling(hands).house
    assert house is not None
    house.page.buttons["rooms"].setFocus()
    hands.press("Space", "Return")
    assert house.sheet is not None
    go(hands, house, "warmth.0")
    hands.type("abc")

    hands.press("Ctrl+,")

    assert house.part_id == "rooms"
    assert house.sheet.fields["warmth.0"].isAncestorOf(hands.focus())
    assert house.sheet.fields["warmth.0"].standing == "abc"
