"""What the window offers while the household has no tank."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from tankkeeper.gui.marks import Mark
from tankkeeper.gui.palette import Role
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.buttons import ButtonKind, KeyedButton
from tankkeeper.gui.widgets.labels import BodyLabel, TitleLabel
from tankkeeper.gui.widgets.why_panel import Notice

TITLE = "No tanks yet"
SENTENCE = (
    "Open the sample household to look around; it is invented, and it may be spoiled. "
    "Or import a tank file with tanks and chores of your own."
)
ADD_SENTENCE = "Add your first tank, and choose among the chores that suit it. "


class EmptyPage(QWidget):
    """Says what belongs here and how to fill it; `commanded` tells the command that was chosen."""

    commanded = Signal(str)

    def __init__(
        self,
        title: str = TITLE,
        sentence: str = SENTENCE,
        parent: QWidget | None = None,
        *,
        can_add: bool = False,
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(title)
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.L, Space.M, Space.L, Space.L)
        column.setSpacing(Space.XXS)
        column.addWidget(TitleLabel(title, parent=self))
        words = f"{ADD_SENTENCE}{sentence}" if can_add else sentence
        column.addWidget(BodyLabel(words, ink=Role.INK_2, parent=self))
        column.addSpacing(Space.M)
        row = QHBoxLayout()
        row.setSpacing(Space.S)
        ways = [
            (Command.IMPORT, "Import a tank file"),
            (Command.SAMPLE, "Open the sample household"),
        ]
        if can_add:
            ways.insert(0, (Command.NEW_TANK, "Add a tank"))
        for command, text in ways:
            kind = ButtonKind.PRIMARY if command is ways[0][0] else ButtonKind.PLAIN
            button = KeyedButton(command.value, text, key_caption(command), kind, self)
            button.pressed_id.connect(self.commanded)
            row.addWidget(button)
        row.addStretch(1)
        column.addLayout(row)
        column.addSpacing(Space.M)
        column.addStretch(1)
        self._column = column
        self._notice: Notice | None = None
        self.setFocusProxy(self.findChildren(KeyedButton)[0])

    def refuse(self, sentence: str) -> None:
        """Tell below the buttons why what was chosen was not done."""
        if self._notice is not None:
            self._column.removeWidget(self._notice)
            self._notice.deleteLater()
        self._notice = Notice(Mark.REFUSED, sentence, Role.OVERDUE_SOFT, self)
        self._column.insertWidget(self._column.count() - 1, self._notice)
        announce(self, sentence)
