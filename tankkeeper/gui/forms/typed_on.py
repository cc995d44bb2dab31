"""What is typed on without a look at the form that has just asked or refused something."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QKeyEvent

from tankkeeper.gui.until_pause import UntilPause

LEFT_OUT = "What was typed on was left out."
# Who reads what a form says stops for longer; who types numbers from a sheet does not. A guess.
PAUSE_MS = 400
_IN_A_NUMBER: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab, Qt.Key.Key_Backspace)


class TypedOn(UntilPause):
    """Leaves out all that is typed from `begin` until the first pause, and tells so once.

    The next number is meant for the next form; here it would take the place of the one that was
    refused, and be kept as what it is not. Escape and the keys of a menu go on.
    """

    def __init__(self, left_out: Callable[[], None], parent: QObject) -> None:
        super().__init__(left_out, lambda: PAUSE_MS, _is_typed, parent)


def _is_typed(event: QKeyEvent) -> bool:
    """Tell whether a key writes something, or keeps or leaves what was written."""
    if event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier):
        return False
    text = event.text()
    return event.key() in _IN_A_NUMBER or (bool(text) and text.isprintable())
