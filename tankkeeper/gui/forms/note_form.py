"""The form that writes a note into the logbook."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.fields import NoteField
from tankkeeper.gui.forms.form import Form

KEYS = "Return keeps it, Shift+Return begins a new line."


class NoteForm(Form):
    """Takes a remark about a tank or the household; `written` tells its text."""

    written = Signal(str)

    def __init__(self, about: str, parent: QWidget) -> None:
        super().__init__(f"Note: {about}", KEYS, "Keep", parent)
        self.text = NoteField("Note", self)
        self.text.entered.connect(self.primary.click)
        self.column.insertWidget(self.column.count() - 2, self.text, 1)
        self.asked.connect(self._on_asked)
        # A remark is looked for wherever the keys are by then.
        self.keep_typing("", about)
        self.text.setFocus()

    def _on_asked(self) -> None:
        self.wait()
        self.written.emit(self.text.toPlainText())
