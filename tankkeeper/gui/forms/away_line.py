"""The line of the form after days off for a turn that piled up, with what must be written down."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from datetime import date, datetime

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.parameters import PARAMETERS, ReadingValue, to_stored
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.units import Dimension, parse_quantity
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.forms.log_fields import reader
from tankkeeper.gui.forms.own_who import own_who
from tankkeeper.gui.models.round_rows import HOUSEHOLD
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.asking import tick_doubts
from tankkeeper.reports.away_words import NOT_DONE, done_on
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import unit_sign
from tankkeeper.reports.words import Words
from tankkeeper.services.away import PiledUp
from tankkeeper.services.ticking import Tick

_MISSING = "Write it down, or choose that it was not done."


class AwayLine(QWidget):
    """One turn: the choice of its day, and where it was done what must be written down.

    `changed` tells that anything of it was chosen or typed.
    """

    changed = Signal()

    def __init__(self, piled: PiledUp, words: Words, parent: QWidget) -> None:
        super().__init__(parent)
        self._piled = piled
        self._words = words
        self.name = name_of(piled.item)
        self.choice = ChoiceField(self.name, self)
        self.choice.addItem(NOT_DONE)
        for day in piled.days:
            self.choice.addItem(done_on(day, words))
        self.litres: QuantityField | None = None
        self.salinity: QuantityField | None = None
        self.values: dict[str, QuantityField] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.XXS)
        column.addWidget(self.choice)
        self._add_fields(column)
        self.who = own_who(self.name, words.household, self)
        if self.who is not None:
            column.addWidget(self.who)
        self.choice.currentIndexChanged.connect(self._on_choice)
        self.choice.currentIndexChanged.connect(self.changed)
        for field in self.fields():
            field.field.textChanged.connect(self.changed)

    def _add_fields(self, column: QVBoxLayout) -> None:
        item, units = self._piled.item, self._words.units
        if "litres" in item.asks:
            name = capital(self._words.volume_name)
            self.litres = self._field(name, units.volume, self._read_litres, column)
            if self._is_proposed():
                self.litres.field.setPlaceholderText("as proposed")
        if item.chore.kind is ChoreKind.WATER_CHANGE and "salinity" in item.asks:
            self.salinity = self._field("Salinity", units.salinity, self._read_salinity, column)
        for name in item.chore.tests:
            parameter = PARAMETERS[name]
            shown = self._words.unit_of(parameter)
            self.values[name] = self._field(parameter.display, shown, reader(name, shown), column)

    def _field(
        self, name: str, unit: str, parse: Callable[[str], object], column: QVBoxLayout
    ) -> QuantityField:
        field = QuantityField(name, unit_sign(unit), parse, self._word, parent=self)
        field.field.setPlaceholderText(name)
        field.hide()
        column.addWidget(field)
        return field

    def _word(self, fault: UserFault) -> str:
        return fault_words(fault, self._words)

    def _read_litres(self, text: str) -> object:
        return to_stored(parse_quantity(text, Dimension.VOLUME, self._words.units.volume))

    def _read_salinity(self, text: str) -> object:
        return to_stored(parse_quantity(text, Dimension.SALINITY, self._words.units.salinity))

    def _is_proposed(self) -> bool:
        amount = self._piled.item.amount
        return amount is not None and amount.unit == "L"

    def fields(self) -> list[QuantityField]:
        """Return the fields of what must be written down."""
        found = [self.litres, *self.values.values(), self.salinity]
        return [field for field in found if field is not None]

    def _on_choice(self) -> None:
        for field in self.fields():
            field.setVisible(self.day is not None)
        if self.who is not None:
            self.who.setVisible(self.day is not None)

    @property
    def day(self) -> date | None:
        """The day on which it was done, None where it was not."""
        number = self.choice.currentIndex()
        return self._piled.days[number - 1] if number > 0 else None

    @property
    def key(self) -> str:
        """What names the turn."""
        return self._piled.item.id

    @property
    def answer(self) -> tuple[date | None, tuple[str, ...]]:
        """The day that is chosen, and what was typed."""
        return self.day, tuple(field.text for field in self.fields())

    def fill(self, day: date | None, texts: Sequence[str]) -> None:
        """Choose and type what was answered before, as far as it can still be."""
        if day in self._piled.days:
            self.choice.setCurrentIndex(self._piled.days.index(day) + 1)
        for field, text in zip(self.fields(), texts, strict=False):
            field.set_text(text)

    def check(self) -> QuantityField | None:
        """Return the first field that cannot be read or is missing, after telling so in it."""
        if self.day is None:
            return None
        for field in self.fields():
            if not field.check():
                return field
            may_be_empty = field is self.litres and self._is_proposed()
            if field.value is None and not may_be_empty:
                field.show_fault(_MISSING)
                return field
        return None

    def _readings(self) -> tuple[ReadingValue, ...]:
        values = [field.value for field in self.values.values()]
        return tuple(one for one in values if isinstance(one, ReadingValue))

    @property
    def chore_id(self) -> str:
        """The chore whose turns piled up."""
        return self._piled.item.chore.id

    def doubts(self, state: HouseholdState, at: datetime, beside: Collection[str]) -> list[str]:
        """Return what is asked before it is kept with the chores `beside` it."""
        return tick_doubts(
            self._piled.item,
            state,
            at,
            self._words,
            litres=_number(self.litres),
            salinity=_number(self.salinity),
            readings=self._readings(),
            beside=beside,
        )

    def tick(self, at: datetime, by: str | None) -> Tick:
        """Return the tick for the chosen day, `by` whom where the line does not say it."""
        litres, salinity = _number(self.litres), _number(self.salinity)
        return Tick(
            item=self._piled.item.id,
            at=at,
            by=by if self.who is None else self.who.person_id,
            litres=litres,
            salinity=salinity,
            values=self._readings(),
            as_proposed=self.litres is not None and litres is None,
        )


def _number(field: QuantityField | None) -> float | None:
    value = field.value if field is not None else None
    return value if isinstance(value, float) else None


def name_of(item: Item) -> str:
    """Return a turn by chore, hour and tank: "Feed 18:00, Reef"."""
    slot = f" {item.turn.slot:%H:%M}" if item.turn.slot is not None else ""
    return f"{item.chore.name}{slot}, {item.tank.name if item.tank is not None else HOUSEHOLD}"
