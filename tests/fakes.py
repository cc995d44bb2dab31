"""An open household that lives in memory, a clock that is set by hand, and ids that count."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

from tankkeeper.core.chores import Chore, IfMissed
from tankkeeper.core.errors import UserFault
from tankkeeper.core.history import History, history_of, taken_back
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import BESIDE, Entry, PutOff, Redefined, Revoke, Shift, Skip, Turn
from tankkeeper.services.desk import Desk
from tankkeeper.services.ports import CheckResult, LoggedEntry, LogQuery, StoredBackup
from tankkeeper.services.watching import Watch, unwatched
from tests.builders import BERLIN, NOON, day

MOVES_KEPT = timedelta(days=400)
COMPLETIONS_KEPT = timedelta(days=2)


@dataclass(slots=True)
class SetClock:
    """A clock that stands where it was set."""

    at: datetime

    def now(self) -> datetime:
        """Return the moment it was set to."""
        return self.at

    def set_to(self, on: str | date, at: time = NOON) -> datetime:
        """Set it to a wall clock time in Berlin and return that moment."""
        on = day(on) if isinstance(on, str) else on
        self.at = datetime.combine(on, at, BERLIN).astimezone(UTC)
        return self.at


@dataclass(slots=True)
class CountingIds:
    """Ids n1, n2, n3 and so on."""

    given: int = 0

    def new(self, at: datetime) -> str:
        """Return the next id."""
        self.given += 1
        return f"n{self.given}"


def trimmed(whole: History, household: Household) -> History:
    """Return only what a store has to give for what is due; see `ports.Reading.history`."""
    chores = {chore.id: chore for chore in household.chores}
    by_chore = {
        name: _kept(chores[name], rows) if name in chores else rows
        for name, rows in whole.by_chore.items()
    }
    return replace(whole, by_chore=by_chore)


def _kept(chore: Chore, rows: Sequence[Entry]) -> Sequence[Entry]:
    turns = [(one.day, turn) for one in rows for turn in one.completes if turn.chore == chore.id]
    done_on = sorted({on for on, turn in turns if not turn.is_part and turn.key != BESIDE})
    latest = done_on[-2:][0] if done_on else None
    lapses = chore.if_missed is IfMissed.EXPIRE and chore.early_days == 0
    if latest is None or chore.if_missed is IfMissed.EACH or (chore.slots and not lapses):
        return rows
    return [one for one in rows if _still_matters(chore, one, latest)]


def _still_matters(chore: Chore, one: Entry, latest: date) -> bool:
    is_done = one.completes_chore(chore.id) or one.does_part_of(chore.id)
    if is_done and one.day >= latest - COMPLETIONS_KEPT:
        return True
    fact = one.fact
    if isinstance(fact, Shift):
        return True
    if isinstance(fact, (Skip, PutOff)):
        names = fact.turn.key[:1].isdigit() and date.fromisoformat(fact.turn.key) >= latest
        other = fact.to if isinstance(fact, PutOff) else fact.counts_from
        reaches = names or (other is not None and other >= latest)
        return reaches or one.day >= latest - MOVES_KEPT
    return False


@dataclass(slots=True)
class FakeStore:
    """A store in memory; `entries` is the whole log in order of `seq`."""

    definitions: Household
    entries: list[Entry] = field(default_factory=list)
    version: int = 1
    redefined: dict[str, tuple[Household, Household]] = field(default_factory=dict)
    commits: int = 0
    closed: bool = False
    where: str = "memory"
    is_read_only: bool = False

    @contextmanager
    def reading(self) -> Iterator[FakeTransaction]:
        """Begin a reading transaction."""
        yield FakeTransaction(self)

    @contextmanager
    def writing(self) -> Iterator[FakeTransaction]:
        """Begin a writing transaction; what was added is gone again if it fails."""
        kept = (list(self.entries), self.definitions, self.version)
        try:
            yield FakeTransaction(self)
        except BaseException:
            self.entries, self.definitions, self.version = kept
            raise
        self.commits += 1

    def change_mark(self) -> int:
        """Return a number that changes with every commit."""
        return self.commits

    def backup(self, target: Path) -> None:
        """Refuse; a household in memory has no file."""
        raise NotImplementedError

    def rolling_backup(self, now: datetime) -> Path | None:
        """Return that there is nothing to back up."""
        return None

    def last_backup_at(self) -> datetime | None:
        """Return that there never was a backup."""
        return None

    def restore(self, source: Path, watch: Watch = unwatched) -> Path:
        """Refuse; a household in memory has no file."""
        raise NotImplementedError

    def save_copy(self, target: Path, watch: Watch = unwatched) -> None:
        """Refuse; a household in memory has no file."""
        raise NotImplementedError

    def backup_before_import(self) -> Path:
        """Name a backup that would hold what is there."""
        return Path("before-import")

    def backups(self) -> Sequence[StoredBackup]:
        """Return that there are none."""
        return ()

    def looking_into(
        self, source: Path, watch: Watch = unwatched
    ) -> AbstractContextManager[FakeTransaction]:
        """Refuse; a household in memory has no file."""
        raise NotImplementedError

    def check(self) -> CheckResult:
        """Return that nothing is wrong."""
        return CheckResult(len(self.entries), (), "memory", self.where)

    def close(self) -> None:
        """Remember that it was closed."""
        self.closed = True


@dataclass(slots=True)
class FakeTransaction:
    """What can be read and written in one transaction."""

    store: FakeStore

    def household(self) -> Household:
        """Return the definitions."""
        return self.store.definitions

    def definitions_version(self) -> int:
        """Return a number that changes with the definitions."""
        return self.store.version

    def history(self) -> History:
        """Return the valid entries that still matter, and no others."""
        return trimmed(history_of(self.store.entries), self.store.definitions)

    def history_of_chore(self, chore: str) -> Sequence[Entry]:
        """Return all valid entries of a chore."""
        return history_of(self.store.entries).of_chore(chore)

    def entries(self, query: LogQuery) -> Sequence[LoggedEntry]:
        """Return entries, newest first."""
        gone = taken_back(self.store.entries)
        found = [
            self._logged(one, gone)
            for one in reversed(self.store.entries)
            if _matches(one, query) and not (query.only_valid and one.id in gone)
        ]
        return found[: query.limit]

    def names_gone(self) -> Sequence[tuple[str, str]]:
        """Return nothing: here no tank or chore goes with an undo."""
        return []

    def entry(self, entry_id: str) -> LoggedEntry | None:
        """Return one entry, or None."""
        gone = taken_back(self.store.entries)
        found = (one for one in self.store.entries if one.id == entry_id)
        return next((self._logged(one, gone) for one in found), None)

    def _logged(self, entry: Entry, gone: Container[str]) -> LoggedEntry:
        standing = (one for one in reversed(self.store.entries) if one.id not in gone)
        later = (one for one in standing if _takes_the_place(one, entry))
        by = next(later, None)
        is_corrected = by is not None and not isinstance(by.fact, Revoke)
        return LoggedEntry(entry, entry.id in gone, is_corrected)

    def entry_ids(self, beginning: str = "") -> Sequence[str]:
        """Return the ids that begin with these letters, sorted."""
        return sorted(one.id for one in self.store.entries if one.id.startswith(beginning))

    def newest_standing(self) -> Entry | None:
        """Return the newest entry that is no undo and holds, or None."""
        return self._newest(lambda one: not isinstance(one.fact, Revoke))

    def newest_undo(self) -> Entry | None:
        """Return the newest undo that holds and is no redo, or None."""
        undos = {one.id for one in self.store.entries if isinstance(one.fact, Revoke)}
        return self._newest(
            lambda one: isinstance(one.fact, Revoke) and one.fact.entry not in undos
        )

    def _newest(self, is_meant: Callable[[Entry], bool]) -> Entry | None:
        gone = taken_back(self.store.entries)
        newest_first = reversed(self.store.entries)
        return next((one for one in newest_first if one.id not in gone and is_meant(one)), None)

    def holder_of(self, turn_id: str) -> Entry | None:
        """Return the valid entry that does or skips this turn, or None."""
        holders = _holders(self.store.entries)
        return next((one for turn, one in holders.items() if turn.id == turn_id), None)

    def add(self, entry: Entry) -> Entry:
        """Append `entry` and return it with its `seq`."""
        known = {one.id for one in self.store.entries}
        if entry.id in known:
            raise UserFault("id_taken", id=entry.id)
        targets = [entry.fact.entry] if isinstance(entry.fact, Revoke) else []
        targets += [entry.replaces] if entry.replaces is not None else []
        gone = taken_back(self.store.entries)
        for target in targets:
            if target not in known:
                raise UserFault("no_such_entry", entry=target)
            if target in gone:
                raise UserFault("already_taken_back", entry=target)
        added = replace(entry, seq=len(self.store.entries) + 1)
        after = [*self.store.entries, added]
        held = _holders(self.store.entries)
        refuse_second_correction(after)
        for turn, holders in _claims(after).items():
            if len(holders) > 1:
                raise UserFault("already_done", turn=turn, holder=held.get(turn, holders[0]))
        self.store.entries = after
        self._follow(gone, taken_back(after))
        return added

    def _follow(self, gone: Container[str], now_gone: Container[str]) -> None:
        """Put back what was before a change that fell, and in again what came of one that rose."""
        for one in reversed(self.store.entries):
            fell, rose = (one.id in now_gone, one.id not in now_gone)
            if not isinstance(one.fact, Redefined) or (one.id in gone) == fell:
                continue
            was, became = self.store.redefined[one.id]
            left, to = (became, was) if fell else (was, became)
            if rose and one is self.store.entries[-1]:
                continue
            if self.store.definitions != left:
                raise UserFault("changed_since", what="household", name=one.fact.name)
            self.save_household(to)

    def redefine(self, entry: Entry, household: Household, brought: Iterable[Entry] = ()) -> Entry:
        """Replace the definitions and append `entry`, behind what came with them."""
        self.store.redefined[entry.id] = (self.store.definitions, household)
        self.save_household(household)
        count = len([self.add(one) for one in brought])
        if count:
            assert isinstance(entry.fact, Redefined)
            entry = replace(entry, fact=replace(entry.fact, brought=count))
        return self.add(entry)

    def save_household(self, household: Household) -> None:
        """Replace the definitions."""
        self.store.definitions = household
        self.store.version += 1


def _holders(entries: Iterable[Entry]) -> dict[Turn, Entry]:
    """Return who does or skips each turn."""
    return {turn: holders[0] for turn, holders in _claims(entries).items()}


def _claims(entries: Iterable[Entry]) -> dict[Turn, list[Entry]]:
    """Return all valid entries that do or skip each turn; extra work claims none."""
    log = list(entries)
    gone = taken_back(log)
    claims: dict[Turn, list[Entry]] = {}
    for one in log:
        skipped = (one.fact.turn,) if isinstance(one.fact, Skip) else ()
        for turn in dict.fromkeys((*one.completes, *skipped)):
            if not turn.is_extra and one.id not in gone:
                claims.setdefault(turn, []).append(one)
    return claims


def refuse_second_correction(log: list[Entry]) -> None:
    """Refuse that two entries hold in the place of one."""
    gone = taken_back(log)
    by_place: dict[str, Entry] = {}
    for one in log:
        if one.replaces is None or one.id in gone:
            continue
        if one.replaces in by_place:
            raise UserFault("corrected_otherwise", holder=by_place[one.replaces])
        by_place[one.replaces] = one


def _takes_the_place(one: Entry, of: Entry) -> bool:
    """Tell whether an entry takes another one back, or replaces it."""
    undoes = isinstance(one.fact, Revoke) and one.fact.entry == of.id
    return undoes or one.replaces == of.id


def _matches(one: Entry, query: LogQuery) -> bool:
    named = {turn.chore for turn in one.completes}
    if isinstance(one.fact, (Skip, PutOff, Shift)):
        named.add(one.fact.turn.chore)
    return (
        (query.tank is None or one.tank == query.tank)
        and (query.chore is None or query.chore in named)
        and (query.from_day is None or one.day >= query.from_day)
        and (query.to_day is None or one.day <= query.to_day)
        and (query.before_seq is None or one.seq < query.before_seq)
    )


def a_desk(household: Household, on: str, at: time = NOON) -> tuple[Desk, FakeStore, SetClock]:
    """Return a desk on an empty log at a moment in Berlin, with its store and its clock."""
    clock = SetClock(datetime(2000, 1, 1, tzinfo=UTC))
    clock.set_to(on, at)
    store = FakeStore(household)
    return Desk(store, clock, CountingIds()), store, clock
