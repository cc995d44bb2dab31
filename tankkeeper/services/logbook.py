"""Reading the logbook."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from datetime import datetime

from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry, Revoke, Skip
from tankkeeper.core.moment import Moment, moment_of
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Desk
from tankkeeper.services.ports import LoggedEntry, LogQuery, Reading

LAST_TIMES = 5


@dataclass(frozen=True, slots=True)
class LogbookView:
    """A page of the logbook, newest first; `taken_back` holds by id what its undos took back."""

    household: Household
    moment: Moment
    entries: Sequence[LoggedEntry]
    taken_back: Mapping[str, Entry] = field(default_factory=dict)


def logbook(desk: Desk, query: LogQuery) -> LogbookView:
    """Return the entries that a query asks for."""
    with desk.store.reading() as reading:
        household = desk.household(reading)
        entries = sorted(reading.entries(query), key=_when, reverse=True)
        taken_back = _taken_back(reading, entries)
    return LogbookView(household, moment_of(household, desk.clock.now()), entries, taken_back)


def _when(row: LoggedEntry) -> tuple[datetime, int]:
    """Return when it happened; what was written down late stands where it belongs."""
    return row.entry.at, row.entry.seq


def _taken_back(reading: Reading, entries: Sequence[LoggedEntry]) -> dict[str, Entry]:
    """Return the entries that the undos of a page name, from the page itself where they stand."""
    on_page = {row.entry.id: row.entry for row in entries}
    found: dict[str, Entry] = {}
    for row in entries:
        fact = row.entry.fact
        while isinstance(fact, Revoke) and fact.entry not in found:
            target = on_page.get(fact.entry)
            if target is None:
                logged = reading.entry(fact.entry)
                if logged is None:
                    break
                target = logged.entry
            found[target.id] = target
            fact = target.fact
    return found


def last_times(desk: Desk, chore: str, count: int = LAST_TIMES) -> tuple[Entry, ...]:
    """Return the last times a chore was done or skipped, newest first."""
    found: list[Entry] = []
    before = None
    with desk.store.reading() as reading:
        # One that was written down late is written last, but is not the last time.
        while len(found) < 2 * count:
            query = LogQuery(chore=chore, before_seq=before, limit=2 * count, only_valid=True)
            rows = reading.entries(query)
            found += [row.entry for row in rows if _is_a_time_of(row.entry, chore)]
            if len(rows) < 2 * count:
                break
            before = rows[-1].entry.seq
    found.sort(key=lambda entry: (entry.day, entry.at, entry.seq), reverse=True)
    return tuple(found[:count])


def _is_a_time_of(entry: Entry, chore: str) -> bool:
    """Return whether an entry did or skipped a chore, rather than moved or paused it."""
    return isinstance(entry.fact, Skip) or any(turn.chore == chore for turn in entry.completes)
