"""The form that corrects an entry of the logbook: it stands there with what was written down."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.errors import TankkeeperError, UserFault
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
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.units import Dimension, in_unit, parse_quantity
from tankkeeper.gui.forms.asking_form import AskingForm
from tankkeeper.gui.forms.choices import NOT_TYPED, OF_MOMENT, WhoField
from tankkeeper.gui.forms.day_fields import MomentField
from tankkeeper.gui.forms.extent_field import HOLDS_HINT, ExtentField, how_far
from tankkeeper.gui.forms.fields import NoteField
from tankkeeper.gui.forms.log_fields import ReadingsField, first_unsound
from tankkeeper.gui.forms.other_tank import other_tank_words
from tankkeeper.gui.forms.poured import litres_of, poured, went_into
from tankkeeper.gui.typography import metrics_for
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.correction_doubts import correction_doubts, how_far_doubts
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import unit_sign
from tankkeeper.reports.words import Words
from tankkeeper.services.correcting import Correction, can_move
from tankkeeper.services.fresh_fills import Extent
from tankkeeper.services.noting import named

KEEP: Final = "Keep the correction"
STAYS: Final = "The entry stays readable; a new one takes its place."
MISSING: Final = "Write down how much it was."
LONGEST_TYPED: Final = 1_000_000
_WIDE: Final = 540
# By which field a fault of the services is meant.
_NAMED: Final = {"left": "litres", "fill": "litres", "of": "substance", "added": "added_l"}
_DIGITS: Final = 6


class CorrectForm(AskingForm):
    """Asks what was so; `corrected` tells the whole entry as it should have been.

    `reading_wanted` asks for what it is judged by once more, where that could not be read.
    What is left as it stands there is kept to the last digit, whatever of it can be shown.
    """

    corrected = Signal(object)
    reading_wanted = Signal()

    def __init__(
        self,
        entry: Entry,
        told: str,
        words: Words,
        parent: QWidget,
        *,
        judges: bool = False,
    ) -> None:
        head = f"{told}. {STAYS} {other_tank_words(entry, words.household)}"
        super().__init__("Correct", head.strip(), KEEP, parent)
        self._entry = entry
        self._words = words
        # What is typed is judged by the state without the entry, which is still being read.
        self._then: HouseholdState | None = None
        self._is_awaited = judges
        self._is_keeping = self._is_unread = False
        self._shown: dict[QuantityField, str] = {}
        self.quantities: dict[str, QuantityField] = {}
        self.extent: ExtentField | None = None
        self._into = ChoreKind.TOP_OFF
        self.readings: ReadingsField | None = None
        self._add_fields(entry.fact)
        self.who = WhoField(words.household, entry.by, self)
        self._add_gone_person()
        local = entry.at.astimezone(words.moment.zone)
        last = max(local, words.moment.local).date()
        self.when = MomentField("Day and time", words, last=last, parent=self)
        # An hour that is typed alone corrects the hour, and not the day.
        self.when.take_hours_on(local.date())
        self.note = NoteField("Note", self)
        self.note.entered.connect(self.primary.click)
        self._add_stamp()
        self.setMinimumWidth(metrics_for(self.font()).px(_WIDE))
        self.asked.connect(self._on_asked)
        self._first_field().setFocus()

    # What stands there

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
        self._into, self.extent = kind, how_far(kind, self)
        self.extent.begin(extent)
        self.extent.currentIndexChanged.connect(self._on_extent)
        self.quantities["litres"].field.textChanged.connect(self.extent.ask_no_more)
        self.add_field("How &far", self.extent)

    def _on_extent(self) -> None:
        if self.extent is not None and self.extent.extent is not None:
            self._on_typed()
            holds = self.extent.extent is Extent.HOLDS
            self.quantities["litres"].field.setPlaceholderText(HOLDS_HINT if holds else "")
            self.quantities["litres"].set_help(HOLDS_HINT if holds else "")

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
        field = QuantityField(name, unit_sign(unit), parse, self._word, text, parent=self)
        field.field.setMaxLength(LONGEST_TYPED)
        field.field.textChanged.connect(self._on_typed)
        self.quantities[key] = field
        self._shown[field] = text
        self.add_field(name, field)

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
        self.readings = ReadingsField(self._words, self)
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
        self.readings.typed.connect(self._on_typed)
        self.fields.addRow(self.readings)

    def _add_gone_person(self) -> None:
        """Offer who did it even where the household does not have this person any more."""
        by = self._entry.by
        if by is not None and self.who.findData(by) < 0:
            self.who.addItem(self._words.person(by) or by, by)
            self.who.setCurrentIndex(self.who.findData(by))

    def _add_stamp(self) -> None:
        entry = self._entry
        self.when.set_moment(entry.at.astimezone(self._words.moment.zone))
        self._stood_at = self.when.text
        self.when.setEnabled(can_move(entry))
        self.note.setPlainText(entry.note)
        self.note.setMaximumHeight(self.note.minimumHeight())
        self.add_field("W&ho", self.who)
        self.add_field("&When", self.when)
        self.add_field("&Note", self.note)

    def _first_field(self) -> QWidget:
        if self.readings is not None:
            fields = self.readings.fields.values()
            return next((one for one in fields if self._shown[one]), self.readings)
        # Of a dose it is the amount that is mistyped, and what is typed replaces what stands there.
        amounts = (one for name, one in self.quantities.items() if name != "substance")
        return next(amounts, self.note)

    def _number(self, value: float) -> str:
        return f"{value:.{_DIGITS}g}".replace(".", self._words.decimal_sign)

    # What was typed

    def _word(self, fault: UserFault) -> str:
        return fault_words(fault, self._words)

    def _on_typed(self) -> None:
        """Forget the question: something else was typed since."""
        self.forget_question()

    def _on_asked(self) -> None:
        if self._is_awaited:
            self._is_keeping = True
            if self._is_unread:
                self._is_unread = False
                self.refuse("")
                self.reading_wanted.emit()
            return
        fields = [*self.quantities.values()]
        if self.readings is not None:
            fields += self.readings.fields.values()
        unsound = first_unsound(fields)
        if unsound is not None:
            unsound.go_to()
            return
        emptied = next((one for one in self.quantities.values() if self._is_emptied(one)), None)
        if emptied is not None:
            emptied.show_fault(MISSING)
            emptied.go_to()
            return
        if not self._is_when_sound():
            self.when.go_to()
            return
        if self._is_extent_asked():
            return
        if self.asks_first(self._question()):
            return
        self.wait()
        self.corrected.emit(
            Correction(self._at(), self.who.person_id, self._fact(), self.note.toPlainText())
        )

    def _is_when_sound(self) -> bool:
        """Tell below the moment what is wrong with it, if anything."""
        if self.when.text == self._stood_at:
            return True
        if self.when.check() and self.when.moment is None:
            self.when.show_fault(NOT_TYPED)
        return not self.when.fault

    def _is_emptied(self, field: QuantityField) -> bool:
        is_salinity = field is self.quantities.get("salinity")
        needs_litres = self._shown[field] or self._is_poured_otherwise
        return bool(needs_litres) and not field.text.strip() and not is_salinity

    def _is_as_it_was(self, field: QuantityField) -> bool:
        return field.text.strip() == self._shown[field]

    def _question(self) -> str:
        """Return what to ask about once more: what can be, but is unlike the usual."""
        if self._then is None:
            return ""
        return correction_doubts(self._then, self._entry, self._fact(), self._at(), self._words)

    def judge_by(self, then: HouseholdState) -> None:
        """Ask from now on about what is unlike what there was without the entry."""
        self._then, self._is_awaited = then, False
        if self._is_keeping:
            self._is_keeping = False
            self._on_asked()

    def tell_unread(self, sentence: str) -> None:
        """Tell why nothing can be asked about what was typed; the button has it read once more."""
        self._is_unread, self._is_keeping = True, False
        self.refuse(sentence)

    @property
    def _is_poured_otherwise(self) -> bool:
        """Whether water went into a reservoir, and less far or further than was said."""
        usual = self.extent is None or self.extent.is_usual or self.extent.extent is None
        return not usual and self._into is ChoreKind.RESERVOIR

    def _is_extent_asked(self) -> bool:
        """Ask how far the water went where what went in does not suit that."""
        if self.extent is None:
            return False
        if self.extent.is_missing():
            return True
        then, litres = self._then, self.quantities["litres"].value
        if then is None or not isinstance(litres, float):
            return False
        told = how_far_doubts(then, self._entry, self._fact(), self._at(), self._words)
        question = self.extent.question(litres, *told)
        if question:
            self.extent.take_away(litres)
            self.ask_about(question)
        return bool(question)

    def _at(self) -> datetime:
        typed = self.when.at
        if self.when.text == self._stood_at or typed is None:
            return self._entry.at
        return typed

    def _fact(self) -> Fact | None:
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

    def refuse_for(self, error: TankkeeperError) -> None:
        """Tell a refusal at the field it is about, else at the foot of the form."""
        name = str(error.values.get("field"))
        field = self.quantities.get(_NAMED.get(name, name))
        if error.code in OF_MOMENT:
            field = self.when
        if field is None:
            self.refuse(self._refusal(error))
            return
        self.refuse("")
        field.show_fault(fault_words(error, self._words))
        field.go_to()

    def _refusal(self, error: TankkeeperError) -> str:
        # On the command line these faults name the option to give.
        if error.code in ("needs_values", "no_values"):
            return "A test that is ticked by it asks for each of its values. Write them down."
        return fault_words(error, self._words)


def _reader(dimension: Dimension, unit: str) -> Callable[[str], object]:
    """Return what reads a number in the shown unit."""

    def read(text: str) -> object:
        return to_stored(parse_quantity(text, dimension, unit))

    return read


def _read_name(text: str) -> object:
    return named(text, "substance")
