"""What is read of the logbook, as entries of the core."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from operator import attrgetter
from typing import Any

from sqlalchemy import Connection

from tankkeeper.core.history import History, chores_of, moves_loss, rests
from tankkeeper.core.ids import moment_in
from tankkeeper.core.logbook import Entry
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.services.ports import LoggedEntry, LogQuery
from tankkeeper.store import queries
from tankkeeper.store.facts import FACT, READINGS, SEQ, rows_to_entries, rows_to_readings
from tankkeeper.store.memory import NOTHING_KNOWN, Known

# More entries than this are read all at once.
MOST_SINGLE_READS = 50


def _read_entries(
    connection: Connection, statement: str, known: Known = NOTHING_KNOWN, **values: Any
) -> list[Entry]:
    """Return the entries that a statement with the columns of entries selects."""
    rows = connection.exec_driver_sql(statement, values).all()
    return _with_readings(connection, rows, known)


def _with_readings(connection: Connection, rows: Sequence[Any], known: Known) -> list[Entry]:
    measured = [row[SEQ] for row in rows if row[FACT] == READINGS and row[SEQ] not in known]
    readings: Mapping[int, Sequence[ReadingValue]] = {}
    if measured:
        seqs = {"seqs": json.dumps(measured)}
        readings = rows_to_readings(connection.exec_driver_sql(queries.SELECT_READINGS, seqs))
    return rows_to_entries(rows, readings, known)


def read_water(connection: Connection, known: Known) -> Known:
    """Return the valid water entries that matter by `seq`, reading only those not known."""
    if not known:
        return {one.seq: one for one in _read_entries(connection, queries.SELECT_WATER)}
    seqs = connection.exec_driver_sql(queries.SELECT_WATER_SEQS).scalars().all()
    missing = [seq for seq in seqs if seq not in known]
    if len(missing) > MOST_SINGLE_READS:
        return read_water(connection, NOTHING_KNOWN)
    known = {**known, **{seq: entry_by_seq(connection, seq) for seq in missing}}
    return {seq: known[seq] for seq in seqs}


def read_history(connection: Connection, water: Known) -> History:
    """Return the valid entries that still matter for what is due."""
    due = _in_order(_read_entries(connection, queries.SELECT_DUE, water))
    newest = connection.exec_driver_sql(queries.SELECT_NEWEST_AT).scalar()
    last = connection.exec_driver_sql(queries.SELECT_LAST_ID).scalar()
    return History(
        by_chore=_by_chore(due),
        water=_by_tank(water.values()),
        pauses=tuple(one for one in due if rests(one)),
        newest_at=None if newest is None else datetime.fromisoformat(newest),
        restated=_by_tank(one for one in due if moves_loss(one)),
        written_at=None if last is None else moment_in(last),
    )


def _in_order(entries: Iterable[Entry]) -> list[Entry]:
    return sorted(entries, key=attrgetter("seq"))


def _by_tank(water: Iterable[Entry]) -> dict[str, list[Entry]]:
    found: defaultdict[str, list[Entry]] = defaultdict(list)
    for one in sorted(water, key=attrgetter("at", "seq")):
        if one.tank is not None:
            found[one.tank].append(one)
    return dict(found)


def _by_chore(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    found: dict[str, list[Entry]] = {}
    for one in entries:
        for chore in chores_of(one):
            found.setdefault(chore, []).append(one)
    return found


def read_chore(connection: Connection, chore: str) -> list[Entry]:
    """Return all valid entries that move `chore`, in the order of the log."""
    return _in_order(_read_entries(connection, queries.SELECT_ONE_CHORE, chore=chore))


def seq_of(connection: Connection, entry_id: str) -> int | None:
    """Return the `seq` of the entry with this id, or None."""
    seq: int | None = connection.exec_driver_sql(queries.SELECT_SEQ, {"id": entry_id}).scalar()
    return seq


def is_void(connection: Connection, seq: int) -> bool:
    """Tell whether the entry at this place of the log is taken back."""
    return bool(connection.exec_driver_sql(queries.SELECT_VOID, {"seq": seq}).scalar())


def entry_by_seq(connection: Connection, seq: int) -> Entry:
    """Return the entry at this place of the log."""
    return _read_entries(connection, queries.SELECT_BY_SEQ, seq=seq)[0]


def entries_by_seq(connection: Connection, seqs: Sequence[int]) -> list[Entry]:
    """Return the entries at these places of the log, those of the latest moment first."""
    if not seqs:
        return []
    return _read_entries(connection, queries.SELECT_THESE, seqs=json.dumps(list(seqs)))


def logged_by_id(connection: Connection, entry_id: str) -> LoggedEntry | None:
    """Return the entry with this id and what became of it, or None."""
    found = _read_entries(connection, queries.SELECT_BY_ID, id=entry_id)
    if not found:
        return None
    seq = found[0].seq
    corrected = bool(connection.exec_driver_sql(queries.SELECT_CORRECTED, {"seq": seq}).scalar())
    return LoggedEntry(found[0], is_void(connection, seq), corrected)


def entry_ids(connection: Connection, beginning: str) -> list[str]:
    """Return the ids of all entries that begin with these letters, sorted."""
    found = connection.exec_driver_sql(queries.SELECT_IDS, {"beginning": beginning})
    return list(found.scalars())


def newest_standing(connection: Connection) -> Entry | None:
    """Return the newest entry that is no undo and is not taken back, or None."""
    return _one(connection, queries.SELECT_NEWEST_STANDING)


def newest_undo(connection: Connection) -> Entry | None:
    """Return the newest undo that is not itself taken back, or None; a redo is none."""
    return _one(connection, queries.SELECT_NEWEST_UNDO)


def holder_of(connection: Connection, turn_id: str) -> Entry | None:
    """Return the valid entry that does or skips this turn, or None."""
    return _one(connection, queries.SELECT_HOLDER, turn=turn_id)


def _one(connection: Connection, statement: str, **values: Any) -> Entry | None:
    seq = connection.exec_driver_sql(statement, values).scalar()
    return None if seq is None else entry_by_seq(connection, seq)


def read_page(connection: Connection, query: LogQuery) -> list[LoggedEntry]:
    """Return a page of the log, newest first."""
    rows = connection.exec_driver_sql(*queries.page_of(query)).all()
    fates = {row[SEQ]: (bool(row[-2]), bool(row[-1])) for row in rows}
    return [
        LoggedEntry(one, *fates[one.seq]) for one in _with_readings(connection, rows, NOTHING_KNOWN)
    ]
