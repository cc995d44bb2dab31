"""Fields that several forms share: who did it, and when."""

from __future__ import annotations

from datetime import datetime, timedelta

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from tankkeeper.core.household import Household
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.day_choice import DayChoice
from tankkeeper.gui.forms.day_fields import MomentField
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.typography import Space
from tankkeeper.reports.people_names import shown_people
from tankkeeper.reports.words import Words

NOBODY = "Nobody named"
NOW = "Now"
OTHER = "Another time"
NOT_TYPED = "Write down the day and the time."
# By which faults of the services the moment is meant.
OF_MOMENT = ("in_the_future", "too_long_ago")
_DAYS_BACK = 7


class WhoField(ChoiceField):
    """Who did it; the person at the window is chosen beforehand."""

    def __init__(
        self, household: Household, person_id: str | None, parent: QWidget | None = None
    ) -> None:
        super().__init__("Who", parent)
        for one_id, name in shown_people(household).items():
            self.addItem(name, one_id)
        self.addItem(NOBODY, None)
        self.choose(person_id)

    def choose(self, person_id: str | None) -> None:
        """Choose a person, nobody where there is none with that id."""
        at = self.findData(person_id)
        self.setCurrentIndex(at if at >= 0 else self.count() - 1)

    @property
    def person_id(self) -> str | None:
        """The id of the chosen person, or None."""
        chosen = self.currentData()
        return chosen if isinstance(chosen, str) else None


@dataclass(frozen=True, slots=True)
class _Day:
    words: str
    at: datetime


def days_back(words: Words) -> tuple[_Day, ...]:
    """Return the last days with the moment of their usual round."""
    moment = words.moment
    found = []
    for back in range(1, _DAYS_BACK + 1):
        day = moment.day - timedelta(days=back)
        name = "Yesterday" if back == 1 else words.weekday_and_number(day)
        found.append(_Day(name, moment.usual(back)))
    return tuple(found)


class WhenField(QWidget):
    """When it was done: now, a day back at the hour of the round, or a time that is typed."""

    changed = Signal()

    def __init__(self, words: Words, days_ago: int = 0, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = words
        self._days = days_back(words)
        self.choice = DayChoice("When", self)
        self.choice.addItem(NOW)
        for day in self._days:
            self.choice.addItem(day.words)
        self.choice.addItem(OTHER)
        self.other = MomentField("Day and time", words, parent=self)
        self.choice.lead_to(self.other)
        self._build()
        self.choice.setCurrentIndex(days_ago)
        self.choice.currentIndexChanged.connect(self._on_choice)

    def _build(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.XXS)
        for field in (self.choice, self.other):
            column.addWidget(field)
        self.other.set_moment(self._words.moment.local)
        self.other.hide()
        self.setFocusProxy(self.choice)

    def begin_at(self, at: datetime | None) -> None:
        """Begin with a moment that is past, None for now; one of the days back where it is that."""
        if at is not None:
            self.other.take_hours_on(self._words.moment.day_of(at))
        back = next((n for n, day in enumerate(self._days, 1) if day.at == at), None)
        if at is not None and back is None:
            self.other.set_moment(at.astimezone(self._words.moment.zone).replace(tzinfo=None))
            back = self.choice.count() - 1
        self.choice.setCurrentIndex(back or 0)

    @property
    def at(self) -> datetime | None:
        """The moment chosen, None for now; `check` tells whether there is one."""
        number = self.choice.currentIndex()
        if number == 0:
            return None
        if number <= len(self._days):
            return self._days[number - 1].at
        return self.other.at

    @property
    def is_typed(self) -> bool:
        """Whether a time is typed, and neither now nor a day back chosen."""
        return self.choice.currentText() == OTHER

    def check(self) -> bool:
        """Tell below what was typed if it is no moment, go there, and return whether it is one."""
        if not self.is_typed:
            return True
        if self.other.check() and self.other.moment is None:
            self.other.show_fault(NOT_TYPED)
        if self.other.fault:
            self.other.go_to()
        return not self.other.fault

    def refuse(self, sentence: str) -> bool:
        """Tell a refusal of the moment where it was typed; false where none was."""
        if not self.is_typed:
            return False
        self.other.show_fault(sentence)
        self.other.go_to()
        return True

    def ask(self) -> None:
        """Let the time be typed: "now" is not to be believed."""
        self.choice.setCurrentIndex(self.choice.count() - 1)

    def _on_choice(self) -> None:
        self.other.setVisible(self.is_typed)
        self.changed.emit()
