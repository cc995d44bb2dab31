"""What can be asked of the logbook, and what comes of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime
from enum import StrEnum

from tankkeeper.core.logbook import Entry, Revoke, Thing
from tankkeeper.core.values import dataclass

# So many letters of an id tell its milliseconds.
_MOMENT_IN_ID = 13


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


class Measure(StrEnum):
    """What an amount is of; of a reading it is the number that was typed."""

    LITRES = "litres"
    GRAMS = "grams"
    SALINITY = "salinity"
    TEMPERATURE = "temperature"
    STOCK = "stock"
    READING = "reading"


@dataclass(frozen=True, slots=True)
class AmountHit:
    """A stretch of stored values, both ends in it.

    Of a reading `unit` is its unit, empty for any, and `parameters` what was read, empty for all.
    """

    of: Measure
    low: float
    high: float
    unit: str = ""
    parameters: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DayHit:
    """The days that are so far as is said; None is not said."""

    weekday: int | None = None
    number: int | None = None
    month: int | None = None
    year: int | None = None


@dataclass(frozen=True, slots=True)
class FieldHit:
    """A field of a tank or a chore that was changed, by its path; of own ranges it is empty."""

    of: Thing
    path: str


@dataclass(frozen=True, slots=True)
class WordHits:
    """What one typed word may stand for; an entry is found when it has any of it.

    `spellings` are looked for in notes and substances, the others are ids; of the tanks in `poured`
    only what was poured in without filling them up is found. `changes` says of what is set down
    what was done to what, such as "added tank" or "paused tank planned"; what is `unnamed` has
    other words, and `fields` are those that a change may have changed. Several words that are one
    amount or day stand `apart` besides: an entry is found by all of them as well. `told` is what
    was typed, as it is looked for among the values before and after a change.
    """

    spellings: tuple[str, ...]
    chores: tuple[str, ...] = ()
    tanks: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    supplies: tuple[str, ...] = ()
    parameters: tuple[str, ...] = ()
    kinds: tuple[LogKind, ...] = ()
    poured: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    unnamed: tuple[str, ...] = ()
    fields: tuple[FieldHit, ...] = ()
    amounts: tuple[AmountHit, ...] = ()
    days: tuple[DayHit, ...] = ()
    apart: tuple[WordHits, ...] = ()
    told: str = ""


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
class Reset:
    """A tank or a chore before and after a change; of a tank's own ranges those that differ."""

    was: object
    became: object


# Returns what tells whether the values before and after a change are told by a typed word.
ValuesTold = Callable[[Sequence[Reset]], Callable[[WordHits], bool]]


@dataclass(frozen=True, slots=True)
class FoundEntry:
    """An entry, which entry took it back if one did, and which entry it takes back or replaces.

    A correction that was corrected again counts as replaced by the next one, and not as taken back
    by the undo that cleared its place: of the next one that undo is `cleared_by`, and
    `clears_for` of the undo is the next one. `stands_now` is what holds of such a row of them.
    `beyond` is what the target takes back where it is an undo, and so on down to what was done.
    `resets` is what it changed of what is set down.
    """

    entry: Entry
    revoked_by: Entry | None = None
    target: Entry | None = None
    beyond: tuple[Entry, ...] = ()
    resets: tuple[Reset, ...] = ()
    cleared_by: Entry | None = None
    clears_for: Entry | None = None
    stands_now: Entry | None = None


def is_clearing(undo: Entry, taken: Entry | None, new: Entry | None) -> bool:
    """Tell whether an undo took a correction back for one that was written in its place.

    `taken` is what it took back, `new` the row behind it, which replaces the same entry and was
    begun no later, as its id tells; what somebody corrects anew by hand is of later.
    """
    if not isinstance(undo.fact, Revoke) or taken is None or new is None:
        return False
    return (
        taken.id == undo.fact.entry
        and taken.replaces is not None
        and taken.replaces == new.replaces
        and new.seq == undo.seq + 1
        and new.id[:_MOMENT_IN_ID] <= undo.id[:_MOMENT_IN_ID]
    )


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
