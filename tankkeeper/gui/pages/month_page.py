"""The month with its legend, and the list of the day that was opened."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from tankkeeper.core.calendar_days import month_after, month_of
from tankkeeper.gui.models.month_sheet import DayCell, MonthSheet
from tankkeeper.gui.motion import MotionChoice
from tankkeeper.gui.pages.round_page import LIST_COMMANDS
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.typography import Metrics, Space, TypeRole, line_height, metrics_for
from tankkeeper.gui.widgets.day_list import DayList
from tankkeeper.gui.widgets.month_legend import MonthLegend
from tankkeeper.gui.widgets.month_table import MonthTable
from tankkeeper.gui.widgets.round_head import ColumnHeads

_MONTHS = {
    Command.PREVIOUS_MONTH.value: -1,
    Command.NEXT_MONTH.value: 1,
    Command.PREVIOUS_YEAR.value: -12,
    Command.NEXT_YEAR.value: 12,
}
# On a day alone they have no chore to act on: they open its list, where they have.
CHORE_COMMANDS = tuple(one for one in LIST_COMMANDS if one is not Command.TICK_FORM)
# A week with the names of its days above takes about so many rows of a list.
_ROWS_OF_A_WEEK = 4
TABLE_COMMANDS = (
    Command.TODAY,
    Command.PREVIOUS_MONTH,
    Command.NEXT_MONTH,
    Command.PREVIOUS_YEAR,
    Command.NEXT_YEAR,
)


class MonthPage(QStackedWidget):
    """Month or day; `wanted` tells a day whose month is to be read, None for that of today.

    `picked` tells that another day or line has the keys, `turned` that the day was opened or left,
    `commanded` a key on a line of the day, `thread_clicked` an overdue turn, `typed` a letter,
    `drop_wanted` that what was refused is to go to the day that works.
    """

    wanted = Signal(object)
    picked = Signal()
    turned = Signal()
    commanded = Signal(str)
    mark_clicked = Signal(str)
    thread_clicked = Signal(object)
    typed = Signal(str)
    drop_wanted = Signal()

    def __init__(self, parent: QWidget, motion: MotionChoice) -> None:
        super().__init__(parent)
        self.setAccessibleName("Month")
        self._month = QWidget(self)
        self.table = MonthTable(self._month)
        self.legend = MonthLegend(self._month)
        self._day = QWidget(self)
        self.heads = ColumnHeads(self._day)
        self.list = DayList(self._day, motion)
        self._listed: date | None = None
        self._build()
        self._connect()

    def _build(self) -> None:
        column = QVBoxLayout(self._month)
        column.setContentsMargins(Space.M, 0, Space.M, Space.XXS)
        column.setSpacing(0)
        column.addWidget(self.table, 1)
        column.addWidget(self.legend)
        self._month.setFocusProxy(self.table)
        self.addWidget(self._month)
        column = QVBoxLayout(self._day)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.heads)
        column.addWidget(self.list, 1)
        self._day.setFocusProxy(self.list)
        self.addWidget(self._day)

    def _connect(self) -> None:
        self.table.picked.connect(self.picked)
        self.table.day_opened.connect(self.open_day)
        self.table.month_wanted.connect(self.wanted)
        for command in TABLE_COMMANDS:
            make_action(command, self.table).triggered.connect(self._on_step)
        self.table.thread_clicked.connect(self.thread_clicked)
        for command in (Command.OPEN_DAY, *CHORE_COMMANDS):
            make_action(command, self.table).triggered.connect(self._on_open)
        make_action(Command.DROP_WHERE_IT_CAN, self.table).triggered.connect(self.drop_wanted)
        for part in (self.table, self.list):
            part.typed.connect(self.typed)
        self.table.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        self.list.picked.connect(self.picked)
        self.list.commanded.connect(self.commanded)
        self.list.mark_clicked.connect(self.mark_clicked)
        self.list.left.connect(self.close_day)
        self.list.stepped.connect(self._on_day_step)
        self.list.arranged.connect(self._stand_above)

    @property
    def sheet(self) -> MonthSheet | None:
        """The month that is shown."""
        return self.table.sheet

    @property
    def is_day_open(self) -> bool:
        """Whether the list of a day is shown."""
        return self.currentWidget() is self._day

    @property
    def cell(self) -> DayCell | None:
        """The day that has the keys."""
        return self.table.current_cell()

    def show_sheet(self, sheet: MonthSheet, day: date) -> None:
        """Show a month with the keys on this day, and its list where it is open."""
        before = self._listed
        self._listed = day
        self.table.set_sheet(sheet, day)
        self.legend.set_more(sheet.more)
        cell = sheet.cell(day)
        if self.is_day_open and cell is not None:
            self.list.show_day(cell, sheet)
            self._stand_above()
            if day != before:
                self.list.go_to_first()
                self.list.scrollToTop()

    def open_day(self, day: date, chore: str = "", slot: object = None) -> None:
        """Show the list of a day of the month, with the keys on a chore or on the first line."""
        sheet = self.sheet
        cell = sheet.cell(day) if sheet is not None else None
        if sheet is None or cell is None:
            return
        self._listed = day
        self.table.go_to(day)
        self.list.show_day(cell, sheet)
        self.setCurrentWidget(self._day)
        self._stand_above()
        self.list.go_to_first()
        self.list.scrollToTop()
        if chore:
            self.list.go_to(self.list.round_model.row_of(chore, slot))
        self.list.setFocus()
        self.turned.emit()

    def close_day(self) -> None:
        """Go back to the month, with the keys on it."""
        if self.is_day_open:
            self.leave_day()
            self.table.setFocus()

    def leave_day(self) -> None:
        """Show the month in place of the list of a day; the keys stay where they are."""
        if self.is_day_open:
            self.setCurrentWidget(self._month)
            self.turned.emit()

    def cover_foot(self, high: int) -> None:
        """Keep the list of the day above so much that lies over the foot of the page."""
        self._day.setContentsMargins(0, 0, 0, high)

    def take_keys(self) -> None:
        """Let the keys act in the month, or in the list of the day."""
        (self.list if self.is_day_open else self.table).setFocus()

    def step(self, command: str) -> None:
        """Go to another month, or to today."""
        sheet, day = self.sheet, self.table.day
        if sheet is None or day is None:
            return
        if command == Command.TODAY.value:
            self.wanted.emit(None)
            return
        month = month_after(month_of(day), _MONTHS[command])
        last = month_after(month, 1).toordinal() - month.toordinal()
        self.wanted.emit(month.replace(day=min(day.day, last)))

    def set_metrics(self, metrics: Metrics) -> None:
        """Take the sizes of the window."""
        self.list.set_metrics(metrics)
        self._stand_above()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the names above their columns; the legend goes where no week would be left."""
        super().resizeEvent(event)
        self._stand_above()
        rows = metrics_for(self.font()).row_height * _ROWS_OF_A_WEEK
        self.legend.setVisible(self.height() - self.legend.height() >= rows)

    def _stand_above(self) -> None:
        self.heads.setFixedHeight(line_height(self.font(), TypeRole.CAPTION))
        self.heads.set_columns(self.list.columns)
        self.heads.setVisible(bool(self.list.item_rows()))

    def _on_step(self) -> None:
        sender = self.sender()
        if sender is not None:
            self.step(sender.objectName())

    def _on_day_step(self, by: int) -> None:
        """Show the list of the day before or after, in the same month at once."""
        month = self.sheet.month if self.sheet is not None else None
        self.table.go_by(by)
        day = self.table.day
        if day is not None and month == month_of(day):
            self.open_day(day)

    def _on_open(self) -> None:
        if self.table.day is not None:
            self.open_day(self.table.day)
