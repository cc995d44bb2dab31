"""Holds back for a moment what a key does, while the next may say that it was meant otherwise."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QEvent, QObject, QTimer

from tankkeeper.gui.pressed_keys import the_app
from tankkeeper.gui.turn_taking import TurnTaking

# Whatever happens by these comes behind the key.
_ENDS: Final = (
    QEvent.Type.MouseButtonPress,
    QEvent.Type.TouchBegin,
    QEvent.Type.Wheel,
    QEvent.Type.Close,
    QEvent.Type.WindowDeactivate,
)


class HeldBack(QObject):
    """Holds the turns of a household back, for so many seconds or until something else comes."""

    def __init__(self, turns: TurnTaking, seconds: float, parent: QObject) -> None:
        super().__init__(parent)
        self._turns = turns
        self._ms = round(1000 * seconds)
        self._is_holding = self._is_last_look = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._on_time)

    def begin(self) -> None:
        """Hold back what the key does that is pressed now."""
        self.end()
        self._turns.hold()
        self._is_holding, self._is_last_look = True, False
        self._timer.start(self._ms)
        the_app().installEventFilter(self)

    def end(self) -> None:
        """Do what is held back."""
        if self._is_holding:
            self._is_holding = False
            self._timer.stop()
            the_app().removeEventFilter(self)
            self._turns.let_go()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let what is held back be done before what comes by the mouse or from the desktop."""
        if event.type() in _ENDS:
            self.end()
        return super().eventFilter(watched, event)

    def _on_time(self) -> None:
        if self._is_last_look:
            self.end()
        else:
            # A key that was pressed in time may still wait behind the timer.
            self._is_last_look = True
            self._timer.start(0)
