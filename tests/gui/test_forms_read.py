"""Every form and settings page read through the accessibility interface: name, value, unit, error.

The forms are found in the code, so that a new one cannot be forgotten here.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtGui import QAccessible, QAccessibleInterface
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QComboBox,
    QLineEdit,
    QListView,
    QPlainTextEdit,
    QWidget,
)
from pytestqt.qtbot import QtBot

import tankkeeper.gui.forms
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.house_parts import house_parts
from tankkeeper.gui.settle_desk import TankDesk
from tankkeeper.gui.things_desk import ThingsDesk
from tankkeeper.gui.widgets.proposal_list import ProposalList
from tankkeeper.gui.widgets.quantity_field import Field, QuantityField
from tankkeeper.services.reminder_habits import WhenClosed
from tests.builders import an_entry
from tests.gui.conftest import Remind
from tests.gui.house_file_pictures import import_cove, import_long, open_recent, restore
from tests.gui.reminded import Reminded
from tests.gui.round_house import Hands, small_house
from tests.gui.settings_pictures import WITH_TRAY
from tests.gui.test_forms import HOSTILE
from tests.gui.test_house_page import open_house
from tests.gui.test_log_form import house as house_with_reservoir

_INPUTS = (QLineEdit, QPlainTextEdit, QComboBox, QAbstractSpinBox, QListView, QAbstractButton)
ASKING = replace(WITH_TRAY, when_closed=WhenClosed.ASK)
_LATE = an_entry(1, "2026-03-08", done="glass")


def _close(one: Reminded) -> None:
    one.hands.window.shell.close()
    one.hands.settle()


def _keys(*keys: str) -> Callable[[Reminded], None]:
    return lambda one: one.hands.press(*keys)


def _of_tank(button: str) -> Callable[[Reminded], None]:
    def reach(one: Reminded) -> None:
        one.hands.press("Ctrl+Down", "F2")
        desk = one.hands.window.morning.settling.tank  # type: ignore[union-attr]
        desk.page.buttons[button].setFocus()
        one.hands.press("Space")

    return reach


def _by(do: Callable[[Hands], None]) -> Callable[[Reminded], None]:
    return lambda one: do(one.hands)


def _of_proposal(one: Reminded) -> None:
    one.hands.press("Ctrl+Shift+N")
    one.hands.frame.findChildren(ProposalList)[0].setFocus()
    one.hands.press("Home", "Return")


def _of_catalogue(one: Reminded) -> None:
    one.hands.press("Ctrl+Down", "F3")
    desk = one.hands.window.morning.settling.chores  # type: ignore[union-attr]
    desk.page.buttons["more"].setFocus()
    one.hands.press("Space")


# How each form is reached; a class that is missing here fails the first test.
FORMS: dict[str, Callable[[Reminded], None]] = {
    "AwayForm": _keys("W"),
    "CatalogueForm": _of_catalogue,
    "CloseForm": _close,
    "CorrectForm": _keys("Ctrl+6", "Home", "Return"),
    "ImportForm": _by(import_cove),
    "LogForm": _keys("Ctrl+L"),
    "NameForm": _of_tank("copy"),
    "NoteForm": _keys("Down", "N"),
    "SkipForm": _keys("Shift+S"),
    "PauseForm": _keys("Down", "Shift+P"),
    "ProposalForm": _of_proposal,
    "PutOffForm": _keys("Down", "P"),
    "RecentForm": _by(open_recent),
    "RestoreForm": _by(restore),
    "StageForm": _of_tank("stage"),
    "TickForm": _keys("Down", "Down", "Down", "Space"),
    "WorkForm": _by(import_long),
}


def _all_forms() -> set[str]:
    for module in pkgutil.walk_packages(tankkeeper.gui.__path__, "tankkeeper.gui."):
        importlib.import_module(module.name)
    found, new = set(), {Form}
    while new:
        new = {child for one in new for child in one.__subclasses__()}
        ours = [one for one in new if one.__module__.startswith("tankkeeper.")]
        # What others are made from is never shown itself.
        found |= {one.__name__ for one in ours if not one.__subclasses__()}
    return found


def _read(widget: QWidget) -> QAccessibleInterface:
    found = QAccessible.queryAccessibleInterface(widget)
    assert found is not None
    return found


def _inputs(inside: QWidget) -> list[QWidget]:
    """Return what can be typed into or chosen from, not what such a widget is made of."""
    found = [one for kind in _INPUTS for one in inside.findChildren(kind) if one.isVisible()]
    return [one for one in found if not isinstance(one.parent(), (QComboBox, QAbstractSpinBox))]


def _shown_in(one: QWidget) -> str:
    if isinstance(one, QComboBox):
        return one.currentText()
    if isinstance(one, QPlainTextEdit):
        return one.toPlainText()
    return one.text()  # type: ignore[attr-defined,no-any-return]


def _unread(inside: QWidget) -> list[str]:
    """Return what is wrong with an input as it is read aloud: no name, another value, no unit."""
    found = []
    for one in _inputs(inside):
        read = _read(one)
        name = read.text(QAccessible.Text.Name)
        told = f"{type(one).__name__} {name or one.objectName()!r}"
        if not name.strip():
            found.append(f"{told}: no name")
        if isinstance(one, (QListView, QAbstractButton)):
            # The rows of a list are read one by one; a button is its name.
            continue
        value = read.text(QAccessible.Text.Value)
        if _shown_in(one) not in (value, name):
            found.append(f"{told}: {value!r} is read, {_shown_in(one)!r} is shown")
        if isinstance(one, Field) and one.unit:
            words = (name, value, read.text(QAccessible.Text.Description))
            if not any(one.unit in text for text in words):
                found.append(f"{told}: no unit")
    return found


def test_the_read_sees_a_missing_name_and_unit(qtbot: QtBot) -> None:
    """A bare field is found, or all that follows is blind."""
    page = QWidget()
    qtbot.addWidget(page)
    Field("kg", page)
    page.show()
    assert _unread(page) == ["Field '': no name", "Field '': no unit"]


def test_no_form_is_forgotten_here() -> None:
    """All that is a form anywhere in the window."""
    assert _all_forms() == set(FORMS)


@pytest.mark.parametrize("name", sorted(FORMS))
def test_every_input_of_a_form_is_read_with_name_value_and_unit(remind: Remind, name: str) -> None:
    """As a screen reader gets it from Qt."""
    one = living(remind, name)
    FORMS[name](one)
    form = one.hands.form()
    assert type(form).__name__ == name
    asks = [each for each in _inputs(form) if not isinstance(each, QAbstractButton)]
    # An import only says what it would bring, and long work how far it is.
    assert bool(asks) is (name not in ("ImportForm", "WorkForm"))
    assert _unread(form) == []
    assert _read(form).text(QAccessible.Text.Name)
    one.hands.press("Esc")
    one.desk.quit()


def living(remind: Remind, name: str) -> Reminded:
    entries = (_LATE,) if name in ("AwayForm", "CorrectForm") else ()
    house = small_house() if name != "LogForm" else house_with_reservoir()
    habits = WITH_TRAY if name != "CloseForm" else ASKING
    return remind(house, habits=habits, has_tray=True, entries=entries)


@pytest.mark.parametrize("name", sorted(FORMS))
def test_what_a_form_refuses_is_read_at_its_field_or_its_foot(remind: Remind, name: str) -> None:
    """The sentence is the description of the field, or of the form; what is sound is no error."""
    one = living(remind, name)
    FORMS[name](one)
    form = one.hands.form()
    typed = [each for each in _inputs(form) if isinstance(each, QLineEdit)]
    quantities = [each for each in typed if isinstance(each.parent(), QuantityField)]
    for each in (*quantities, *typed)[:1]:
        each.setFocus()
        one.hands.paste(HOSTILE[0])
        one.hands.press("Return")
        if one.hands.has_form():
            field = each.parent()
            fault = field.fault if isinstance(field, QuantityField) else ""
            read = _read(each).text(QAccessible.Text.Description)
            foot = _read(form).text(QAccessible.Text.Description)
            assert fault in read if fault else foot
    if one.hands.has_form():
        one.hands.press("Esc")
    one.desk.quit()


@pytest.mark.parametrize("part", ["reminders", *(each.id for each in house_parts())])
def test_every_input_of_the_household_is_read_with_name_value_unit_and_error(
    remind: Remind, part: str
) -> None:
    """Every part of the page, its list and its sheet; after bad input the sentence, too."""
    one = remind(small_house(), habits=WITH_TRAY, has_tray=True)
    desk = open_house(one.hands, part)
    if desk.sheet is None and part != "backups":
        assert _read(desk.list).text(QAccessible.Text.Name)
        desk.page.buttons["new"].setFocus()
        one.hands.press("Space")
    _is_read(one, desk)
    one.desk.quit()


@pytest.mark.parametrize("part", ["tank", "chores", "animals", "equipment"])
def test_every_input_of_a_tank_is_read_with_name_value_unit_and_error(
    remind: Remind, part: str
) -> None:
    """Its sheet, and a new chore, animal and piece of equipment of it."""
    one = remind(small_house(), habits=WITH_TRAY, has_tray=True)
    one.hands.press("Ctrl+Down", "F2" if part == "tank" else "F3")
    settling = one.hands.window.morning.settling  # type: ignore[union-attr]
    desk = settling.tank if part == "tank" else settling.chores
    for button in () if part == "tank" else (part, "new"):
        desk.page.buttons[button].setFocus()
        one.hands.press("Space")
    assert desk.sheet is not None
    _is_read(one, desk)
    one.desk.quit()


def _is_read(one: Reminded, desk: TankDesk | ThingsDesk) -> None:
    assert _unread(desk.page) == []
    for field in list(desk.sheet.fields.values()) if desk.sheet is not None else ():
        if field.typed is None or field.isHidden() or field.spec.kind == "text":
            continue
        field.setFocus()
        one.hands.paste("'; DROP TABLE")
        assert not field.is_sound
        read = _read(field.typed.field).text(QAccessible.Text.Description)
        assert field.typed.fault, field.spec.path
        assert field.typed.fault in read, field.spec.path
