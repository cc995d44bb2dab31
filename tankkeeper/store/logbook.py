"""Statements that read the logbook; every one of them goes by an index."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from operator import attrgetter
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    Select,
    and_,
    bindparam,
    case,
    exists,
    func,
    literal_column,
    not_,
    or_,
    select,
    text,
    union,
)

from tankkeeper.core.chores import IfMissed
from tankkeeper.core.history import History, chores_of
from tankkeeper.core.logbook import Entry, Pause, Resume
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.services.ports import LoggedEntry, LogQuery
from tankkeeper.store.facts import FACT, READINGS, SEQ, rows_to_entries, rows_to_readings
from tankkeeper.store.memory import NOTHING_KNOWN, Known
from tankkeeper.store.tables import (
    ENTRY_FIELDS,
    FIELDS_NOT_OF_WATER,
    IS_MOVE,
    IS_PAUSE,
    IS_UNDO,
    IS_WATER,
    READING_FIELDS,
    TABLES,
    claim,
    completion,
    entry,
    reading,
    void,
)

# The end of the log; "before the end" makes SQLite walk the log backwards by its key.
END_OF_LOG = 2**63 - 1
# More entries than this are read all at once.
MOST_SINGLE_READS = 50
# Moves of turns from this long before the latest completion may still say what is due.
MOVES_KEPT_DAYS = 400
# The greatest key that is a day; other keys are words.
LAST_DAY = "9999-12-31"
# A late evening turn is done after midnight, so the days just before the latest count too.
COMPLETIONS_KEPT_DAYS = 2

_COLUMNS = (
    entry.c.seq,
    completion.c.chore,
    completion.c.turn_key,
    completion.c.slot,
    *(entry.c[field.name] for field in ENTRY_FIELDS),
)
# There are thousands of water entries, so what none of them has is left out.
_COLUMNS_OF_WATER = _COLUMNS[: -len(FIELDS_NOT_OF_WATER)]
IS_VALID = ~exists(select(void.c.entry).where(void.c.entry == entry.c.seq).correlate(entry))
_WITH_TURNS = entry.outerjoin(completion, completion.c.entry == entry.c.seq)
_chore = TABLES["chore"]


def _valid_water() -> Select[Any]:
    return select(*_COLUMNS_OF_WATER).select_from(_WITH_TURNS).where(IS_VALID)


def _latest() -> Any:
    """Return the day from which completions, and that from which moves of a chore matter.

    It is the day of the completions before the latest, so that what the latest settled can still
    be told.
    """
    newest = _day_of_newest()
    by_day = func.coalesce(_day_of_newest(newest), newest)
    day = case((_counts_every_completion(), None), else_=by_day)
    return select(_chore.c.id, day.label("day")).cte("latest").prefix_with("MATERIALIZED")


def _day_of_newest(before: Any = None) -> Any:
    """Return the newest day on which a chore was done, or the newest one before a day."""
    done = completion.alias()
    statement = select(done.c.day).where(
        done.c.chore == _chore.c.id,
        ~exists(select(void.c.entry).where(void.c.entry == done.c.entry)),
    )
    if before is not None:
        statement = statement.where(done.c.day < before)
    return statement.order_by(done.c.day.desc()).limit(1).correlate(_chore).scalar_subquery()


def _counts_every_completion() -> ColumnElement[bool]:
    """Tell for which chores an older completion may matter although another came later.

    Where turns stay open one by one, and where each slot goes on from its own latest completion;
    what lapses with its day needs neither.
    """
    has_slots = func.coalesce(func.json_array_length(_chore.c.rhythm, "$.slots"), 0) > 0
    lapses = and_(_chore.c.if_missed == IfMissed.EXPIRE.value, _chore.c.early_days == 0)
    return or_(_chore.c.if_missed == IfMissed.EACH.value, and_(has_slots, not_(lapses)))


def _days_before(day: Any, days: int) -> ColumnElement[str]:
    return func.coalesce(func.date(day, f"-{days} days"), "")


def _reaches(day: Any) -> ColumnElement[bool]:
    """Tell which moves name a turn, or a day to go on from, that lies on `day` or later."""
    return or_(entry.c.other_day >= day, entry.c.turn_key.between(day, LAST_DAY))


def _seqs_that_matter() -> Any:
    latest = _latest()
    done = select(completion.c.entry).where(
        completion.c.chore == latest.c.id,
        completion.c.day >= _days_before(latest.c.day, COMPLETIONS_KEPT_DAYS),
    )
    moved = select(entry.c.seq).where(
        text(IS_MOVE),
        entry.c.chore == latest.c.id,
        or_(
            entry.c.day >= _days_before(latest.c.day, MOVES_KEPT_DAYS),
            entry.c.fact == "shift",
            _reaches(latest.c.day),
        ),
    )
    paused = select(entry.c.seq).where(text(IS_PAUSE))
    return union(done, moved, paused).subquery("wanted")


def _valid_among(wanted: Any) -> Select[Any]:
    found = wanted.join(entry, entry.c.seq == wanted.c[0])
    turns = found.outerjoin(completion, completion.c.entry == entry.c.seq)
    return select(*_COLUMNS).select_from(turns).where(IS_VALID)


SELECT_CHORES = _valid_among(_seqs_that_matter())
SELECT_WATER = _valid_water().where(text(f"entry.{IS_WATER}"), entry.c.tank.is_not(None))
SELECT_WATER_SEQS = select(entry.c.seq).where(
    text(f"entry.{IS_WATER}"), entry.c.tank.is_not(None), IS_VALID
)
SELECT_ONE_CHORE = _valid_among(
    union(
        select(completion.c.entry).where(completion.c.chore == bindparam("chore")),
        select(entry.c.seq).where(text(IS_MOVE), entry.c.chore == bindparam("chore")),
    ).subquery("wanted")
)
SELECT_NEWEST_AT = (
    select(entry.c.at)
    .where(IS_VALID, entry.c.at < literal_column("'~'"))
    .order_by(entry.c.at.desc())
    .limit(1)
)
SELECT_READINGS = (
    select(reading.c.entry, *(reading.c[field.name] for field in READING_FIELDS))
    .where(reading.c.entry.between(bindparam("first"), bindparam("last")))
    .order_by(reading.c.entry, reading.c.place)
)


def read_entries(
    connection: Connection, statement: Select[Any], known: Known = NOTHING_KNOWN, **values: Any
) -> list[Entry]:
    """Return the entries a statement over the columns of this module selects."""
    return _with_readings(connection, connection.execute(statement, values).all(), known)


def _with_readings(connection: Connection, rows: Sequence[Any], known: Known) -> list[Entry]:
    measured = [row[SEQ] for row in rows if row[FACT] == READINGS and row[SEQ] not in known]
    readings: Mapping[int, Sequence[ReadingValue]] = {}
    if measured:
        span = {"first": min(measured), "last": max(measured)}
        readings = rows_to_readings(connection.execute(SELECT_READINGS, span).all())
    return rows_to_entries(rows, readings, known)


def read_water(connection: Connection, known: Known) -> Known:
    """Return the valid water entries by `seq`, reading only those that are not known."""
    if not known:
        return {one.seq: one for one in read_entries(connection, SELECT_WATER)}
    valid = connection.execute(SELECT_WATER_SEQS).scalars().all()
    missing = [seq for seq in valid if seq not in known]
    if len(missing) > MOST_SINGLE_READS:
        return read_water(connection, NOTHING_KNOWN)
    known = {**known, **{seq: entry_by_seq(connection, seq) for seq in missing}}
    return {seq: known[seq] for seq in valid}


def read_history(connection: Connection, water: Known) -> History:
    """Return the valid entries that still matter for what is due."""
    chores = read_entries(connection, SELECT_CHORES, water)
    newest = connection.scalar(SELECT_NEWEST_AT)
    return History(
        by_chore=_by_chore(chores),
        water=_by_tank(water.values()),
        pauses=tuple(one for one in _in_order(chores) if isinstance(one.fact, (Pause, Resume))),
        newest_at=None if newest is None else datetime.fromisoformat(newest),
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
    for one in _in_order(entries):
        for chore in chores_of(one):
            found.setdefault(chore, []).append(one)
    return found


def read_chore(connection: Connection, chore: str) -> list[Entry]:
    """Return all valid entries that move `chore`, in the order of the log."""
    return _in_order(read_entries(connection, SELECT_ONE_CHORE, chore=chore))


_BY_SEQ = select(*_COLUMNS).select_from(_WITH_TURNS).where(entry.c.seq == bindparam("seq"))
_BY_ID = select(*_COLUMNS).select_from(_WITH_TURNS).where(entry.c.id == bindparam("key"))
_IS_VOID = select(exists(select(void.c.entry).where(void.c.entry == bindparam("seq"))))
_NEWEST_STANDING = (
    select(entry.c.seq)
    .where(
        entry.c.seq < END_OF_LOG,
        or_(entry.c.fact.is_(None), entry.c.fact != "revoke"),
        IS_VALID,
    )
    .order_by(entry.c.seq.desc())
    .limit(1)
)
_taken_back = entry.alias("taken_back")
# What takes back an undo is a redo, and a redo is not taken back by the next one.
_NEWEST_UNDO = (
    select(entry.c.seq)
    .join(_taken_back, _taken_back.c.id == entry.c.revokes)
    .where(
        text(f"entry.{IS_UNDO}"),
        or_(_taken_back.c.fact.is_(None), _taken_back.c.fact != "revoke"),
        IS_VALID,
    )
    .order_by(entry.c.seq.desc())
    .limit(1)
)
_HOLDER = select(claim.c.entry).where(claim.c.turn == bindparam("turn")).limit(1)


def entry_by_seq(connection: Connection, seq: int) -> Entry:
    """Return the entry at this place of the log."""
    return read_entries(connection, _BY_SEQ, seq=seq)[0]


def logged_by_id(connection: Connection, entry_id: str) -> LoggedEntry | None:
    """Return the entry with this id and whether it is taken back, or None."""
    found = read_entries(connection, _BY_ID, key=entry_id)
    if not found:
        return None
    return LoggedEntry(found[0], bool(connection.scalar(_IS_VOID, {"seq": found[0].seq})))


def newest_standing(connection: Connection) -> Entry | None:
    """Return the newest entry that is no undo and is not taken back, or None."""
    return _one(connection, _NEWEST_STANDING)


def newest_undo(connection: Connection) -> Entry | None:
    """Return the newest undo that is not itself taken back, or None; a redo is none."""
    return _one(connection, _NEWEST_UNDO)


def holder_of(connection: Connection, turn_id: str) -> Entry | None:
    """Return the valid entry that does or skips this turn, or None."""
    return _one(connection, _HOLDER, turn=turn_id)


def _one(connection: Connection, statement: Select[Any], **values: Any) -> Entry | None:
    seq = connection.scalar(statement, values)
    return None if seq is None else entry_by_seq(connection, seq)


def page_statement(query: LogQuery) -> Select[Any]:
    """Return the statement for the seqs of a page of the log, newest first."""
    revoked = exists(select(void.c.entry).where(void.c.entry == entry.c.seq).correlate(entry))
    before = END_OF_LOG if query.before_seq is None else query.before_seq
    statement = select(entry.c.seq, revoked).where(entry.c.seq < before)
    if query.tank is not None:
        statement = statement.where(entry.c.tank == query.tank)
    if query.chore is not None:
        done = select(completion.c.entry).where(completion.c.chore == query.chore)
        other = entry.alias("other")
        about = select(other.c.seq).where(other.c.chore == query.chore)
        statement = statement.where(entry.c.seq.in_(union(done, about)))
    if query.from_day is not None:
        statement = statement.where(entry.c.day >= query.from_day.isoformat())
    if query.to_day is not None:
        statement = statement.where(entry.c.day <= query.to_day.isoformat())
    if query.only_valid:
        statement = statement.where(~revoked)
    return statement.order_by(entry.c.seq.desc()).limit(query.limit)


def read_page(connection: Connection, query: LogQuery) -> list[LoggedEntry]:
    """Return a page of the log, newest first."""
    page = page_statement(query).subquery()
    statement = (
        select(*_COLUMNS, page.c[1])
        .select_from(page.join(_WITH_TURNS, entry.c.seq == page.c.seq))
        .order_by(page.c.seq.desc(), completion.c.place)
    )
    rows = connection.execute(statement).all()
    revoked = {row[SEQ]: bool(row[-1]) for row in rows}
    return [
        LoggedEntry(one, revoked[one.seq])
        for one in _with_readings(connection, rows, NOTHING_KNOWN)
    ]
