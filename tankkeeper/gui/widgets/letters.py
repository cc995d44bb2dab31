"""Letters that are no key here: typed on a list or a table, they begin to find."""

from __future__ import annotations

from collections.abc import Sequence

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


def is_plain(event: QKeyEvent) -> bool:
    """Tell whether a key was pressed without another one, also on the number pad."""
    return not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier


class TypedSearch:
    """What is typed on a list that has no field to find in; it lasts until another key is pressed.

    A space is part of it where a name goes on like that, or where nothing matched what was typed:
    somebody who types words into a list wants to find, and nothing must be switched by it.
    """

    def __init__(self) -> None:
        self._text = ""
        self._has_missed = False

    def end(self) -> None:
        """Begin anew with the next letter."""
        self._text, self._has_missed = "", False

    def add(self, letter: str, names: Sequence[str]) -> int:
        """Return the number of the name that goes on like this, -1 where none does."""
        self._text += letter.casefold()
        at = self._place(self._text, names)
        if at < 0:
            self._has_missed = True
            self._text = letter.casefold()
            at = self._place(self._text, names)
        return at

    def takes_space(self, names: Sequence[str]) -> bool:
        """Tell whether a space belongs to what is typed, which then goes on with it."""
        if not self._text:
            return False
        if self._place(f"{self._text} ", names) >= 0:
            self._text += " "
            return True
        return self._has_missed

    @staticmethod
    def _place(text: str, names: Sequence[str]) -> int:
        found = (at for at, name in enumerate(names) if name.casefold().startswith(text))
        return next(found, -1)
