"""What is typed in a field with choices chooses among them, and is no key of the window."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox

from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.forms.type_ahead import meant_by
from tankkeeper.gui.widgets.find_bar import FindBar
from tests.gui.conftest import Begin, LiveIn
from tests.gui.first_house import first_page, type_box

NAMES = ("Feeding", "Filter floss", "Note", "Water change", "2 cubes", "What/else?")


def test_a_time_zone_is_typed_on_the_very_first_page(begin: Begin) -> None:
    """With its slash, which would begin to find elsewhere."""
    hands = begin()
    page = first_page(hands.window)
    page.asked.household.zone.setFocus()

    hands.type("Europe/Ber")
    hands.settle()

    assert page.asked.household.zone.currentText() == "Europe/Berlin"
    assert page.asked.household.zone.hasFocus()
    assert page.isVisible()


def test_a_time_zone_of_a_new_household_is_typed(begin: Begin) -> None:
    """No view takes the place of the page, and nothing is found."""
    hands = begin()
    type_box(hands)
    hands.press("Ctrl+Return", "Ctrl+Shift+H")
    page = first_page(hands.window)
    page.asked.household.zone.setFocus()

    hands.type("america/new_y?")
    hands.settle()
    assert page.asked.household.zone.currentText() == "America/New_York"
    hands.press(*["Backspace"] * 6, "b")
    assert page.asked.household.zone.currentText().startswith("America/B")

    assert page.isVisible()
    assert not any(bar.isVisible() for bar in hands.frame.findChildren(FindBar))


@pytest.mark.parametrize(
    ("typed", "current", "meant"),
    [
        ("f", 2, 0),
        ("f", 0, 1),
        ("fi", 0, 1),
        ("fe", 1, 0),
        ("filter f", 0, 1),
        ("ch", 0, 3),
        ("2", 0, 4),
        ("else", 0, 5),
        ("what/", 0, 5),
        ("loss", 0, None),
        ("/", 0, None),
        ("n", 2, 2),
    ],
)
def test_what_begins_so_is_meant_before_what_has_such_a_word(
    typed: str, current: int, meant: int | None
) -> None:
    """A letter goes on to the next; where nothing is called so, nothing is chosen."""
    assert meant_by(typed, NAMES, current) == meant


def test_what_fits_no_choice_leaves_it_as_it_was(live_in: LiveIn) -> None:
    """And opens nothing: figures, the sign of find and that of the keys are typed there, too."""
    hands = live_in()
    hands.press("Ctrl+6")
    choice = next(one for one in hands.frame.findChildren(ChoiceField) if one.isVisible())
    choice.setFocus()
    before = choice.currentIndex()

    hands.press("/", "?", "1")

    assert choice.hasFocus()
    assert choice.currentIndex() == before
    assert not hands.has_form()


def test_a_slow_word_is_one_word_in_the_field_and_in_its_list(live_in: LiveIn) -> None:
    """Each letter is dealt with before the next; Space opens the list only before the first."""
    hands = live_in()
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.what.setFocus()
    chosen: list[int] = []
    form.what.activated.connect(chosen.append)

    hands.press(*"change")
    assert form.what.currentText() == What.WATER_CHANGE.value
    assert chosen
    form.what.setCurrentIndex(0)
    form.tank.setFocus()
    form.what.setFocus()
    hands.press("Space")
    assert form.what.view().isVisible()
    hands.press(*"feed", "Return")

    assert form.what.currentText() == What.FEEDING.value
    assert not form.what.view().isVisible()


def test_every_field_with_choices_is_of_this_kind(live_in: LiveIn) -> None:
    """One that is not would leave signs to the page."""
    hands = live_in()
    hands.press("Ctrl+6", "Ctrl+Shift+N")

    found = hands.frame.findChildren(QComboBox, options=Qt.FindChildOption.FindChildrenRecursively)

    assert len(found) > 4
    assert all(isinstance(one, ChoiceField) for one in found)
