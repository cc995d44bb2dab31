"""Which file is ours and of which version, without loading the migration library."""

from __future__ import annotations

import sqlite3
from typing import Final

# "tkpr" in ASCII; it stands in the header, so that a file is known before anything is read.
APPLICATION_ID: Final = 0x746B7072
# Every revision there has been, the oldest first; `user_version` is its place, from one on.
REVISIONS: Final = ("0001", "0002", "0003", "0004", "0005")
HEAD: Final = REVISIONS[-1]
USER_VERSION: Final = len(REVISIONS)
VERSION_TABLE: Final = "alembic_version"


def revision_of(connection: sqlite3.Connection) -> str | None:
    """Return the revision written in the file, or None when there is none."""
    try:
        row = connection.execute(f"SELECT version_num FROM {VERSION_TABLE}").fetchone()
    except sqlite3.OperationalError as failure:
        if failure.sqlite_errorname != "SQLITE_ERROR":
            raise
        return None
    return None if row is None else str(row[0])


def is_known(revision: str | None, user_version: int) -> bool:
    """Tell whether this program knows a file of that revision and schema number."""
    return revision in REVISIONS and user_version <= USER_VERSION


def table_names(connection: sqlite3.Connection) -> list[str]:
    """Return the names of the tables that hold content, sorted."""
    rows = connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%'"
        " ESCAPE '\\' ORDER BY name"
    )
    return [name for (name,) in rows]


def row_counts(connection: sqlite3.Connection) -> dict[str, int]:
    """Return how many rows each table has."""
    quoted = ((name, name.replace('"', '""')) for name in table_names(connection))
    return {
        name: connection.execute(f'SELECT count(*) FROM "{in_quotes}"').fetchone()[0]
        for name, in_quotes in quoted
    }
