"""The form that pauses a chore or its whole tank."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

from PySide6.QtCore import QDate, Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.core.household import Tank
from tankkeeper.gui.forms.fields import ChoiceField, DayField
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.reports.words import Words

UNTIL_RESUMED: Final = "Until I resume it"
UNTIL_DAY: Final = "Until a day"
_WEEKS: Final = (1, 2, 4)


class PauseForm(Form):
    """Asks what to pause and until when; `chosen` tells (whole tank or not, last paused day).

    Without a row it is about the whole tank.
    """

    chosen = Signal(bool, object)

    def __init__(
        self, row: ItemRow | None, tank: Tank | None, words: Words, parent: QWidget
    ) -> None:
        name = row.name if row is not None else tank.name if tank is not None else ""
        super().__init__(f"Pause: {name}", _sentence(row), "Pause", parent)
        self._today = words.today
        self.what = ChoiceField("What", self)
        if row is not None:
            self.what.addItem(f"Only this chore: {row.name}", False)
        if tank is not None:
            self.what.addItem(f"The whole tank: {tank.name}", True)
        self.until = ChoiceField("Until", self)
        self.until.addItem(UNTIL_RESUMED, None)
        for weeks in _WEEKS:
            last = words.today + timedelta(days=7 * weeks - 1)
            name = "1 week" if weeks == 1 else f"{weeks} weeks"
            self.until.addItem(f"{name}, to {words.weekday_and_number(last)}", last)
        self.until.addItem(UNTIL_DAY, None)
        self.day = DayField("Last paused day", self)
        self.day.setMinimumDate(_qt_day(words.today))
        self.day.setDate(_qt_day(words.today + timedelta(days=6)))
        self._build_fields()
        self.until.currentIndexChanged.connect(self._on_until)
        self.asked.connect(self._on_asked)
        (self.what if self.what.count() > 1 else self.until).setFocus()
        self._on_until()

    def _build_fields(self) -> None:
        for label, field in (("&What", self.what), ("&Until", self.until), ("&Day", self.day)):
            self.add_field(label, field)

    @property
    def last_day(self) -> date | None:
        """The last paused day, None until it is resumed."""
        if self.until.currentText() == UNTIL_DAY:
            chosen = self.day.date().toPython()
            assert isinstance(chosen, date)
            return chosen
        data = self.until.currentData()
        return data if isinstance(data, date) else None

    def _on_until(self) -> None:
        self.fields.setRowVisible(self.day, self.until.currentText() == UNTIL_DAY)

    def _on_asked(self) -> None:
        self.wait()
        self.chosen.emit(bool(self.what.currentData()), self.last_day)


def _sentence(row: ItemRow | None) -> str:
    """Return what a pause means; what was done today stays done."""
    if row is not None and row.is_closed:
        was = row.item.state.value
        return f"What was {was} today stays so. Nothing more is due while it lasts."
    return "Nothing is due while it lasts."


def _qt_day(day: date) -> QDate:
    return QDate(day.year, day.month, day.day)
