"""The hours of the reminder form, given what no field expects: refused in place, every time."""

from __future__ import annotations

import pytest

from tankkeeper.gui.forms.reminder_form import ReminderForm
from tankkeeper.gui.palette import Scheme
from tankkeeper.services.reminder_habits import NO_MORNINGS, Habits
from tests.gui.checks import cut_labels
from tests.gui.conftest import Wear
from tests.gui.round_house import small_house
from tests.gui.test_hostile_fields import TEXTS, text_of, type_text
from tests.gui.test_reminding import Remind, remind

__all__ = ["remind"]
_HOURS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun", "From", "To")
_TIMES = ("24", "24:00", "7:60", "7:5", "7:000", "-7", "7,30", "7h", "٠٧:٣٠", "07:30\u202e", "1e1")


def _fields(form: object) -> list[object]:
    assert isinstance(form, ReminderForm)
    return [*form.mornings.fields, *form.quiet.fields]


@pytest.mark.parametrize("place", range(len(_HOURS)), ids=_HOURS)
def test_no_hour_takes_what_is_no_time(remind: Remind, wear: Wear, place: int) -> None:
    """One sentence read aloud, the field marked and with the keys, the text still there."""
    wear(Scheme.LIGHT, 100)
    one = remind(small_house(), habits=Habits())
    hands = one.hands

    for text in (one for one in (*TEXTS, *_TIMES) if one.strip()):
        hands.press("Ctrl+Shift+R")
        form = hands.form()
        field = _fields(form)[place]
        field.setFocus()  # type: ignore[attr-defined]
        usual = text_of(field)  # type: ignore[arg-type]
        type_text(hands, text)
        typed = text_of(field)  # type: ignore[arg-type]
        if text.isprintable():
            assert typed == text
        if typed == usual:
            # A sign that no field takes, such as a lone mark of the byte order.
            hands.press("Esc")
            continue
        hands.press("Return")

        assert hands.has_form(), text[:40]
        assert text_of(field) == typed  # type: ignore[arg-type]
        assert "is not a time of day" in form.accessibleDescription()
        assert hands.focus() is field
        assert form.primary.isEnabled()
        assert cut_labels(form) == []
        hands.press("Esc")
        assert not hands.has_form()
    assert one.kept == []
    assert one.desk.habits == Habits()


def test_nothing_but_spaces_is_an_empty_hour(remind: Remind) -> None:
    """As everywhere: who typed a space meant nothing."""
    one = remind(small_house(), habits=Habits(quiet=None))
    one.hands.press("Ctrl+Shift+R")
    for field in _fields(one.hands.form()):
        field.setFocus()  # type: ignore[attr-defined]
        type_text(one.hands, "   ")
    one.hands.press("Return")
    assert one.kept == [Habits(NO_MORNINGS, None)]


@pytest.mark.parametrize("text", [one for one in TEXTS if len(one) < 60], ids=ascii)
def test_letters_on_a_choice_change_nothing_that_is_not_in_its_list(
    remind: Remind, text: str
) -> None:
    """A letter may lead to a row that begins with it; nothing else is ever kept."""
    one = remind(small_house(), habits=Habits(), has_tray=True)
    hands = one.hands
    hands.press("Ctrl+Shift+R")
    form = hands.form()
    assert isinstance(form, ReminderForm)
    for field in (form.tray, form.login):
        field.setFocus()
        type_text(hands, text)
        assert field.currentIndex() in range(field.count())
    hands.press("Return")
    if hands.has_form():
        hands.press("Esc")
    assert all((one.mornings, one.quiet) == (Habits().mornings, Habits().quiet) for one in one.kept)
