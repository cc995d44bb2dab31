"""The form that pauses a chore or its whole tank."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.core.chores import Calendar
from tankkeeper.core.household import Tank
from tankkeeper.gui.forms.day_choice import DayChoice
from tankkeeper.gui.forms.day_fields import DayField
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.reports.words import Words

UNTIL_RESUMED: Final = "Until I resume it"
UNTIL_DAY: Final = "Until a day"
_WEEKS: Final = (1, 2, 4)
_NO_DAY: Final = "Write down the last paused day."


class PauseForm(Form):
    """Asks what to pause and until when; `chosen` tells (whole tank or not, last paused day).

    Without a row it is about the whole tank. The line in hand says already what to pause, so the
    keys begin in what nothing says yet: until when. Another answer to the first is one field above.
    """

    chosen = Signal(bool, object)

    def __init__(
        self, row: ItemRow | None, tank: Tank | None, words: Words, parent: QWidget
    ) -> None:
        name = row.name if row is not None else tank.name if tank is not None else ""
        super().__init__(f"Pause: {name}", _sentence(row, is_tank=row is None), "Pause", parent)
        self._row = row
        self._today = words.today
        self.what = ChoiceField("What", self)
        if row is not None:
            # Its name stands in the title, which has room for a long one.
            self.what.addItem("Only this chore", False)
        if tank is not None:
            self.what.addItem(f"The whole tank: {tank.name}", True)
        self.until = DayChoice("Until", self)
        self.until.addItem(UNTIL_RESUMED, None)
        for weeks in _WEEKS:
            last = words.today + timedelta(days=7 * weeks - 1)
            name = "1 week" if weeks == 1 else f"{weeks} weeks"
            self.until.addItem(f"{name}, to {words.weekday_and_number(last)}", last)
        self.until.addItem(UNTIL_DAY, None)
        self.day = DayField("Last paused day", words, first=words.today, parent=self)
        self.until.lead_to(self.day)
        self.day.set_day(words.today + timedelta(days=6))
        self._build_fields()
        self.what.currentIndexChanged.connect(self._on_what)
        self.until.currentIndexChanged.connect(self._on_until)
        self.asked.connect(self._on_asked)
        self.until.setFocus()
        self._on_until()

    def _build_fields(self) -> None:
        for label, field in (("&What", self.what), ("&Until", self.until), ("&Day", self.day)):
            self.add_field(label, field)

    @property
    def last_day(self) -> date | None:
        """The last paused day, None until it is resumed."""
        if self.until.currentText() == UNTIL_DAY:
            return self.day.day
        data = self.until.currentData()
        return data if isinstance(data, date) else None

    def _on_what(self) -> None:
        """Tell what the pause means for the days: of a chore they go on, of a tank they do not."""
        if self.caption is not None:
            self.caption.setText(_sentence(self._row, is_tank=bool(self.what.currentData())))

    def _on_until(self) -> None:
        self.fields.setRowVisible(self.day, self.until.currentText() == UNTIL_DAY)

    def _on_asked(self) -> None:
        if self.until.currentText() == UNTIL_DAY and not self._is_day_typed():
            self.day.go_to()
            return
        self.wait()
        self.chosen.emit(bool(self.what.currentData()), self.last_day)

    def _is_day_typed(self) -> bool:
        """Tell below the day what is wrong with it, if anything."""
        if self.day.check() and self.day.day is None:
            self.day.show_fault(_NO_DAY)
        return not self.day.fault


def _sentence(row: ItemRow | None, *, is_tank: bool) -> str:
    """Return what a pause means; what was done today stays done."""
    if is_tank:
        means = (
            "Nothing is due while it lasts, and nothing warns of its water. Its days stand still: "
            "what was to come is as many days later."
        )
    else:
        is_fixed = row is not None and isinstance(row.item.chore.rhythm, Calendar)
        after = "due on the first day after it"
        if is_fixed:
            after = "left out, and what is open now is open again after it"
        means = f"Nothing is due while it lasts. Its days go on: what falls into it is {after}."
    if row is None or not row.is_closed:
        return means
    return f"What was {row.item.state.value} today stays so. {means}"
