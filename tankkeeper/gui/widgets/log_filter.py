"""The filter of the logbook: a line to type in, and what to narrow it to."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from tankkeeper.gui.forms.day_fields import DayField, local_style
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.models.changed_fields import fields_found
from tankkeeper.gui.typography import Space, metrics_for
from tankkeeper.gui.widgets.find_bar import FindField
from tankkeeper.gui.widgets.labels import tip
from tankkeeper.reports.log_words import KIND_WORDS, word_hits
from tankkeeper.reports.numbers import UNIT_SIGNS
from tankkeeper.reports.people_names import shown_people
from tankkeeper.reports.words import Words
from tankkeeper.services.log_search import LogKind, LogSearch

HINT: Final = "A chore, a person, an amount, a day, a word of a note"
_HELP: Final = (
    "What is typed is found at once: also {amount}, > {amount}, last tuesday, 3 days ago. "
    "Down and Return go to the entries, Escape clears."
)
ALL_CHORES, EVERYBODY, ALL_KINDS = "Every chore", "Everybody", "Every kind"
_CHOICES: Final = 4
# Below this width a choice would cut most of its words.
_LEAST_WIDE: Final = 150


class _Span:
    """The stretches of time to choose from."""

    ALL: Final = "At any time"
    TODAY: Final = "Today"
    WEEK: Final = "The last 7 days"
    MONTH: Final = "The last 30 days"
    YEAR: Final = "This year"
    LAST_YEAR: Final = "Last year"
    OTHER: Final = "From a day to a day"
    EACH: Final = (ALL, TODAY, WEEK, MONTH, YEAR, LAST_YEAR, OTHER)


class LogFilter(QWidget):
    """The filter; `changed` tells that something else is wanted, `left` that the list is."""

    changed = Signal()
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field = FindField(parent=self)
        self.chore = ChoiceField("Chore", self)
        self.person = ChoiceField("Person", self)
        self.kind = ChoiceField("Kind", self)
        self.span = ChoiceField("Time", self)
        self.first = DayField("From", parent=self)
        self.last = DayField("To", parent=self)
        # The days that are wanted: what is half typed moves nothing.
        self._wanted: dict[DayField, date | None] = {}
        self._grid = QGridLayout(self)
        self._per_row = 0
        self._is_low = False
        self._words: Words | None = None
        self._style = local_style()
        self._chores: tuple[tuple[str, str], ...] = ()
        self._build()
        self._connect()

    def _build(self) -> None:
        self.setAccessibleName("Filter")
        self.field.setAccessibleName("Find in the logbook")
        self.field.setPlaceholderText(HINT)
        self._grid.setContentsMargins(Space.L, 0, Space.M, Space.S)
        self._grid.setHorizontalSpacing(Space.XS)
        self._grid.setVerticalSpacing(Space.XS)
        self.person.addItem(EVERYBODY, None)
        self.chore.addItem(ALL_CHORES, None)
        self.kind.addItem(ALL_KINDS, None)
        for kind, words in KIND_WORDS.items():
            self.kind.addItem(words, kind.value)
        self.span.addItems(_Span.EACH)
        for day in (self.first, self.last):
            day.hide()
        self._place()

    def _connect(self) -> None:
        self.field.textChanged.connect(self.changed)
        self.field.stepped.connect(self.left)
        self.field.entered.connect(self.left)
        self.field.escaped.connect(self._on_escape)
        for choice in (self.chore, self.person, self.kind):
            choice.currentIndexChanged.connect(self.changed)
        self.span.currentIndexChanged.connect(self._on_span)
        for day in (self.first, self.last):
            day.value_changed.connect(self._on_day)
            day.field.textChanged.connect(self._on_day)

    @property
    def is_clear(self) -> bool:
        """Whether nothing is left out."""
        choices = (self.chore, self.person, self.kind, self.span)
        return not self.field.text().strip() and all(one.currentIndex() <= 0 for one in choices)

    def set_words(self, words: Words, tank_id: str | None) -> None:
        """Offer the people and chores there are; what is chosen stays chosen."""
        had_today = self._words is not None
        self._words = words
        house = words.household
        unit = words.units.volume
        told = _HELP.format(amount=f"{25 if unit == 'L' else 5} {UNIT_SIGNS.get(unit, unit)}")
        self.field.setAccessibleDescription(told)
        self.field.setToolTip(tip(told))
        people = tuple((name, one) for one, name in shown_people(house).items())
        named = {one.id: one.name for one in house.tanks}

        def called(name: str, tank: str | None) -> str:
            return name if tank_id is not None or tank is None else f"{name}, {named[tank]}"

        chores = tuple(
            (called(one.name, one.tank), one.id)
            for one in house.chores
            if tank_id is None or one.tank == tank_id
        )
        _offer(self.person, EVERYBODY, people)
        _offer(self.chore, ALL_CHORES, chores)
        for day in (self.first, self.last):
            day.bound(words)
        if not had_today:
            for day, value in ((self.first, words.today - timedelta(30)), (self.last, words.today)):
                with QSignalBlocker(self):
                    day.set_day(value)

    def search(self, tank_id: str | None) -> LogSearch:
        """Return what is wanted of a tank, or of the whole house."""
        words = self._words
        if words is None:
            return LogSearch(tank=tank_id)
        kind = self.kind.currentData()
        first, last = self._days(words.today)
        return LogSearch(
            tank=tank_id,
            chore=self.chore.currentData(),
            person=self.person.currentData(),
            kind=None if kind is None else LogKind(kind),
            from_day=first,
            to_day=last,
            words=word_hits(self.field.text(), words, self._style, fields_found),
        )

    def clear(self) -> None:
        """Leave nothing out."""
        if self.is_clear:
            return
        with QSignalBlocker(self):
            self.field.clear()
            for choice in (self.chore, self.person, self.kind, self.span):
                choice.setCurrentIndex(0)
        self.changed.emit()

    def begin(self, typed: str = "") -> None:
        """Take the keys; what was typed before is selected, so that typing replaces it.

        A letter that was typed outside begins a text of its own, a space goes on with it.
        """
        self.field.setFocus()
        if typed.isspace():
            self.field.setText(f"{self.field.text().rstrip()}{typed}")
        elif typed:
            self.field.setText(typed)
        else:
            self.field.selectAll()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the choices side by side, or two by two where they would be cut."""
        super().resizeEvent(event)
        self._place()

    def set_low(self, is_low: bool) -> None:
        """Stand on one line where height is scarcer than width, though the choices may be cut."""
        if is_low != self._is_low:
            self._is_low = is_low
            self._place()

    def _days(self, today: date) -> tuple[date | None, date | None]:
        span = self.span.currentText()
        if span == _Span.OTHER:
            first, last = (self._wanted.get(one) for one in (self.first, self.last))
            if first is not None and last is not None and last < first:
                return last, first
            return first, last
        year = date(today.year, 1, 1)
        starts: dict[str, tuple[date | None, date | None]] = {
            _Span.TODAY: (today, None),
            _Span.WEEK: (today - timedelta(days=6), None),
            _Span.MONTH: (today - timedelta(days=29), None),
            _Span.YEAR: (year, None),
            _Span.LAST_YEAR: (date(today.year - 1, 1, 1), year - timedelta(days=1)),
        }
        return starts.get(span, (None, None))

    def _place(self) -> None:
        wide = metrics_for(self.font()).px(_LEAST_WIDE) + Space.XS
        has_width = self.width() - 2 * Space.L >= _CHOICES * wide
        per_row = _CHOICES if has_width or self._is_low else 2
        if per_row == self._per_row:
            return
        self._per_row = per_row
        self._grid.addWidget(self.field, 0, 0, 1, per_row)
        parts = (self.chore, self.person, self.kind, self.span, self.first, self.last)
        for at, part in enumerate(parts):
            row, column = divmod(at, per_row)
            self._grid.addWidget(part, row + 1, column)
        for column in range(_CHOICES):
            self._grid.setColumnStretch(column, 1 if column < per_row else 0)

    def _on_span(self) -> None:
        is_other = self.span.currentText() == _Span.OTHER
        self.first.setVisible(is_other)
        self.last.setVisible(is_other)
        self.changed.emit()

    def _on_day(self) -> None:
        """Look anew once there is another day, or none where the line is empty."""
        before = dict(self._wanted)
        for field in (self.first, self.last):
            is_there = field.day is not None and field.is_whole
            if is_there or not field.text.strip():
                self._wanted[field] = field.day
        if self._wanted != before:
            self.changed.emit()

    def _on_escape(self) -> None:
        if self.is_clear:
            self.left.emit()
        self.clear()


def _offer(choice: ChoiceField, every: str, named: Sequence[tuple[str, str]]) -> None:
    """Offer these; the chosen one stays, or all are where it is gone."""
    offered = [(choice.itemText(at), choice.itemData(at)) for at in range(1, choice.count())]
    if offered == list(named):
        return
    chosen = choice.currentData()
    with QSignalBlocker(choice):
        choice.clear()
        choice.addItem(every, None)
        for text, key in named:
            choice.addItem(text, key)
        choice.setCurrentIndex(max(0, choice.findData(chosen)) if chosen is not None else 0)
