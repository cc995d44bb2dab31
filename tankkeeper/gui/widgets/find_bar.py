"""The find bar: a field at the head of a page, and below it what has no line there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import (
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, metrics_for
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.focus import paint_ground
from tankkeeper.gui.widgets.labels import BodyLabel, tip
from tankkeeper.gui.widgets.line_delegate import LineDelegate
from tankkeeper.gui.widgets.notice_bar import NoticeBar
from tankkeeper.gui.widgets.quantity_field import Field
from tankkeeper.gui.widgets.scrolling import use_slim_bar

HINT: Final = "A chore, a tank or a day"
HELP: Final = "Up and Down go through what is found, Return goes there, Escape closes."
_LINES_SEEN: Final = 6
_LINES_LEAST: Final = 4
# What is marked in the page is to be seen below the lines.
_SHARE_OF_PAGE: Final = 4
_STEPS: Final = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}
_ENTER: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_OWN_KEYS: Final = (*_STEPS, *_ENTER, Qt.Key.Key_Escape)


class FindField(Field):
    """The field; Up, Down, Return and Escape belong to what is found."""

    stepped = Signal(int)
    entered = Signal()
    escaped = Signal()

    def event(self, event: QEvent) -> bool:
        """Keep the keys that belong here from acting in the window, and leave it its own."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride:
            if event.key() in _OWN_KEYS and not event.modifiers():
                event.accept()
                return True
            if event.matches(QKeySequence.StandardKey.MoveToStartOfDocument):
                # Home alone does the same in a line; this one shows all tanks.
                return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Tell the keys that go through what is found; the others are typed."""
        key = Qt.Key(event.key())
        if key in _STEPS:
            self.stepped.emit(_STEPS[key])
        elif key in _ENTER:
            self.entered.emit()
        elif key == Qt.Key.Key_Escape:
            self.escaped.emit()
        else:
            super().keyPressEvent(event)


class FindBar(QWidget):
    """The bar: `typed` tells the text, `stepped` one on or back, `entered` to go there.

    `clicked` tells the number of a line below, `left` that the bar is to close.
    """

    typed = Signal(str)
    stepped = Signal(int)
    entered = Signal()
    clicked = Signal(int)
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Find")
        self.field = FindField(parent=self)
        self.sentence = BodyLabel("", ink=Role.INK_2, parent=self)
        self.close_button = Button("Close", parent=self)
        self.lines = QListWidget(self)
        self._build()
        self._connect()

    def _build(self) -> None:
        self.field.setAccessibleName("Find")
        self.field.setAccessibleDescription(HELP)
        self.field.setPlaceholderText(HINT)
        self.close_button.setToolTip(tip("Close (Esc)"))
        self.close_button.setAccessibleDescription("Esc")
        self.lines.setAccessibleName("Found")
        self.lines.setFrameShape(QFrame.Shape.NoFrame)
        # The ground of the bar shows through.
        self.lines.viewport().setAutoFillBackground(False)
        self.lines.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.lines.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.lines.setItemDelegate(LineDelegate(self.lines, is_led=True))
        use_slim_bar(self.lines)
        top = QHBoxLayout()
        top.setSpacing(Space.S)
        # What is typed is short, what is told of it may be long.
        top.addWidget(self.field, 1)
        top.addWidget(self.sentence, 1, Qt.AlignmentFlag.AlignVCenter)
        top.addWidget(self.close_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.L, Space.S, Space.L, Space.XS)
        column.setSpacing(Space.XXS)
        column.addLayout(top)
        column.addWidget(self.lines)
        self.lines.hide()
        self.setFocusProxy(self.field)

    def _connect(self) -> None:
        self.field.textChanged.connect(self.typed)
        self.field.stepped.connect(self.stepped)
        self.field.entered.connect(self.entered)
        self.field.escaped.connect(self.left)
        self.close_button.clicked.connect(self.left)
        self.lines.itemClicked.connect(self._on_clicked)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Close by Escape, whichever part of the bar has the keys."""
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
            return
        super().keyPressEvent(event)

    @property
    def text(self) -> str:
        """What was typed."""
        return self.field.text()

    def begin(self, typed: str = "") -> None:
        """Take the keys; what was typed before is selected, so that typing replaces it.

        A letter that was typed outside begins a text of its own.
        """
        self.show()
        self.field.setFocus(Qt.FocusReason.ShortcutFocusReason)
        if typed:
            self.field.setText(typed)
        else:
            self.field.selectAll()

    def show_found(self, sentence: str, lines: Sequence[str]) -> None:
        """Tell how much was found, and list what has no line in the page."""
        self.sentence.setText(sentence)
        self.sentence.setToolTip(tip(sentence) if sentence else "")
        self.lines.clear()
        for text in lines:
            item = QListWidgetItem(text)
            item.setToolTip(tip(text))
            self.lines.addItem(item)
        high, page = metrics_for(self.font()).list_hit_height, self.parentWidget()
        room = least = _LINES_SEEN
        if page is not None:
            room = page.height() // _SHARE_OF_PAGE // high
            # The field above, a notice beside it, and three rows of the page below.
            direct = Qt.FindChildOption.FindDirectChildrenOnly
            notices = page.findChildren(NoticeBar, options=direct)
            taken = sum(one.height() for one in notices if not one.isHidden())
            taken += self.field.sizeHint().height() + 2 * Space.S + 3 * high
            free = page.height() - taken
            least = max(1, min(_LINES_LEAST, free // high))
        seen = min(len(lines), _LINES_SEEN, max(room, least))
        self.lines.setFixedHeight(seen * high)
        self.lines.setVisible(bool(lines))

    def set_current(self, at: int) -> None:
        """Mark the line to which Return leads, none with -1."""
        self.lines.setCurrentRow(at)
        if at >= 0:
            self.lines.scrollToItem(self.lines.item(at))

    def say(self, sentence: str) -> None:
        """Have a screen reader say where Return leads."""
        if sentence:
            announce(self.field, sentence)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the ground, and a hairline between the bar and the page."""
        painter, table = QPainter(self), colours_of(self.palette())
        paint_ground(painter, self.rect(), table[Role.GROUND])
        line = self.rect()
        line.setTop(line.bottom() - table.hairline + 1)
        paint_ground(painter, line, table[Role.LINE])

    def _on_clicked(self, item: QListWidgetItem) -> None:
        self.clicked.emit(self.lines.row(item))
