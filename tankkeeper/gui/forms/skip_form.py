"""The form that leaves turns out and says why."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.fields import NoteField
from tankkeeper.gui.forms.form import Form

KEYS = "Return skips, Shift+Return begins a new line. The reason may stay empty."


class SkipForm(Form):
    """Takes the reason for which turns are left out; `written` tells its text."""

    written = Signal(str)

    def __init__(self, about: str, parent: QWidget) -> None:
        super().__init__(f"Skip: {about}", KEYS, "Skip", parent)
        self.text = NoteField("Why", self)
        self.text.entered.connect(self.primary.click)
        self.column.insertWidget(self.column.count() - 2, self.text, 1)
        self.asked.connect(self._on_asked)
        self.keep_typing(about)
        self.text.setFocus()
        # A reason left from last time is seldom that of today: what is typed takes its place.
        self.text.selectAll()

    def _on_asked(self) -> None:
        self.wait()
        self.written.emit(self.text.toPlainText())
