"""The fields in which a tick says how much it was, or what was measured."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtWidgets import QWidget

from tankkeeper.core.amounts import MEASURED_KINDS, takes_grams
from tankkeeper.core.chores import FRESH_KINDS, ChoreKind
from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.core.mixing_parts import takes_mixed_litres
from tankkeeper.core.parameters import PARAMETERS, ReadingValue, to_stored
from tankkeeper.core.shown_digits import poured_value
from tankkeeper.core.units import Dimension, in_unit, parse_quantity, plain_text
from tankkeeper.gui.forms.extent_field import HOLDS_HINT, ExtentField, MixedField, how_far
from tankkeeper.gui.forms.feeding_fields import GivenFields
from tankkeeper.gui.forms.field_faults import OF_LITRES
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.forms.log_fields import litres_in, reader
from tankkeeper.gui.forms.tick_proposal import TickProposal
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import unit_sign
from tankkeeper.reports.words import Words
from tankkeeper.services.fed import Fed
from tankkeeper.services.fresh_fills import Extent
from tankkeeper.services.litres_limits import LitresLimits

AS_PROPOSED: Final = "Left empty, the proposed {} are kept as an estimate, not as measured."
SALINITY_NEEDED: Final = "needed: that of the new water"


class TickFields:
    """Makes the fields that the chore of a line asks, each None where it does not, in a form.

    What is proposed stands in the empty field of the litres, or is what a mixing begins with.
    """

    def __init__(
        self, form: Form, row: ItemRow, words: Words, limits: LitresLimits, proposal: TickProposal
    ) -> None:
        self._form = form
        self._row = row
        self._words = words
        self._limits = limits
        self._proposal = proposal
        # What stands in the field of a mixing until something else is typed.
        self._proposed_text = ""
        self.mixed: MixedField | None = None
        self.litres: QuantityField | None = None
        self.extent: ExtentField | None = None
        self.salinity: QuantityField | None = None
        self.grams: QuantityField | None = None
        self.given: GivenFields | None = None
        self.values: dict[str, QuantityField] = {}
        self._add_all()

    def _add_all(self) -> None:
        chore, form = self._row.item.chore, self._form
        if "litres" in self._row.item.asks or chore.kind in MEASURED_KINDS:
            self._add_litres()
        if takes_mixed_litres(chore):
            self._add_mixed()
        if chore.kind is ChoreKind.WATER_CHANGE:
            self.salinity = self._quantity(
                "Salinity", self._words.units.salinity, self._read_salinity
            )
            self.salinity.field.setPlaceholderText(SALINITY_NEEDED)
            self.salinity.set_help(SALINITY_NEEDED)
        if takes_grams(chore):
            self._add_grams()
        if chore.kind is ChoreKind.FEEDING:
            self.given = GivenFields(self._words, form)
            self.given.expect(chore)
            form.add_field("&Amount", self.given.amount)
            form.add_field("Foo&d", self.given.food)
        for name in chore.tests:
            shown = self._words.unit_of(PARAMETERS[name])
            self.values[name] = self._quantity(PARAMETERS[name].display, shown, reader(name, shown))

    def _add_litres(self) -> None:
        unit, kind = self._words.units.volume, self._row.item.chore.kind
        self.litres = self._quantity(capital(self._words.volume_name), unit, self._read_litres)
        if "litres" in self._row.item.asks and kind in FRESH_KINDS:
            self.extent = how_far(kind, self._form)
            self._form.add_field("How &far", self.extent)
        self.show_proposal()

    def _add_mixed(self) -> None:
        """Ask how much was mixed; what is typed takes the place of what is proposed."""
        unit, due = self._words.units.volume, self._proposal.due
        self.litres = self._quantity(capital(self._words.volume_name), unit, self._read_litres)
        if due is not None and self._proposal.has_litres:
            value = poured_value(in_unit(due.value, unit), unit)
            self._proposed_text = self._number(value)
            self.litres.field.setText(self._proposed_text)
            self.litres.field.selectAll()
            self.litres.field.setPlaceholderText(f"{self._proposal.litres_words} proposed")
        if self._proposal.is_beside:
            return
        self.mixed = MixedField(self._form)
        self._form.add_field("How &far", self.mixed)

    def _add_grams(self) -> None:
        self.grams = self._quantity("Grams", "g", _read_grams)
        stated = self._proposal.stated_grams
        if stated is not None:
            text = self._number(stated)
            self.grams.field.setText(text)
            # What is typed takes the place of what is stated.
            self.grams.field.selectAll()
            # Emptied, the chore's own grams hold.
            self.grams.field.setPlaceholderText(f"{text} stated")

    def _quantity(self, name: str, unit: str, parse: Callable[[str], object]) -> QuantityField:
        field = QuantityField(name, unit_sign(unit), parse, self._word, parent=self._form)
        self._form.add_field(name, field)
        return field

    def _number(self, value: float) -> str:
        return plain_text(value).replace(".", self._words.decimal_sign)

    def _word(self, fault: UserFault) -> str:
        return fault_words(fault, self._words)

    def _read_litres(self, text: str) -> object:
        return litres_in(text, self._words.units.volume, self._limits)

    def _read_salinity(self, text: str) -> object:
        return to_stored(parse_quantity(text, Dimension.SALINITY, self._words.units.salinity))

    @property
    def quantities(self) -> list[QuantityField]:
        """The fields that are read as a number, or as some amount of food."""
        amount = None if self.given is None else self.given.amount
        fields = [amount, self.litres, self.salinity, self.grams, *self.values.values()]
        return [field for field in fields if field is not None]

    def first(self) -> QWidget | None:
        """Return the first field that is asked for and empty, else the first of all.

        What is proposed needs no hand.
        """
        if self.given is not None:
            return self.given.amount
        fields = [self.litres, self.grams, *self.values.values(), self.salinity]
        there = [field for field in fields if field is not None]
        empty = [field for field in there if not field.text.strip() and self._is_asked(field)]
        return next(iter([*empty, *there]), None)

    def _is_asked(self, field: QuantityField) -> bool:
        asks = self._row.item.asks
        if field is self.litres:
            return "litres" in asks and not self._proposal.has_litres
        if field is self.salinity:
            return "salinity" in asks
        return field in self.values.values()

    def follow(self) -> None:
        """Show how far the litres went, by what is typed and proposed now."""
        for field in (self.extent, self.mixed):
            if field is not None:
                field.follow(self._proposal.due, self.litres_value)

    def show_proposal(self) -> None:
        """Say in the empty field what is proposed, where that may be taken."""
        assert self.litres is not None
        holds = self.extent is not None and self.extent.extent is Extent.HOLDS
        proposed = self._proposal.litres_words if self.takes_proposal else ""
        hint = HOLDS_HINT if holds else f"{proposed} proposed" if proposed else ""
        self.litres.field.setPlaceholderText(hint)
        as_proposed = AS_PROPOSED.format(self._words.volume_name)
        self.litres.set_help(as_proposed if proposed else hint)

    @property
    def takes_proposal(self) -> bool:
        """Whether nothing typed means as much as is proposed."""
        return self._proposal.has_litres and (self.extent is None or self.extent.is_usual)

    @property
    def is_as_proposed(self) -> bool:
        """Whether the litres are left as they are proposed."""
        is_left = self.litres is not None and self.litres_value is None
        return is_left and self._proposal.has_litres

    @property
    def litres_value(self) -> float | None:
        """The litres that were typed, None when nothing was, or what is proposed was left."""
        typed = "" if self.litres is None else self.litres.text.strip()
        is_left = bool(typed) and typed == self._proposed_text
        return None if is_left else _number_in(self.litres)

    @property
    def salinity_value(self) -> float | None:
        """The salinity that was typed, None when nothing was."""
        return _number_in(self.salinity)

    @property
    def grams_value(self) -> float | None:
        """The grams that were typed, None when nothing was."""
        return _number_in(self.grams)

    @property
    def readings(self) -> tuple[ReadingValue, ...]:
        """What was measured."""
        values = [field.value for field in self.values.values()]
        return tuple(one for one in values if isinstance(one, ReadingValue))

    @property
    def fed(self) -> Fed | None:
        """What was fed, None where that is not asked."""
        return None if self.given is None else self.given.fed

    @property
    def extent_value(self) -> Extent | None:
        """How far the litres went, None where that is not asked or is as proposed."""
        if self.mixed is not None:
            return self.mixed.extent
        return self.extent.extent if self.extent is not None and not self.is_as_proposed else None

    def field_of(self, error: TankkeeperError) -> QuantityField | None:
        """Return the field that a refusal is about, None where it is about none."""
        named = error.values.get("field")
        if error.code == "needs_values":
            # Salinity may be a value that is measured here, and not that of new water.
            return next((one for one in self.values.values() if one.value is None), None)
        if error.code in OF_LITRES or named in ("litres", "left"):
            return self.litres
        if error.code == "needs_salinity" or (named == "salinity" and self.salinity is not None):
            return self.salinity
        if named == "grams":
            return self.grams
        return self.values.get(str(named))


def _number_in(field: QuantityField | None) -> float | None:
    value = None if field is None else field.value
    return value if isinstance(value, float) else None


def _read_grams(text: str) -> object:
    return to_stored(parse_quantity(text, Dimension.MASS, "g"))
