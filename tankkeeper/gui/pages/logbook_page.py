"""The Logbook: what was done, by whom, under a filter."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from tankkeeper.core.turns import State
from tankkeeper.gui.models.in_hand import InHand
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.palette import Role
from tankkeeper.gui.shortcuts import Command, key_caption, make_action, shortcut
from tankkeeper.gui.typography import Metrics, Space, metrics_for
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.labels import BodyLabel, TitleLabel
from tankkeeper.gui.widgets.letters import LOG_SIGNS, letter_of
from tankkeeper.gui.widgets.log_filter import LogFilter
from tankkeeper.gui.widgets.log_list import LogList

TITLE = "Logbook"
# Where fewer entries had room below it, the head gives way.
_LEAST_ROWS = 4
# Below so many times the height of a button the filter leaves no room for two entries.
_LOW = 8
LOG_COMMANDS = (
    Command.CORRECT,
    Command.TAKE_BACK,
    Command.LOG_NOTE,
    Command.EXPORT_LOG,
    Command.EVERY_ENTRY,
)


class LogbookPage(QWidget):
    """The page; `commanded` tells a key in the list, `picked` that another entry is current."""

    commanded = Signal(str)
    picked = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName(TITLE)
        self.title = TitleLabel(TITLE, parent=self)
        self.sentence = BodyLabel("", ink=Role.INK_2, parent=self)
        self.export = Button("Export as CSV", parent=self)
        self._head = QWidget(self)
        self.filter = LogFilter(self)
        self.list = LogList(self)
        self._build()
        self._connect()

    def _build(self) -> None:
        words = shortcut(Command.EXPORT_LOG).text
        self.export.setToolTip(f"{words} ({key_caption(Command.EXPORT_LOG)})")
        self.export.setAccessibleDescription(key_caption(Command.EXPORT_LOG))
        texts = QVBoxLayout()
        texts.setSpacing(0)
        texts.addWidget(self.title)
        texts.addWidget(self.sentence)
        head = QHBoxLayout(self._head)
        head.setContentsMargins(Space.L, Space.M, Space.M, Space.S)
        head.setSpacing(Space.M)
        head.addLayout(texts, 1)
        head.addWidget(self.export, 0, Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._head)
        column.addWidget(self.filter)
        column.addWidget(self.list, 1)
        self.setFocusProxy(self.list)

    @property
    def tab_parts(self) -> tuple[QWidget, ...]:
        """What narrows the list, the list, then what is done with it."""
        return (self.filter, self.list, self.export)

    def _connect(self) -> None:
        self.list.picked.connect(self.picked)
        self.list.opened.connect(self._on_opened)
        self.filter.left.connect(self.take_keys)
        self.export.clicked.connect(self._on_export)
        for command in LOG_COMMANDS:
            # These are of use while a word is typed, too.
            is_of_page = command in (Command.LOG_NOTE, Command.EXPORT_LOG)
            action = make_action(command, self if is_of_page else self.list)
            action.setAutoRepeat(False)
            action.triggered.connect(self._on_action)
            self.list.addAction(action)
        self.list.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Type into the line what no part of the page took: a letter, or a space of its text."""
        typed = letter_of(event, LOG_SIGNS)
        if event.key() == Qt.Key.Key_Space and self.filter.field.text().strip():
            typed = " "
        if typed:
            self.filter.begin(typed)
            return
        super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the height out; on a low page the filter stands on one line."""
        super().resizeEvent(event)
        self.filter.set_low(self.height() < _LOW * metrics_for(self.font()).button_height)
        self._share()

    def event(self, event: QEvent) -> bool:
        """Share it out anew where the filter needs other rows."""
        is_done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self._share()
        return is_done

    def _share(self) -> None:
        """Let the head give way to the entries where only few would be seen; its keys stay."""
        least = _LEAST_ROWS * metrics_for(self.font()).row_height
        head = self._head
        # The sentence wraps; a hint that knows no width takes it for longer than it is.
        wraps = head.hasHeightForWidth()
        high = head.heightForWidth(self.width()) if wraps else head.sizeHint().height()
        inside = self.contentsRect().height()
        has_room = inside - high - self.filter.sizeHint().height() >= least
        head.setVisible(has_room)
        column = self.layout()
        assert column is not None
        column.setContentsMargins(0, 0 if has_room else Space.S, 0, 0)

    def tell(self, sentence: str) -> None:
        """Say under the title what is shown."""
        if sentence != self.sentence.text():
            self.sentence.setText(sentence)

    def set_metrics(self, metrics: Metrics) -> None:
        """Take the sizes of the window."""
        self.list.set_metrics(metrics)

    def hold_notice(self, bar: QWidget) -> None:
        """Take a bar above the head."""
        column = self.layout()
        assert isinstance(column, QVBoxLayout)
        column.insertWidget(0, bar)

    def cover_foot(self, high: int) -> None:
        """Keep the entries above so much that lies over the foot of the page."""
        self.setContentsMargins(0, 0, 0, high)

    def notice_keys(self) -> dict[Command, QWidget]:
        """Return no key: letters are typed into the line, Esc is of the filter."""
        return {}

    def in_hand(self) -> InHand | None:
        """Tell of which tank the entry is; one that did no chore of the house is of none."""
        row = self.list.current_row()
        entry = row.found.entry if row is not None else None
        if entry is None or (entry.tank is None and not entry.completes):
            return None
        return InHand(entry.tank)

    @property
    def day_listed(self) -> date | None:
        """None: it has lines of all days."""
        return None

    @property
    def form_command(self) -> Command:
        """That of a list of chores: it has lines of none itself."""
        return Command.TICK_FORM

    def day_in_hand(self) -> None:
        """Return no day: it is no calendar."""

    def selected(self) -> list[ItemRow]:
        """Return no line of work: there is none to be done here."""
        return []

    def rows(self) -> list[ItemRow]:
        """Return no line of work."""
        return []

    def go_on(self) -> None:
        """Stay where it is."""

    def show_row(self, row_id: str) -> bool:
        """Tell that there is no such line."""
        return False

    def step_on(self, _was: State | None = None) -> None:
        """Stay where the keys are; no work is paused here."""

    def take_keys(self) -> None:
        """Let the keys act in the list."""
        self.list.setFocus()

    def announce(self, sentence: str) -> None:
        """Have a screen reader say what was done."""
        announce(self, sentence)

    def _on_action(self) -> None:
        sender = self.sender()
        if sender is not None:
            self.commanded.emit(sender.objectName())

    def _on_opened(self) -> None:
        self.commanded.emit(Command.CORRECT.value)

    def _on_export(self) -> None:
        self.commanded.emit(Command.EXPORT_LOG.value)
