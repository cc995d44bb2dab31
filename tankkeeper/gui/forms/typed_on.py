"""What is typed on without a look at the form that has just asked or refused something."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QKeyEvent

from tankkeeper.gui.pressed_keys import is_key, the_app

LEFT_OUT = "What was typed on was left out."
# Who reads what a form says stops for longer; who types numbers from a sheet does not. A guess.
PAUSE_MS = 400
_IN_A_NUMBER: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab, Qt.Key.Key_Backspace)


class TypedOn(QObject):
    """Leaves out all that is typed from `begin` until the first pause, and tells so once.

    The next number is meant for the next form; here it would take the place of the one that was
    refused, and be kept as what it is not.
    """

    def __init__(self, left_out: Callable[[], None], parent: QObject) -> None:
        super().__init__(parent)
        self._left_out = left_out
        self._has_told = False
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.timeout.connect(self.end)

    def begin(self) -> None:
        """Leave out what comes now."""
        self._has_told = False
        if not self._pause.isActive():
            the_app().installEventFilter(self)
        self._pause.start(PAUSE_MS)

    def end(self) -> None:
        """Leave nothing out any more."""
        self._pause.stop()
        the_app().removeEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take each key that might belong to a number; Escape and the keys of a menu go on."""
        if not is_key(event):
            return super().eventFilter(watched, event)
        assert isinstance(event, QKeyEvent)
        if not _is_typed(event):
            return super().eventFilter(watched, event)
        event.accept()
        if event.type() == QEvent.Type.KeyPress:
            self._pause.start(PAUSE_MS)
            if not self._has_told:
                self._has_told = True
                self._left_out()
        return True


def _is_typed(event: QKeyEvent) -> bool:
    """Tell whether a key writes something, or keeps or leaves what was written."""
    if event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier):
        return False
    text = event.text()
    return event.key() in _IN_A_NUMBER or (bool(text) and text.isprintable())
