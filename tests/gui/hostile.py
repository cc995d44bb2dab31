"""Texts that no field expects, and how they come into a field: by key, or through the clipboard."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QPlainTextEdit

from tankkeeper.gui.widgets.quantity_field import QuantityField
from tests.gui.round_house import Hands
from tests.gui.test_forms import HOSTILE

# And what the other list leaves out: nothing but spaces, lines, half a sign, no sign at all, marks
# of direction, a rule for a page, numbers beyond what a double holds.
TEXTS: Final = (
    *HOSTILE,
    "   ",
    "one\ntwo\r\nthree",
    "half \ud83d sign",
    "\ufeff",
    "\u200f\u202d12",
    "<b>bold</b> & <a href='file:///'>here</a>",
    "9" * 400,
    "1e-320",
    "0x10",
    "12 %n",
    "1,234.5",
    "Infinity",
)
_TYPED_UP_TO: Final = 60


def third(number: int) -> tuple[str, ...]:
    """Return every third text that is not blank, for fields that are read alike: they share them.

    `number` counts the fields; three after each other get all texts.
    """
    return tuple(one for one in TEXTS if one.strip())[number % 3 :: 3]


def type_hostile(hands: Hands, text: str) -> None:
    """Type a text by key; what is too long, or has lines, comes through the clipboard."""
    hands.hit("Ctrl+A")
    if len(text) > _TYPED_UP_TO or "\n" in text:
        hands.app.clipboard().setText(text)
        hands.hit("Ctrl+V")
        return
    for sign in text:
        # As an input method gives it: a text without a key of its own.
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            none = Qt.KeyboardModifier.NoModifier
            QApplication.sendEvent(hands.focus(), QKeyEvent(kind, 0, none, sign))


def text_of(field: QObject) -> str:
    """Return what stands in a field."""
    if isinstance(field, QPlainTextEdit):
        return field.toPlainText()
    if isinstance(field, QComboBox):
        return field.currentText()
    if isinstance(field, QuantityField):
        return field.text
    assert isinstance(field, QLineEdit)
    return field.text()
