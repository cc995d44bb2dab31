"""Letters that are no key here: typed on a list or a table, they begin to find."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

_OTHER_KEYS = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)


def letter_of(event: QKeyEvent) -> str:
    """Return the letter or digit that a key types, "" where it types none or is held down.

    Keys of commands never come here: Qt gives them to their actions first.
    """
    text = event.text()
    is_one = len(text) == 1 and text.isalnum()
    return (
        text if is_one and not event.isAutoRepeat() and not event.modifiers() & _OTHER_KEYS else ""
    )
