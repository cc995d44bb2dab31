"""Makes the content of a new household file."""

from __future__ import annotations

import secrets
import sqlite3
from contextlib import closing
from functools import cache
from pathlib import Path

from sqlalchemy import insert
from sqlalchemy.dialects import sqlite
from sqlalchemy.schema import CreateIndex, CreateTable

from tankkeeper.core.household import Household
from tankkeeper.store import places
from tankkeeper.store.engine import Access, connect, make_engine
from tankkeeper.store.file_store import this_host
from tankkeeper.store.redefining import household_row, write_household
from tankkeeper.store.schema import APPLICATION_ID, HEAD, USER_VERSION
from tankkeeper.store.tables import METADATA, alembic_version
from tankkeeper.store.tables import household as household_table


def fill_new(path: Path, household: Household) -> None:
    """Write the tables and the definitions into an empty file."""
    with closing(connect(path, Access.WRITE)) as plain:
        _mark_as_ours(plain)
    engine = make_engine(path, Access.WRITE)
    try:
        with engine.begin() as connection:
            for statement in _making_tables():
                connection.exec_driver_sql(statement)
            connection.execute(insert(alembic_version), {"version_num": HEAD})
            own = {"definitions_version": 1, "lineage": _new_lineage(), "last_host": this_host()}
            connection.execute(insert(household_table), household_row(household) | own)
            write_household(connection, household)
    finally:
        engine.dispose()
    with closing(connect(path, Access.WRITE)) as plain:
        plain.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    places.flush_folder(path.parent)


@cache
def _making_tables() -> tuple[str, ...]:
    """Return the statements that make the tables and their indexes, put into words once."""
    words = sqlite.dialect()
    made: list[str] = []
    for table in METADATA.sorted_tables:
        made.append(str(CreateTable(table).compile(dialect=words)))
        in_turn = sorted(table.indexes, key=lambda index: str(index.name))
        made.extend(str(CreateIndex(index).compile(dialect=words)) for index in in_turn)
    return tuple(made)


def _mark_as_ours(plain: sqlite3.Connection) -> None:
    """Write our number and the number of the schema into the header of a new file."""
    plain.execute(f"PRAGMA application_id={APPLICATION_ID}")
    plain.execute(f"PRAGMA user_version={USER_VERSION}")


def _new_lineage() -> str:
    """Return a word that no content of this or another file has had."""
    return secrets.token_hex(8)
