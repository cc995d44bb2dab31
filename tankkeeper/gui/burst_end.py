"""What is typed on behind a key that was left out is not meant for what stands there now."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QKeyEvent, QKeySequence

from tankkeeper.gui.pressed_keys import is_modifier
from tankkeeper.gui.shortcuts import Command, shortcut
from tankkeeper.gui.until_pause import UntilPause

TYPED_ON: Final = "Keys typed without a pause are left out, too: wait a second, then go on."
# Who looks at what is told stops for longer, also on a slow machine; judgement, no source.
PAUSE_MS = 1000


class BurstEnd(UntilPause):
    """Leaves out all keys from `begin` until the first pause, or until the mouse is used.

    The key that ends the program acts all the same: what it asks about is asked as always.
    """

    def __init__(self, told: Callable[[str], None], parent: QObject) -> None:
        super().__init__(lambda: told(TYPED_ON), lambda: PAUSE_MS, _is_left_out, parent)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Leave nothing out of what comes behind the mouse."""
        if event.type() == QEvent.Type.MouseButtonPress:
            self.end()
        return super().eventFilter(watched, event)


def _is_left_out(event: QKeyEvent) -> bool:
    pressed = QKeySequence(event.keyCombination())
    ends = any(QKeySequence(key) == pressed for key in shortcut(Command.QUIT).keys)
    return not (ends or is_modifier(event))
