"""What stands beneath every page until it is dealt with: pumps that are off, and a reminder."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.shortcuts import Command
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.focus import paint_ground
from tankkeeper.gui.widgets.notice_bar import NoticeBar

_OF_RESTART = (Command.SWITCHED_ON,)
_OF_REMINDER = (Command.SHOW_REMINDED, Command.CLOSE_REMINDER)


class Banner(QWidget):
    """Two sentences with their buttons, each only while there is one.

    `commanded` tells the command of the button that was used, `resized` that it needs another
    height.
    """

    commanded = Signal(str)
    resized = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Reminders")
        self._restart = NoticeBar(self)
        self._reminder = NoticeBar(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, Space.XS)
        column.setSpacing(0)
        for bar in (self._restart, self._reminder):
            column.addWidget(bar)
            bar.commanded.connect(self.commanded)
        self.hide()

    @property
    def restart(self) -> str:
        """What is said of pumps and heater, empty when nothing is."""
        return self._restart.sentence

    @property
    def reminder(self) -> str:
        """What is reminded of, empty when nothing is."""
        return self._reminder.sentence

    def show_sentences(self, restart: str, reminder: str) -> None:
        """Show these sentences, and nothing of an empty one."""
        if (restart, reminder) == (self.restart, self.reminder):
            return
        self._restart.show_notice(restart, _OF_RESTART)
        self._reminder.show_notice(reminder, _OF_REMINDER)
        self.setVisible(bool(restart or reminder))
        self.resized.emit()

    def heightForWidth(self, width: int) -> int:
        """Return the height that the sentences need in lines of this width."""
        column = self.layout()
        assert column is not None
        column.activate()
        return column.totalHeightForWidth(width)

    def event(self, event: QEvent) -> bool:
        """Ask for another height where the parts need one."""
        is_done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self.resized.emit()
        return is_done

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the ground of the pages."""
        paint_ground(QPainter(self), self.rect(), colours_of(self.palette())[Role.SURFACE])
