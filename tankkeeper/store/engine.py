"""Connections to the file: how each is opened, and how each transaction begins."""

from __future__ import annotations

import sqlite3
from enum import Enum
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import QueuePool

BUSY_SECONDS = 5.0
# Room for the pages of some ten years of log; SQLite takes it only as it is needed.
_CACHE_KIB = 32_000
_EVERY_CONNECTION = (f"cache_size=-{_CACHE_KIB}", "foreign_keys=ON", "trusted_schema=OFF")
_WRITING_CONNECTION = ("journal_mode=WAL", "synchronous=FULL")


class Access(Enum):
    """How a file may be opened; the value is SQLite's own query string."""

    WRITE = "mode=rw"
    READ = "mode=ro"
    # For a folder in which SQLite may not make the files it shares with others.
    FROZEN = "mode=ro&immutable=1"


def connect(path: Path, access: Access) -> sqlite3.Connection:
    """Return a plain connection with our settings; it begins no transaction by itself."""
    plain = sqlite3.connect(
        f"{path.absolute().as_uri()}?{access.value}",
        uri=True,
        timeout=BUSY_SECONDS,
        isolation_level=None,
        check_same_thread=False,
    )
    try:
        settings = _EVERY_CONNECTION + (_WRITING_CONNECTION if access is Access.WRITE else ())
        for setting in settings:
            plain.execute(f"PRAGMA {setting}")
        _insist_on_foreign_keys(plain)
    except BaseException:
        plain.close()
        raise
    return plain


def _insist_on_foreign_keys(plain: sqlite3.Connection) -> None:
    # SQLite ignores a setting it cannot follow, so the setting is read back.
    if pragma(plain, "foreign_keys") != 1:
        raise RuntimeError("this SQLite does not watch foreign keys")


def make_engine(path: Path, access: Access) -> Engine:
    """Return the engine whose transactions begin with BEGIN IMMEDIATE, reading ones with BEGIN."""
    engine = create_engine(
        "sqlite://", creator=lambda: connect(path, access), poolclass=QueuePool, pool_size=5
    )

    @event.listens_for(engine, "begin")
    def _on_begin(connection: Connection) -> None:
        reading = connection.get_execution_options().get("reading", False)
        connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")

    return engine


def pragma(connection: sqlite3.Connection, name: str) -> Any:
    """Return what a setting of this connection stands at."""
    return connection.execute(f"PRAGMA {name}").fetchone()[0]
