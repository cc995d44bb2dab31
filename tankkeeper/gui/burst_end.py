"""What is typed on behind a key that was left out is not meant for what stands there now."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtGui import QKeyEvent, QKeySequence

from tankkeeper.gui.pressed_keys import is_key, is_modifier, the_app
from tankkeeper.gui.shortcuts import Command, shortcut

TYPED_ON: Final = "What was typed on is left out as well, until a pause of a second."
# Who looks at what is told stops for longer, also on a slow machine; judgement, no source.
PAUSE_MS = 1000


class BurstEnd(QObject):
    """Leaves out all keys from `begin` until the first pause, or until the mouse is used.

    The key that ends the program acts all the same: what it asks about is asked as always.
    """

    def __init__(self, told: Callable[[str], None], parent: QObject) -> None:
        super().__init__(parent)
        self._told = told
        self._has_told = False
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.timeout.connect(self.end)

    def begin(self) -> None:
        """Leave out what is typed from now on."""
        self._has_told = False
        if not self._pause.isActive():
            the_app().installEventFilter(self)
        self._pause.start(PAUSE_MS)

    def end(self) -> None:
        """Leave nothing out any more."""
        self._pause.stop()
        the_app().removeEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take each key, and begin to wait anew for the pause with it."""
        if event.type() == QEvent.Type.MouseButtonPress:
            self.end()
        if not is_key(event):
            return super().eventFilter(watched, event)
        assert isinstance(event, QKeyEvent)
        if is_modifier(event) or _ends(event):
            return super().eventFilter(watched, event)
        event.accept()
        if event.type() == QEvent.Type.KeyPress:
            self._pause.start(PAUSE_MS)
            if not self._has_told:
                self._has_told = True
                self._told(TYPED_ON)
        return True


def _ends(event: QKeyEvent) -> bool:
    pressed = QKeySequence(event.keyCombination())
    return any(QKeySequence(key) == pressed for key in shortcut(Command.QUIT).keys)
