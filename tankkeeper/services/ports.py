"""What the services need from outside: a store, a clock, a source of ids."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import AbstractContextManager
from datetime import date, datetime
from pathlib import Path
from typing import Protocol

from tankkeeper.core.history import History
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry
from tankkeeper.core.values import dataclass
from tankkeeper.services.log_search import LogExtent, LogSearch, LogSlice, Place, ValuesTold
from tankkeeper.services.watching import Watch, unwatched


class Clock(Protocol):
    """The only thing that knows the time."""

    def now(self) -> datetime:
        """Return the present moment, aware, in UTC."""


class Ids(Protocol):
    """Where new ids of logbook entries come from."""

    def new(self, at: datetime) -> str:
        """Return an id that nobody has used, ordered by time."""


@dataclass(frozen=True, slots=True)
class Claim:
    """Who holds a turn already: the entry that completes or skips it."""

    entry: Entry


@dataclass(frozen=True, slots=True)
class LogQuery:
    """Which entries of the logbook to show; None means no limit of that kind."""

    tank: str | None = None
    chore: str | None = None
    from_day: date | None = None
    to_day: date | None = None
    before_seq: int | None = None
    limit: int | None = None
    only_valid: bool = False


@dataclass(frozen=True, slots=True)
class LoggedEntry:
    """An entry with what became of it: taken back or not, and whether by a correction."""

    entry: Entry
    revoked: bool
    corrected: bool = False


@dataclass(frozen=True, slots=True)
class CheckResult:
    """What an inspection of the file found; `problems` is empty when it is whole."""

    entries: int
    problems: tuple[str, ...]
    schema: str
    where: str


@dataclass(frozen=True, slots=True)
class StoredBackup:
    """A verified backup beside the household; `reason` says before what it was made, if so."""

    path: Path
    made_at: datetime
    size_bytes: int
    reason: str = ""


class Reading(Protocol):
    """One consistent view of the household, inside one reading transaction."""

    def household(self) -> Household:
        """Return all definitions."""

    def definitions_version(self) -> int:
        """Return a number that changes whenever the definitions change."""

    def history(self) -> History:
        """Return the valid entries that still matter for what is due.

        Equal in effect to `history_of(all entries)`: for each chore everything from the last day
        before its latest completion on which it was done (all of it for chores whose missed turns
        stay open one by one, and for those whose slots do not lapse with the day; of salt water
        mixed those of the four weeks before it, which may stand still), all shifts, skips and
        put-offs of the last 400 days before that or of a turn that lies later still, all pauses,
        and per tank everything that moves its water, the newest reading of each parameter with
        those of its day and the last one of the 200 days before it, or all of these where a chore
        waits for its trend.
        """

    def entries(self, query: LogQuery) -> Sequence[LoggedEntry]:
        """Return entries, newest `seq` first."""

    def names_gone(self) -> Sequence[tuple[str, str]]:
        """Return id and name of the tanks and chores whose adding was taken back."""

    def search(
        self,
        search: LogSearch,
        below: Place | None,
        most: int,
        reach: int,
        told: ValuesTold | None = None,
    ) -> LogSlice:
        """Return what is found below a place, newest first: at most so many entries.

        Looks no further than `reach` entries of the log, so that it never takes long. By what is
        `told` of them changes are found as well.
        """

    def extent(self) -> LogExtent:
        """Return how far the logbook reaches."""

    def entry(self, entry_id: str) -> LoggedEntry | None:
        """Return one entry, or None."""

    def entry_ids(self, beginning: str = "") -> Sequence[str]:
        """Return the ids of all entries that begin with these letters, sorted."""

    def newest_standing(self) -> Entry | None:
        """Return the newest entry that is not an undo and is not taken back, or None."""

    def newest_undo(self) -> Entry | None:
        """Return the newest undo that is not itself taken back, or None; a redo is none."""

    def holder_of(self, turn_id: str) -> Entry | None:
        """Return the valid entry that completes or skips the turn with this id, or None."""


class Writing(Reading, Protocol):
    """One transaction that writes; leaving it without an exception commits, else rolls back."""

    def add(self, entry: Entry) -> Entry:
        """Append `entry` and return it with its `seq`; `entry.seq` is ignored.

        Claims its turns (`completes`, and the turn of a skip). Raises UserFault
        "already_done" (turn=, holder= the Entry) when another valid entry holds one of them,
        "id_taken" when the id exists. A Revoke frees the claims of what it takes back, or takes
        them again when it takes back an undo (UserFault "already_done" when they are held by now);
        `replaces` frees those of the replaced entry first. UserFault "no_such_entry" (entry=) and
        "already_taken_back" (entry=) where they apply, and "corrected_otherwise" (holder=) where
        an entry would hold again whose place another correction has taken.
        """

    def save_household(self, household: Household) -> None:
        """Replace the definitions. Chores and tanks that are gone but have entries are refused."""

    def redefine(self, entry: Entry, household: Household, brought: Iterable[Entry] = ()) -> Entry:
        """Replace the definitions and append `entry`, which holds a Redefined.

        Rows of the log that were `brought` with the definitions are appended before it; its
        `brought` counts them, and they go and come with it.

        What was before and after is kept with it: a Revoke of the entry puts back what was before,
        and taking back the undo puts in again what came after, to the row. UserFault
        "changed_since" (what=, name=) where something is not as this change had left it, and
        "has_history" where a tank or chore would go that entries which hold tell of.
        """


class Store(Protocol):
    """An open household."""

    @property
    def where(self) -> str:
        """The file or server, as people name it."""

    @property
    def is_read_only(self) -> bool:
        """Whether nothing can be written here."""

    def reading(self) -> AbstractContextManager[Reading]:
        """Begin a reading transaction."""

    def writing(self) -> AbstractContextManager[Writing]:
        """Begin a writing transaction (BEGIN IMMEDIATE)."""

    def change_mark(self) -> int:
        """Return a number that changes when any process has committed to the household."""

    def backup(self, target: Path) -> None:
        """Write a verified copy to `target` with its SHA-256 beside it."""

    def rolling_backup(self, now: datetime) -> Path | None:
        """Write a backup into the household's backup folder if something changed, and rotate."""

    def last_backup_at(self) -> datetime | None:
        """Return when the last verified backup was made, or None."""

    def restore(self, source: Path, watch: Watch = unwatched) -> Path:
        """Replace the content by that of a backup; return the backup of what was there before."""

    def save_copy(self, target: Path, watch: Watch = unwatched) -> None:
        """Write a verified copy to `target`, a household of its own that may take a file's place.

        It is whole or not there; a file that had the name before stays until then.
        """

    def backup_before_import(self) -> Path:
        """Write a verified backup into the backup folder, whatever was backed up before."""

    def backups(self) -> Sequence[StoredBackup]:
        """Return the verified backups in the backup folder, the newest first."""

    def looking_into(
        self, source: Path, watch: Watch = unwatched
    ) -> AbstractContextManager[Reading]:
        """Read a backup as a restore would put it in; nothing is changed."""

    def check(self) -> CheckResult:
        """Return what an integrity check finds."""

    def close(self) -> None:
        """Close the file, folding its write-ahead log in."""
