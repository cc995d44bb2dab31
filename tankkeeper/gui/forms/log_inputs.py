"""What is asked of each kind of thing that is written down: its fields, and how each is read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QCompleter, QWidget

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.core.parameters import to_stored
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.units import Dimension, parse_quantity
from tankkeeper.gui.forms.extent_field import FULL_OR_NOT, ExtentField, how_far
from tankkeeper.gui.forms.feeding_fields import FeedingFields
from tankkeeper.gui.forms.fields import NoteField
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.forms.log_fields import ReadingsField, What, litres_in
from tankkeeper.gui.forms.note_form import KEYS
from tankkeeper.gui.forms.ticks_fields import TicksFields
from tankkeeper.gui.widgets.labels import CaptionLabel
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import unit_sign
from tankkeeper.reports.words import Words
from tankkeeper.services import noting
from tankkeeper.services.fresh_fills import Extent
from tankkeeper.services.litres_limits import LitresLimits

LEFT, FILLED, SOME = "Left in it", "Filled until full", "Poured in some, not full"
LEFT_HINT: Final = "before anything is poured in"
SALINITY: Final = "of the new water, if it is known"
LONGEST_TYPED: Final = 1_000_000
# Litres have this letter in every unit.
_LETTER: Final = "l"

# By which of the fields a fault of the services is meant.
_NAMED: Final = {"left": "litres", "fill": "litres", "part": "litres", "of": "substance"}
_OF_RESERVOIR: Final = ((LEFT, Extent.HOLDS), (FILLED, Extent.FULL), (SOME, Extent.PART))


class LogInputs(QObject):
    """The fields in a form, `of_kind` those of each; `limits` tells what litres can be just now.

    `typed` tells that something else stands in one of them.
    """

    typed = Signal()

    def __init__(
        self,
        form: Form,
        state: HouseholdState,
        words: Words,
        limits: Callable[[], LitresLimits],
    ) -> None:
        super().__init__(form)
        self._form = form
        self._words = words
        self._limits = limits
        # Tab goes through the fields in the order in which they are made.
        self.reservoir = ExtentField("Reservoir", _OF_RESERVOIR, FULL_OR_NOT, form)
        self.substance = self._quantity("Substance", "", _read_name)
        self.litres = self._quantity(
            capital(words.volume_name), words.units.volume, self._read_litres
        )
        self.extent = how_far(ChoreKind.TOP_OFF, form)
        self.salinity = self._quantity("Salinity", words.units.salinity, self._read_salinity)
        self.salinity.field.setPlaceholderText(SALINITY)
        self.salinity.set_help(SALINITY)
        self.readings = ReadingsField(words, form)
        self.grams = self._quantity("Grams", "g", _read_grams)
        self.text = NoteField("Text", form)
        # It alone may have several lines.
        self.keys = CaptionLabel(KEYS, parent=form)
        self.ticks = TicksFields(state, words, form)
        self.feeding = FeedingFields(state, words, form)
        self.of_kind: dict[What, tuple[QWidget, ...]] = {
            What.TOP_OFF: (self.litres, self.extent),
            What.WATER_CHANGE: (self.litres, self.salinity, *self.ticks.all),
            What.READINGS: (self.readings,),
            What.DOSE: (self.substance, self.grams, *self.ticks.all),
            What.RESERVOIR: (self.reservoir, self.litres),
            What.FEEDING: self.feeding.all,
            What.NOTE: (self.text, self.keys),
        }
        self._complete_names()
        self.readings.typed.connect(self.typed)
        self.feeding.amount.field.textChanged.connect(self.typed)
        self.feeding.completes.currentIndexChanged.connect(self.typed)

    def _quantity(self, name: str, unit: str, parse: Callable[[str], object]) -> QuantityField:
        field = QuantityField(name, unit_sign(unit), parse, self._word, parent=self._form)
        field.field.setMaxLength(LONGEST_TYPED)
        field.field.textChanged.connect(self.typed)
        return field

    def _complete_names(self) -> None:
        supplies = self._words.household.supplies
        names = QCompleter([one.name for one in supplies if one.name], self)
        names.setCompletionMode(QCompleter.CompletionMode.InlineCompletion)
        names.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.substance.field.setCompleter(names)

    def add_to_form(self) -> None:
        """Put all of them into the form, each with its name."""
        form = self._form
        form.add_field("&Reservoir", self.reservoir)
        form.add_field("S&ubstance", self.substance)
        form.add_field(_with_its_letter(capital(self._words.volume_name)), self.litres)
        form.add_field("How &far", self.extent)
        form.add_field("&Salinity", self.salinity)
        form.add_field("&Grams", self.grams)
        # The table of values has the whole width.
        form.fields.addRow(self.readings)
        form.add_field("Te&xt", self.text)
        form.fields.addRow("", self.keys)
        form.add_field("T&icks", self.ticks.completes)
        form.fields.addRow("", self.ticks.told)
        form.add_field("T&icks", self.feeding.completes)
        form.fields.addRow("", self.feeding.told)
        form.add_field("&Amount", self.feeding.amount)
        form.add_field("Foo&d", self.feeding.food)

    def show(self, chosen: What) -> None:
        """Show the fields that belong to a kind; the others keep what was typed in them."""
        for fields in self.of_kind.values():
            for field in fields:
                self._form.fields.setRowVisible(field, field in self.of_kind[chosen])

    def read_of(self, chosen: What) -> list[QuantityField]:
        """Return the fields of a kind that are read."""
        if chosen is What.READINGS:
            return list(self.readings.fields.values())
        return [one for one in self.of_kind[chosen] if isinstance(one, QuantityField)]

    def hint_at(self, chosen: What) -> None:
        """Say in the field of the litres which are meant, where only a look was taken."""
        is_look = chosen is What.RESERVOIR and self.reservoir.extent is Extent.HOLDS
        self.litres.field.setPlaceholderText(LEFT_HINT if is_look else "")
        self.litres.set_help(LEFT_HINT if is_look else "")

    def field_of(self, error: TankkeeperError, chosen: What) -> QuantityField | None:
        """Return the field of a kind that a refusal is about, None where it is about none."""
        named = str(error.values.get("field"))
        fields = {
            "litres": self.litres,
            "salinity": self.salinity,
            "substance": self.substance,
            "grams": self.grams,
        }
        field = fields.get(_NAMED.get(named, named))
        return field if field in self.of_kind[chosen] else None

    def _word(self, fault: UserFault) -> str:
        return fault_words(fault, self._words)

    def _read_litres(self, text: str) -> object:
        return litres_in(text, self._words.units.volume, self._limits())

    def _read_salinity(self, text: str) -> object:
        return to_stored(parse_quantity(text, Dimension.SALINITY, self._words.units.salinity))


def _read_name(text: str) -> object:
    return noting.named(text, "substance")


def _read_grams(text: str) -> object:
    return to_stored(parse_quantity(text, Dimension.MASS, "g"))


def _with_its_letter(name: str) -> str:
    """Return the name of the field for water with the letter that it has in every unit."""
    at = name.casefold().index(_LETTER)
    return f"{name[:at]}&{name[at:]}"
