"""Searching the logbook: a stretch at a time, with what became of each entry."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime

from sqlalchemy import Connection

from tankkeeper.core.logbook import Entry, Redefined, Revoke
from tankkeeper.services.log_search import (
    FoundEntry,
    LogExtent,
    LogSearch,
    LogSlice,
    Place,
    Reset,
    ValuesTold,
    is_clearing,
)
from tankkeeper.store import log_queries
from tankkeeper.store.logbook import entries_by_seq


def read_slice(
    connection: Connection,
    search: LogSearch,
    below: Place | None,
    most: int,
    reach: int,
    told: ValuesTold | None = None,
) -> LogSlice:
    """Return what is found below a place, looking through `reach` entries at most."""
    start = log_queries.latest_of(search) if below is None else log_queries.key_of(below)
    floor = _floor(connection, search, start, reach)
    bottom = floor or _bottom(search)
    by_values = [] if told is None else _by_values(connection, search, start, bottom, told)
    statement, values = log_queries.seqs_of(search, start, bottom, most, by_values)
    places = connection.exec_driver_sql(statement, values).all()
    found = _told(connection, [seq for _at, seq in places])
    if len(places) == most:
        return LogSlice(found, _place(*places[-1]))
    return LogSlice(found, None if floor is None else _place(*floor))


def _by_values(
    connection: Connection,
    search: LogSearch,
    start: tuple[str, int],
    bottom: tuple[str, int],
    told: ValuesTold,
) -> list[list[int]]:
    """Return of each typed word the changes of a stretch that it tells a value of."""
    found: list[list[int]] = [[] for _ in search.words]
    if not found:
        return found
    statement, values = log_queries.changes_between(start, bottom)
    changed = list(connection.exec_driver_sql(statement, values).scalars())
    for seq, resets in _resets_of(connection, changed).items():
        is_told = told(resets)
        for seqs, hits in zip(found, search.words, strict=True):
            if is_told(hits):
                seqs.append(seq)
    return found


def _floor(
    connection: Connection, search: LogSearch, start: tuple[str, int], reach: int
) -> tuple[str, int] | None:
    """Return where the stretch ends, None where everything wanted lies within it."""
    values = {"at": start[0], "seq": start[1], "reach": reach - 1}
    row = connection.exec_driver_sql(log_queries.SELECT_FLOOR, values).one_or_none()
    if row is None or row[0] < log_queries.earliest_of(search):
        return None
    return (row[0], row[1])


def _bottom(search: LogSearch) -> tuple[str, int]:
    return (log_queries.earliest_of(search), 0)


def _place(at: str, seq: int) -> Place:
    return Place(datetime.fromisoformat(at), seq)


def read_extent(connection: Connection) -> LogExtent:
    """Return how many entries there are, and the day of the first."""
    count: int = connection.exec_driver_sql(log_queries.SELECT_COUNT).scalar_one()
    first = connection.exec_driver_sql(log_queries.SELECT_FIRST_DAY).scalar()
    return LogExtent(count, None if first is None else date.fromisoformat(first))


def _told(connection: Connection, seqs: Sequence[int]) -> list[FoundEntry]:
    """Return entries with what took them back, and with what they take back or replace."""
    if not seqs:
        return []
    entries = entries_by_seq(connection, seqs)
    # The undo that cleared the place of a correction stands right before it.
    near = [one.seq - 1 for one in entries if one.replaces is not None]
    revokers = _revokers(connection, [*seqs, *near])
    by_seq = {one.seq: one for one in entries}
    by_seq |= _others(connection, by_seq, [*revokers.values(), *near])
    before = [by_seq[seq] for seq in near if seq in by_seq]
    wanted, asked = _targets_of([*entries, *before]), set[str]()
    while wanted:
        asked |= wanted
        named = {"ids": json.dumps(sorted(wanted))}
        rows = connection.exec_driver_sql(log_queries.SELECT_SEQS_OF, named)
        found = list(rows.scalars())
        by_seq |= _others(connection, by_seq, found)
        # An undo may take back an undo: all are told by what was done in the end.
        undos = [by_seq[seq] for seq in found if isinstance(by_seq[seq].fact, Revoke)]
        wanted = _targets_of(undos) - asked
    resets = _resets(connection, entries)
    by_id = {one.id: one for one in by_seq.values()}
    plain = [
        FoundEntry(
            one,
            by_seq[revokers[one.seq]] if one.seq in revokers else None,
            by_id.get(target_of(one) or ""),
            tuple(_beyond(by_id.get(target_of(one) or ""), by_id)),
            resets.get(one.seq, ()),
        )
        for one in entries
    ]
    return _told_in_turn(connection, plain, by_seq, revokers)


def _told_in_turn(
    connection: Connection,
    plain: Sequence[FoundEntry],
    by_seq: dict[int, Entry],
    revokers: Mapping[int, int],
) -> list[FoundEntry]:
    """Return entries so that each of several corrections of one entry follows the one before."""
    by_id = {one.id: one for one in by_seq.values()}
    taken = {
        one.seq: corrected
        for one in by_seq.values()
        if isinstance(one.fact, Revoke)
        and (corrected := by_id.get(one.fact.entry)) is not None
        and corrected.replaces is not None
    }
    if not taken:
        return list(plain)
    known = by_seq | _others(connection, by_seq, [seq + 1 for seq in taken])
    cleared = {
        seq: known[seq + 1]
        for seq, corrected in taken.items()
        if is_clearing(known[seq], corrected, known.get(seq + 1))
    }
    firsts = [by_id[one.replaces].seq for one in taken.values() if one.replaces in by_id]
    standing = _revokers(connection, firsts)
    known |= _others(connection, known, list(standing.values()))

    def in_turn(one: FoundEntry) -> FoundEntry:
        by, seq = one.revoked_by, one.entry.seq
        if seq in cleared:
            return replace(one, clears_for=cleared[seq])
        if by is not None and by.seq in cleared:
            first = by_id.get(one.entry.replaces or "")
            now = None if first is None else known.get(standing.get(first.seq, first.seq))
            one = replace(one, revoked_by=cleared[by.seq], stands_now=now)
        if cleared.get(seq - 1) != one.entry:
            return one
        undo = None if seq - 1 in revokers else known[seq - 1]
        return replace(one, target=taken[seq - 1], cleared_by=undo)

    return [in_turn(one) for one in plain]


def _revokers(connection: Connection, seqs: Sequence[int]) -> dict[int, int]:
    """Return by entry what took it back and holds, both by their `seq`."""
    if not seqs:
        return {}
    named = {"seqs": json.dumps(list(seqs))}
    pairs = connection.exec_driver_sql(log_queries.SELECT_REVOKERS, named).all()
    return {row[0]: row[1] for row in pairs}


def _resets(connection: Connection, entries: Iterable[Entry]) -> Mapping[int, tuple[Reset, ...]]:
    return _resets_of(connection, [one.seq for one in entries if isinstance(one.fact, Redefined)])


def _resets_of(connection: Connection, changed: Sequence[int]) -> Mapping[int, tuple[Reset, ...]]:
    if not changed:
        return {}
    from tankkeeper.store.resettings import resets_of

    return resets_of(connection, changed)


def _targets_of(entries: Iterable[Entry]) -> set[str]:
    return {target for one in entries if (target := target_of(one)) is not None}


def _beyond(undo: Entry | None, by_id: Mapping[str, Entry]) -> Iterator[Entry]:
    """Yield what an undo takes back, and what that does, down to what was done."""
    while undo is not None and isinstance(undo.fact, Revoke):
        undo = by_id.get(undo.fact.entry)
        if undo is not None:
            yield undo


def _others(
    connection: Connection, known: dict[int, Entry], seqs: Sequence[int]
) -> dict[int, Entry]:
    missing = [seq for seq in seqs if seq not in known]
    return {one.seq: one for one in entries_by_seq(connection, missing)}


def target_of(entry: Entry) -> str | None:
    """Return the id of the entry that this one takes back or replaces, None for other entries."""
    return entry.fact.entry if isinstance(entry.fact, Revoke) else entry.replaces
