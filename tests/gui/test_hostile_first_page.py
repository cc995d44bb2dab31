"""What no field expects, typed into every field of the page that asks for a new household."""

from __future__ import annotations

import pytest
from shiboken6 import isValid

from tankkeeper.gui.pages.first_page import FirstPage
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tests.gui.conftest import Begin
from tests.gui.first_house import first_page, type_box
from tests.gui.hostile import third, type_hostile
from tests.gui.round_house import Hands

NAMES = ("Name", "Room", "Household")
SIZES = ("Length", "Width", "Height", "Water up to")
EXTRAS = ("Rock", "Sand", "Water in the sump", "Top-off reservoir")
NUMBERS = (*SIZES, *EXTRAS)


def fields_of(page: FirstPage) -> dict[str, QuantityField]:
    """Return what can be typed into, by the name that a screen reader says."""
    fields = [one for one in page.findChildren(QuantityField) if one.isVisible()]
    return {one.field.accessibleName(): one for one in fields}


def test_no_field_of_the_page_is_left_out(begin: Begin) -> None:
    """A new one belongs into one of the two lists here."""
    page = first_page(begin().window)
    assert {name.split(",")[0] for name in fields_of(page)} == {*NAMES, *NUMBERS}


def answered(hands: Hands, name: str, text: str) -> tuple[QuantityField, str]:
    """Answer all, type a text into one field, accept, and return the field and what stood in it."""
    page = first_page(hands.window)
    type_box(hands)
    (field,) = [one for key, one in fields_of(page).items() if key.split(",")[0] == name]
    field.setFocus()
    type_hostile(hands, text)
    typed = field.text
    assert not text.isprintable() or typed == text
    hands.press("Ctrl+Return")
    return field, typed


@pytest.mark.parametrize("name", NUMBERS)
def test_what_is_no_measure_is_refused_at_its_field(begin: Begin, name: str) -> None:
    """One sentence, the text stays, and no file is made; a length may not be known yet."""
    hands = begin()
    page = first_page(hands.window)
    type_box(hands)
    (field,) = [one for key, one in fields_of(page).items() if key.split(",")[0] == name]
    for text in third(NUMBERS.index(name)):
        field.setFocus()
        type_hostile(hands, text)
        typed = field.text
        assert not text.isprintable() or typed == text
        hands.press("Ctrl+Return")
        assert page.isVisible()
        assert field.fault.endswith("."), (name, text[:40])
        assert field.text == typed
        assert not hands.path.exists()


@pytest.mark.parametrize("name", NAMES)
def test_a_name_is_refused_in_place_or_kept_as_it_was_typed(begin: Begin, name: str) -> None:
    """Signs of all scripts are names, too; what is refused stays in the field."""
    hands = begin()
    kept = 0
    for text in third(NAMES.index(name)):
        page = first_page(hands.window)
        field, typed = answered(hands, name, text)
        if isValid(page):
            assert field.fault.endswith(".") or page.refusal.text().endswith("."), text[:40]
            assert field.text == typed
            hands.press("Ctrl+A", "Delete")
            for one in fields_of(page).values():
                one.set_text("")
            page.asked.household.name.set_text("Home")
            page.asked.room.set_text("Hall")
            page.asked.name.setFocus()
            continue
        kept += 1
        session = hands.window.session
        assert session is not None
        with session.desk.store.reading() as reading:
            household = session.desk.household(reading)
        names = {
            "Name": household.tanks[0].name,
            "Room": household.rooms[0].name,
            "Household": household.name,
        }
        assert names[name] == " ".join(typed.split())
        hands.press("Ctrl+Shift+H")
        assert first_page(hands.window).isVisible()
    assert kept >= 2
