"""Letters that are no key here: typed on a list or a table, they begin to find."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

# In the logbook they begin an amount that is looked for.
LOG_SIGNS = "<>\N{LESS-THAN OR EQUAL TO}\N{GREATER-THAN OR EQUAL TO}"
_OTHER_KEYS = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)


def letter_of(event: QKeyEvent, signs: str = "") -> str:
    """Return the letter or digit that a key types, "" where it types none or is held down.

    `signs` are what else counts as a letter there. Keys of commands never come here, because Qt
    gives them to their actions first.
    """
    text = event.text()
    is_one = len(text) == 1 and (text.isalnum() or text in signs)
    return (
        text if is_one and not event.isAutoRepeat() and not event.modifiers() & _OTHER_KEYS else ""
    )
