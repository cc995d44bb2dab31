"""The form that adds chores of the catalogue to a tank that is there."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from tankkeeper.core.adjusting import Adjustment, adjusted
from tankkeeper.core.catalogue import Proposal, keys_there
from tankkeeper.core.state import HouseholdState
from tankkeeper.gui.forms.proposal_form import ProposalForm
from tankkeeper.gui.palette import Role
from tankkeeper.gui.parts import ManyForm
from tankkeeper.gui.typography import metrics_for
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.labels import CaptionLabel
from tankkeeper.gui.widgets.proposal_list import ProposalList
from tankkeeper.gui.widgets.quantity_field import Field
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.proposals import proposal_reason
from tankkeeper.reports.rhythms import rhythm_words
from tankkeeper.reports.settling_words import next_line
from tankkeeper.reports.words import Words
from tankkeeper.services import settling_chores, settling_in
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown

_HOW = (
    "Space switches a chore on or off, Left and Right (- and +) change its days, "
    "Return changes more."
)
_HIGH, _WIDE = 300, 680
# What stands around the list in the form, a refusal of two lines with it, and the least of a list.
_AROUND, _LEAST = 324, 120
_NO_MATCH = (
    "Nothing in the catalogue matches {typed}. Try one short word, such as glass, salt or pump, or "
    "leave this form and make a chore of your own with New chore."
)
_ALL_TYPED = 60
_GO_ON = "Down goes to the list, where Space switches one on or off."
_FIRST = "Space twice switches the first one on or off from here; Down goes to the list."


class _Search(Field):
    """The field that narrows the list; `down` tells that the keys are to go there.

    `switched` tells that the first that is found is to be switched: by the second Space on end,
    since one alone stands before another word.
    """

    down = Signal()
    switched = Signal()
    # It finds what is chosen and is no part of it.
    is_kept = False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the list with Down, switch with a second Space; the other keys are typed."""
        if event.key() in (Qt.Key.Key_Down, Qt.Key.Key_PageDown):
            self.down.emit()
            return
        is_end = self.cursorPosition() == len(self.text()) and not self.hasSelectedText()
        if event.key() == Qt.Key.Key_Space and is_end and self.text()[-1:] == " ":
            self.switched.emit()
            return
        super().keyPressEvent(event)


class CatalogueForm(ManyForm):
    """Lists what suits a tank, or the household; typing narrows the list.

    What is there already is marked as such, so that nobody looks for it in vain.
    """

    def __init__(
        self, state: HouseholdState, words: Words, tank_id: str | None, parent: QWidget
    ) -> None:
        self._household, self._tank_id = state.household, tank_id
        self._now: datetime = state.moment.now
        self._today = state.moment.day
        self._words = words
        self._all = settling_in.catalogue_of(self._household, tank_id, self._today)
        name = "Household" if tank_id is None else self._household.tank(tank_id).name
        super().__init__(f"From the catalogue: {name}", _HOW, "Add", parent)
        self.search = _Search(parent=self)
        self.search.setAccessibleName("Find a chore")
        self.search.setPlaceholderText("Find by name or reason")
        self.hint = CaptionLabel(ink=Role.INK_2, parent=self)
        self.list = ProposalList(self)
        self.list.passes_letters = True
        self.list.typed.connect(self._on_letter)
        there = keys_there(self._household, tank_id, self._today, self._all)
        self.list.set_there(there)
        sizes = metrics_for(self.font())
        room = self.screen().availableSize().height() - sizes.px(_AROUND)
        self.list.setMinimumHeight(max(sizes.px(_LEAST), min(sizes.px(_HIGH), room)))
        self.fields.addRow(self.search)
        self.fields.addRow(self.hint)
        self.fields.addRow(self.list)
        self.setMinimumWidth(metrics_for(self.font()).px(_WIDE))
        self.search.textChanged.connect(self._narrow)
        self.search.down.connect(self._go_to_list)
        self.search.switched.connect(self._switch_first)
        self.list.refused.connect(self._on_there)
        self.list.chosen_changed.connect(self._count)
        self.list.opened.connect(self._on_opened)
        self._narrow()
        self.keep_typing(tank_id or "")
        self._go_to_chosen()
        self.list.setFocus()

    def deed(self, by: str | None) -> tuple[Callable[[Desk], SetDown], str]:
        """Return how the chosen chores are written, and what is told then."""
        chores = [one.chore for one in self.list.accepted_of(self._all)]
        tank_id = self._tank_id

        def write(desk: Desk) -> SetDown:
            return settling_chores.add_chores(desk, chores, tank_id, by)

        return write, f"Added {counted(len(chores), 'chore', 'chores')}."

    def _narrow(self) -> None:
        wanted = self.search.text().casefold().split()
        shown = [one for one in self._all if all(part in self._told(one) for part in wanted)]
        typed = self.search.text().strip()[:_ALL_TYPED]
        told = "" if shown else _NO_MATCH.format(typed=typed)
        self.list.set_empty_words(told)
        self.list.show_proposals(shown, self._words)
        self.list.setCurrentRow(0)
        found = counted(len(shown), "chore", "chores")
        hint = f"{found} found. {_FIRST}" if typed else f"Type to find. {_GO_ON}"
        self.hint.setText(hint if shown else "")
        self.search.setAccessibleDescription(self.hint.text())
        if told:
            announce(self.search, told)

    def _go_to_chosen(self) -> None:
        """Begin at what was chosen last time, where the form was left with something chosen."""
        chosen = [one.row.key for one in self.list.accepted_of(self._all)]
        at = next((at for at, one in enumerate(self._all) if one.row.key in chosen), 0)
        self.list.setCurrentRow(at)

    def _on_letter(self, letter: str) -> None:
        """Find by what is typed on the list; it begins a text of its own."""
        self.search.setFocus()
        self.search.setText(letter)

    def _go_to_list(self) -> None:
        """Go to the first that is found, whichever line was chosen before."""
        if self.list.count():
            self.list.setCurrentRow(0)
            self.list.setFocus()

    def _switch_first(self) -> None:
        """Switch the first that is found, and say so to a screen reader."""
        said = self.list.switch(0)
        if said:
            announce(self.search, said)

    def _on_there(self, proposal: Proposal) -> None:
        self.refuse(
            f"{proposal.chore.name} is here already. To change it, leave this form and open it in "
            "the list of chores."
        )

    def _told(self, proposal: Proposal) -> str:
        return f"{proposal.chore.name} {proposal_reason(proposal, self._words)}".casefold()

    def _count(self) -> None:
        # What was refused may be mended by what is chosen now.
        self.refuse("")
        count = len(self.list.accepted_of(self._all))
        self.primary.set_words(f"Add {counted(count, 'chore', 'chores')}" if count else "Add")

    def _on_opened(self, proposal: Proposal) -> None:
        def preview(wanted: Adjustment) -> str:
            chore = adjusted(proposal, wanted, self._today).chore
            days = settling_in.first_days(self._household, chore, self._now)
            return next_line(capital(rhythm_words(chore)), days, self._words)

        form = ProposalForm(proposal, self._words, preview, self)
        form.chosen.connect(lambda wanted: self.list.adjust(proposal, wanted, self._today))
        form.finished.connect(form.deleteLater)
        form.finished.connect(self.list.setFocus)
        form.open()
