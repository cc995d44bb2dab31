"""Rows of the logbook prepared for drawing and reading aloud; made in the worker."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from tankkeeper.core.logbook import Redefined, Revoke
from tankkeeper.core.values import dataclass
from tankkeeper.gui.reading import Shown
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.log_words import (
    fate_words,
    found_sentence,
    found_text,
    gutter_day,
    night_words,
)
from tankkeeper.reports.undo_words import are_one, gathered, together_text
from tankkeeper.reports.words import Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.log_pages import PAGE, log_extent, log_page
from tankkeeper.services.log_search import FoundEntry, LogExtent, LogSearch, Place, ValuesTold

if TYPE_CHECKING:
    from tankkeeper.gui.models.changed_fields import FieldChange

DOT = "  \N{MIDDLE DOT}  "


@dataclass(frozen=True, slots=True)
class LogRow:
    """One entry in words; `fate` tells who took it back, and is empty where it holds.

    `night` tells that its hour is one after midnight, before the day ended.
    """

    found: FoundEntry
    day: str
    time: str
    text: str
    where: str
    who: str
    fate: str
    sentence: str
    night: str = ""
    changes: tuple[FieldChange, ...] = ()
    # The undos of the same deed, which this row tells as well.
    besides: tuple[FoundEntry, ...] = ()

    @property
    def ids(self) -> tuple[str, ...]:
        """The ids of all entries that it tells, in the order in which they were written.

        With that of the undo that cleared its place, or what stood there would not hold again.
        """
        cleared = self.found.cleared_by
        first = () if cleared is None else (cleared.id,)
        return (*first, *(one.entry.id for one in reversed((self.found, *self.besides))))

    @property
    def id(self) -> str:
        """The id of the entry."""
        return self.found.entry.id

    @property
    def on(self) -> date:
        """The day on which it stands."""
        return self.found.entry.day

    @property
    def aside(self) -> str:
        """What stands behind the text in small letters."""
        return DOT.join(part for part in (self.night, self.fate) if part)

    @property
    def is_struck(self) -> bool:
        """Whether it holds no longer."""
        return self.found.revoked_by is not None


@dataclass(frozen=True, slots=True)
class LogChunk:
    """What one look into the logbook gave; `number` is that of the wish it answers."""

    number: int
    rows: tuple[LogRow, ...]
    reached: Place | None

    @property
    def entries(self) -> int:
        """How many entries the rows tell."""
        return sum(1 + len(one.besides) for one in self.rows)


@dataclass(frozen=True, slots=True)
class LogWish:
    """One look into the logbook: called in the worker, with what a reading of the household has."""

    number: int
    search: LogSearch
    below: Place | None
    most: int

    def read(self, desk: Desk, shown: Shown) -> LogChunk:
        """Return the next rows."""
        told = told_values(self.search, shown.sheet.words)
        page = log_page(desk, self.search, self.below, self.most, told)
        words = Words(page.household, page.moment, shown.sheet.words.decimal_sign, page.gone)
        found, reached = self._with_rest(desk, list(page.slice.found), page.slice.reached, told)
        # What only cleared the place of a correction is told by the line of that.
        found = [one for one in found if one.clears_for is None]
        rows = tuple(log_row(group[0], words, group[1:]) for group in gathered(found))
        return LogChunk(self.number, rows, reached)

    def _with_rest(
        self,
        desk: Desk,
        found: list[FoundEntry],
        reached: Place | None,
        told: ValuesTold | None,
    ) -> tuple[list[FoundEntry], Place | None]:
        """Return the entries with the rest of the deed that the last of them belongs to."""
        while found and reached is not None and isinstance(found[-1].entry.fact, Revoke):
            below = log_page(desk, self.search, reached, PAGE, told).slice
            more: list[FoundEntry] = []
            for one in below.found:
                if not are_one((more or found)[-1], one):
                    break
                more.append(one)
            found += more
            if len(more) < len(below.found) or not more:
                last = found[-1].entry
                return found, Place(last.at, last.seq) if more else reached
            reached = below.reached
        return found, reached


def told_values(search: LogSearch, words: Words) -> ValuesTold | None:
    """Return what finds changes by their values, None where nothing is looked for."""
    if not search.words:
        return None
    from tankkeeper.gui.models.changed_fields import values_told

    return values_told(words)


def read_extent(desk: Desk, _shown: Shown) -> LogExtent:
    """Return how far the logbook reaches; counting a long one takes longer than a page of it."""
    return log_extent(desk)


def log_row(found: FoundEntry, words: Words, besides: tuple[FoundEntry, ...] = ()) -> LogRow:
    """Return an entry as a row; one that changed what is set down tells its fields as well.

    Undos of one deed are told by one row; where they are of several tanks, it names none.
    """
    entry = found.entry
    changes: tuple[FieldChange, ...] = ()
    line = ""
    if found.resets and isinstance(entry.fact, Redefined):
        # Loaded late: most pages tell of no such change.
        from tankkeeper.gui.models.changed_fields import changed_fields, changes_line

        changes = changed_fields(found.resets, entry.fact, words)
        line = changes_line(changes, entry.fact)
    text = together_text((found, *besides), words) if besides else found_text(found, words)
    if line:
        # Behind a colon there is none, and nothing but a sentence of its own behind a note.
        line = f". {capital(line)}" if ": " in text or entry.note else f": {line}"
    tanks = {one.entry.tank for one in (found, *besides)}
    where = entry.tank if len(tanks) == 1 else None
    return LogRow(
        found=found,
        day=gutter_day(entry.day, words),
        time=words.clock(entry.at),
        text=f"{capital(text)}{line}".replace("\n", " "),
        where=words.tank_name(where) or "",
        who=words.person(entry.by) or "",
        fate=fate_words(found, words),
        sentence=f"{found_sentence(found, words, text, where)}{line}",
        night=night_words(entry, words),
        changes=changes,
        besides=besides,
    )
