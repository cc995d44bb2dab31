"""What is typed on a list of days, sign by sign, until somebody rests or presses another key."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from tankkeeper.gui.pressed_keys import is_modifier

# Judgement, no source: who rests longer between two letters begins anew.
REST_MS: Final = 2000
_ACTING = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)


class TypedSigns:
    """The signs that were typed one behind the other, as `text`.

    `is_again` tells that the newest was the only letter there, once more, which goes on to the next
    day that begins with it and leaves the text as it was.
    """

    def __init__(self) -> None:
        self.text = ""
        self.is_again = False
        # When the last sign was typed, by the clock of the events.
        self._at = 0

    def end(self) -> None:
        """Begin anew with what is typed next."""
        self.text, self.is_again = "", False

    def take(self, event: QKeyEvent, *, has_backspace: bool = False) -> bool:
        """Take a key that types on, or takes back the last sign; every other begins anew."""
        if is_modifier(event):
            # Shift comes before a capital, and is no key of its own.
            return False
        if event.timestamp() - self._at > REST_MS:
            self.end()
        self._at = event.timestamp()
        if has_backspace and self.text and event.key() == Qt.Key.Key_Backspace:
            self.text, self.is_again = self.text[:-1], False
            return True
        sign = event.text()
        # A space alone is no word; it opens the choices.
        if not is_sign(event) or not (self.text + sign).strip():
            self.end()
            return False
        self.is_again = sign.isalpha() and self.text.casefold() == sign.casefold()
        if not self.is_again:
            self.text += sign
        return True


def is_sign(event: QKeyEvent) -> bool:
    """Tell whether a key types a sign, and is not held with one that makes a command of it."""
    sign = event.text()
    return bool(sign) and sign.isprintable() and not event.modifiers() & _ACTING
