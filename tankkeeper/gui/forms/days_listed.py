"""The days of a form as a list, in which a day is also found by typing it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QListWidget, QWidget

from tankkeeper.gui.forms.day_fields import local_style
from tankkeeper.gui.forms.typed_signs import TypedSigns
from tankkeeper.gui.widgets.row_in_hand import RowInHand
from tankkeeper.reports.numbers import NBSP
from tankkeeper.reports.typed_days import days_meant


class DaysListed(RowInHand, QListWidget):
    """One line for each day; `missed` tells a day that was typed and is none of them.

    What is typed goes to the line that begins so, else to that of the day which is meant by it:
    "mon", "tomorrow", "28 nov" or "in 3 days". It is forgotten after a rest or another key.
    """

    missed = Signal(object)

    def __init__(self, parent: QWidget, today: date) -> None:
        super().__init__(parent)
        self._today = today
        self._days: tuple[date, ...] = ()
        self._typed = TypedSigns()

    def set_days(self, days: Sequence[date]) -> None:
        """Say which day each line is."""
        self._days = tuple(days)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Find a day by what is typed; leave every other key to the list."""
        if not self._typed.take(event, has_backspace=True):
            super().keyPressEvent(event)
            return
        event.accept()
        typed = self._typed.text.casefold()
        is_first = len(typed) == 1 and self._words(self.currentRow()).startswith(typed)
        if self._typed.is_again or is_first:
            # The same letter again goes on to the next day that begins with it.
            self._go_on(typed)
        elif typed:
            self._find(typed)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Begin anew with what is typed next."""
        self._typed.end()
        super().focusOutEvent(event)

    def _find(self, typed: str) -> None:
        begun = [at for at in range(self.count()) if self._words(at).startswith(typed)]
        meant = [] if begun else days_meant(typed.split(), local_style(), self._today)
        found = begun or [self._days.index(day) for day in meant if day in self._days]
        if found:
            here = self.currentRow()
            self.setCurrentRow(found[0])
            if found[0] == here:
                # What was told of a day that is none of them holds no longer.
                self.currentRowChanged.emit(here)
        elif meant:
            self.missed.emit(meant[0])

    def _go_on(self, letter: str) -> None:
        here = self.currentRow()
        order = (*range(here + 1, self.count()), *range(here + 1))
        self.setCurrentRow(next((at for at in order if self._words(at).startswith(letter)), here))

    def _words(self, at: int) -> str:
        item = self.item(at)
        return "" if item is None else item.text().replace(NBSP, " ").casefold()
