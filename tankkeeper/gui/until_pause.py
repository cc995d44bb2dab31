"""Leaves out what is typed on without a look at what was just told."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtGui import QKeyEvent

from tankkeeper.gui.pressed_keys import is_key, the_app


class UntilPause(QObject):
    """Leaves out the keys that it `takes` from `begin` until the first pause, and tells so once."""

    def __init__(
        self,
        told: Callable[[], None],
        pause_ms: Callable[[], int],
        takes: Callable[[QKeyEvent], bool],
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._told = told
        self._pause_ms = pause_ms
        self._takes = takes
        self._has_told = False
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.timeout.connect(self.end)

    def begin(self) -> None:
        """Leave out what is typed from now on."""
        self._has_told = False
        if not self._pause.isActive():
            the_app().installEventFilter(self)
        self._pause.start(self._pause_ms())

    def end(self) -> None:
        """Leave nothing out any more."""
        self._pause.stop()
        the_app().removeEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take each key that is not meant any more, and begin to wait anew with it."""
        if not is_key(event):
            return super().eventFilter(watched, event)
        assert isinstance(event, QKeyEvent)
        if not self._takes(event):
            return super().eventFilter(watched, event)
        event.accept()
        if event.type() == QEvent.Type.KeyPress:
            self._pause.start(self._pause_ms())
            if not self._has_told:
                self._has_told = True
                self._told()
        return True
