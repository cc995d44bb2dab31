"""The form that writes down what is not in the round: water, readings, doses, notes."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.core.household import Tank
from tankkeeper.core.state import HouseholdState
from tankkeeper.gui.forms.asking_form import AskingForm
from tankkeeper.gui.forms.choices import OF_MOMENT, WhenField, WhoField
from tankkeeper.gui.forms.extent_field import CHOOSE
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.forms.kept_typing import StillHere
from tankkeeper.gui.forms.kind_drafts import KindDrafts
from tankkeeper.gui.forms.log_begins import LogBegins
from tankkeeper.gui.forms.log_doubts import (
    KINDS,
    extent_in,
    extent_question,
    missing_in,
    question_of,
)
from tankkeeper.gui.forms.log_fields import (
    What,
    first_unsound,
    kinds_for,
)
from tankkeeper.gui.forms.log_inputs import LONGEST_TYPED, LogInputs
from tankkeeper.gui.forms.log_writes import Written, line_of, number_in, write_of
from tankkeeper.gui.typography import metrics_for
from tankkeeper.gui.widgets.quantity_field import Field, QuantityField
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.words import Words
from tankkeeper.services.litres_limits import LitresLimits, litres_limits

WRITE_DOWN: Final = "Write down"
KEEP: Final = "Keep"
NO_TANK: Final = "The household"
CHOOSE_TANK: Final = "Choose the tank that it was."
_WIDE: Final = 540


class LogForm(AskingForm):
    """Asks what happened, where and how much; `written` tells what is to be kept."""

    written = Signal(object)

    def __init__(
        self,
        state: HouseholdState,
        words: Words,
        begins: LogBegins,
        person_id: str | None,
        parent: QWidget,
    ) -> None:
        super().__init__(WRITE_DOWN, "", KEEP, parent)
        self._state = state
        self._words = words
        self._tank_id = self._opened_for = begins.tank
        self._asks_tank = begins.tank is None and len(words.household.tanks) > 1
        self.what = ChoiceField("What", self)
        self.tank = ChoiceField("Tank", self)
        self.tank.setPlaceholderText(CHOOSE)
        self._inputs = inputs = LogInputs(self, state, words, self._limits)
        # Each is there by its name, as in every form.
        self.litres, self.extent, self.reservoir = inputs.litres, inputs.extent, inputs.reservoir
        self.salinity, self.readings = inputs.salinity, inputs.readings
        self.substance, self.grams = inputs.substance, inputs.grams
        self.ticks, self.feeding = inputs.ticks, inputs.feeding
        self.text, self.keys = inputs.text, inputs.keys
        self.who = WhoField(words.household, person_id, self)
        self.when = WhenField(words, 0, self)
        self.when.begin_at(begins.at)
        self.ticks.preferred = self.feeding.preferred = begins.chore
        self.note = Field(parent=self)
        self.note.setAccessibleName("Note")
        # The note is bounded where it is kept; what was typed is never cut here.
        self.note.setMaxLength(LONGEST_TYPED)
        for what in kinds_for(words.household, None):
            self.what.addItem(what.value, what)
        self._add_fields()
        if begins.what is not None:
            self.choose(begins.what)
        self._connect()
        self._drafts: KindDrafts | None = None
        self._before = self.chosen
        self._on_what()
        # On another day "yesterday" would be another one; a draft of now is none of a past day.
        of = words.moment.day_of(begins.at or words.moment.now)
        about = f"{parent.window().windowTitle()}: {words.moment.day} {of}"
        self._drafts = KindDrafts(
            parent.window(),
            lambda: f"{about} {self.tank.currentData() or self._opened_for}",
            {what.value: fields for what, fields in inputs.of_kind.items()},
            (self.tank, self.when, self.note),
            self.tank,
            self._is_typed_in,
            f"The form {WRITE_DOWN}",
            # A remark is looked for wherever the keys are by then.
            wider={What.NOTE.value: about},
        )
        self._take_up()
        self.what.setFocus()

    def _add_fields(self) -> None:
        self.add_field("Wha&t", self.what)
        self.add_field("Tan&k", self.tank)
        self._inputs.add_to_form()
        self.add_field("W&ho", self.who)
        self.add_field("&When", self.when)
        self.add_field("&Note", self.note)
        self.setMinimumWidth(metrics_for(self.font()).px(_WIDE))

    def _connect(self) -> None:
        self.what.currentIndexChanged.connect(self._on_what)
        self.tank.currentIndexChanged.connect(self._on_tank)
        self.text.entered.connect(self.primary.click)
        self._inputs.typed.connect(self._on_typed)
        for given in (self.litres, self.substance, self.grams):
            given.field.textChanged.connect(self._offer_ticks)
        self.litres.field.textChanged.connect(self._on_litres)
        for field in (self.extent, self.reservoir):
            field.currentIndexChanged.connect(self._on_extent)
        self.when.changed.connect(self._offer_turns)
        self.asked.connect(self._on_asked)

    # What is chosen

    @property
    def chosen(self) -> What:
        """What is written down."""
        return What(self.what.currentText())

    @property
    def chosen_tank(self) -> Tank | None:
        """The tank it happened on, None for the household."""
        tanks = self._words.household.tanks
        return next((one for one in tanks if one.id == self.tank.currentData()), None)

    def choose(self, what: What) -> None:
        """Write down this kind of thing."""
        self.what.setCurrentIndex(self.what.findText(what.value))

    @property
    def _why_not(self) -> str:
        """Why what is chosen cannot be on the chosen tank; empty where it can."""
        tank = self.chosen_tank
        if self.chosen is not What.RESERVOIR or tank is None or tank.has_automatic_top_off:
            return ""
        return self._word(UserFault("no_reservoir", tank=tank.name))

    # What was typed last time

    def _take_up(self) -> None:
        """Let what was left last stand here again."""
        assert self._drafts is not None
        newest = self._drafts.newest()
        if newest == self.chosen.value:
            self._change_draft("", newest)
        elif newest and self.what.findText(newest) >= 0:
            self.what.setCurrentText(newest)

    def _is_typed_in(self, field: QWidget) -> bool:
        """Tell whether a field that is not asked for now counts: the time only where it is."""
        return field is not self.when.other.field or self.when.is_typed

    def _change_draft(self, before: str, kind: str) -> None:
        """Put the draft of the kind before away, and that of this kind in."""
        if before == kind or self._drafts is None:
            return
        is_there = self._drafts.change(before, kind)
        if is_there and self._still_here is None:
            self._still_here = StillHere(self)
            self._still_here.cleared.connect(self._clear_draft)
            self.column.insertWidget(1, self._still_here)
        if self._still_here is not None:
            self._still_here.setVisible(is_there)
            is_other = self.tank.currentData() != self._opened_for
            self._still_here.tell_of(self.tank.currentText() if is_other else "")

    def _clear_draft(self) -> None:
        assert self._still_here is not None
        assert self._drafts is not None
        self._still_here.hide()
        self._drafts.clear(self.chosen.value)
        self.refuse(self._why_not)
        self.what.setFocus()
        self.fit(shrinks=True)

    def accept(self) -> None:
        """Close the form once its kind was kept; what was typed of another one is there again."""
        assert self._drafts is not None
        self._drafts.leave(self.chosen.value, is_kept=True)
        super().accept()

    def reject(self) -> None:
        """Leave the form, but not while what was typed is on its way."""
        if not self._is_writing and self._drafts is not None:
            self._drafts.leave(self.chosen.value, is_kept=False)
        super().reject()

    def _on_what(self) -> None:
        """Show the fields that belong to it; the others keep what was typed in them."""
        chosen = self.chosen
        self._before, before = chosen, self._before
        self._inputs.show(chosen)
        self.fields.setRowVisible(self.note, chosen is not What.NOTE)
        self._show_tanks(with_household=chosen is What.NOTE)
        self._offer_reservoir()
        self._change_draft(before.value, chosen.value)
        self._offer_turns()
        self._on_litres()
        self._on_extent()
        self.forget_question()
        self.refuse(self._why_not)
        self.fields.activate()
        self.column.activate()
        self.fit(shrinks=True)

    def _show_tanks(self, *, with_household: bool) -> None:
        """Offer the tanks, and the household where a note may be about it."""
        tanks = self._words.household.tanks
        self.tank.blockSignals(True)
        self.tank.clear()
        for tank in tanks:
            self.tank.addItem(tank.name, tank.id)
        if with_household:
            self.tank.addItem(NO_TANK, None)
        first = -1 if self._asks_tank and self._tank_id is None else 0
        at = len(tanks) if with_household and first < 0 else self.tank.findData(self._tank_id)
        self.tank.setCurrentIndex(max(first, at))
        self.tank.blockSignals(False)

    def _offer_reservoir(self) -> None:
        """Offer the reservoir where the tank has one, and while it is what is written down."""
        kinds = kinds_for(self._words.household, self.chosen_tank)
        at, is_offered = self.what.findText(What.RESERVOIR.value), What.RESERVOIR in kinds
        self.what.blockSignals(True)
        if is_offered and at < 0:
            self.what.insertItem(kinds.index(What.RESERVOIR), What.RESERVOIR.value, What.RESERVOIR)
        elif not is_offered and at >= 0 and self.chosen is not What.RESERVOIR:
            self.what.removeItem(at)
        self.what.blockSignals(False)

    def _on_tank(self) -> None:
        self._tank_id = self.tank.currentData()
        self.tank.set_fault(False)
        self._offer_reservoir()
        self._offer_turns()
        self.forget_question()
        self.refuse(self._why_not)

    def _offer_turns(self) -> None:
        """Show which chore a feeding, a water change or a dose would tick."""
        self.feeding.offer(self.chosen_tank, self.when)
        self.ticks.forget_choice()
        self._offer_ticks()

    def _offer_ticks(self) -> None:
        """Propose what is ticked by how much it was."""
        tank, typed = self.chosen_tank, str(self.substance.value or "")
        if self.chosen is What.WATER_CHANGE:
            litres = self.litres.value if isinstance(self.litres.value, float) else None
            self.ticks.offer(tank, self.when, ChoreKind.WATER_CHANGE, litres)
        elif self.chosen is What.DOSE:
            grams = self.grams.value if isinstance(self.grams.value, float) else None
            self.ticks.offer(tank, self.when, ChoreKind.DOSE, grams, typed)

    def _on_typed(self) -> None:
        """Forget the question: something else was typed since."""
        self.forget_question()

    # What was typed

    def _word(self, fault: UserFault) -> str:
        return fault_words(fault, self._words)

    def _limits(self) -> LitresLimits:
        """Return what litres can be of what is chosen."""
        kind = KINDS.get(self.chosen, ChoreKind.OTHER)
        tank = self.chosen_tank
        return litres_limits(self._state, kind, None if tank is None else tank.id)

    def _on_asked(self) -> None:
        is_unchosen = self.tank.count() > 0 and self.tank.currentIndex() < 0
        self.tank.set_fault(is_unchosen)
        if why_not := CHOOSE_TANK if is_unchosen else self._why_not:
            self._refuse_tank(why_not)
            return
        unsound = first_unsound(self._inputs.read_of(self.chosen))
        if unsound is not None:
            unsound.go_to()
            return
        if self._tells_missing() or self._is_extent_asked() or not self.when.check():
            return
        if self.asks_first(question_of(self, self._state, self._words)):
            return
        self.wait()
        write = write_of(self, self._words.household)
        self.written.emit(Written(write, self.chosen, line_of(self)))

    def _tells_missing(self) -> bool:
        """Tell at its field what has to be written down and is not."""
        missing = missing_in(self, self._inputs.of_kind[self.chosen], self._words)
        if missing is None:
            return False
        field, sentence = missing
        if isinstance(field, QuantityField):
            return _tell(field, sentence)
        self.refuse(sentence)
        field.setFocus()
        return True

    def _is_extent_asked(self) -> bool:
        """Ask how far the water went where too little for the whole way went in."""
        field = extent_in(self)
        if field is None or self.chosen_tank is None:
            return False
        if field.is_missing():
            return True
        question = extent_question(self, field, self._state, self._words)
        if question:
            field.take_away(number_in(self.litres))
            self.ask_about(question)
        return bool(question)

    def _on_extent(self) -> None:
        """Ask nothing more about what was chosen."""
        self._inputs.hint_at(self.chosen)
        field = extent_in(self)
        if field is not None and field.extent is not None:
            self._on_typed()

    def _on_litres(self) -> None:
        for field in (self.extent, self.reservoir):
            field.follow(None, None)

    def refuse_for(self, error: TankkeeperError) -> None:
        """Tell a refusal at the field it is about, else at the foot of the form."""
        if error.code in OF_MOMENT and self.when.refuse(fault_words(error, self._words)):
            self.refuse("")
            return
        field = self._inputs.field_of(error, self.chosen)
        if field is None:
            if error.code == "no_reservoir":
                # It has none since the form was opened.
                self._refuse_tank(fault_words(error, self._words))
                return
            self.refuse(fault_words(error, self._words))
            return
        self.refuse("")
        _tell(field, fault_words(error, self._words))

    def _refuse_tank(self, sentence: str) -> None:
        self.refuse(sentence)
        self.tank.setFocus()


def _tell(field: QuantityField, sentence: str) -> bool:
    """Tell what is wrong at a field and go to it; always true."""
    field.show_fault(sentence)
    field.go_to()
    return True
