"""A page on which things are set down: a title, what can be done, parts to choose, a sheet."""

from __future__ import annotations

from itertools import pairwise

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from tankkeeper.gui.marks import Mark
from tankkeeper.gui.palette import Role
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.typography import Space, metrics_for
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.buttons import Button, ButtonKind
from tankkeeper.gui.widgets.labels import CaptionLabel, TitleLabel
from tankkeeper.gui.widgets.scrolling import scrolls, use_slim_bar
from tankkeeper.gui.widgets.tab_row import TabRow
from tankkeeper.gui.widgets.why_panel import Notice

# Beneath the head there is room for a field with its name, or for one thing of a list and a half.
_LEAST_BODY = 88


class SettlePage(QWidget):
    """The page; `asked` tells the id of the button or part that was used, `left` Escape.

    `group_asked` tells to go to the next group of fields, or with -1 to the one before.
    """

    asked = Signal(str)
    left = Signal()
    group_asked = Signal(int)

    def __init__(self, name: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.title = TitleLabel(parent=self)
        self.sentence = CaptionLabel(ink=Role.INK_2, parent=self)
        self.buttons: dict[str, Button] = {}
        self._column = QVBoxLayout(self)
        self._row = QHBoxLayout()
        self._parts = TabRow(self)
        self._head = QVBoxLayout()
        self._foot = QHBoxLayout()
        # What stands under the title, held so that it can give way.
        self._extras: list[QWidget] = []
        self._notice: Notice | None = None
        self.body = QStackedWidget(self)
        self._build()

    def _build(self) -> None:
        self._head.setContentsMargins(Space.L, Space.S, Space.L, Space.XS)
        self._head.setSpacing(Space.XXS)
        self._row.setSpacing(Space.XS)
        self._head.addWidget(self.title)
        self._head.addWidget(self.sentence)
        self._head.addWidget(self._parts)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addLayout(self._head)
        self._column.addWidget(self.body, 1)
        # It gives way before the head is painted over.
        self.body.setMinimumHeight(1)
        self._foot.setContentsMargins(Space.L, Space.XS, Space.L, Space.S)
        self._foot.addLayout(self._row)
        self._column.addLayout(self._foot)
        make_action(Command.LEAVE_PAGE, self).triggered.connect(self.left)
        make_action(Command.KEEP, self).triggered.connect(self._on_keep)
        make_action(Command.NEXT_GROUP, self).triggered.connect(lambda: self.group_asked.emit(1))
        back = make_action(Command.PREVIOUS_GROUP, self)
        back.triggered.connect(lambda: self.group_asked.emit(-1))

    def add_head(self, widget: QWidget) -> None:
        """Put something under the title that does not scroll."""
        holder = QWidget(self)
        inside = QVBoxLayout(holder)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.addWidget(widget)
        widget.installEventFilter(self)
        self._extras.append(holder)
        self._head.insertWidget(2, holder)
        self._share()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Notice that something under the title comes or goes."""
        if event.type() in (QEvent.Type.ShowToParent, QEvent.Type.HideToParent):
            self._share()
        return super().eventFilter(watched, event)

    def event(self, event: QEvent) -> bool:
        """Share the height anew where a part needs another one."""
        is_done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self._share()
        return is_done

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Scroll what stands under the head where the keys are at a button above or below it."""
        area, here = self.body.currentWidget(), QApplication.focusWidget()
        is_inside = here is not None and self.body.isAncestorOf(here)
        if is_inside or not isinstance(area, QScrollArea) or not scrolls(area, event):
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the height."""
        super().resizeEvent(event)
        self._share()

    def _share(self) -> None:
        """Leave the body some room: what is said under the title gives way, then the title.

        The title only where the chosen part says it, too; a screen reader is told both as ever.
        """
        free = self.height() - metrics_for(self.font()).px(_LEAST_BODY)
        free -= self._foot.sizeHint().height() + Space.S + Space.XS
        wide = self.width() - 2 * Space.L
        if self._notice is not None:
            free -= self._notice.heightForWidth(self.width())
        parts = [holder for holder in self._extras if _has_something(holder)]
        for empty in (one for one in self._extras if one not in parts):
            empty.hide()
        in_turn: list[QWidget] = [self.title, *parts, self.sentence]
        if self._parts.tabs:
            self._parts.set_one_row(free < self._parts.whole_height(wide) + Space.XXS)
            free -= self._parts.height() + Space.XXS
        else:
            free -= _high(self.title, wide)
            in_turn.remove(self.title)
            self.title.show()
        for part in in_turn:
            free -= _high(part, wide)
            part.setVisible(free >= 0)

    def set_parts(self, parts: list[tuple[str, str]], chosen: str) -> None:
        """Offer parts of the page as a row of buttons; the chosen one is pressed."""
        for at, (part, text) in enumerate(parts):
            if part not in self.buttons:
                self._parts.add_tab(self._make(part, text, ButtonKind.PLAIN), at)
        for part, _text in parts:
            self.buttons[part].setChecked(part == chosen)
        self._parts.stop_at_chosen()

    @property
    def is_at_parts(self) -> bool:
        """Whether the keys act in the row of the parts."""
        return self._parts.has_keys

    def go_to_parts(self) -> None:
        """Let the keys act in the row of the parts, at the chosen one."""
        self._parts.take_keys()

    def add_button(self, id_: str, text: str, kind: ButtonKind = ButtonKind.PLAIN) -> Button:
        """Add a button to the row at the foot."""
        button = self._make(id_, text, kind)
        self._row.addWidget(button)
        return button

    def add_gap(self) -> None:
        """Let the buttons that follow stand at the other end."""
        self._row.addStretch(1)

    def _make(self, id_: str, text: str, kind: ButtonKind) -> Button:
        button = Button(text, kind, self)
        button.setObjectName(id_)
        button.clicked.connect(self._on_button)
        self.buttons[id_] = button
        return button

    def show_body(self, widget: QWidget) -> None:
        """Let this scroll under the head."""
        for place in range(self.body.count()):
            area = self.body.widget(place)
            if isinstance(area, QScrollArea) and area.widget() is widget:
                self.body.setCurrentWidget(area)
                return
        area = QScrollArea(self.body)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setWidgetResizable(True)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        use_slim_bar(area)
        area.setWidget(widget)
        area.viewport().setAutoFillBackground(False)
        widget.setAutoFillBackground(False)
        self.body.addWidget(area)
        self.body.setCurrentWidget(area)
        self._order_keys(widget)

    def show_plain(self, widget: QWidget) -> None:
        """Let this stand under the head; it scrolls by itself."""
        if self.body.indexOf(widget) < 0:
            self.body.addWidget(widget)
        self.body.setCurrentWidget(widget)
        self._order_keys(widget)

    def _order_keys(self, body: QWidget) -> None:
        """Let Tab go from the last field on to the buttons at the foot."""
        inside = [body, *body.findChildren(QWidget)]
        # The list that a choice drops down is a window of its own.
        taking = [
            one
            for one in inside
            if one.focusPolicy() & Qt.FocusPolicy.TabFocus and one.window() is self.window()
        ]
        foot = [one for one in self.buttons.values() if self._row.indexOf(one) >= 0]
        order = [*taking[-1:], *foot]
        for before, widget in pairwise(order):
            QWidget.setTabOrder(before, widget)

    def clear(self, keeping: QWidget | None = None) -> None:
        """Take every body away but the one that is kept."""
        for area in [self.body.widget(place) for place in range(self.body.count())]:
            if area is not None and area is not keeping:
                self.body.removeWidget(area)
                area.deleteLater()

    def refuse(self, sentence: str) -> None:
        """Tell above the buttons why it was not kept; an empty sentence takes it away."""
        self._show(Mark.REFUSED, sentence, Role.OVERDUE_SOFT)

    def ask(self, sentence: str) -> None:
        """Tell above the buttons what is to be known before it is done."""
        self._show(Mark.CAUTION, sentence, Role.AMBER_SOFT)

    def _show(self, mark: Mark, sentence: str, ground: Role) -> None:
        if self._notice is not None:
            self._column.removeWidget(self._notice)
            self._notice.hide()
            self._notice.deleteLater()
            self._notice = None
        if sentence:
            self._notice = Notice(mark, sentence, ground, self)
            self._column.insertWidget(2, self._notice)
            self.announce(sentence)

    def announce(self, sentence: str) -> None:
        """Have a screen reader say something."""
        announce(self, sentence)

    def _on_button(self) -> None:
        sender = self.sender()
        if sender is not None:
            self.asked.emit(sender.objectName())

    def _on_keep(self) -> None:
        self.asked.emit("keep")


def _has_something(holder: QWidget) -> bool:
    parts = holder.findChildren(QWidget, options=Qt.FindChildOption.FindDirectChildrenOnly)
    return any(not one.isHidden() for one in parts)


def _high(part: QWidget, wide: int) -> int:
    """Return what a part of the head takes, with the gap beneath it."""
    high = part.heightForWidth(wide) if part.hasHeightForWidth() else part.sizeHint().height()
    return high + Space.XXS
