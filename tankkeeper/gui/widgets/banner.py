"""What stands beneath every page until it is dealt with: pumps that are off, and a reminder."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QRect, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.focus import paint_ground
from tankkeeper.gui.widgets.notice_bar import NoticeBar

_OF_RESTART = (Command.SWITCHED_ON,)
_OF_REMINDER = (Command.SHOW_REMINDED, Command.CLOSE_REMINDER)


class Banner(QWidget):
    """Two sentences with their buttons, each only while there is one.

    `commanded` tells the command of the button that was used, `resized` that it needs another
    height. Where the sentences would take too much from the pages they are cut, and a key shows
    all of them over the page.
    """

    commanded = Signal(str)
    resized = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Reminders")
        self._is_cut = False
        self._wants_whole = False
        self._taken = 0
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
        self._wants_whole = False
        self._restart.show_notice(restart, _OF_RESTART)
        self._reminder.show_notice(reminder, _OF_REMINDER)
        self.setVisible(bool(restart or reminder))
        self.resized.emit()

    def toggle_whole(self) -> bool:
        """Show all of what is cut, or cut it again; tell whether there is anything to cut."""
        if self.isHidden() or not self._is_cut:
            return False
        self._wants_whole = not self._wants_whole
        self.resized.emit()
        self.update()
        return True

    def fit(
        self, width: int, most_taken: int, most: int, page: QWidget | None = None
    ) -> tuple[int, int]:
        """Take what room there is; return the height of it all, and what it takes from the pages.

        `most_taken` is what it may take from the pages, `most` what it may cover. Where the `page`
        tells something above itself already, each sentence has one line.
        """
        bars = [bar for bar in (self._restart, self._reminder) if bar.sentence]
        told = () if page is None else page.findChildren(NoticeBar)
        if any(not bar.isHidden() for bar in told):
            least = sum(bar.least_height() for bar in bars) + Space.XS
            most_taken = min(most_taken, least)
        bare = self._wholes(bars, width, keeps_keys=False)
        self._is_cut = bare > most_taken
        room = most if self._is_cut else most_taken
        keeps_keys = self._wholes(bars, width, keeps_keys=True) <= room
        share = (most_taken - Space.XS) // max(1, len(bars))
        key = key_caption(Command.WHOLE_REMINDER)
        if self._is_cut and not self._wants_whole:
            for bar in bars:
                bar.show_cut(width, share, f"{key}: more")
        elif not keeps_keys and bare > most:
            for bar in bars:
                bar.show_cut(width, (most - Space.XS) // len(bars), f"{key}: less")
        else:
            for bar in bars:
                bar.show_whole(width, keeps_keys=keeps_keys)
        high = self._height(width)
        if not (self._is_cut and self._wants_whole):
            self._taken = high
        return high, min(high, self._taken, most_taken)

    @staticmethod
    def _wholes(bars: Sequence[NoticeBar], width: int, *, keeps_keys: bool) -> int:
        """Return the height in which all of the sentences stand."""
        return sum(bar.whole_height(width, keeps_keys=keeps_keys) for bar in bars) + Space.XS

    def _height(self, width: int) -> int:
        """Return the height that the bars need as they are."""
        for bar in (self._restart, self._reminder):
            bar.measure_anew()
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
        """Draw the ground of the pages, and a line where it lies over one."""
        painter, table = QPainter(self), colours_of(self.palette())
        paint_ground(painter, self.rect(), table[Role.SURFACE])
        if self._is_cut and self._wants_whole:
            edge = QRect(0, 0, self.width(), table.hairline)
            paint_ground(painter, edge, table[Role.LINE])
