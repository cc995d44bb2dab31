"""A sentence above a list, with what can be done about it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from tankkeeper.gui.marks import Mark
from tankkeeper.gui.palette import Role
from tankkeeper.gui.shortcuts import Command, key_caption, shortcut
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.why_panel import Notice

# Beside the sentence it is plain what is meant.
_SHORT = {
    Command.MEANWHILE: "Say what was done",
    Command.CLOSE_NOTICE: "Close",
    Command.SHOW_REMINDED: "Show",
    Command.CLOSE_REMINDER: "Close",
}


class NoticeBar(QWidget):
    """Shows one sentence at a time; `commanded` tells the command of the button that was used."""

    commanded = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(Space.L, Space.S, Space.L, 0)
        self._row.setSpacing(Space.XS)
        self._parts: list[QWidget] = []
        self.sentence = ""
        self.hide()

    def show_notice(self, sentence: str, commands: Sequence[Command]) -> None:
        """Show a sentence with the buttons of these commands, or with an empty one nothing."""
        if sentence == self.sentence:
            return
        self.sentence = sentence
        for part in self._parts:
            self._row.removeWidget(part)
            part.deleteLater()
        self._parts = []
        self.setVisible(bool(sentence))
        if not sentence:
            return
        notice = Notice(Mark.CAUTION, sentence, Role.AMBER_SOFT, self)
        self._parts = [notice, *(self._button(command) for command in commands)]
        for number, part in enumerate(self._parts):
            self._row.addWidget(part, 0 if number else 1)
        announce(self, sentence)

    def _button(self, command: Command) -> Button:
        text = _SHORT.get(command, shortcut(command).text)
        button = Button(f"{text} ({key_caption(command)})", parent=self)
        button.clicked.connect(lambda: self.commanded.emit(command.value))
        return button
