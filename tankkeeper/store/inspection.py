"""Looks through an open household for anything that does not fit together."""

from __future__ import annotations

from sqlalchemy import Connection

from tankkeeper.core.history import taken_back
from tankkeeper.core.logbook import Entry
from tankkeeper.services.ports import LogQuery
from tankkeeper.store.logbook import read_page
from tankkeeper.store.revoking import claimed_turns

MOST_PROBLEMS = 100


def inspect(connection: Connection) -> tuple[int, tuple[str, ...]]:
    """Return how many entries there are, and what is wrong with the file."""
    problems = [*_broken_pages(connection), *_broken_links(connection)]
    if problems:
        entries = connection.exec_driver_sql("SELECT count(*) FROM entry").scalar_one()
        return entries, tuple(problems)
    log = [one.entry for one in read_page(connection, LogQuery())]
    gone = taken_back(log)
    problems = [*_wrong_voids(connection, log, gone), *_wrong_claims(connection, log, gone)]
    return len(log), tuple(problems[:MOST_PROBLEMS])


def _broken_pages(connection: Connection) -> list[str]:
    rows = connection.exec_driver_sql(f"PRAGMA integrity_check({MOST_PROBLEMS})").scalars()
    return [str(row) for row in rows if row != "ok"]


def _broken_links(connection: Connection) -> list[str]:
    rows = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    return [f"{row[0]} {row[1]}: no such {row[2]}" for row in rows[:MOST_PROBLEMS]]


def _wrong_voids(connection: Connection, log: list[Entry], gone: frozenset[str]) -> list[str]:
    kept = set(connection.exec_driver_sql("SELECT entry FROM void").scalars())
    return [
        f"entry {one.id}: taken back or not, the file says otherwise"
        for one in log
        if (one.id in gone) != (one.seq in kept)
    ]


def _wrong_claims(connection: Connection, log: list[Entry], gone: frozenset[str]) -> list[str]:
    kept = {tuple(row) for row in connection.exec_driver_sql("SELECT turn, entry FROM claim")}
    right = {(turn.id, one.seq) for one in log if one.id not in gone for turn in claimed_turns(one)}
    return [f"turn {turn}: held by the wrong entry" for turn, _seq in sorted(kept ^ right)]
