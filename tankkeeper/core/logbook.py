"""The logbook: entries that are only ever added; an undo is an entry too."""

from __future__ import annotations

from datetime import date, datetime, time
from enum import StrEnum
from typing import Final

from tankkeeper.core.household import Stage
from tankkeeper.core.ids import moment_in
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.values import dataclass

FIRST: Final = "first"
AFTER: Final = "after:"
PART: Final = "part:"
BESIDE: Final = "extra"


@dataclass(frozen=True, slots=True)
class Turn:
    """One turn of a chore: the stable key of an occurrence.

    `key` is the ISO date that a calendar rule yields, or, for turns counted from an event,
    `"after:<entry id>"`, or `"first"` where nothing has happened yet. `"extra"` belongs to work
    that was no turn (an extra feeding), and `"part:<entry id>"` to a part of a turn that stays open
    (salt water mixed in parts). An empty key tells only that the chore was done: by the calendar it
    is of the turns whose window its day lies in.
    """

    chore: str
    key: str = ""
    slot: time | None = None

    @property
    def is_part(self) -> bool:
        """Whether it is only a part of a turn, which does none."""
        return self.key.startswith(PART)

    @property
    def is_beside(self) -> bool:
        """Whether it is work beside the turns, which counts for none by whatever rhythm."""
        return self.key == BESIDE

    @property
    def is_extra(self) -> bool:
        """Whether it names no turn, nor a part of one."""
        return self.key in ("", BESIDE)

    @property
    def id(self) -> str:
        """The text that names this turn on the command line and in JSON."""
        at_slot = f"T{self.slot:%H%M}" if self.slot is not None else ""
        return f"{self.chore}@{self.key}{at_slot}" if not self.is_extra else self.chore


class PauseMode(StrEnum):
    """Whether time goes on during a pause (hold) or stands still (freeze)."""

    HOLD = "hold"
    FREEZE = "freeze"


@dataclass(frozen=True, slots=True)
class TopOff:
    """Fresh water added; `to_mark` when it ends at the fill mark, `estimated` when not measured.

    `litres` is None where a file tells that it was done, but not how much.
    """

    litres: float | None
    to_mark: bool = True
    estimated: bool = False


@dataclass(frozen=True, slots=True)
class ReservoirCheck:
    """Litres left in an automatic top-off's reservoir, or litres added until it was full.

    A fill with `fill_l` None says that it was filled until full and nobody measured.
    """

    left_l: float | None = None
    fill_l: float | None = None
    estimated: bool = False


@dataclass(frozen=True, slots=True)
class WaterChange:
    """Tank water taken out and salt water put in; the same litres unless `added_l` says other.

    `litres` is None where a file tells that it was done, but not how much.
    """

    litres: float | None
    added_l: float | None = None
    salinity: float | None = None
    temperature_c: float | None = None
    estimated: bool = False


@dataclass(frozen=True, slots=True)
class Readings:
    """Measured values, each in its stored unit and as it was typed."""

    values: tuple[ReadingValue, ...]


@dataclass(frozen=True, slots=True)
class Dose:
    """Grams of a substance put into the tank; empty and None where a file does not tell them."""

    of: str = ""
    grams: float | None = None


@dataclass(frozen=True, slots=True)
class StockChange:
    """Supply bought (`add`) or counted (`count`), in its unit; `of` is empty where not known."""

    of: str
    add: float | None = None
    count: float | None = None
    expires_on: date | None = None


@dataclass(frozen=True, slots=True)
class Work:
    """How much was done of a chore that has no fact of its own, such as litres mixed."""

    litres: float | None = None
    grams: float | None = None
    estimated: bool = False


@dataclass(frozen=True, slots=True)
class Note:
    """A remark; its text stands in the entry's `note`."""


@dataclass(frozen=True, slots=True)
class Skip:
    """A turn left out; `counts_from` is the day from which a counted chore goes on."""

    turn: Turn
    counts_from: date | None = None


@dataclass(frozen=True, slots=True)
class PutOff:
    """One turn moved to another target day.

    `stood_on` is the day on which it stood then, None where that was not written down.
    """

    turn: Turn
    to: date
    stood_on: date | None = None


@dataclass(frozen=True, slots=True)
class Shift:
    """The series moved from this turn on."""

    turn: Turn
    to: date


@dataclass(frozen=True, slots=True)
class Pause:
    """Nothing is due of `chore`, of the entry's tank, or of the household while it lasts.

    Runs from the entry's day to `until`, both included, or until resumed when `until` is None.
    """

    mode: PauseMode
    chore: str | None = None
    until: date | None = None


@dataclass(frozen=True, slots=True)
class Resume:
    """The end of a pause: the entry's day is the first that counts again."""

    chore: str | None = None


@dataclass(frozen=True, slots=True)
class Revoke:
    """The undo of the entry `entry`, which may itself be an undo."""

    entry: str


class How(StrEnum):
    """What was done to something that is set down of the household."""

    ADDED = "added"
    CHANGED = "changed"
    COPIED = "copied"
    PAUSED = "paused"
    RESUMED = "resumed"
    RETIRED = "retired"
    BEGUN = "begun"
    REORDERED = "reordered"
    ENDED = "ended"
    REMOVED = "removed"
    IMPORTED = "imported"
    LOST = "lost"


class Thing(StrEnum):
    """What is set down of a household."""

    TANK = "tank"
    CHORE = "chore"
    ANIMAL = "animal"
    EQUIPMENT = "equipment"
    PERSON = "person"
    ROOM = "room"
    CONTAINER = "container"
    SUPPLY = "supply"
    WATER_SUPPLY = "water-supply"
    SALT_MIX = "salt-mix"
    HOUSEHOLD = "household"


@dataclass(frozen=True, slots=True)
class Redefined:
    """Something that is set down of the household was changed; what it was, the store keeps.

    An undo of this entry puts back what was before. `chore` is the id of the chore concerned.
    `brought` rows, the last ones of the log before this, came in with it and go when it is undone.
    `moves_loss` tells that what is on, over or around the water became another: cover, fans, heater
    or room, so that its loss may be another from then on. `rested_since` stands with a tank that
    goes on or begins: the first of the days on which it rested by its stage. `stage` is the one
    that a tank entered, `like` the id of the tank that a new one is a copy of. `count` is how many
    animals came or were lost, `out_of` how many lived before; None where nobody said.
    """

    how: How
    thing: Thing
    name: str = ""
    chore: str | None = None
    brought: int = 0
    moves_loss: bool = False
    rested_since: date | None = None
    stage: Stage | None = None
    like: str = ""
    count: int | None = None
    out_of: int | None = None

    def brought_seqs(self, seq: int) -> range:
        """Return where in the log the rows stand that came in with this one at `seq`."""
        return range(seq - self.brought, seq)


Fact = (
    TopOff
    | ReservoirCheck
    | WaterChange
    | Readings
    | Dose
    | StockChange
    | Work
    | Note
    | Skip
    | PutOff
    | Shift
    | Pause
    | Resume
    | Revoke
    | Redefined
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One row of the logbook.

    `seq` orders entries, not the clock; `at` is an aware UTC moment, `day` the logical local day it
    belonged to in `zone` when it was written. `by`, `tank` are ids. `completes` names the turns
    that this entry does; one entry may do several, such as a reading that serves two test chores.
    """

    id: str
    seq: int
    at: datetime
    day: date
    zone: str
    by: str | None = None
    tank: str | None = None
    completes: tuple[Turn, ...] = ()
    fact: Fact | None = None
    note: str = ""
    replaces: str | None = None

    @property
    def first_id(self) -> str:
        """The id of the entry in whose place it stands; its own where it corrects none."""
        return self.replaces or self.id

    @property
    def written_at(self) -> datetime:
        """When it was written down, which may be long after `at`; `at` where its id tells none."""
        return moment_in(self.id) or self.at

    def completes_chore(self, chore: str) -> bool:
        """Tell whether this entry does a turn of `chore`."""
        return any(turn.chore == chore and not turn.is_part for turn in self.completes)

    def does_part_of(self, chore: str) -> bool:
        """Tell whether this entry does only a part of a turn of `chore`."""
        return any(turn.chore == chore and turn.is_part for turn in self.completes)
