"""The board with the strips of minutes at its foot."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from tankkeeper.gui.models.board_sheet import BoardSheet
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.board_paint import needed_width
from tankkeeper.gui.widgets.board_strips import BoardStrips
from tankkeeper.gui.widgets.board_table import BoardTable
from tankkeeper.gui.widgets.scrolling import BAR_WIDTH

COUNTS = (14, 10, 7, 5)
LEAST_COLUMN_PX = 57
# Return and P take hold here; the other keys are those of the round.
BOARD_COMMANDS = (
    Command.TICK,
    Command.TICK_YESTERDAY,
    Command.SKIP,
    Command.PAUSE,
    Command.NOTE,
)


class BoardPage(QWidget):
    """The page; `commanded` tells a key on a turn, `days_wanted` another number of days."""

    commanded = Signal(str)
    days_wanted = Signal(int)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName("Board")
        self.table = BoardTable(self)
        self.strips = BoardStrips(self)
        self._days = 0
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.M, 0, 0, Space.XXS)
        column.setSpacing(0)
        column.addWidget(self.table, 1)
        column.addWidget(self.strips)
        self.setFocusProxy(self.table)
        for command in BOARD_COMMANDS:
            action = make_action(command, self.table)
            action.setAutoRepeat(False)
            action.triggered.connect(self._on_action)
        make_action(Command.GRAB, self.table).triggered.connect(self.table.hold_or_drop)
        make_action(Command.LET_GO, self.table).triggered.connect(self.table.release)
        self.table.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)

    @property
    def sheet(self) -> BoardSheet | None:
        """The board that is shown."""
        return self.table.sheet

    def show_sheet(self, sheet: BoardSheet) -> None:
        """Show a board, or ask for fewer days where the columns would be too narrow."""
        self.table.set_sheet(sheet)
        self.strips.set_sheet(sheet, self.height())
        self.strips.set_edges(self.table.column_edges())
        self._ask_for_days()

    def days_for(self, width: int) -> int:
        """Return how many days fit side by side."""
        sheet, style = self.sheet, self.table.styled()
        needed = float(style.metrics.px(LEAST_COLUMN_PX))
        if sheet is not None:
            needed = max(needed, needed_width(sheet, style))
        room = width - Space.M - BAR_WIDTH
        return next((count for count in COUNTS if room / count >= needed), COUNTS[-1])

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the strips, and ask for as many days as fit."""
        super().resizeEvent(event)
        self.strips.fit(self.height())
        column = self.layout()
        if column is not None:
            column.activate()
        self.strips.set_edges(self.table.column_edges())
        self._ask_for_days()

    def _ask_for_days(self) -> None:
        sheet = self.sheet
        if sheet is None:
            return
        days = self.days_for(self.width())
        if days != len(sheet.days) and days != self._days:
            self._days = days
            self.days_wanted.emit(days)
        elif days == len(sheet.days):
            self._days = days

    def _on_action(self) -> None:
        sender = self.sender()
        if sender is not None:
            self.commanded.emit(sender.objectName())
