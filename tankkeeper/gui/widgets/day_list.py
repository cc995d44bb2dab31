"""The list of one day of the calendar, with the keys of the round."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.models.month_sheet import DayCell, MonthSheet, day_rows, rows_of_month
from tankkeeper.gui.motion import MotionChoice
from tankkeeper.gui.pages.round_page import LIST_COMMANDS
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.widgets.round_list import RoundList
from tankkeeper.reports.people_names import shown_people

NOTHING = "Nothing stands on this day."


class DayList(RoundList):
    """A list as in the round; `commanded` tells a key, `left` that the month is wanted again.

    `stepped` tells by how many days to go on.
    """

    commanded = Signal(str)
    left = Signal()
    stepped = Signal(int)

    def __init__(self, parent: QWidget, motion: MotionChoice) -> None:
        super().__init__(parent, motion)
        self.setAccessibleName("Day")
        self._roomy_for: MonthSheet | None = None
        self._day: date | None = None
        for command in LIST_COMMANDS:
            action = make_action(command, self)
            action.setAutoRepeat(False)
            action.triggered.connect(self._on_action)
        make_action(Command.CLOSE_DAY, self).triggered.connect(self.left)
        make_action(Command.PREVIOUS_DAY, self).triggered.connect(self._on_previous)
        make_action(Command.NEXT_DAY, self).triggered.connect(self._on_next)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        self.line_double_clicked.connect(self._on_double_click)

    def show_day(self, cell: DayCell, sheet: MonthSheet) -> None:
        """Show the lines of a day of a month; the current one stays where it was.

        The columns have room for the lines of its other days, too.
        """
        words = sheet.words
        before = self._roomy_for
        if before is None or _seen_of(sheet) != _seen_of(before):
            self.begin_day()
        if cell.day != self._day:
            self._day = cell.day
            self._layout.begin_other()
        if sheet is not before:
            self._roomy_for = sheet
            self._layout.keep_room_for(rows_of_month(sheet))
            self.set_people(list(shown_people(words.household).values()))
        self.set_rows(day_rows(cell.content, words), (NOTHING, ""))

    def _on_action(self) -> None:
        sender = self.sender()
        if sender is not None:
            self.commanded.emit(sender.objectName())

    def _on_previous(self) -> None:
        self.stepped.emit(-1)

    def _on_next(self) -> None:
        self.stepped.emit(1)

    def _on_double_click(self) -> None:
        self.commanded.emit(Command.TICK_FORM.value)


def _seen_of(sheet: MonthSheet) -> tuple[date, date]:
    """Return what a month is known by: itself, and the day that is today in it."""
    return sheet.month, sheet.words.today
