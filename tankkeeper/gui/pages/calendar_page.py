"""The Calendar: month, day or board under one head."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from tankkeeper.core.turns import State
from tankkeeper.gui.models.board_sheet import BoardSheet
from tankkeeper.gui.models.in_hand import InHand, in_hand_of
from tankkeeper.gui.models.month_sheet import MonthSheet, day_at_head, day_counts
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.motion import MotionChoice
from tankkeeper.gui.pages.board_page import BoardPage
from tankkeeper.gui.pages.month_page import MonthPage
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.typography import Metrics
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.month_head import MonthHead
from tankkeeper.services.calendar import CalendarDay


class CalendarPage(QWidget):
    """The page; `commanded` tells a key on a turn, `wanted` a day whose month is to be read.

    `board_wanted` that the board is, `month_kept` that it is not, where the month is shown still.
    `picked` tells that something else is selected, `turn_wanted` a turn that is to be shown on its
    day, `overdue_wanted` that the next overdue one is, `typed` a letter.
    """

    commanded = Signal(str)
    mark_clicked = Signal(str)
    wanted = Signal(object)
    board_wanted = Signal()
    month_kept = Signal()
    picked = Signal()
    turn_wanted = Signal(object)
    overdue_wanted = Signal()
    typed = Signal(str)

    def __init__(self, parent: QWidget, motion: MotionChoice) -> None:
        super().__init__(parent)
        self.setAccessibleName("Calendar")
        self.head = MonthHead(self)
        self._held: list[QWidget] = []
        self._stack = QStackedWidget(self)
        # What is shown gives way before the head does.
        self._stack.setMinimumHeight(1)
        self.month = MonthPage(self._stack, motion)
        self.board = BoardPage(self._stack)
        self._build()
        self._connect()

    def _build(self) -> None:
        self._stack.addWidget(self.month)
        self._stack.addWidget(self.board)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self._stack, 1)
        self.setFocusProxy(self.month.table)

    def _connect(self) -> None:
        self.head.commanded.connect(self._on_head)
        for command in (Command.MONTH, Command.BOARD):
            make_action(command, self).triggered.connect(self._on_switch)
        make_action(Command.NEXT_OVERDUE, self).triggered.connect(self.overdue_wanted)
        for part in (self.month, self.board):
            part.commanded.connect(self.commanded)
            part.typed.connect(self.typed)
        self.month.thread_clicked.connect(self.turn_wanted)
        self.month.mark_clicked.connect(self.mark_clicked)
        self.month.wanted.connect(self.wanted)
        self.month.picked.connect(self.picked)
        self.month.turned.connect(self._on_turned)
        self.board.table.picked.connect(self.picked)
        self.board.days_wanted.connect(self.board_wanted)

    @property
    def is_board(self) -> bool:
        """Whether the board is shown."""
        return self._stack.currentWidget() is self.board

    @property
    def typed_on(self) -> tuple[QWidget, ...]:
        """The tables and the list on which a letter begins to find."""
        month, board = self.month, self.board
        return (month.table, month.list, board.table, board.strips.table)

    @property
    def commands(self) -> tuple[str, ...]:
        """The commands whose keys act all over the page, be it on a button at its head."""
        return tuple(one.objectName() for one in self.actions())

    @property
    def touched_on(self) -> tuple[QWidget, ...]:
        """Where a key or a click goes to another of the lines on which the keys act."""
        month, board = self.month, self.board
        return (month.list, month.list.viewport(), board.table)

    def show_month(self, sheet: MonthSheet, day: date) -> None:
        """Show a month with the keys on a day; from the board its sheet, and no list of a day."""
        if self.is_board:
            self.month.leave_day()
        self._show(self.month)
        self.month.show_sheet(sheet, day)
        self._tell()
        self.picked.emit()

    def show_board(self, sheet: BoardSheet) -> None:
        """Show a board."""
        self._show(self.board)
        self.board.show_sheet(sheet)
        self._tell()
        self.picked.emit()

    def in_hand(self) -> InHand | None:
        """Tell of which tank the line is on which the keys act, None where there is none."""
        return in_hand_of(self.selected())

    @property
    def day_listed(self) -> date | None:
        """The day whose list is open, None for month and board."""
        cell = self.month.cell
        is_open = not self.is_board and self.month.is_day_open
        return cell.day if is_open and cell is not None else None

    def day_in_hand(self) -> CalendarDay | None:
        """Return the day that has the keys, or whose list has; the board has no past ones."""
        cell = None if self.is_board else self.month.cell
        return None if cell is None else cell.content

    def selected(self) -> list[ItemRow]:
        """Return the turns on which the keys act; a day of the month alone is none."""
        if self.is_board:
            cell = self.board.table.current_cell()
            return [cell.row] if cell is not None else []
        return self.month.list.selected_rows() if self.month.is_day_open else []

    def rows(self) -> list[ItemRow]:
        """Return all turns that are shown as lines."""
        if self.is_board:
            return [cell.row for cell in self.board.table.cells()]
        return self.month.list.item_rows() if self.month.is_day_open else []

    @property
    def place(self) -> str:
        """How it is said that something is among the lines; the month has none."""
        if self.is_board:
            return "on the board"
        return "on this day" if self.month.is_day_open else ""

    @property
    def form_command(self) -> Command:
        """The command whose key opens the form of a line; on the board Return takes hold."""
        return Command.TICK_FORM_ON_BOARD if self.is_board else Command.TICK_FORM

    def hold_at_head(self, bar: QWidget) -> None:
        """Take a bar above everything else."""
        self._held.append(bar)
        column = self.layout()
        assert isinstance(column, QVBoxLayout)
        column.insertWidget(0, bar)

    def hold_notice(self, bar: QWidget) -> None:
        """Take a bar above the head."""
        self.hold_at_head(bar)

    def cover_foot(self, high: int) -> None:
        """Keep the list of a day above so much that lies over the foot; the month stays."""
        self.month.cover_foot(high)

    def notice_keys(self) -> dict[Command, QWidget]:
        """Return the key of a notice; Esc closes the day or lets go here."""
        return {Command.MEANWHILE: self}

    def mark_found(self, ids: frozenset[str]) -> None:
        """Mark the turns with these ids, and no others."""
        self.board.table.mark_found(ids)
        self.month.list.mark_found(ids)

    def show_row(self, row_id: str) -> bool:
        """Select a turn that is shown as a line; tell whether it is there."""
        if self.is_board:
            return self.board.table.go_to_id(row_id)
        return self.month.is_day_open and self.month.list.go_to_id(row_id)

    def go_on(self) -> None:
        """Go to the next turn that is still to do where the current one was closed."""
        rows = self.selected()
        if not rows or rows[0].item.is_open or not rows[0].is_closed:
            return
        (self.board.table if self.is_board else self.month.list).go_to_next_open()

    def step_on(self, _was: State | None = None) -> None:
        """Stay: a paused turn keeps its day, and one that was moved is in hand on its new one."""

    def take_keys(self) -> None:
        """Let the keys act in what is shown."""
        if self.is_board:
            self.board.table.setFocus()
        else:
            self.month.take_keys()

    def announce(self, sentence: str) -> None:
        """Have a screen reader say what was done."""
        announce(self, sentence)

    @property
    def is_carrying(self) -> bool:
        """Whether a turn is carried to another day."""
        return self.board.table.held is not None or self.month.table.hand.is_dragged

    def set_metrics(self, metrics: Metrics) -> None:
        """Take the sizes of the window."""
        self.month.set_metrics(metrics)
        self._share()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave some room under the head."""
        super().resizeEvent(event)
        self._share()

    def _share(self) -> None:
        bars = [bar.sizeHint().height() for bar in self._held if not bar.isHidden()]
        self.head.give_room(self.height() - sum(bars))

    def _show(self, part: QWidget) -> None:
        if self._stack.currentWidget() is not part:
            had_keys = self._stack.isAncestorOf(self.window().focusWidget() or self)
            self._stack.setCurrentWidget(part)
            self.setFocusProxy(self.board.table if part is self.board else self.month.table)
            if had_keys:
                self.take_keys()

    def _tell(self) -> None:
        """Say at the head what is shown."""
        if self.is_board and self.board.sheet is not None:
            self.head.set_texts(self.board.sheet.title, self.board.sheet.sentence, "board")
            return
        sheet, cell = self.month.sheet, self.month.cell
        if sheet is None:
            return
        if self.month.is_day_open and cell is not None:
            counts = ", ".join(day_counts(cell.content, sheet.words.today))
            sentence = f"{counts[:1].upper()}{counts[1:]}."
            self.head.set_texts(day_at_head(cell.day, sheet.words.today), sentence, "day")
        else:
            self.head.set_texts(sheet.title, sheet.sentence, "month")

    def _on_turned(self) -> None:
        self._tell()
        if self.month.is_day_open:
            self.setFocusProxy(self.month.list)
        else:
            self.setFocusProxy(self.month.table)
        self.picked.emit()

    def _on_switch(self) -> None:
        sender = self.sender()
        if sender is not None:
            self._switch(sender.objectName())

    def _on_head(self, command: str) -> None:
        if command in (Command.MONTH.value, Command.BOARD.value):
            self._switch(command)
        elif command == Command.CLOSE_DAY.value:
            self.month.close_day()
        else:
            self.month.step(command)
            self.take_keys()

    def _switch(self, command: str) -> None:
        self._tell()
        if command == Command.BOARD.value:
            self.board_wanted.emit()
        elif self.is_board:
            self.wanted.emit(self.month.table.day)
        else:
            self.month.close_day()
            self.month_kept.emit()
