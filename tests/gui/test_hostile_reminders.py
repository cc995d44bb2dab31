"""What no hour can be, typed into every field of the reminders' form."""

from __future__ import annotations

import pytest

from tankkeeper.gui.forms.reminder_form import ReminderForm, typed_time
from tankkeeper.gui.widgets.quantity_field import Field
from tankkeeper.services.reminder_habits import Habits
from tests.gui.conftest import Remind
from tests.gui.hostile import TEXTS, type_hostile
from tests.gui.round_house import small_house

FIELDS = 9


def fields_of(form: ReminderForm) -> list[Field]:
    return [*form.mornings.fields, *form.quiet.fields]


def test_no_field_of_the_form_is_left_out(remind: Remind) -> None:
    """A morning for each weekday, and both ends of the quiet hours; the rest is chosen."""
    one = remind(small_house(), habits=Habits())
    one.hands.press("Ctrl+Shift+R")
    form = one.hands.form()
    assert isinstance(form, ReminderForm)
    assert len(fields_of(form)) == FIELDS
    assert set(form.findChildren(Field)) == set(fields_of(form))


@pytest.mark.parametrize("at", range(FIELDS))
def test_what_is_no_hour_is_refused_at_its_field(remind: Remind, at: int) -> None:
    """One sentence, the text still there, the field marked, and nothing kept; then Esc leaves."""
    one = remind(small_house(), habits=Habits())
    refused = 0
    for text in TEXTS:
        one.hands.press("Ctrl+Shift+R")
        form = one.hands.form()
        assert isinstance(form, ReminderForm)
        field = fields_of(form)[at]
        field.setFocus()
        type_hostile(one.hands, text)
        typed = field.text()
        assert not text.isprintable() or typed == text
        one.hands.press("Return")
        if not typed.strip() and at < 7:
            # A morning without an hour is one without a summary.
            assert not one.hands.has_form()
            assert one.kept.pop().mornings[at] is None
            one.desk.habits = Habits()
            continue
        if typed_time(typed) is not None:
            assert not one.hands.has_form()
            one.kept.clear()
            one.desk.habits = Habits()
            continue
        refused += 1
        assert one.hands.form() is form
        told = form.accessibleDescription()
        assert told.endswith(".")
        assert field.text() == typed
        assert one.kept == []
        one.hands.press("Esc")
        assert not one.hands.has_form()
    assert refused > len(TEXTS) / 2
