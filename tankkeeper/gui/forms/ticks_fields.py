"""Which chore a water change or a dose outside the round ticks, said in a sentence."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.household import Tank
from tankkeeper.core.state import HouseholdState
from tankkeeper.gui.forms.choices import WhenField
from tankkeeper.gui.forms.feeding_fields import (
    EXTRA,
    preferred_then,
    ticks_sentence,
    ticks_then,
    turn_name,
)
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.palette import Role
from tankkeeper.gui.widgets.labels import CaptionLabel
from tankkeeper.reports.words import Words
from tankkeeper.services.outside_turns import (
    USUAL,
    chores_of,
    doses_of,
    is_far_less,
    most_likely_first,
    open_items,
)

_WHAT: Final = {ChoreKind.WATER_CHANGE: "water change", ChoreKind.DOSE: "dose"}


class TicksFields(QObject):
    """What is ticked: what is open, unless far less was done; whoever chooses is followed."""

    def __init__(self, state: HouseholdState, words: Words, parent: QWidget) -> None:
        super().__init__(parent)
        self._state = state
        self._words = words
        self._tank_name = ""
        self._kind = ChoreKind.WATER_CHANGE
        self._is_other_time = False
        self._at: datetime | None = None
        self._by_hand = False
        # The chore that is proposed first, where nobody wrote it down at the time that is chosen.
        self.preferred: str | None = None
        self._chores: dict[str, Chore] = {}
        self.completes = ChoiceField("Ticks", parent)
        self.told = CaptionLabel("", ink=Role.INK_2, parent=parent)
        self.completes.activated.connect(self._on_chosen)
        self.completes.currentIndexChanged.connect(self._tell)

    @property
    def all(self) -> tuple[QWidget, ...]:
        """The fields in their order."""
        return (self.completes, self.told)

    @property
    def which(self) -> str | None:
        """The turn or the chore that it ticks, None where it is extra."""
        if self.completes.count() == 1:
            # Nobody could choose.
            return USUAL
        chosen = self.completes.currentData()
        return chosen if isinstance(chosen, str) else None

    @property
    def chore(self) -> Chore | None:
        """The chore that it ticks, None where it is extra."""
        return self._chores.get(str(self.completes.currentData()))

    def forget_choice(self) -> None:
        """Propose anew what is ticked: it is of another tank, time or kind."""
        self._by_hand = False

    def offer(
        self,
        tank: Tank | None,
        when: WhenField,
        kind: ChoreKind,
        amount: float | None,
        substance: str = "",
    ) -> None:
        """Offer what an amount can be of, and propose what is open unless it is far less.

        What was open at another time is not known here; all chores of the kind are offered then.
        """
        self._tank_name = tank.name if tank is not None else ""
        self._kind = kind
        self._is_other_time = when.at is not None or when.is_typed
        self._at = when.at
        was = self.completes.currentData()
        offered = [] if tank is None else self._offered(tank, kind)
        self._chores = {key: chore for key, chore, _ in offered}
        self.completes.blockSignals(True)
        self.completes.clear()
        for key, _, name in offered:
            self.completes.addItem(name, key)
        self.completes.addItem(EXTRA, None)
        likely = offered if tank is None else self._likely(tank, kind, substance, offered)
        proposed = len(offered)
        first = preferred_then(self._state, self.preferred, tank, when.at)
        # What is typed tells more than what was missed.
        missed = [one for one in (likely if substance else offered) if one[0] == first]
        likely = missed or likely
        if likely and not is_far_less(self._state, likely[0][1], amount):
            proposed = offered.index(likely[0])
        kept = self.completes.findData(was) if self._by_hand else -1
        self.completes.setCurrentIndex(proposed if kept < 0 else kept)
        self.completes.blockSignals(False)
        self._tell()

    def _offered(self, tank: Tank, kind: ChoreKind) -> list[tuple[str, Chore, str]]:
        """Return what can be ticked: its key, its chore and its name; the likeliest first."""
        if self._is_other_time:
            chores = [one.chore for one in chores_of(self._state, tank, kind)]
            return [(one.id, one, one.name) for one in chores]
        items = most_likely_first(self._state, open_items(self._state, tank, kind))
        return [(one.id, one.chore, turn_name(one)) for one in items]

    def _likely(
        self, tank: Tank, kind: ChoreKind, substance: str, offered: list[tuple[str, Chore, str]]
    ) -> list[tuple[str, Chore, str]]:
        """Return those of what is offered that can be meant: of doses those of the substance."""
        if kind is not ChoreKind.DOSE:
            return offered
        alike = {one.chore.id for one in doses_of(self._state, tank, substance)}
        return [one for one in offered if one[1].id in alike]

    def _on_chosen(self) -> None:
        self._by_hand = True

    def _tell(self) -> None:
        """Say what keeping will tick."""
        last = self.completes.count() - 1
        others = [self.completes.itemText(at) for at in range(last)]
        chosen = "" if self.completes.currentData() is None else self.completes.currentText()
        what = f"{_WHAT[self._kind]} of {self._tank_name}"
        sentence = ticks_sentence(chosen, others, what, is_other_time=self._is_other_time)
        if self._is_other_time and self.which:
            sentence = ticks_then(self._state, self._at, self.which, self._words) or sentence
        if not self._tank_name:
            sentence = ""
        self.told.setText(sentence)
        self.completes.setAccessibleDescription(sentence)
