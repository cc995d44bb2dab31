"""The part of the logbook that still matters today, sorted for the fold."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from datetime import datetime

from tankkeeper.core.ids import moment_in
from tankkeeper.core.logbook import (
    Entry,
    How,
    Pause,
    PutOff,
    Readings,
    Redefined,
    ReservoirCheck,
    Resume,
    Revoke,
    Shift,
    Skip,
    Thing,
    TopOff,
    WaterChange,
)
from tankkeeper.core.values import dataclass

WATER_FACTS = (TopOff, ReservoirCheck, WaterChange, Readings)


@dataclass(frozen=True, slots=True)
class History:
    """Valid entries by what they concern.

    `by_chore` in order of `seq`; `water` by tank in order of time, every entry that changes the
    water, and of those that measure it at least each that holds the newest value of something, the
    others of its day and the last one before that, and those of the last months where a chore waits
    for a trend; `pauses` in order of `seq`; `restated` by tank in order of time, what was set down
    that may move its loss. `newest_at` is the latest time that an entry is about, `written_at` when
    the last one was written down, None where its id does not tell. Entries taken back are not in
    it.
    """

    by_chore: Mapping[str, Sequence[Entry]] = field(default_factory=dict)
    water: Mapping[str, Sequence[Entry]] = field(default_factory=dict)
    pauses: Sequence[Entry] = ()
    newest_at: datetime | None = None
    restated: Mapping[str, Sequence[Entry]] = field(default_factory=dict)
    written_at: datetime | None = None

    def of_chore(self, chore: str) -> Sequence[Entry]:
        """Return the entries of one chore."""
        return self.by_chore.get(chore, ())

    def of_water(self, tank: str) -> Sequence[Entry]:
        """Return the entries that changed the water of one tank, and its newest readings."""
        return self.water.get(tank, ())

    def restated_at(self, tank: str) -> tuple[datetime, ...]:
        """Return when something was set down of a tank that may move its loss."""
        return tuple(one.at for one in self.restated.get(tank, ()))


def chores_of(entry: Entry) -> tuple[str, ...]:
    """Return the ids of the chores that `entry` moves: done, skipped, put off or shifted."""
    chores = tuple(dict.fromkeys(turn.chore for turn in entry.completes))
    fact = entry.fact
    if isinstance(fact, (Skip, PutOff, Shift)) and fact.turn.chore not in chores:
        return (*chores, fact.turn.chore)
    return chores


def taken_back(entries: Iterable[Entry]) -> frozenset[str]:
    """Return the ids of the entries that hold no longer, undos of undos heeded.

    A later entry decides over an earlier one, so one pass from the newest to the oldest is enough.
    With the undo of an import goes all that it brought.
    """
    log = sorted(entries, key=lambda one: one.seq, reverse=True)
    imports = {one.id: one for one in log if isinstance(one.fact, Redefined) and one.fact.brought}
    at = {one.seq: one.id for one in log} if imports else {}
    gone: set[str] = set()
    for entry in log:
        if entry.id in gone:
            continue
        if isinstance(entry.fact, Revoke):
            gone.add(entry.fact.entry)
            if entry.fact.entry in imports:
                brought = brought_with(imports[entry.fact.entry])
                gone.update(at[seq] for seq in brought if seq in at)
        if entry.replaces is not None:
            gone.add(entry.replaces)
    return frozenset(gone)


def brought_with(entry: Entry) -> range:
    """Return where in the log the rows stand that an import brought; none for all else."""
    fact = entry.fact
    return fact.brought_seqs(entry.seq) if isinstance(fact, Redefined) else range(0)


def history_of(entries: Iterable[Entry]) -> History:
    """Return the history of a whole log, entries taken back left out."""
    everything = list(entries)
    gone = taken_back(everything)
    return sort_valid(entry for entry in everything if entry.id not in gone)


def sort_valid(valid: Iterable[Entry]) -> History:
    """Return the history of entries known to be valid, in any order."""
    by_chore: defaultdict[str, list[Entry]] = defaultdict(list)
    water: defaultdict[str, list[Entry]] = defaultdict(list)
    restated: defaultdict[str, list[Entry]] = defaultdict(list)
    pauses: list[Entry] = []
    newest: datetime | None = None
    in_order = sorted(valid, key=lambda one: one.seq)
    for entry in in_order:
        if newest is None or entry.at > newest:
            newest = entry.at
        for chore in chores_of(entry):
            by_chore[chore].append(entry)
        if entry.tank is not None and isinstance(entry.fact, WATER_FACTS):
            water[entry.tank].append(entry)
        elif rests(entry):
            pauses.append(entry)
        elif entry.tank is not None and moves_loss(entry):
            restated[entry.tank].append(entry)
    for rows in (*water.values(), *restated.values()):
        rows.sort(key=lambda one: (one.at, one.seq))
    written_at = moment_in(in_order[-1].id) if in_order else None
    return History(dict(by_chore), dict(water), tuple(pauses), newest, dict(restated), written_at)


def rests(entry: Entry) -> bool:
    """Tell whether an entry lets a chore, a tank or the house rest, or go on."""
    fact = entry.fact
    if isinstance(fact, Redefined):
        is_of_tank = fact.thing is Thing.TANK and entry.tank is not None
        return is_of_tank and fact.how in (How.PAUSED, How.RETIRED, How.RESUMED, How.BEGUN)
    return isinstance(fact, (Pause, Resume))


def moves_loss(entry: Entry) -> bool:
    """Tell whether an entry set down something that may move the loss of its tank."""
    return isinstance(entry.fact, Redefined) and entry.fact.moves_loss
