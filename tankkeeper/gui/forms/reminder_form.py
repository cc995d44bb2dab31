"""The forms of the reminders: when and how, and what closing the window means."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QWidget

from tankkeeper.core.errors import UserFault
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.forms.typed_lists import clock_in
from tankkeeper.gui.typography import Space, metrics_for
from tankkeeper.gui.widgets.labels import CaptionLabel
from tankkeeper.gui.widgets.quantity_field import Field
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.words import WEEKDAYS, wall_time
from tankkeeper.services.reminder_habits import Habits, WhenClosed, quiet_of

NO_TRAY = "This desktop has no tray; reminders stand in the window"
CLOSED_WORDS = {
    WhenClosed.ASK: "Ask the first time",
    WhenClosed.STAY: "Keep the reminders running",
    WhenClosed.END: "End the program",
}
TRAY_WORDS = (("No icon", False), ("An icon that tells reminders", True))
LOGIN_WORDS = (("Do not start", False), ("Start the program", True))


def typed_time(text: str) -> time | None:
    """Return a wall time as people type it, None for what is none.

    >>> typed_time("7.30"), typed_time("24")
    (datetime.time(7, 30), None)
    """
    try:
        return clock_in(text)
    except UserFault:
        return None


class _Times(QWidget):
    """Several times beside one another, each beneath its name."""

    def __init__(self, names: Sequence[tuple[str, str]], values: Sequence[time | None]) -> None:
        super().__init__()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(Space.XS)
        grid.setVerticalSpacing(Space.XXS)
        self.fields: list[Field] = []
        for column, ((short, name), value) in enumerate(zip(names, values, strict=True)):
            field = Field(parent=self)
            field.setAccessibleName(name)
            field.setText("" if value is None else wall_time(value))
            field.setMinimumWidth(metrics_for(self.font()).px(62))
            grid.addWidget(CaptionLabel(short, wraps=False, parent=self), 0, column)
            grid.addWidget(field, 1, column)
            self.fields.append(field)
        self.setFocusProxy(self.fields[0])


class ReminderForm(Form):
    """Asks when and how to be reminded; `chosen` tells the `Habits`."""

    chosen = Signal(object)

    def __init__(self, habits: Habits, has_tray: bool, parent: QWidget) -> None:
        sentence = "An empty hour is a day without a summary; without two hours there is no quiet."
        super().__init__("Reminders", sentence, "Keep", parent)
        days = [(day[:3], f"Morning summary on {day}") for day in WEEKDAYS]
        self.mornings = _Times(days, habits.mornings)
        ends = habits.quiet or (None, None)
        self.quiet = _Times([("From", "Quiet hours from"), ("To", "Quiet hours to")], ends)
        self.tray = ChoiceField("In the tray", self)
        self.closed = ChoiceField("When the window is closed", self)
        self.login = ChoiceField("At login", self)
        self._fill(habits, has_tray)
        self._place()
        self.setMinimumWidth(metrics_for(self.font()).px(660))
        self.asked.connect(self._on_asked)
        self.mornings.setFocus()

    def _fill(self, habits: Habits, has_tray: bool) -> None:
        for words, shows in TRAY_WORDS if has_tray else ((NO_TRAY, False),):
            self.tray.addItem(words, shows)
        if not has_tray and habits.uses_tray:
            # What was chosen for another desktop stays as it is.
            self.tray.setItemData(0, True)
        self.tray.setEnabled(has_tray)
        for one, closed in CLOSED_WORDS.items():
            self.closed.addItem(closed, one.value)
        for words, starts in LOGIN_WORDS:
            self.login.addItem(words, starts)
        for field, value in (
            (self.tray, habits.uses_tray),
            (self.closed, habits.when_closed.value),
            (self.login, habits.at_login),
        ):
            field.setCurrentIndex(max(0, field.findData(value)))

    def _place(self) -> None:
        for name, times in (("&Morning", self.mornings), ("&Quiet hours", self.quiet)):
            row = QHBoxLayout()
            row.addWidget(times)
            row.addStretch(1)
            holder = QWidget(self)
            holder.setLayout(row)
            row.setContentsMargins(0, 0, 0, 0)
            holder.setFocusProxy(times)
            self.add_field(name, holder)
        for name, field in (
            ("&Tray", self.tray),
            ("&Closing", self.closed),
            ("At &login", self.login),
        ):
            self.add_field(name, field)
        self.tray.currentIndexChanged.connect(self._on_tray)
        self._on_tray()

    def _on_tray(self) -> None:
        """Without an icon nothing could bring a closed window back: closing ends the program."""
        has_icon = bool(self.tray.currentData()) and self.tray.isEnabled()
        self.fields.setRowVisible(self.closed, has_icon)

    def _on_asked(self) -> None:
        for field in (*self.mornings.fields, *self.quiet.fields):
            field.set_fault(False)
        mornings = [self._read(field) for field in self.mornings.fields]
        quiet = [self._read(field) for field in self.quiet.fields]
        wrong = [
            field
            for field, value in zip(
                (*self.mornings.fields, *self.quiet.fields), (*mornings, *quiet), strict=True
            )
            if value is None and field.text().strip()
        ]
        if wrong:
            self._refuse_at(wrong, "is not a time of day. Write it like 07:30, or leave it empty.")
            return
        try:
            quiet_hours = quiet_of(*quiet)
        except UserFault as half:
            # Half a pair is told at the empty hour, a pair without length at its end.
            at = quiet.index(None) if None in quiet else 1
            self._refuse_at([self.quiet.fields[at]], fault_words(half), is_about_it=True)
            return
        one, two, three, four, five, six, seven = mornings
        self.wait()
        self.chosen.emit(
            Habits(
                mornings=(one, two, three, four, five, six, seven),
                quiet=quiet_hours,
                uses_tray=bool(self.tray.currentData()),
                when_closed=WhenClosed(self.closed.currentData()),
                at_login=bool(self.login.currentData()),
            )
        )

    def _read(self, field: Field) -> time | None:
        return typed_time(field.text())

    def _refuse_at(
        self, fields: Sequence[Field], sentence: str, *, is_about_it: bool = False
    ) -> None:
        for field in fields:
            field.set_fault(True)
        fields[0].setFocus()
        typed = "" if is_about_it else fields[0].text().strip()
        self.refuse(f'"{typed[:20]}" {sentence}' if typed else sentence)


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
