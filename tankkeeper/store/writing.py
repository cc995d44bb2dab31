"""One writing transaction on the household: what can be added to it and replaced in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, bindparam, update

from tankkeeper.core.errors import UserFault
from tankkeeper.core.history import chores_of
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry, Pause, Redefined, Resume, Revoke
from tankkeeper.store import logbook, queries
from tankkeeper.store.facts import completions_to_rows, entry_to_row, readings_to_rows
from tankkeeper.store.memory import Memory
from tankkeeper.store.redefining import RowChange, write_household
from tankkeeper.store.redefinitions import COUNT_UP, keep
from tankkeeper.store.revoking import take_back, take_turns
from tankkeeper.store.tables import completion, entry, reading
from tankkeeper.store.tables import household as household_table
from tankkeeper.store.transaction import ReadingTransaction

_NOTE_HOST = (
    update(household_table)
    .values(last_host=bindparam("this_host"))
    .where(household_table.c.last_host != bindparam("this_host"))
)
_INSERT_ENTRY = entry.insert()
_INSERT_COMPLETION = completion.insert()
_INSERT_READING = reading.insert()


class WritingTransaction(ReadingTransaction):
    """A transaction that appends to the log and replaces definitions."""

    _keeps = False

    def __init__(self, connection: Connection, memory: Memory, host: str) -> None:
        super().__init__(connection, memory)
        self._names: tuple[set[str], set[str]] | None = None
        connection.execute(_NOTE_HOST, {"this_host": host})

    def add(self, new: Entry) -> Entry:
        """Append `new` and return it with its `seq`; when it is refused, nothing is changed."""
        with _step(self._connection):
            return self._append(new)

    def save_household(self, household: Household) -> None:
        """Replace the definitions. Chores and tanks that are gone but have entries are refused."""
        with _step(self._connection):
            self._write(household)

    def redefine(self, new: Entry, household: Household, brought: Iterable[Entry] = ()) -> Entry:
        """Replace the definitions and append `new`, whose undo puts back what was before.

        What was `brought` with them stands before it in the log, and goes with it.
        """
        with _step(self._connection):
            changes = self._write(household)
            count = len([self._append(one) for one in brought])
            if count:
                new = replace(new, fact=replace(_redefined(new), brought=count))
            added = self.add(new)
            keep(self._connection, added.seq, changes)
        return added

    def _write(self, household: Household) -> list[RowChange]:
        self._names = None
        changes = write_household(self._connection, household)
        self._connection.execute(COUNT_UP)
        return changes

    def _append(self, new: Entry) -> Entry:
        """Add an entry inside a step that is undone when it is refused."""
        row = entry_to_row(new)
        self._check_names(new)
        added = replace(new, seq=self._insert(new, row))
        if take_back(self._connection, _targets(new), added.seq, self._load):
            self._names = None
        take_turns(self._connection, added, self._load)
        return added

    def _insert(self, new: Entry, row: dict[str, Any]) -> int:
        seq: int = self._connection.execute(_INSERT_ENTRY, row).lastrowid
        turns = completions_to_rows(new, seq)
        if turns:
            self._connection.execute(_INSERT_COMPLETION, turns)
        values = readings_to_rows(new, seq)
        if values:
            self._connection.execute(_INSERT_READING, values)
        return seq

    def _check_names(self, new: Entry) -> None:
        """Refuse what a unique or foreign key would refuse with less to say."""
        if logbook.seq_of(self._connection, new.id) is not None:
            raise UserFault("id_taken", id=new.id)
        tanks, chores = self._known_names()
        if isinstance(new.fact, Revoke):
            # It may take up again what an undo took away.
            tanks = tanks | self._withdrawn_tanks()
        if new.tank is not None and new.tank not in tanks:
            raise UserFault("no_such_tank", tank=new.tank)
        for chore in _named_chores(new) - chores:
            raise UserFault("no_such_chore", chore=chore)
        for target in _targets(new):
            if logbook.seq_of(self._connection, target) is None:
                raise UserFault("no_such_entry", entry=target)

    def _known_names(self) -> tuple[set[str], set[str]]:
        if self._names is None:
            tanks, chores = (
                set(self._connection.exec_driver_sql(statement).scalars())
                for statement in (queries.SELECT_TANKS, queries.SELECT_CHORES)
            )
            self._names = (tanks, chores)
        return self._names

    def _withdrawn_tanks(self) -> set[str]:
        rows = self._connection.exec_driver_sql(queries.SELECT_WITHDRAWN)
        return {one_id for sheet, one_id in rows if sheet == "tank"}

    def _load(self, seq: int) -> Entry:
        return logbook.entry_by_seq(self._connection, seq)


@contextmanager
def _step(connection: Connection) -> Iterator[None]:
    """Undo what was done inside when it fails, and nothing of what was done before.

    An interrupt ends the whole transaction, and has closed its connection already.
    """
    connection.exec_driver_sql("SAVEPOINT step")
    try:
        yield
    except Exception:
        driver = connection.connection.driver_connection
        # On a full disk SQLite has undone the whole transaction by now, savepoint and all.
        if driver is not None and driver.in_transaction:
            connection.exec_driver_sql("ROLLBACK TO step")
            connection.exec_driver_sql("RELEASE step")
        raise
    connection.exec_driver_sql("RELEASE step")


def _redefined(new: Entry) -> Redefined:
    assert isinstance(new.fact, Redefined)
    return new.fact


def _targets(new: Entry) -> tuple[str, ...]:
    revoked = (new.fact.entry,) if isinstance(new.fact, Revoke) else ()
    replaced = (new.replaces,) if new.replaces is not None else ()
    return tuple(dict.fromkeys((*revoked, *replaced)))


def _named_chores(new: Entry) -> set[str]:
    chores = set(chores_of(new))
    if isinstance(new.fact, (Pause, Resume)) and new.fact.chore is not None:
        chores.add(new.fact.chore)
    return chores
