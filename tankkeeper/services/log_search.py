"""What can be asked of the logbook, and what comes of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from enum import StrEnum

from tankkeeper.core.logbook import Entry
from tankkeeper.core.values import dataclass


class LogKind(StrEnum):
    """What an entry is, in the words of JSON; a correction is of another kind besides."""

    DONE = "done"
    TOP_OFF = "top-off"
    WATER_CHANGE = "water-change"
    RESERVOIR = "reservoir"
    READING = "reading"
    DOSE = "dose"
    STOCK = "stock"
    NOTE = "note"
    SKIP = "skip"
    PUT_OFF = "put-off"
    SHIFT = "shift"
    PAUSE = "pause"
    RESUME = "resume"
    DEFINITION = "definition"
    UNDO = "undo"
    CORRECTION = "correction"


@dataclass(frozen=True, slots=True)
class Place:
    """Where an entry stands in the logbook by time; of one moment the later written is later."""

    at: datetime
    seq: int


@dataclass(frozen=True, slots=True)
class WordHits:
    """What one typed word may stand for; an entry is found when it has any of it.

    `spellings` are looked for in notes and substances, the others are ids.
    """

    spellings: tuple[str, ...]
    chores: tuple[str, ...] = ()
    tanks: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    supplies: tuple[str, ...] = ()
    parameters: tuple[str, ...] = ()
    kinds: tuple[LogKind, ...] = ()


@dataclass(frozen=True, slots=True)
class LogSearch:
    """Which entries are wanted; None means all. Every typed word has to be found."""

    tank: str | None = None
    chore: str | None = None
    person: str | None = None
    kind: LogKind | None = None
    from_day: date | None = None
    to_day: date | None = None
    words: tuple[WordHits, ...] = ()

    @property
    def is_all(self) -> bool:
        """Whether nothing is left out."""
        return self == EVERYTHING


EVERYTHING = LogSearch()


@dataclass(frozen=True, slots=True)
class FoundEntry:
    """An entry, which entry took it back if one did, and which entry it takes back or replaces.

    `beyond` is what the target takes back where it is an undo, and so on down to what was done.
    """

    entry: Entry
    revoked_by: Entry | None = None
    target: Entry | None = None
    beyond: tuple[Entry, ...] = ()


@dataclass(frozen=True, slots=True)
class LogSlice:
    """What was found in one stretch of the log; `reached` is where to go on, None at its end."""

    found: Sequence[FoundEntry]
    reached: Place | None


@dataclass(frozen=True, slots=True)
class LogExtent:
    """How many entries there are, and the day of the first."""

    entries: int
    first_on: date | None
