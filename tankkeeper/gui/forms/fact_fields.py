"""The fields in which an entry stands that is corrected, and what it was by what they hold now."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from PySide6.QtWidgets import QWidget

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.logbook import (
    Dose,
    Entry,
    Fact,
    Readings,
    ReservoirCheck,
    TopOff,
    WaterChange,
    Work,
)
from tankkeeper.core.parameters import PARAMETERS, ReadingValue, to_stored
from tankkeeper.core.seawater import salinity_in_unit
from tankkeeper.core.shown_digits import poured_value
from tankkeeper.core.units import Dimension, in_unit, parse_quantity
from tankkeeper.gui.forms.extent_field import HOLDS_HINT, ExtentField, how_far
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.forms.log_fields import ReadingsField, first_unsound
from tankkeeper.gui.forms.poured import litres_of, poured, went_into
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import unit_sign
from tankkeeper.reports.words import Words
from tankkeeper.services.fresh_fills import Extent
from tankkeeper.services.noting import named

MISSING: Final = "Write down how much it was."
LONGEST_TYPED: Final = 1_000_000
_DIGITS: Final = 6


class FactFields:
    """Makes the fields of what an entry tells in a form, with what was written down in them.

    `quantities` has them by the name of what they hold; `extent` and `readings` are None where the
    entry has none. What is left as it stands there is kept to the last digit, whatever of it can
    be shown.
    """

    def __init__(self, form: Form, entry: Entry, words: Words) -> None:
        self._form = form
        self._entry = entry
        self._words = words
        self._shown: dict[QuantityField, str] = {}
        self.quantities: dict[str, QuantityField] = {}
        self.extent: ExtentField | None = None
        self._into = ChoreKind.TOP_OFF
        self.readings: ReadingsField | None = None
        self._add_fields(entry.fact)

    def _add_fields(self, fact: Fact | None) -> None:
        went = went_into(self._entry, self._words.household)
        if went is not None:
            self._litres("litres", capital(self._words.volume_name), litres_of(fact))
            self._add_extent(*went)
        elif isinstance(fact, WaterChange):
            self._add_water_change(fact)
        elif isinstance(fact, ReservoirCheck):
            name = "Left in it" if fact.left_l is not None else "Until full"
            self._litres("litres", name, litres_of(fact))
        elif isinstance(fact, Readings):
            self._add_readings(fact)
        elif isinstance(fact, Dose):
            self._quantity("substance", "Substance", "", _read_name, fact.of)
            self._grams(fact.grams)
        elif isinstance(fact, Work):
            self._add_work(fact)

    def _add_extent(self, kind: ChoreKind, extent: Extent) -> None:
        self._into, self.extent = kind, how_far(kind, self._form)
        self.extent.begin(extent)
        self._form.add_field("How &far", self.extent)

    def _add_water_change(self, fact: WaterChange) -> None:
        self._litres("litres", capital(self._words.volume_name), fact.litres)
        if fact.added_l is not None:
            self._litres("added_l", "Put in", fact.added_l)
        self._salinity(fact.salinity)
        if fact.temperature_c is not None:
            unit = self._words.units.temperature
            text = self._number(in_unit(fact.temperature_c, unit))
            read = _reader(Dimension.TEMPERATURE, unit)
            self._quantity("temperature", "Temperature", unit, read, text)

    def _add_work(self, fact: Work) -> None:
        if fact.litres is not None:
            self._litres("litres", capital(self._words.volume_name), fact.litres)
        if fact.grams is not None:
            self._grams(fact.grams)

    def _quantity(
        self, key: str, name: str, unit: str, parse: Callable[[str], object], text: str
    ) -> None:
        field = QuantityField(name, unit_sign(unit), parse, self._word, text, parent=self._form)
        field.field.setMaxLength(LONGEST_TYPED)
        self.quantities[key] = field
        self._shown[field] = text
        self._form.add_field(name, field)

    def _litres(self, key: str, name: str, value: float | None) -> None:
        unit = self._words.units.volume
        text = "" if value is None else self._number(poured_value(in_unit(value, unit), unit))
        self._quantity(key, name, unit, _reader(Dimension.VOLUME, unit), text)

    def _grams(self, value: float | None) -> None:
        text = "" if value is None else self._number(value)
        self._quantity("grams", "Grams", "g", _reader(Dimension.MASS, "g"), text)

    def _salinity(self, value: float | None) -> None:
        unit = self._words.units.salinity
        shown = value
        if value is not None and unit != "practical":
            shown = salinity_in_unit(value, unit, None)
        text = "" if shown is None else self._number(shown)
        self._quantity("salinity", "Salinity", unit, _reader(Dimension.SALINITY, unit), text)

    def _add_readings(self, fact: Readings) -> None:
        self.readings = ReadingsField(self._words, self._form)
        for field in self.readings.fields.values():
            self._shown[field] = ""
        for value in fact.values:
            field = self.readings.fields[value.parameter]
            shown = self._words.unit_of(PARAMETERS[value.parameter])
            text = self._number(value.typed)
            if value.unit != shown:
                text = f"{text} {unit_sign(value.unit)}".rstrip()
            field.set_text(text)
            self._shown[field] = text
        self._form.fields.addRow(self.readings)

    def _number(self, value: float) -> str:
        return f"{value:.{_DIGITS}g}".replace(".", self._words.decimal_sign)

    def _word(self, fault: UserFault) -> str:
        return fault_words(fault, self._words)

    def first(self) -> QWidget | None:
        """Return the field that is corrected most likely, None where there is none."""
        if self.readings is not None:
            fields = self.readings.fields.values()
            return next((one for one in fields if self._shown[one]), self.readings)
        # Of a dose it is the amount that is mistyped, and what is typed replaces what stands there.
        amounts = (one for name, one in self.quantities.items() if name != "substance")
        return next(amounts, None)

    def show_extent(self, extent: Extent) -> None:
        """Tell in the field of the litres where it means what the reservoir holds."""
        hint = HOLDS_HINT if extent is Extent.HOLDS else ""
        self.quantities["litres"].field.setPlaceholderText(hint)
        self.quantities["litres"].set_help(hint)

    def check(self) -> QuantityField | None:
        """Return the first field that cannot be read or was emptied, after telling so in it."""
        fields = [*self.quantities.values()]
        if self.readings is not None:
            fields += self.readings.fields.values()
        unsound = first_unsound(fields)
        if unsound is not None:
            return unsound
        emptied = next((one for one in self.quantities.values() if self._is_emptied(one)), None)
        if emptied is not None:
            emptied.show_fault(MISSING)
        return emptied

    def _is_emptied(self, field: QuantityField) -> bool:
        is_salinity = field is self.quantities.get("salinity")
        needs_litres = self._shown[field] or self._is_poured_otherwise
        return bool(needs_litres) and not field.text.strip() and not is_salinity

    def _is_as_it_was(self, field: QuantityField) -> bool:
        return field.text.strip() == self._shown[field]

    @property
    def _is_poured_otherwise(self) -> bool:
        """Whether water went into a reservoir, and less far or further than was said."""
        usual = self.extent is None or self.extent.is_usual or self.extent.extent is None
        return not usual and self._into is ChoreKind.RESERVOIR

    def fact(self) -> Fact | None:
        """Return what the entry tells by what stands in the fields."""
        fact = self._entry.fact
        if isinstance(fact, TopOff | ReservoirCheck) and self.extent is not None:
            litres, estimated = self._kept("litres", litres_of(fact)), self._estimated(fact)
            return poured(fact, self._into, self.extent.extent, litres, estimated=estimated)
        if isinstance(fact, WaterChange):
            return replace(
                fact,
                litres=self._kept("litres", fact.litres),
                added_l=self._kept("added_l", fact.added_l),
                salinity=self._kept("salinity", fact.salinity),
                temperature_c=self._kept("temperature", fact.temperature_c),
                estimated=self._estimated(fact),
            )
        if isinstance(fact, ReservoirCheck):
            litres, estimated = self._kept("litres", litres_of(fact)), self._estimated(fact)
            if fact.left_l is not None:
                return replace(fact, left_l=litres, estimated=estimated)
            return replace(fact, fill_l=litres, estimated=estimated)
        if isinstance(fact, Readings):
            return Readings(self._values())
        if isinstance(fact, Dose):
            named_so = replace(fact, of=self.quantities["substance"].text.strip())
            grams = self._kept("grams", fact.grams)
            return named_so if grams is None else replace(named_so, grams=grams)
        if isinstance(fact, Work):
            litres, grams = self._kept("litres", fact.litres), self._kept("grams", fact.grams)
            return replace(fact, litres=litres, grams=grams, estimated=self._estimated(fact))
        return fact

    def _kept(self, key: str, old: float | None) -> float | None:
        """Return what was typed, or the old value to its last digit where nothing was."""
        field = self.quantities.get(key)
        if field is None or self._is_as_it_was(field):
            return old
        return field.value if isinstance(field.value, float) else None

    def _estimated(self, fact: TopOff | WaterChange | ReservoirCheck | Work) -> bool:
        """Return whether the litres are still those that nobody measured.

        The same number typed anew was measured; one that undo put back in the field was not.
        """
        litres = self.quantities.get("litres")
        if litres is None:
            return fact.estimated
        is_left = self._is_as_it_was(litres) and not litres.field.isUndoAvailable()
        return fact.estimated and is_left

    def _values(self) -> tuple[ReadingValue, ...]:
        fact = self._entry.fact
        if self.readings is None or not isinstance(fact, Readings):
            return ()
        old = {value.parameter: value for value in fact.values}
        found = []
        # What was measured stands in the order in which it was written down, then what is new.
        for name in dict.fromkeys((*old, *self.readings.fields)):
            field = self.readings.fields[name]
            if self._is_as_it_was(field):
                found += [old[name]] if name in old else []
            elif isinstance(field.value, ReadingValue):
                found.append(field.value)
        return tuple(found)


def _reader(dimension: Dimension, unit: str) -> Callable[[str], object]:
    """Return what reads a number in the shown unit."""

    def read(text: str) -> object:
        return to_stored(parse_quantity(text, dimension, unit))

    return read


def _read_name(text: str) -> object:
    return named(text, "substance")
