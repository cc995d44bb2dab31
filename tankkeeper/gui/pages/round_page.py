"""The Round: what to do now, as a list with its head."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from tankkeeper.core.turns import State
from tankkeeper.gui.models.in_hand import InHand, in_hand_of
from tankkeeper.gui.models.places import Places
from tankkeeper.gui.models.round_rows import ItemRow, RoundSheet
from tankkeeper.gui.motion import MotionChoice
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.typography import Metrics, Space
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.round_head import RoundHead
from tankkeeper.gui.widgets.round_list import RoundList
from tankkeeper.reports.people_names import shown_people

LIST_COMMANDS = (
    Command.TICK,
    Command.TICK_FORM,
    Command.TICK_YESTERDAY,
    Command.SKIP,
    Command.SKIP_WHY,
    Command.PUT_OFF,
    Command.PAUSE,
    Command.NOTE,
)


class RoundPage(QWidget):
    """The page; `commanded` tells what is to be done with the selected rows.

    `mark_clicked` tells the id of the row whose mark was clicked, `picked` that another row or
    other rows are selected, `typed` a letter that begins to find.
    """

    commanded = Signal(str)
    mark_clicked = Signal(str)
    picked = Signal()
    typed = Signal(str)

    def __init__(
        self, parent: QWidget | None = None, motion: MotionChoice = MotionChoice.FOLLOW
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName("Round")
        self._places = Places()
        self._held: list[QWidget] = []
        self._narrowed_to: str | None = None
        self._added: str | None = None
        self.head = RoundHead(self)
        self.list = RoundList(self, motion)
        self._build()
        self._connect()

    def _build(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.XXS)
        column.addWidget(self.head)
        column.addWidget(self.list, 1)
        self.setFocusProxy(self.list)

    def _connect(self) -> None:
        self.list.picked.connect(self.picked)
        self.list.arranged.connect(self._stand_above)
        self.list.typed.connect(self.typed)
        self.list.mark_clicked.connect(self.mark_clicked)
        self.list.line_double_clicked.connect(self._on_double_click)
        for command in LIST_COMMANDS:
            action = make_action(command, self.list)
            # A key that is held down acts once: a book on the space bar ticks one line.
            action.setAutoRepeat(False)
            action.triggered.connect(self._on_action)
        self.list.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)

    def show_sheet(self, sheet: RoundSheet) -> None:
        """Show a round; the current row stays where it was, also when it is narrowed to a tank."""
        self.head.set_texts(sheet.title, sheet.short_title, sheet.sentence, sheet.figures)
        rows = self._places.settled(sheet.rows, sheet.words.today)
        is_other = sheet.narrowed_to != self._narrowed_to
        self._narrowed_to = sheet.narrowed_to
        self.list.set_people(list(shown_people(sheet.words.household).values()))
        self.list.set_rows(rows, (sheet.empty, sheet.following), is_other=is_other)
        if is_other and sheet.narrowed_to != self._added:
            if sheet.narrowed_to is None and self._added is not None:
                self.list.go_to_beginning()
            self._added = None
        self.head.heads.setVisible(bool(sheet.rows))

    def begin_anew(self, tank_id: str) -> None:
        """Let the whole house begin at its first row when it is shown after a tank that was added.

        What was in hand on that tank is no place that anybody came to in the house.
        """
        self._added = tank_id

    def in_hand(self) -> InHand | None:
        """Tell of which tank the line is on which the keys act, None where there is none."""
        return in_hand_of(self.selected())

    @property
    def day_listed(self) -> date | None:
        """None: the round is of today."""
        return None

    @property
    def form_command(self) -> Command:
        """The command whose key opens the form of a line."""
        return Command.TICK_FORM

    def day_in_hand(self) -> None:
        """Return no day: it is no calendar."""

    def selected(self) -> list[ItemRow]:
        """Return the selected rows."""
        return self.list.selected_rows()

    def rows(self) -> list[ItemRow]:
        """Return all lines of work."""
        return self.list.item_rows()

    def go_on(self) -> None:
        """Go to the next line that is still to do where the current one was closed."""
        row = self.list.current_row()
        if row is not None and not row.item.is_open:
            self.list.go_to_next_open()

    def step_on(self, was: State | None = None) -> None:
        """Go to the next line that is still to do; the current one is about to leave its place.

        `was` is how that stood before it was moved, where it stays.
        """
        self.list.go_to_next_open(was)

    @property
    def place(self) -> str:
        """How it is said that something is among the lines."""
        return "in the round"

    def hold_at_head(self, bar: QWidget) -> None:
        """Take a bar above everything else."""
        self._held.append(bar)
        column = self.layout()
        assert isinstance(column, QVBoxLayout)
        column.insertWidget(0, bar)

    def hold_notice(self, bar: QWidget) -> None:
        """Take a bar right above the head of the list."""
        self._held.append(bar)
        column = self.layout()
        assert isinstance(column, QVBoxLayout)
        column.insertWidget(column.indexOf(self.head), bar)

    def cover_foot(self, high: int) -> None:
        """Keep the list above so much that lies over the foot of the page."""
        if high != self.contentsMargins().bottom():
            self.setContentsMargins(0, 0, 0, high)
            self._share()

    def notice_keys(self) -> dict[Command, QWidget]:
        """Return the keys of a notice, which act in the list."""
        return {Command.MEANWHILE: self.list, Command.CLOSE_NOTICE: self.list}

    def mark_found(self, ids: frozenset[str]) -> None:
        """Mark the lines with these ids, and no others."""
        self.list.mark_found(ids)

    def show_row(self, row_id: str) -> bool:
        """Select a line and bring it into view; tell whether it is there."""
        return self.list.go_to_id(row_id)

    def take_keys(self) -> None:
        """Let the keys act in the list."""
        self.list.setFocus()

    @property
    def is_carrying(self) -> bool:
        """Nothing is carried to another day here."""
        return False

    def set_metrics(self, metrics: Metrics) -> None:
        """Take the sizes of the window."""
        self.list.set_metrics(metrics)
        self.head.lay_out()
        self._share()

    def announce(self, sentence: str) -> None:
        """Have a screen reader say what was done."""
        announce(self.list, sentence)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the rows some room under the head."""
        super().resizeEvent(event)
        self._share()

    def event(self, event: QEvent) -> bool:
        """Share the room anew where a bar came, went or grew."""
        if event.type() == QEvent.Type.LayoutRequest:
            self._share()
        return super().event(event)

    def _share(self) -> None:
        """Tell the head what room there is beside what is held above it."""
        bars = [_height_of(bar, self.width()) for bar in self._held if not bar.isHidden()]
        inside = self.contentsRect().height()
        self.head.give_room(inside - sum(bars) - (len(bars) + 1) * Space.XXS)
        # At once: otherwise the list leaves the room of the former head empty for a moment.
        column = self.layout()
        assert column is not None
        column.activate()

    def _stand_above(self) -> None:
        """Keep the names above their columns, however these came to move."""
        self.head.heads.set_columns(self.list.columns)

    def _on_action(self) -> None:
        sender = self.sender()
        if sender is not None:
            self.commanded.emit(sender.objectName())

    def _on_double_click(self) -> None:
        self.commanded.emit(Command.TICK_FORM.value)


def _height_of(bar: QWidget, width: int) -> int:
    """Return the height that a bar takes, which for a sentence depends on the width."""
    return bar.heightForWidth(width) if bar.hasHeightForWidth() else bar.sizeHint().height()
