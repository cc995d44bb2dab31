"""What closing the window means, asked once."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.forms.form import Form
from tankkeeper.services.reminder_habits import WhenClosed

CLOSED_WORDS = {
    WhenClosed.ASK: "Ask the first time",
    WhenClosed.STAY: "Keep the reminders running",
    WhenClosed.END: "End the program",
}


class CloseForm(Form):
    """Asks once what closing the window means; `answered` tells it."""

    answered = Signal(object)

    def __init__(self, parent: QWidget) -> None:
        sentence = "The icon in the tray brings the window back. This is asked once."
        super().__init__("Closing the window", sentence, "Keep", parent)
        self.choice = ChoiceField("When the window is closed", self)
        for one in (WhenClosed.STAY, WhenClosed.END):
            self.choice.addItem(CLOSED_WORDS[one], one.value)
        self.add_field("&Closing", self.choice)
        self.asked.connect(self._on_asked)
        self.choice.setFocus()

    def _on_asked(self) -> None:
        self.wait()
        self.answered.emit(WhenClosed(self.choice.currentData()))
