"""The thin line under the top bar while work goes on."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.widgets.focus import paint_ground

WAIT_BEFORE_LINE_MS: Final = 300
_LINE_HIGH: Final = 3


class WaitLine(QWidget):
    """The line itself; it does not move, and no click ends on it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName("Working")
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the line."""
        paint_ground(QPainter(self), self.rect(), colours_of(self.palette())[Role.SEA])


class Waiting(QObject):
    """Shows the line over `body` if work still goes on after 300 ms; most work never needs it."""

    def __init__(self, body: QWidget) -> None:
        super().__init__(body)
        self._body = body
        self._top = 0
        self._timer: QTimer | None = None
        self.line: WaitLine | None = None

    def set(self, is_waiting: bool) -> None:
        """Tell whether work goes on."""
        if is_waiting and self._timer is None:
            self._timer = QTimer(self)
            self._timer.setSingleShot(True)
            self._timer.timeout.connect(self._show)
            self._timer.start(WAIT_BEFORE_LINE_MS)
        elif not is_waiting and self._timer is not None:
            self._timer.stop()
            self._timer.deleteLater()
            self._timer = None
            if self.line is not None:
                self.line.hide()

    def place(self, top: int) -> None:
        """Place the line across the body, so far below its upper edge."""
        self._top = top
        if self.line is not None:
            self.line.setGeometry(0, top, self._body.width(), _LINE_HIGH)

    def _show(self) -> None:
        if self.line is None:
            self.line = WaitLine(self._body)
        self.place(self._top)
        self.line.show()
        self.line.raise_()
