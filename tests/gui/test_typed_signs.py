"""The signs that are typed on a list of days, one behind the other."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent

from tankkeeper.gui.forms.typed_signs import REST_MS, TypedSigns

NONE = Qt.KeyboardModifier.NoModifier


def _key(key: Qt.Key, text: str, at_ms: int = 0, held: Qt.KeyboardModifier = NONE) -> QKeyEvent:
    event = QKeyEvent(QEvent.Type.KeyPress, key, held, text)
    event.setTimestamp(at_ms)
    return event


def _typed(text: str) -> TypedSigns:
    signs = TypedSigns()
    for sign in text:
        signs.take(_key(Qt.Key(ord(sign.upper())), sign))
    return signs


def test_signs_are_one_text_until_somebody_rests() -> None:
    """A space belongs to it, and a rest begins anew."""
    signs = _typed("2 Nov")
    assert signs.text == "2 Nov"

    assert signs.take(_key(Qt.Key.Key_M, "m", REST_MS + 1))
    assert signs.text == "m"


def test_the_same_letter_again_is_told_and_leaves_the_text() -> None:
    """A figure twice is a day, such as the 22nd."""
    again = _typed("tT")
    assert (again.text, again.is_again) == ("t", True)
    twice = _typed("22")
    assert (twice.text, twice.is_again) == ("22", False)


@pytest.mark.parametrize(
    "key",
    [
        _key(Qt.Key.Key_Down, ""),
        _key(Qt.Key.Key_Return, "\r"),
        _key(Qt.Key.Key_A, "a", held=Qt.KeyboardModifier.AltModifier),
        _key(Qt.Key.Key_Backspace, "\b"),
    ],
)
def test_every_other_key_is_none_of_them_and_begins_anew(key: QKeyEvent) -> None:
    """An arrow, Return, what is held with another key, Backspace where nothing takes it."""
    signs = _typed("mo")

    assert not signs.take(key)
    assert signs.text == ""


def test_a_space_alone_is_no_sign() -> None:
    """It opens the choices, or does what a space does in a list."""
    signs = TypedSigns()

    assert not signs.take(_key(Qt.Key.Key_Space, " "))


def test_backspace_takes_the_last_sign_back_where_it_may() -> None:
    """With nothing typed it is left to the list."""
    signs, back = _typed("mo"), _key(Qt.Key.Key_Backspace, "\b")

    assert [signs.take(back, has_backspace=True) for _ in range(3)] == [True, True, False]


def test_shift_before_a_capital_begins_nothing_anew() -> None:
    """A keyboard tells it as a key that was pressed."""
    signs = _typed("2 ")
    assert not signs.take(_key(Qt.Key.Key_Shift, "", 0, Qt.KeyboardModifier.ShiftModifier))
    assert signs.take(_key(Qt.Key.Key_N, "N", 0, Qt.KeyboardModifier.ShiftModifier))
    assert signs.text == "2 N"
