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
# Return and P take hold here, what Return does elsewhere has a key of its own; the other keys are
# those of the round.
BOARD_COMMANDS = (
    Command.TICK,
    Command.TICK_YESTERDAY,
    Command.SKIP,
    Command.SKIP_WHY,
    Command.PAUSE,
    Command.NOTE,
)


class BoardPage(QWidget):
    """The page; `commanded` tells a key on a turn, `days_wanted` that other days fit by now.

    `typed` tells a letter that begins to find, `drop_wanted` that what is held is to go to the day
    that works.
    """

    commanded = Signal(str)
    days_wanted = Signal()
    typed = Signal(str)
    drop_wanted = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._nouns: frozenset[str] = frozenset()
        self.setAccessibleName("Board")
        self.table = BoardTable(self)
        self.strips = BoardStrips(self)
        self._asked: tuple[int, frozenset[str]] | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.M, 0, 0, Space.XXS)
        column.setSpacing(0)
        column.addWidget(self.table, 1)
        column.addWidget(self.strips)
        self.setFocusProxy(self.table)
        # Shown for the first time the table gets its width later than the page.
        self.table.arranged.connect(self.strips.set_edges)
        for part in (self.table, self.strips.table):
            part.typed.connect(self.typed)
        for command in BOARD_COMMANDS:
            action = make_action(command, self.table)
            action.setAutoRepeat(False)
            action.triggered.connect(self._on_action)
        form = make_action(Command.TICK_FORM_ON_BOARD, self.table)
        form.setAutoRepeat(False)
        form.triggered.connect(self._on_form)
        make_action(Command.GRAB, self.table).triggered.connect(self.table.hold_or_drop)
        make_action(Command.DROP_WHERE_IT_CAN, self.table).triggered.connect(self.drop_wanted)
        for command in (Command.TODAY, Command.LAST_DAY):
            make_action(command, self.table).triggered.connect(self._on_end)
        make_action(Command.LET_GO, self.table).triggered.connect(self.table.release)
        self.table.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)

    @property
    def sheet(self) -> BoardSheet | None:
        """The board that is shown."""
        return self.table.sheet

    def set_nouns(self, nouns: frozenset[str]) -> None:
        """Take the nouns of the household, which say how wide a day must be."""
        self._nouns = nouns

    def show_sheet(self, sheet: BoardSheet) -> None:
        """Show a board."""
        self.table.set_sheet(sheet, self._last_width())
        self.strips.set_sheet(sheet, self.height())

    def fitting(self, width: int) -> tuple[int, frozenset[str]]:
        """Return how many days fit side by side, and the nouns that reach into the next one."""
        style = self.table.styled()
        room = width - Space.M - BAR_WIDTH
        least = style.metrics.px(LEAST_COLUMN_PX)
        days = next((count for count in COUNTS if room / count >= least), COUNTS[-1])
        column = (room - max(room / days, self._last_width())) / (days - 1)
        # What was done beside the plan has two words, and is cut: over the edge of today it would
        # seem to be of tomorrow, too.
        wide = {noun for noun in self._nouns if needed_width(noun, style) > column}
        self._asked = (days, frozenset(wide))
        return self._asked

    def _last_width(self) -> float:
        """Return what the last day needs, which has no next one to reach into."""
        style = self.table.styled()
        return max((needed_width(noun, style) for noun in self._nouns), default=0.0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the strips, and ask for as many days as fit."""
        super().resizeEvent(event)
        self.strips.fit(self.height())
        column = self.layout()
        if column is not None:
            column.activate()
        self._ask_for_days()

    def _ask_for_days(self) -> None:
        before = self._asked
        if self.sheet is not None and before is not None and self.fitting(self.width()) != before:
            self.days_wanted.emit()

    def _on_end(self) -> None:
        sender = self.sender()
        if sender is not None:
            self.table.go_to_end(is_last=sender.objectName() == Command.LAST_DAY.value)

    def _on_form(self) -> None:
        self.commanded.emit(Command.TICK_FORM.value)

    def _on_action(self) -> None:
        sender = self.sender()
        if sender is not None:
            self.commanded.emit(sender.objectName())
