"""Reading the logbook."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from datetime import datetime
from itertools import takewhile

from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry, Readings, Revoke, Skip, WaterChange
from tankkeeper.core.moment import Moment, moment_of
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Desk
from tankkeeper.services.log_search import LogKind, LogSearch, Place
from tankkeeper.services.ports import LoggedEntry, LogQuery, Reading

LAST_TIMES = 5
# Entries of the log that one look goes through at most.
_REACH = 2000


@dataclass(frozen=True, slots=True)
class LogbookView:
    """A page of the logbook, newest first; `taken_back` holds by id what its undos took back.

    `gone` holds ids and names of the tanks and chores whose adding was taken back.
    """

    household: Household
    moment: Moment
    entries: Sequence[LoggedEntry]
    taken_back: Mapping[str, Entry] = field(default_factory=dict)
    gone: tuple[tuple[str, str], ...] = ()


def logbook(desk: Desk, query: LogQuery) -> LogbookView:
    """Return the entries that a query asks for."""
    first, last = query.from_day, query.to_day
    if first is not None and last is not None and last < first:
        raise UserFault("span_turned_round", first=first, last=last)
    with desk.store.reading() as reading:
        household = desk.household(reading)
        entries = sorted(reading.entries(query), key=_when, reverse=True)
        taken_back = _taken_back(reading, entries)
        gone = tuple(reading.names_gone())
    moment = moment_of(household, desk.clock.now())
    return LogbookView(household, moment, entries, taken_back, gone)


def names_gone(desk: Desk) -> tuple[tuple[str, str], ...]:
    """Return id and name of the tanks and chores whose adding was taken back."""
    with desk.store.reading() as reading:
        return tuple(reading.names_gone())


def _when(row: LoggedEntry) -> tuple[datetime, int]:
    """Return when it happened; what was written down late stands where it belongs."""
    return row.entry.at, row.entry.seq


def _taken_back(reading: Reading, entries: Sequence[LoggedEntry]) -> dict[str, Entry]:
    """Return the entries that the undos of a page took back, and what those took back in turn."""
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


def shortest_ids(desk: Desk, ids: Iterable[str], least: int = 8) -> dict[str, str]:
    """Return for each id its shortest beginning that no other entry shares."""
    with desk.store.reading() as reading:
        everything = reading.entry_ids()
    short = {}
    for one in ids:
        place = bisect_left(everything, one)
        beside = (*everything[max(0, place - 1) : place], *everything[place + 1 : place + 2])
        shared = max((_shared(one, other) for other in beside), default=0)
        short[one] = one[: max(least, shared + 1)]
    return short


def _shared(one: str, other: str) -> int:
    """Return how many letters two ids have in common from the beginning on."""
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False)))


def last_times(desk: Desk, chore: str, count: int = LAST_TIMES) -> tuple[Entry, ...]:
    """Return the last times a chore was done or skipped, newest first.

    What a test measures may have been read and written down without it: such readings count too.
    So does water of its tank that was changed besides.
    """
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
        known = {one.id for one in found}
        found += [one for one in _besides(desk, reading, chore, count) if one.id not in known]
    found.sort(key=lambda entry: (entry.day, entry.at, entry.seq), reverse=True)
    return tuple(found[:count])


def _besides(desk: Desk, reading: Reading, chore_id: str, count: int) -> list[Entry]:
    """Return the newest readings of what a test measures, or changes of the water of a tank.

    Whether or not they did the chore.
    """
    chore = next((one for one in desk.household(reading).chores if one.id == chore_id), None)
    if chore is None or chore.tank is None:
        return []
    if chore.kind is ChoreKind.WATER_CHANGE:
        kind = LogKind.WATER_CHANGE
    elif chore.tests:
        kind = LogKind.READING
    else:
        return []
    wanted, found = LogSearch(tank=chore.tank, kind=kind), list[Entry]()
    below: Place | None = None
    while len(found) < count:
        part = reading.search(wanted, below, 2 * count, _REACH)
        found += [
            one.entry for one in part.found if one.revoked_by is None and _is_of(one.entry, chore)
        ]
        if part.reached is None:
            break
        below = part.reached
    return found


def _is_of(entry: Entry, chore: Chore) -> bool:
    fact = entry.fact
    if isinstance(fact, Readings):
        return any(one.parameter in chore.tests for one in fact.values)
    return isinstance(fact, WaterChange)


def _is_a_time_of(entry: Entry, chore: str) -> bool:
    """Return whether an entry did or skipped a chore, rather than moved or paused it."""
    return isinstance(entry.fact, Skip) or any(turn.chore == chore for turn in entry.completes)
