"""Keys that go to a row wait until the rows of the tank that was chosen before them are shown."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.session import Session
from tankkeeper.gui.widgets.round_list import GOING


class Narrowing(QObject):
    """Holds the keys of lists between the choice of a tank and the moment that its rows are shown.

    Acting on the rows of before, they would go to a line that is not there any more. What ticks or
    opens a form waits in the same row, in the session.
    """

    def __init__(self, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._is_giving = False

    def watch(self, *parts: QObject) -> None:
        """Look at the keys that are pressed on these lists."""
        for part in parts:
            part.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep a key that goes to a row, or chooses rows, for its turn."""
        is_pressed = event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent)
        if not is_pressed or self._is_giving or not self._session.is_narrowing:
            return False
        assert isinstance(event, QKeyEvent)
        chooses_all = event.matches(QKeySequence.StandardKey.SelectAll)
        if not (event.key() in GOING or chooses_all):
            return False
        # The event itself is gone by then.
        again = QKeyEvent(
            QEvent.Type.KeyPress,
            event.key(),
            event.modifiers(),
            event.text(),
            event.isAutoRepeat(),
        )
        self._session.keys.key_in_turn(lambda: self._give(watched, again))
        return True

    def _give(self, watched: QObject, event: QKeyEvent) -> None:
        self._is_giving = True
        try:
            QApplication.sendEvent(watched, event)
        finally:
            self._is_giving = False
