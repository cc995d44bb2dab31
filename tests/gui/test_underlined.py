"""The underlined letters of the forms: no two alike, and Alt with each goes to its field."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QWidget

from tankkeeper.core.logbook import (
    Dose,
    Fact,
    ReservoirCheck,
    TopOff,
    WaterChange,
    Work,
)
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.underlined import letter_of, underlined
from tests.builders import an_entry
from tests.gui.conftest import LiveIn, Remind
from tests.gui.round_house import Hands, small_house
from tests.gui.test_forms_read import FORMS, living
from tests.gui.test_log_form import house


@given(st.lists(st.text(st.sampled_from("abcNW &"), max_size=6), max_size=8))
def test_no_letter_is_marked_twice(names: list[str]) -> None:
    """Whatever the names are; besides the mark they stay as they were."""
    found = underlined(names)

    letters = [letter_of(one) for one in found if letter_of(one)]
    assert len(letters) == len(set(letters))
    assert [one.replace("&", "") for one in found] == [one.replace("&", "") for one in names]


def test_all_that_can_be_measured_has_a_letter_beside_the_fixed_ones() -> None:
    """A test may ask for every parameter at once."""
    names = [*(one.display for one in PARAMETERS.values()), "W&ho", "&When", "&Note"]

    assert all(letter_of(one) for one in underlined(names))


def _labels(form: Form) -> list[QLabel]:
    return [
        one
        for one in form.findChildren(QLabel)
        if one.isVisible() and one.buddy() is not None and letter_of(one.text().replace("&&", ""))
    ]


def _check(hands: Hands, form: Form) -> int:
    """Press each underlined letter of what is shown, and return how many there are."""
    labels = _labels(form)
    letters = [letter_of(one.text()) for one in labels]
    assert len(set(letters)) == len(letters), letters
    for label, letter in zip(labels, letters, strict=True):
        form.primary.setFocus()
        QTest.keyClick(form, Qt.Key(ord(letter.upper())), Qt.KeyboardModifier.AltModifier)
        hands.app.processEvents()
        assert _field_of(form, label).isAncestorOf(hands.focus()) or (
            _field_of(form, label) is hands.focus()
        ), label.text()
    return len(labels)


def _field_of(form: Form, label: QLabel) -> QWidget:
    row, _role = form.fields.getWidgetPosition(label)  # type: ignore[misc]
    beside = (row, form.fields.ItemRole.FieldRole)
    inside = form.area.widget().findChildren(QWidget)
    return next(one for one in inside if form.fields.getWidgetPosition(one) == beside)


@pytest.mark.parametrize("name", sorted(FORMS))
def test_alt_with_an_underlined_letter_goes_to_its_field(remind: Remind, name: str) -> None:
    """In every form of the window."""
    one = living(remind, name)
    FORMS[name](one)

    _check(one.hands, one.hands.form())

    one.hands.press("Esc")
    one.desk.quit()


@pytest.mark.parametrize("what", list(What))
def test_each_kind_of_writing_down_has_its_letters(live_in: LiveIn, what: What) -> None:
    """What, tank, who and when have theirs everywhere; what is asked has its own."""
    hands = live_in(house())
    hands.press("Ctrl+L")
    form = hands.form()
    form.choose(what)  # type: ignore[attr-defined]
    form.when.ask()  # type: ignore[attr-defined]
    hands.settle()

    assert _check(hands, form) >= 4


@pytest.mark.parametrize("chore_id", ["change", "fill", "test", "wipe"])
def test_each_tick_has_its_letters(live_in: LiveIn, chore_id: str) -> None:
    """Litres, salinity and all that is tested, with or without a letter in common."""
    wide = [
        replace(one, tests=tuple(PARAMETERS)) if one.id == "test" else one
        for one in small_house().chores
    ]
    hands = live_in(small_house(chores=tuple(wide)))
    hands.go_to(chore_id)
    hands.press("Return")

    assert _check(hands, hands.form()) >= 3


@pytest.mark.parametrize(
    "fact",
    [
        TopOff(1.5, to_mark=True),
        WaterChange(9.0, 8.0, 35.0, 25.0),
        ReservoirCheck(left_l=2.0),
        ReservoirCheck(fill_l=2.0),
        Dose("buffer", 5.0),
        Work(litres=2.0, grams=5.0),
    ],
)
def test_each_correction_has_its_letters(live_in: LiveIn, fact: Fact) -> None:
    """Whatever was written down."""
    hands = live_in(house(), entries=(an_entry(1, "2026-03-11", fact, tank="reef"),))
    hands.press("Ctrl+6", "Home", "Return")

    assert _check(hands, hands.form()) >= 3


@pytest.mark.parametrize("choice", ["chore", "person", "kind", "span"])
def test_alt_and_down_opens_a_filter_of_the_logbook(live_in: LiveIn, choice: str) -> None:
    """The tank stays where it is in the walk, and nothing is said about it."""
    hands = live_in(house())
    hands.press("Ctrl+6")
    field = getattr(hands.window.morning.logbook.page.filter, choice)  # type: ignore[union-attr]
    field.setFocus()
    before = hands.told

    hands.press("Alt+Down")

    assert field.view().isVisible()
    assert hands.told == before
    field.hidePopup()
