"""A proposed chore is changed in its form: how much it takes, and what follows in its row."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox

from tankkeeper.core.chores import Amount, AmountUnit
from tankkeeper.core.units import in_unit
from tankkeeper.gui.forms.proposal_form import ProposalForm
from tankkeeper.gui.pages.first_page import FirstPage
from tests.gui.conftest import Begin
from tests.gui.first_house import first_page, type_box
from tests.gui.round_house import Hands


def open_row(hands: Hands, name: str) -> ProposalForm:
    page = first_page(hands.window)
    page.list.setFocus()
    number = [one.chore.name for one in page.list._proposals].index(name)
    hands.press("Home", *["Down"] * number, "Return")
    return next(one for one in hands.window.shell.findChildren(ProposalForm) if one.isVisible())


def row(page: FirstPage, name: str) -> str:
    item = page.list.findItems(name, Qt.MatchFlag.MatchStartsWith)[0]
    return item.text().replace("\u00a0", " ")


def kept(hands: Hands, name: str) -> Amount | None:
    session = hands.window.session
    assert session is not None
    with session.desk.store.reading() as reading:
        return {one.name: one for one in session.desk.household(reading).chores}[name].amount


def test_thirty_litres_are_said_in_the_form_and_follow_in_the_row(begin: Begin) -> None:
    """Row and reason tell it at once, the chore keeps it, and no measure takes it back."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)
    form = open_row(hands, "Change water")
    assert (form.amount.text, form.amount.field.unit) == ("12", "L")
    form.amount.go_to()
    hands.type("30")
    hands.press("Return")
    assert not form.isVisible()
    assert row(page, "Change water").startswith("Change water, every 2 weeks on Saturday, 30 L,")
    assert "36 % of the water" in row(page, "Change water")

    page.asked.measures.measure("length_cm").go_to()
    hands.type("69")
    assert "30 L" in row(page, "Change water")
    hands.press("Ctrl+Return")
    assert kept(hands, "Change water") == Amount(30.0, AmountUnit.LITRES)


def test_an_emptied_amount_is_the_proposed_one_again(begin: Begin) -> None:
    """And follows the measures from then on; a rhythm that is changed leaves it alone."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)
    for typed in ("30", ""):
        form = open_row(hands, "Change water")
        form.amount.go_to()
        hands.press("Delete")
        hands.type(typed)
        hands.press("Return")
    assert "12 L" in row(page, "Change water")
    page.list.setFocus()
    hands.press("-")
    assert row(page, "Change water").startswith("Change water, every Saturday, 12 L,")

    page.asked.measures.measure("length_cm").go_to()
    hands.type("118")
    assert row(page, "Change water").startswith("Change water, every Saturday, 25 L,")


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("x", "x is not a number."),
        ("0", "Amount 0\u00a0L is not possible."),
        ("-3", "is not possible."),
        ("500", "It can be from 0.1 to 82.83\u00a0L, all the water of the tank."),
    ],
)
def test_an_amount_that_cannot_be_is_told_at_its_field(begin: Begin, typed: str, told: str) -> None:
    """The form stays, and what is typed next takes its place."""
    hands = begin()
    type_box(hands)
    form = open_row(hands, "Change water")
    form.amount.go_to()
    hands.type(typed)
    hands.press("Return")
    assert form.isVisible()
    assert told in form.amount.fault
    hands.type("30")
    hands.press("Return")
    assert not form.isVisible()


def test_litres_may_be_said_where_the_water_is_not_known(begin: Begin) -> None:
    """A share is proposed then; 8 gallons are litres in the file."""
    hands = begin()
    type_box(hands, ("Nook", "", "", "", ""))
    form = open_row(hands, "Change water")
    assert (form.amount.text, form.amount.field.unit) == ("15", "%")
    form.amount.go_to()
    hands.type("8 gal US")
    hands.press("Return", "Ctrl+Return")
    amount = kept(hands, "Change water")
    assert amount is not None
    assert amount.unit is AmountUnit.LITRES
    assert in_unit(amount.value, "US gal") == pytest.approx(8.0)


def test_the_key_of_a_label_goes_to_its_field(begin: Begin) -> None:
    """Alt with the letter that is underlined."""
    hands = begin()
    type_box(hands)
    form = open_row(hands, "Change water")
    for key, field in (("Alt+M", form.amount), ("Alt+T", form.minutes), ("Alt+I", form.way)):
        hands.press(key)
        assert field.hasFocus() or field.focusProxy().hasFocus()


def test_what_has_no_amount_is_asked_for_none(begin: Begin) -> None:
    """Glass is cleaned by the minute."""
    hands = begin()
    type_box(hands)
    assert not open_row(hands, "Clean the glass").amount.isVisible()


def test_the_sum_follows_the_rhythm_through_the_form(begin: Begin) -> None:
    """45 minutes each week instead of every other are three more a day."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)

    def minutes() -> int:
        return int(page.minutes.text().replace("\u00a0", " ").split()[1])

    before = minutes()
    form = open_row(hands, "Change water")
    form.every.go_to()
    hands.type("1")
    hands.press("Return")
    assert minutes() in (before + 3, before + 4)


def test_plus_and_minus_keep_the_weekday(begin: Begin) -> None:
    """Every week on Saturday, every 3 weeks on Saturday."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)
    open_row(hands, "Change water").reject()
    hands.settle()
    page.list.setFocus()
    hands.press("-")
    assert row(page, "Change water").startswith("Change water, every Saturday,")
    hands.press("+", "+")
    assert row(page, "Change water").startswith("Change water, every 3 weeks on Saturday,")


def test_the_mixing_follows_the_change_it_is_for(begin: Begin) -> None:
    """A change each week wants its water each week, the day before; the row says so at once."""
    hands = begin()
    type_box(hands)
    page = first_page(hands.window)
    assert row(page, "Mix salt water").startswith("Mix salt water, every 2 weeks on Friday")
    open_row(hands, "Change water")
    hands.press("Escape")
    hands.press("-")

    assert row(page, "Change water").startswith("Change water, every Saturday")
    assert row(page, "Mix salt water").startswith("Mix salt water, every Friday")
    hands.press("Ctrl+Return")
    session = hands.window.session
    assert session is not None
    with session.desk.store.reading() as reading:
        chores = {one.name: one for one in session.desk.household(reading).chores}
    assert getattr(chores["Mix salt water"].rhythm, "rule", "") == "FREQ=WEEKLY;BYDAY=FR"


def test_preview_and_refusal_follow_every_key(begin: Begin) -> None:
    """What stands in the foot is of what stands in the fields, before a refusal and after it."""
    hands = begin()
    type_box(hands)
    form = open_row(hands, "Change water")
    form.times.go_to()
    seen = []
    for letter in "8 and 25":
        hands.type(letter)
        seen.append(form.follows.text() or form.times.fault)
    assert seen[2] == "a is not a time of day. Write it like 08:00."
    assert seen[3] == "an is not a time of day. Write it like 08:00."
    assert "25 is not a time of day" in seen[-1]

    hands.press("Return")
    assert form.isVisible()
    told = form.times.fault
    assert "25 is not a time of day" in told
    hands.type("x")
    assert form.times.fault == "x is not a time of day. Write it like 08:00."
    hands.press("Backspace")
    hands.type("7 x")
    assert not form.times.fault
    assert form.follows.text() == "x is not a time of day. Write it like 08:00."
    hands.press("Backspace", "Backspace")
    assert not form.times.fault
    assert "7:00" in form.follows.text()


def test_a_refusal_about_the_weekdays_goes_with_the_next_key(begin: Begin) -> None:
    """It is about what stood there when it was asked."""
    hands = begin()
    type_box(hands)
    form = open_row(hands, "Change water")
    for box in form.days.findChildren(QCheckBox):
        if box.isChecked():
            box.setFocus()
            hands.press("Space")
    hands.press("Ctrl+Return")
    assert form._notice is not None
    form.days.findChildren(QCheckBox)[0].setFocus()
    hands.press("Space")
    assert form._notice is None
    assert "Monday" in form.follows.text()
