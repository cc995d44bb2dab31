"""The form of a tick: what was measured, or the proposal accepted, by whom and when."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.core.chores import FRESH_KINDS
from tankkeeper.core.errors import TankkeeperError
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.state import HouseholdState
from tankkeeper.gui.forms.asking_form import AskingForm
from tankkeeper.gui.forms.choices import OF_MOMENT, WhenField, WhoField
from tankkeeper.gui.forms.field_faults import fault_in_form, litres_typed, poured_besides
from tankkeeper.gui.forms.log_fields import first_unsound
from tankkeeper.gui.forms.tick_fields import TickFields
from tankkeeper.gui.forms.tick_proposal import TickProposal
from tankkeeper.gui.forms.typed_on import LEFT_OUT, TypedOn
from tankkeeper.gui.models.round_rows import HOUSEHOLD, ItemRow
from tankkeeper.gui.widgets.labels import CaptionLabel
from tankkeeper.gui.widgets.quantity_field import Field
from tankkeeper.reports.asking import (
    ALL_THE_SAME,
    asked_once,
    more_litres,
    short_litres,
    tick_doubts,
)
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.new_water_doubts import new_water_words
from tankkeeper.reports.reading_doubts import doubtful_words
from tankkeeper.reports.words import Words
from tankkeeper.services.fed import UNTOLD
from tankkeeper.services.fresh_fills import Extent, missing_then
from tankkeeper.services.litres_limits import NO_LIMITS, LitresLimits
from tankkeeper.services.ticking import Tick

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
        at = None if days_ago == 0 else words.moment.usual(days_ago)
        self._proposal = TickProposal(row, words, state, at)
        self._typed = typed = TickFields(self, row, words, self._limits, self._proposal)
        # Each is there by its name, as in every form.
        self.litres, self.extent, self.mixed = typed.litres, typed.extent, typed.mixed
        self.salinity, self.grams = typed.salinity, typed.grams
        self.given, self.values = typed.given, typed.values
        self._follow_typing()
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
        (self._typed.first() or self.who).setFocus()

    def _follow_typing(self) -> None:
        """Go on from what is typed, and how far the litres went."""
        for field in self._typed.quantities:
            field.field.textChanged.connect(self._on_typed)
        if self.litres is not None:
            self.litres.field.textChanged.connect(self._on_litres)
        if self.extent is not None:
            self.extent.currentIndexChanged.connect(self._on_extent)
        if self.mixed is not None:
            self.mixed.currentIndexChanged.connect(self.name_button)

    @property
    def is_beside(self) -> bool:
        """Whether none of its turns is done by it as of now."""
        return self._proposal.is_beside

    def _on_when(self) -> None:
        """Propose the fresh water that was missing at the moment that is chosen."""
        if self._row.item.chore.kind not in FRESH_KINDS or self.litres is None:
            return
        self._proposal.follow(self.when.at)
        if self.caption is not None:
            self.caption.setText(self._proposal.caption(self.when.at))
        self._typed.show_proposal()
        self.forget_question()
        self._on_litres()

    def tell_place(self, words: str, *, is_followed: bool = False) -> None:
        """Say under the title which of several forms it is, and what follows them."""
        self._is_followed = is_followed
        if words:
            under = 1 if self.caption is None else 2
            self.column.insertWidget(under, CaptionLabel(words, parent=self))

    def _on_litres(self) -> None:
        """Say on the button which of the two it will be: measured, or as proposed."""
        self._typed.follow()
        self.name_button()

    def name_button(self) -> None:
        """Say on the button whether it takes what is proposed or what was measured."""
        proposed = self._proposal.litres_words
        if self.litres is None:
            self.primary.set_words("Tick")
        elif self.mixed is not None:
            is_part = self.mixed.extent is Extent.PART
            self.primary.set_words("Keep as a part" if is_part else "Tick")
        elif self.extent is not None and self.extent.extent is Extent.HOLDS:
            self.primary.set_words(KEEP)
        elif self.litres.text.strip() or not self._typed.takes_proposal:
            self.primary.set_words(MEASURED)
        elif self.salinity is not None:
            # Salinity is never proposed: words of a proposal would say that it may stay empty.
            self.primary.set_words(f"Keep {proposed} and this salinity")
        else:
            self.primary.set_words(f"Keep {proposed} as proposed")

    def _on_extent(self) -> None:
        """Ask nothing more about it, and say what is proposed where that may be taken."""
        if self.extent is not None and self.extent.extent is not None:
            self.forget_question()
            self._typed.show_proposal()

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
        unsound = first_unsound(self._typed.quantities)
        if unsound is not None:
            unsound.go_to()
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
        new = self._typed.salinity_value
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
        full = self._proposal.filled_since(self.when.at)
        if self._proposal.due is not None or not full:
            return litres_typed(self._words)
        return poured_besides(full, self._words)

    def _is_extent_asked(self) -> bool:
        """Ask how far the water went where too little for the whole way went in."""
        if self.extent is None or self.litres is None or self.extent.is_missing():
            return self.extent is not None
        litres, chore = self._typed.litres_value, self._row.item.chore
        if litres is None:
            if not self._typed.takes_proposal:
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

    def _question(self) -> str:
        """Return what to ask about once more: what can be, but is unlike the usual."""
        typed, due = self._typed, self._proposal.due
        litres = typed.litres_value
        extent = None if self.extent is None else self.extent.extent
        if extent is Extent.HOLDS:
            litres = None
        if self.mixed is not None and litres is None and due is not None:
            # What is proposed may be more than can be stored as well.
            litres = due.value
        # More than the vessel holds is no question: it is refused where it is kept.
        can_be = litres is None or self._limits.holds(litres)
        asked = tick_doubts(
            self._row.item,
            self._state,
            self.when.at,
            self._words,
            litres=litres if can_be else None,
            salinity=typed.salinity_value,
            readings=typed.readings,
            grams=(typed.grams_value, self._proposal.stated_grams),
            fed=typed.fed or UNTOLD,
        )
        if litres is not None and extent is Extent.FULL:
            full = self._proposal.filled_since(self.when.at)
            asked.insert(0, f"{full} {ALL_THE_SAME}?" if full else "")
        return asked_once(asked)

    def _on_typed(self) -> None:
        """Forget the question: something else was typed since."""
        self._is_besides = False
        self.forget_question()

    def _tick(self) -> Tick:
        typed, due = self._typed, self._proposal.due
        is_proposed = typed.is_as_proposed
        return Tick(
            item=self._row.item.chore.id if self.is_beside else self._row.id,
            at=self.when.at,
            by=self.who.person_id,
            litres=typed.litres_value,
            extent=typed.extent_value,
            grams=typed.grams_value,
            salinity=typed.salinity_value,
            values=typed.readings,
            as_proposed=is_proposed,
            proposed_l=due.value if is_proposed and due is not None else None,
            fed=typed.fed,
            note=self.note.text(),
            # Who fills in the form for it means one more.
            may_be_extra=True,
            is_besides=self._is_besides,
        )

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
        field = self._typed.field_of(error)
        if field is None:
            self.refuse(fault_in_form(error, self._words))
            return
        self.refuse("")
        field.show_fault(fault_in_form(error, self._words))
        field.go_to()


def _heading(row: ItemRow) -> tuple[str, str, str]:
    """Return what the form of a line is called, the sentence under that, and its button."""
    where = row.item.tank.name if row.item.tank is not None else HOUSEHOLD
    return f"{row.name}, {where}", row.amount, "Tick"
