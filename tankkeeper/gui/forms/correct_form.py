"""The form that corrects an entry of the logbook: it stands there with what was written down."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.core.logbook import Entry
from tankkeeper.core.state import HouseholdState
from tankkeeper.gui.forms.asking_form import AskingForm
from tankkeeper.gui.forms.choices import NOT_TYPED, OF_MOMENT, WhoField
from tankkeeper.gui.forms.day_fields import MomentField
from tankkeeper.gui.forms.fact_fields import FactFields
from tankkeeper.gui.forms.fields import NoteField
from tankkeeper.gui.forms.other_tank import other_tank_words
from tankkeeper.gui.typography import metrics_for
from tankkeeper.reports.correction_doubts import correction_doubts, how_far_doubts
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.words import Words
from tankkeeper.services.correcting import Correction, can_move

KEEP: Final = "Keep the correction"
STAYS: Final = "The entry stays readable; a new one takes its place."
_WIDE: Final = 540
# By which field a fault of the services is meant.
_NAMED: Final = {"left": "litres", "fill": "litres", "of": "substance", "added": "added_l"}


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
        self._typed = typed = FactFields(self, entry, words)
        self.quantities = typed.quantities
        self.extent, self.readings = typed.extent, typed.readings
        self._follow_typing()
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
        (typed.first() or self.note).setFocus()

    def _follow_typing(self) -> None:
        """Forget the question once something else was typed since."""
        for field in self.quantities.values():
            field.field.textChanged.connect(self.forget_question)
        if self.readings is not None:
            self.readings.typed.connect(self.forget_question)
        if self.extent is not None:
            self.extent.currentIndexChanged.connect(self._on_extent)
            self.quantities["litres"].field.textChanged.connect(self.extent.ask_no_more)

    def _on_extent(self) -> None:
        if self.extent is not None and self.extent.extent is not None:
            self.forget_question()
            self._typed.show_extent(self.extent.extent)

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

    def _on_asked(self) -> None:
        if self._is_awaited:
            self._is_keeping = True
            if self._is_unread:
                self._is_unread = False
                self.refuse("")
                self.reading_wanted.emit()
            return
        wrong = self._typed.check()
        if wrong is not None:
            wrong.go_to()
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
            Correction(self._at(), self.who.person_id, self._typed.fact(), self.note.toPlainText())
        )

    def _is_when_sound(self) -> bool:
        """Tell below the moment what is wrong with it, if anything."""
        if self.when.text == self._stood_at:
            return True
        if self.when.check() and self.when.moment is None:
            self.when.show_fault(NOT_TYPED)
        return not self.when.fault

    def _question(self) -> str:
        """Return what to ask about once more: what can be, but is unlike the usual."""
        if self._then is None:
            return ""
        return correction_doubts(
            self._then, self._entry, self._typed.fact(), self._at(), self._words
        )

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

    def _is_extent_asked(self) -> bool:
        """Ask how far the water went where what went in does not suit that."""
        if self.extent is None:
            return False
        if self.extent.is_missing():
            return True
        then, litres = self._then, self.quantities["litres"].value
        if then is None or not isinstance(litres, float):
            return False
        told = how_far_doubts(then, self._entry, self._typed.fact(), self._at(), self._words)
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
