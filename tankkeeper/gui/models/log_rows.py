"""Rows of the logbook prepared for drawing and reading aloud; made in the worker."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from tankkeeper.core.values import dataclass
from tankkeeper.gui.reading import Shown
from tankkeeper.reports.log_words import (
    fate_words,
    found_sentence,
    found_text,
    gutter_day,
    night_words,
)
from tankkeeper.reports.words import Words, capital
from tankkeeper.services.desk import Desk
from tankkeeper.services.log_pages import log_extent, log_page
from tankkeeper.services.log_search import FoundEntry, LogExtent, LogSearch, Place

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


@dataclass(frozen=True, slots=True)
class LogWish:
    """One look into the logbook: called in the worker, with what a reading of the household has."""

    number: int
    search: LogSearch
    below: Place | None
    most: int

    def read(self, desk: Desk, shown: Shown) -> LogChunk:
        """Return the next rows."""
        page = log_page(desk, self.search, self.below, self.most)
        words = Words(page.household, page.moment, shown.sheet.words.decimal_sign)
        rows = tuple(log_row(one, words) for one in page.slice.found)
        return LogChunk(self.number, rows, page.slice.reached)


def read_extent(desk: Desk, _shown: Shown) -> LogExtent:
    """Return how far the logbook reaches; counting a long one takes longer than a page of it."""
    return log_extent(desk)


def log_row(found: FoundEntry, words: Words) -> LogRow:
    """Return an entry as a row; one that changed what is set down tells its fields as well."""
    entry = found.entry
    changes: tuple[FieldChange, ...] = ()
    if found.resets:
        # Loaded late: most pages tell of no such change.
        from tankkeeper.gui.models.changed_fields import changed_fields, changes_line

        changes = changed_fields(found.resets, words)
    line = f": {changes_line(changes)}" if changes else ""
    return LogRow(
        found=found,
        day=gutter_day(entry.day, words),
        time=words.clock(entry.at),
        text=f"{capital(found_text(found, words))}{line}".replace("\n", " "),
        where=words.tank_name(entry.tank) or "",
        who=words.person(entry.by) or "",
        fate=fate_words(found, words),
        sentence=f"{found_sentence(found, words)}{line}",
        night=night_words(entry, words),
        changes=changes,
    )
