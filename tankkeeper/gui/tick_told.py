"""What is told of ticks: what they came to, for which day, and who does no such work."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime

from tankkeeper.core.logbook import Entry
from tankkeeper.gui.beside import ticked_words
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.models.row_words import told_rows
from tankkeeper.reports.noted_words import BESIDE_ITS_TURNS, noted_words, ticked_besides
from tankkeeper.reports.outside_words import outside_of
from tankkeeper.reports.people_words import limits_of_entry
from tankkeeper.reports.words import Words
from tankkeeper.services.fresh_fills import Extent
from tankkeeper.services.ticking import Tick

Tell = Callable[[Sequence[Entry]], str]


class TickTold:
    """Words ticks that are made on a page; `listed` is the one day that it shows, if it is one."""

    def __init__(self, words: Words, listed: date | None) -> None:
        self._words = words
        self._listed = listed

    def dated(self, at: datetime | None) -> str:
        """Return the day of a tick that is not of today, or not of the past day that is shown."""
        words, listed = self._words, self._listed
        day = words.today if at is None else words.moment.day_of(at)
        is_elsewhere = listed is not None and listed < day == words.today
        return ", today" if is_elsewhere else words.dated(day)

    def plain(self, rows: Sequence[ItemRow], when: str) -> Tell:
        """Return what words the entries of lines that were ticked without a form."""

        def tell(entries: Sequence[Entry]) -> str:
            turns = [turn for entry in entries for turn in entry.completes]
            extra = {turn.chore for turn in turns if turn.is_beside}
            beside = [told_rows([row]) for row in rows if row.item.chore.id in extra]
            return ticked_words(told_rows(rows), beside, when)

        return tell

    def from_form(self, row: ItemRow, tick: Tick) -> Tell:
        """Return what words the entries of a tick that a form has made."""
        said, dated, words = told_rows([row]), self.dated(tick.at), self._words
        is_part = is_of_part(tick)

        def tell(entries: Sequence[Entry]) -> str:
            outside = "; ".join(one for entry in entries if (one := outside_of(entry, words)))
            is_beside = any(turn.is_beside for entry in entries for turn in entry.completes)
            how = f", {BESIDE_ITS_TURNS}" if is_beside else ""
            first = f"Ticked {said}{dated}{how}{f': {outside}' if outside else ''}."
            if is_part and not is_beside:
                # It is not all done by it.
                first = " ".join(noted_words(entry, words) for entry in entries)
            also = [ticked_besides(entry, words) for entry in entries]
            limits = [limits_of_entry(entry, words) for entry in entries]
            return " ".join(part for part in (first, *also, *limits) if part)

        return tell

    def with_limits(self, answer: Answer, came: Tell | None = None) -> Answer:
        """Return an answer that also tells of work which its doer does not do by the household.

        `came` words what was done by its entries, where it may have come to something else.
        """

        def tell(entries: tuple[Entry, ...]) -> str:
            first = answer.words if came is None else came(entries)
            limits = dict.fromkeys(limits_of_entry(entry, self._words) for entry in entries)
            return " ".join(part for part in (first, *limits) if part)

        return replace(answer, tell=tell)


def is_of_part(tick: Tick) -> bool:
    """Tell whether a tick says that its turn is not all done by it."""
    return tick.extent in (Extent.PART, Extent.HOLDS)
