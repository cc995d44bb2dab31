"""The form of a tick: what was measured, or the proposal accepted, by whom and when."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.core.amounts import MEASURED_KINDS, AmountDue, stated_grams, takes_grams
from tankkeeper.core.chores import FRESH_KINDS, ChoreKind
from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.core.mixing_parts import takes_mixed_litres
from tankkeeper.core.parameters import PARAMETERS, ReadingValue, to_stored
from tankkeeper.core.shown_digits import poured_value
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.units import Dimension, in_unit, parse_quantity, plain_text
from tankkeeper.gui.forms.asking_form import AskingForm
from tankkeeper.gui.forms.choices import OF_MOMENT, WhenField, WhoField
from tankkeeper.gui.forms.extent_field import HOLDS_HINT, ExtentField, MixedField, how_far
from tankkeeper.gui.forms.feeding_fields import GivenFields
from tankkeeper.gui.forms.field_faults import (
    OF_LITRES,
    fault_in_form,
    litres_typed,
    poured_besides,
)
from tankkeeper.gui.forms.log_fields import litres_in, reader
from tankkeeper.gui.forms.typed_on import LEFT_OUT, TypedOn
from tankkeeper.gui.models.round_rows import HOUSEHOLD, ItemRow
from tankkeeper.gui.widgets.labels import CaptionLabel
from tankkeeper.gui.widgets.quantity_field import Field, QuantityField
from tankkeeper.reports.amount_words import litres_due
from tankkeeper.reports.asking import (
    ALL_THE_SAME,
    asked_once,
    more_litres,
    short_litres,
    tick_doubts,
)
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.full_words import full_already
from tankkeeper.reports.new_water_doubts import new_water_words
from tankkeeper.reports.numbers import unit_sign
from tankkeeper.reports.reading_doubts import doubtful_words
from tankkeeper.reports.rows import amount_words
from tankkeeper.reports.words import Words, capital
from tankkeeper.services.fed import UNTOLD
from tankkeeper.services.fresh_fills import Extent, due_then, full_since, missing_then
from tankkeeper.services.litres_limits import NO_LIMITS, LitresLimits
from tankkeeper.services.mixed_amounts import due_to_mix
from tankkeeper.services.mixing_beside import missing_beside
from tankkeeper.services.ticking import Tick, too_early

AS_PROPOSED = "Left empty, the proposed {} are kept as an estimate, not as measured."
SALINITY_NEEDED = "needed: that of the new water"
NOTHING_MISSING = "nothing missing any more"
KEEP = "Keep"
MEASURED = "Keep as measured"
LONGEST_TYPED = 1_000_000


class TickForm(AskingForm):
    """Asks only what the chore asks; `ticked` tells the tick that was made of it."""

    ticked = Signal(object)

    def __init__(
        self,
        row: ItemRow,
        words: Words,
        person_id: str | None,
        parent: QWidget,
        days_ago: int = 0,
        limits: LitresLimits | None = None,
        state: HouseholdState | None = None,
    ) -> None:
        super().__init__(*_heading(row), parent)
        self.asked.connect(self._on_asked)
        self._typed_on = TypedOn(lambda: self.tell_besides(LEFT_OUT), self)
        self._fill(row, words, person_id, days_ago, limits, state)

    def go_on_to(
        self,
        row: ItemRow,
        words: Words,
        person_id: str | None,
        days_ago: int = 0,
        limits: LitresLimits | None = None,
        state: HouseholdState | None = None,
    ) -> None:
        """Ask in the same window what the next chore asks; `stand_anew` shows it."""
        self.begin_anew(*_heading(row))
        self._fill(row, words, person_id, days_ago, limits, state)

    def _fill(
        self,
        row: ItemRow,
        words: Words,
        person_id: str | None,
        days_ago: int,
        limits: LitresLimits | None,
        state: HouseholdState | None,
    ) -> None:
        self._row = row
        # Whether another form comes after this one.
        self._is_followed = False
        self._words = words
        self._limits = limits or NO_LIMITS
        self._state = state
        # Whether it is kept beside the turn, which somebody else did while the form was open.
        self._is_besides = False
        # None of its turns is done by it as of now.
        self.is_beside = state is not None and too_early(state, row.item) is not None
        self._due = self._due_at(None if days_ago == 0 else words.moment.usual(days_ago))
        # What stands in the field of a mixing until something else is typed.
        self._proposed_text = ""
        self.mixed: MixedField | None = None
        self.litres: QuantityField | None = None
        self.extent: ExtentField | None = None
        self.salinity: QuantityField | None = None
        self.grams: QuantityField | None = None
        self.given: GivenFields | None = None
        self.values: dict[str, QuantityField] = {}
        self._add_fields()
        self.who = WhoField(words.household, person_id, self)
        self.when = WhenField(words, days_ago, self)
        self.note = Field(parent=self)
        self.note.setAccessibleName("Note")
        # The note is bounded where it is kept; what was typed is never cut here.
        self.note.setMaxLength(LONGEST_TYPED)
        self.when.changed.connect(self._on_when)
        self.when.other.field.textChanged.connect(self._on_when)
        self.add_field("W&ho", self.who)
        self.add_field("&When", self.when)
        self.add_field("&Note", self.note)
        self._on_when()
        self._on_litres()
        # On another day "today" would be another one.
        self.keep_typing(f"{words.moment.day} {row.id} {days_ago}")
        self._first_field().setFocus()

    def _due_at(self, at: datetime | None) -> AmountDue | None:
        """Return how much it takes at a moment (now if None), None where nothing is known of it."""
        item, state = self._row.item, self._state
        if state is None:
            return item.amount
        if self.is_beside:
            # What the turn to come takes is no measure of what was mixed besides.
            mixes = takes_mixed_litres(item.chore)
            return missing_beside(state, item.chore) if mixes else None
        if at is not None and item.chore.kind in FRESH_KINDS:
            return None if full_since(state, item.chore, at) else due_then(state, item.chore, at)
        return due_to_mix(state, item)

    def _filled_since(self) -> str:
        """Return what is so where it was filled at the moment chosen or since, else nothing."""
        if self._state is None or self.when.at is None:
            return ""
        return full_already(self._state, self._row.item.chore, self.when.at, self._words)

    def _on_when(self) -> None:
        """Propose the fresh water that was missing at the moment that is chosen."""
        if self._row.item.chore.kind not in FRESH_KINDS or self.litres is None:
            return
        self._due = self._due_at(self.when.at)
        if self.caption is not None:
            is_full = self._due is None and self._filled_since()
            at_once = amount_words(replace(self._row.item, amount=self._due), self._words)
            self.caption.setText(NOTHING_MISSING if is_full else at_once)
        self._show_proposal()
        self.forget_question()
        self._on_litres()

    def tell_place(self, words: str, *, is_followed: bool = False) -> None:
        """Say under the title which of several forms it is, and what follows them."""
        self._is_followed = is_followed
        if words:
            under = 1 if self.caption is None else 2
            self.column.insertWidget(under, CaptionLabel(words, parent=self))

    def _add_fields(self) -> None:
        chore = self._row.item.chore
        if "litres" in self._row.item.asks or chore.kind in MEASURED_KINDS:
            self.litres = self._quantity(
                capital(self._words.volume_name), self._words.units.volume, self._read_litres
            )
            self._show_proposal()
            self.litres.field.textChanged.connect(self._on_litres)
            if "litres" in self._row.item.asks and chore.kind in FRESH_KINDS:
                self.extent = how_far(chore.kind, self)
                self.extent.currentIndexChanged.connect(self._on_extent)
                self.add_field("How &far", self.extent)
        if takes_mixed_litres(chore):
            self._add_mixed()
        if chore.kind is ChoreKind.WATER_CHANGE:
            unit = self._words.units.salinity
            self.salinity = self._quantity("Salinity", unit, self._read_salinity)
            self.salinity.field.setPlaceholderText(SALINITY_NEEDED)
            self.salinity.set_help(SALINITY_NEEDED)
        if takes_grams(chore):
            self.grams = self._quantity("Grams", "g", _read_grams)
            stated = self._stated_grams()
            if stated is not None:
                text = plain_text(stated).replace(".", self._words.decimal_sign)
                self.grams.field.setText(text)
                # What is typed takes the place of what is stated.
                self.grams.field.selectAll()
                # Emptied, the chore's own grams hold.
                self.grams.field.setPlaceholderText(f"{text} stated")
        if chore.kind is ChoreKind.FEEDING:
            self.given = GivenFields(self._words, self)
            self.given.expect(chore)
            self.given.amount.field.textChanged.connect(self._on_typed)
            self.add_field("&Amount", self.given.amount)
            self.add_field("Foo&d", self.given.food)
        for name in chore.tests:
            shown = self._words.unit_of(PARAMETERS[name])
            self.values[name] = self._quantity(PARAMETERS[name].display, shown, reader(name, shown))

    def _add_mixed(self) -> None:
        """Ask how much was mixed; what is typed takes the place of what is proposed."""
        unit = self._words.units.volume
        self.litres = self._quantity(capital(self._words.volume_name), unit, self._read_litres)
        if self._due is not None and self._has_proposal():
            value = poured_value(in_unit(self._due.value, unit), unit)
            self._proposed_text = plain_text(value).replace(".", self._words.decimal_sign)
            self.litres.field.setText(self._proposed_text)
            self.litres.field.selectAll()
            self.litres.field.setPlaceholderText(f"{self._proposal()} proposed")
        self.litres.field.textChanged.connect(self._on_litres)
        if self.is_beside:
            return
        self.mixed = MixedField(self)
        self.mixed.currentIndexChanged.connect(self.name_button)
        self.add_field("How &far", self.mixed)

    def _quantity(self, name: str, unit: str, parse: Callable[[str], object]) -> QuantityField:
        field = QuantityField(name, unit_sign(unit), parse, self._word, parent=self)
        field.field.textChanged.connect(self._on_typed)
        self.add_field(name, field)
        return field

    def _stated_grams(self) -> float | None:
        """Return the grams that the chore states, None where it states none."""
        return stated_grams(self._row.item.chore, self._words.household)

    def _word(self, fault: UserFault) -> str:
        return fault_words(fault, self._words)

    def _first_field(self) -> QWidget:
        """Return the first field that is asked for and empty, else the first of all.

        What is proposed needs no hand.
        """
        if self.given is not None:
            return self.given.amount
        fields = [self.litres, self.grams, *self.values.values(), self.salinity]
        there = [field for field in fields if field is not None]
        empty = [field for field in there if not field.text.strip() and self._is_asked(field)]
        return next(iter([*empty, *there]), self.who)

    def _is_asked(self, field: QuantityField) -> bool:
        asks = self._row.item.asks
        if field is self.litres:
            return "litres" in asks and not self._has_proposal()
        if field is self.salinity:
            return "salinity" in asks
        return field in self.values.values()

    def _proposal(self) -> str:
        amount = self._due
        return "" if amount is None else litres_due(amount, self._words)

    def _has_proposal(self) -> bool:
        amount = self._due
        return amount is not None and amount.unit == "L"

    def _read_litres(self, text: str) -> object:
        return litres_in(text, self._words.units.volume, self._limits)

    def _read_salinity(self, text: str) -> object:
        return to_stored(parse_quantity(text, Dimension.SALINITY, self._words.units.salinity))

    def _on_litres(self) -> None:
        """Say on the button which of the two it will be: measured, or as proposed."""
        if self.litres is None:
            self.primary.set_words("Tick")
            return
        for field in (self.extent, self.mixed):
            if field is not None:
                field.follow(self._due, self._typed_litres())
        self.name_button()

    def name_button(self) -> None:
        """Say on the button whether it takes what is proposed or what was measured."""
        if self.litres is None:
            self.primary.set_words("Tick")
        elif self.mixed is not None:
            is_part = self.mixed.extent is Extent.PART
            self.primary.set_words("Keep as a part" if is_part else "Tick")
        elif self.extent is not None and self.extent.extent is Extent.HOLDS:
            self.primary.set_words(KEEP)
        elif self.litres.text.strip() or not self._takes_proposal():
            self.primary.set_words(MEASURED)
        elif self.salinity is not None:
            # Salinity is never proposed: words of a proposal would say that it may stay empty.
            self.primary.set_words(f"Keep {self._proposal()} and this salinity")
        else:
            self.primary.set_words(f"Keep {self._proposal()} as proposed")

    def _on_extent(self) -> None:
        """Ask nothing more about it, and say what is proposed where that may be taken."""
        if self.extent is not None and self.extent.extent is not None:
            self.forget_question()
            self._show_proposal()

    def _show_proposal(self) -> None:
        """Say in the empty field what is proposed, where that may be taken."""
        assert self.litres is not None
        holds = self.extent is not None and self.extent.extent is Extent.HOLDS
        proposed = self._proposal() if self._takes_proposal() else ""
        hint = HOLDS_HINT if holds else f"{proposed} proposed" if proposed else ""
        self.litres.field.setPlaceholderText(hint)
        self.litres.set_help(self._as_proposed if proposed else hint)

    @property
    def _as_proposed(self) -> str:
        return AS_PROPOSED.format(self._words.volume_name)

    def _takes_proposal(self) -> bool:
        """Tell whether nothing typed means as much as is proposed."""
        return self._has_proposal() and (self.extent is None or self.extent.is_usual)

    def _on_asked(self) -> None:
        if self._asks_or_refuses():
            self._leave_out_what_follows()
            return
        self.wait()
        self.ticked.emit(self._tick())

    def _leave_out_what_follows(self) -> None:
        if self._is_followed:
            self._typed_on.begin()

    def _asks_or_refuses(self) -> bool:
        """Tell whether the form stays, with something asked or refused in it."""
        amount = None if self.given is None else self.given.amount
        fields = [amount, self.litres, self.salinity, self.grams, *self.values.values()]
        sound = [field.check() for field in fields if field is not None]
        if not all(sound):
            first = next(field for field in fields if field is not None and field.fault)
            first.go_to()
            return True
        if self._is_extent_asked() or not self.when.check():
            return True
        # What was asked before somebody else did it is confirmed by then.
        question = "" if self._is_besides else self._question()
        if question and question != self._asked_about:
            self._go_to_doubtful()
        return self.asks_first(question)

    def _go_to_doubtful(self) -> None:
        """Let the keys act in the first value read that is asked about: it is typed anew there."""
        tank, at, item = self._row.item.chore.tank, self.when.at, self._row.item
        new = self.salinity_value
        if self.salinity is not None and new is not None:
            if new_water_words(item.tank, new, self._words, item.water):
                self.salinity.go_to()
            return
        for field in self.values.values():
            read = field.value
            if isinstance(read, ReadingValue) and doubtful_words(
                read, self._state, tank, at, self._words
            ):
                field.go_to()
                return

    def _why_typed(self) -> str:
        """Return why the litres must be typed: nothing is proposed, or not of a part."""
        full = self._filled_since()
        if self._due is not None or not full:
            return litres_typed(self._words)
        return poured_besides(full, self._words)

    def _is_extent_asked(self) -> bool:
        """Ask how far the water went where too little for the whole way went in."""
        if self.extent is None or self.litres is None or self.extent.is_missing():
            return self.extent is not None
        litres, chore = self._typed_litres(), self._row.item.chore
        if litres is None:
            if not self._takes_proposal():
                self.litres.show_fault(self._why_typed())
                self.litres.setFocus()
                return True
            return False
        short = more = ""
        # What cannot be is refused where it is kept.
        if self._state is not None and self._limits.holds(litres):
            at = self.when.at
            missing = missing_then(self._state, chore.kind, chore.tank, at, chore)
            short = short_litres(missing, litres, self._words)
            more = more_litres(missing, litres, self._words)
        question = self.extent.question(litres, short, more)
        if question:
            self.extent.take_away(litres)
            self.ask_about(question)
        return bool(question)

    def _typed_litres(self) -> float | None:
        if self.litres is None or self._is_proposal_left():
            return None
        value = self.litres.value
        return value if isinstance(value, float) else None

    def _is_proposal_left(self) -> bool:
        """Tell whether what is proposed for a mixing stands there as it was."""
        typed = "" if self.litres is None else self.litres.text.strip()
        return bool(typed) and typed == self._proposed_text

    def _question(self) -> str:
        """Return what to ask about once more: what can be, but is unlike the usual."""
        item, litres = self._row.item, self._typed_litres()
        if self.extent is not None and self.extent.extent is Extent.HOLDS:
            litres = None
        if self.mixed is not None and litres is None and self._due is not None:
            # What is proposed may be more than can be stored as well.
            litres = self._due.value
        # More than the vessel holds is no question: it is refused where it is kept.
        can_be = litres is None or self._limits.holds(litres)
        asked = tick_doubts(
            item,
            self._state,
            self.when.at,
            self._words,
            litres=litres if can_be else None,
            salinity=self.salinity_value,
            readings=self._readings(),
            grams=(self._typed_grams(), self._stated_grams()),
            fed=UNTOLD if self.given is None else self.given.fed,
        )
        if litres is not None and self.extent is not None and self.extent.extent is Extent.FULL:
            full = self._filled_since()
            asked.insert(0, f"{full} {ALL_THE_SAME}?" if full else "")
        return asked_once(asked)

    @property
    def salinity_value(self) -> float | None:
        """The salinity that was typed, None when nothing was."""
        value = self.salinity.value if self.salinity is not None else None
        return value if isinstance(value, float) else None

    def _typed_grams(self) -> float | None:
        value = self.grams.value if self.grams is not None else None
        return value if isinstance(value, float) else None

    def _readings(self) -> tuple[ReadingValue, ...]:
        values = [field.value for field in self.values.values()]
        return tuple(one for one in values if isinstance(one, ReadingValue))

    def _on_typed(self) -> None:
        """Forget the question: something else was typed since."""
        self._is_besides = False
        self.forget_question()

    def _tick(self) -> Tick:
        litres = self._typed_litres()
        is_proposed = self.litres is not None and litres is None and self._has_proposal()
        amount = self._due
        return Tick(
            item=self._row.item.chore.id if self.is_beside else self._row.id,
            at=self.when.at,
            by=self.who.person_id,
            litres=litres,
            extent=self._extent(is_proposed=is_proposed),
            grams=self._typed_grams(),
            salinity=self.salinity_value,
            values=self._readings(),
            as_proposed=is_proposed,
            proposed_l=amount.value if is_proposed and amount is not None else None,
            fed=None if self.given is None else self.given.fed,
            note=self.note.text(),
            # Who fills in the form for it means one more.
            may_be_extra=True,
            is_besides=self._is_besides,
        )

    def _extent(self, *, is_proposed: bool) -> Extent | None:
        if self.mixed is not None:
            return self.mixed.extent
        return self.extent.extent if self.extent is not None and not is_proposed else None

    def refuse_for(self, error: TankkeeperError) -> None:
        """Tell a refusal at the field it is about, else at the foot of the form."""
        self._leave_out_what_follows()
        if error.code == "done_meanwhile":
            # What was typed is not lost: it is work of its own, where that is confirmed.
            self.refuse("")
            self.asks_first(f"{fault_in_form(error, self._words)} {ALL_THE_SAME}?")
            self._is_besides = True
            return
        if error.code in OF_MOMENT and self.when.refuse(fault_words(error, self._words)):
            self.refuse("")
            return
        field = self._field_of(error)
        if field is None:
            self.refuse(fault_in_form(error, self._words))
            return
        self.refuse("")
        field.show_fault(fault_in_form(error, self._words))
        field.go_to()

    def _field_of(self, error: TankkeeperError) -> QuantityField | None:
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


def _heading(row: ItemRow) -> tuple[str, str, str]:
    """Return what the form of a line is called, the sentence under that, and its button."""
    where = row.item.tank.name if row.item.tank is not None else HOUSEHOLD
    return f"{row.name}, {where}", row.amount, "Tick"


def _read_grams(text: str) -> object:
    return to_stored(parse_quantity(text, Dimension.MASS, "g"))
