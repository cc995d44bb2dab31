"""How much a tick of a line takes, as it is proposed now or was at the moment that is chosen."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from tankkeeper.core.amounts import AmountDue, stated_grams
from tankkeeper.core.chores import FRESH_KINDS
from tankkeeper.core.mixing_parts import takes_mixed_litres
from tankkeeper.core.state import HouseholdState
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.reports.amount_words import litres_due
from tankkeeper.reports.full_words import full_already
from tankkeeper.reports.rows import amount_words
from tankkeeper.reports.words import Words
from tankkeeper.services.fresh_fills import due_then, full_since
from tankkeeper.services.mixed_amounts import due_to_mix
from tankkeeper.services.mixing_beside import missing_beside
from tankkeeper.services.ticking import too_early

NOTHING_MISSING = "nothing missing any more"


class TickProposal:
    """What is proposed for a line; `follow` takes it to another moment, None for now.

    `due` is None where nothing is known of it. Work of now `is_beside` its turns where none of
    them is done by it.
    """

    def __init__(
        self, row: ItemRow, words: Words, state: HouseholdState | None, at: datetime | None
    ) -> None:
        self._row = row
        self._words = words
        self._state = state
        self.is_beside = state is not None and too_early(state, row.item) is not None
        self.due = self._due_at(at)

    def follow(self, at: datetime | None) -> None:
        """Propose what was missing at a moment."""
        self.due = self._due_at(at)

    def _due_at(self, at: datetime | None) -> AmountDue | None:
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

    @property
    def has_litres(self) -> bool:
        """Whether litres are proposed."""
        return self.due is not None and self.due.unit == "L"

    @property
    def litres_words(self) -> str:
        """The litres that are proposed, empty where nothing is."""
        return "" if self.due is None else litres_due(self.due, self._words)

    @property
    def stated_grams(self) -> float | None:
        """The grams that the chore states, None where it states none."""
        return stated_grams(self._row.item.chore, self._words.household)

    def filled_since(self, at: datetime | None) -> str:
        """Return what is so where it was filled at a moment or since, else nothing."""
        if self._state is None or at is None:
            return ""
        return full_already(self._state, self._row.item.chore, at, self._words)

    def caption(self, at: datetime | None) -> str:
        """Return what is said under the title of what it takes at a moment."""
        if self.due is None and self.filled_since(at):
            return NOTHING_MISSING
        return amount_words(replace(self._row.item, amount=self.due), self._words)
