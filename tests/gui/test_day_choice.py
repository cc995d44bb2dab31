"""Days in words, typed where one of a few days is chosen, by real keys."""

from __future__ import annotations

from datetime import datetime

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.forms.pause_form import UNTIL_DAY, PauseForm
from tankkeeper.gui.forms.tick_form import TickForm
from tankkeeper.gui.forms.typed_signs import REST_MS
from tests.builders import BERLIN
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands

NBSP = "\N{NO-BREAK SPACE}"


def _tick_form(hands: Hands) -> TickForm:
    hands.go_to("wipe")
    hands.press("Return")
    form = hands.form()
    assert isinstance(form, TickForm)
    form.when.setFocus()
    return form


def _at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 3, day, hour, minute, tzinfo=BERLIN)


@pytest.mark.parametrize(
    ("typed", "at"),
    [
        ("last tuesday", _at(10, 7)),
        ("tuesday evening", _at(10, 19)),
        ("3 days ago", _at(9, 7)),
        ("yesterday 18:00", _at(11, 18)),
        ("4/3/2026 9:30", _at(4, 9, 30)),
        ("noon yesterday", None),
    ],
)
def test_a_day_in_words_is_read_where_the_day_is_chosen(
    live_in: LiveIn, typed: str, at: datetime | None
) -> None:
    """Or it is refused below in one sentence, and what was typed stays."""
    hands = live_in()
    form = _tick_form(hands)

    hands.type(typed)
    hands.press("Return")

    if at is None:
        assert form.when.other.text == typed
        assert form.when.other.fault
        assert hands.log() == []
        return
    assert not hands.has_form()
    (entry,) = hands.log()
    assert entry.entry.at == at


def test_the_first_letters_of_a_choice_choose_it(live_in: LiveIn) -> None:
    """A letter, the same once more, and the name as far as it is typed."""
    hands = live_in()
    form = _tick_form(hands)

    hands.type("y")
    assert form.when.choice.currentText() == "Yesterday"
    form.who.setFocus()
    form.when.setFocus()
    hands.type("s")
    first = form.when.choice.currentText()
    hands.type("s")
    assert {first, form.when.choice.currentText()} == {
        "Sun\N{NO-BREAK SPACE}8",
        "Sat\N{NO-BREAK SPACE}7",
    }
    form.who.setFocus()
    form.when.setFocus()
    hands.type("mon")
    assert form.when.choice.currentText() == f"Mon{NBSP}9"
    hands.type("day")
    assert form.when.is_typed
    assert form.when.other.text == "monday"
    assert form.when.other.field.hasFocus()


def test_the_form_that_writes_down_reads_it_as_well(live_in: LiveIn) -> None:
    """The same choice stands in it."""
    hands = live_in()
    hands.go_to("wipe")
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.litres.setFocus()
    hands.type("1")
    form.when.setFocus()
    hands.type("last tuesday")
    hands.press("Return")

    assert not hands.has_form()
    assert hands.log()[0].entry.at == _at(10, 7)


def test_a_pause_reads_it_as_well(live_in: LiveIn) -> None:
    """Of days to come, as its field says."""
    hands = live_in()
    hands.go_to("lamp")
    hands.press("Shift+P")
    form = hands.form()
    assert isinstance(form, PauseForm)
    form.until.setFocus()
    hands.type("next friday")

    assert form.until.currentText() == UNTIL_DAY
    assert form.day.text == "next friday"
    hands.press("Return")
    assert not hands.has_form()


def test_what_was_typed_before_a_rest_is_no_part_of_what_is_typed_after_it(live_in: LiveIn) -> None:
    """S chooses Sunday; M a while later chooses Monday, and no day called "sm" is asked for."""
    hands = live_in()
    form = _tick_form(hands)

    def press(letter: str, at_ms: int) -> None:
        key = QKeySequence(letter)[0].key()
        event = QKeyEvent(QEvent.Type.KeyPress, key, Qt.KeyboardModifier.NoModifier, letter)
        event.setTimestamp(at_ms)
        QApplication.sendEvent(form.when.choice, event)

    press("s", 10_000)
    press("m", 10_000 + REST_MS + 1)

    assert form.when.choice.currentText() == f"Mon{NBSP}9"
    press("o", 10_000 + 2 * REST_MS)
    assert form.when.choice.currentText() == f"Mon{NBSP}9"
    press("w", 10_000 + 2 * REST_MS + 10)
    assert form.when.other.text == "mow"
