"""Puts the content of a backup in place of the present one, trusting the backup with nothing."""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from secrets import token_hex
from typing import Final

from sqlalchemy import Connection, create_engine

from tankkeeper.core.errors import Surroundings, UserFault
from tankkeeper.services.ports import Clock
from tankkeeper.services.watching import Step, Watch, unwatched
from tankkeeper.store import backups, places
from tankkeeper.store.engine import BUSY_SECONDS, Access, connect, make_engine, pragma
from tankkeeper.store.faults import told
from tankkeeper.store.schema import HEAD, revision_of
from tankkeeper.store.tables import METADATA

PATIENCE_SECONDS: Final = 60.0
# Tables that SQLite makes by itself.
_OF_SQLITE: Final = ("sqlite_sequence", "sqlite_stat1", "sqlite_stat4")
Seconds = Callable[[], float]


def restore(
    live: Path,
    source: Path,
    clock: Clock,
    patience_seconds: float = PATIENCE_SECONDS,
    watch: Watch = unwatched,
) -> Path:
    """Replace the content of `live` by that of `source`, in one transaction of `live`.

    Returns the backup of what was there before.
    """
    from tankkeeper.store.opening import look_at

    with told(str(source)):
        look_at(source)
        backups.refuse_changed(source)
        backups.refuse_full_disk(source, live.parent)
    with _working_copy(live) as copy:
        with told(str(source)):
            _copy_untrusted(source, copy, patience_seconds, watch)
            _bring_up_to_date(copy, source)
        with told(str(live)):
            now = clock.now()
            before = backups.back_up_before(live, backups.BEFORE_RESTORE, now, watch)
            watch(Step.REPLACING, 0, 0)
            _replace_content(live, copy)
    return before


@contextmanager
def looking_into(
    live: Path,
    source: Path,
    patience_seconds: float = PATIENCE_SECONDS,
    watch: Watch = unwatched,
) -> Iterator[Connection]:
    """Open the content of a backup as a restore would put it in, and change nothing."""
    from tankkeeper.store.opening import look_at

    with told(str(source)):
        look_at(source)
        backups.refuse_changed(source)
        backups.refuse_full_disk(source, live.parent)
    with _working_copy(live) as copy, told(str(source)):
        _copy_untrusted(source, copy, patience_seconds, watch)
        _bring_up_to_date(copy, source)
        engine = make_engine(copy, Access.READ)
        try:
            with engine.execution_options(reading=True).begin() as connection:
                yield connection
        finally:
            engine.dispose()


def refuse_foreign_content(plain: sqlite3.Connection, path: Path) -> None:
    """Refuse tables and indexes that are not ours, and all views and triggers."""
    rows = plain.execute("SELECT type, name, sql FROM sqlite_master").fetchall()
    found = {
        (kind, name, _one_line(sql))
        for kind, name, sql in rows
        if sql is not None and name not in _OF_SQLITE
    }
    strange = sorted(name for _kind, name, _sql in found ^ expected_content())
    if strange:
        raise UserFault("backup_not_ours", path=str(path), what=strange[0][:80])


def expected_content() -> set[tuple[str, str, str]]:
    """Return type, name and text of everything that a file of this schema holds."""
    engine = create_engine("sqlite://")
    with engine.begin() as connection:
        METADATA.create_all(connection, checkfirst=False)
        rows = connection.exec_driver_sql("SELECT type, name, sql FROM sqlite_master").all()
    engine.dispose()
    return {
        (kind, name, _one_line(sql))
        for kind, name, sql in rows
        if sql is not None and name not in _OF_SQLITE
    }


def _one_line(sql: str) -> str:
    return " ".join(sql.split())


@contextmanager
def _working_copy(live: Path) -> Iterator[Path]:
    start = f".{live.name}.restoring-"
    for left_by_a_kill in [one for one in live.parent.iterdir() if one.name.startswith(start)]:
        left_by_a_kill.unlink(missing_ok=True)
    copy = live.with_name(f"{start}{os.getpid()}-{token_hex(4)}")
    places.make_private_file(copy)
    try:
        yield copy
    finally:
        places.remove_database(copy)


def _copy_untrusted(
    source: Path, copy: Path, patience_seconds: float, watch: Watch = unwatched
) -> None:
    from tankkeeper.store.opening import quiet_access

    with (
        closing(connect(source, quiet_access(source))) as plain,
        closing(sqlite3.connect(copy, isolation_level=None)) as target,
    ):
        backups.copy_pages(plain, target, watch)
        target.execute("PRAGMA trusted_schema=OFF")
        target.execute("PRAGMA journal_mode=DELETE")
        with deadline(target, source, patience_seconds, watch=watch):
            kinds = {kind for (kind,) in target.execute("SELECT DISTINCT type FROM sqlite_master")}
            if kinds - {"table", "index"}:
                strange = min(kinds - {"table", "index"})
                raise UserFault("backup_not_ours", path=str(source), what=strange)
            if revision_of(target) == HEAD:
                refuse_foreign_content(target, source)
            backups.refuse_broken(target, source)


@contextmanager
def deadline(
    plain: sqlite3.Connection,
    path: Path,
    seconds: float,
    monotonic: Seconds = time.monotonic,
    watch: Watch = unwatched,
) -> Iterator[None]:
    """Stop what runs on a connection when it takes too long: a crafted file may never end."""
    ends = monotonic() + seconds
    try:
        with backups.checking(plain, watch, lambda: monotonic() > ends):
            yield
    except sqlite3.OperationalError as failure:
        if failure.sqlite_errorname != "SQLITE_INTERRUPT":
            raise
        raise Surroundings("backup_takes_too_long", path=str(path)) from failure


def _bring_up_to_date(copy: Path, source: Path) -> None:
    with closing(connect(copy, Access.READ)) as plain:
        revision = revision_of(plain)
    if revision == HEAD:
        return
    from tankkeeper.store.upgrade import migrate

    migrate(copy)
    with closing(connect(copy, Access.READ)) as plain:
        refuse_foreign_content(plain, source)


def _replace_content(live: Path, copy: Path) -> None:
    with (
        closing(connect(live, Access.WRITE)) as target,
        closing(sqlite3.connect(copy, isolation_level=None)) as plain,
    ):
        if pragma(plain, "page_size") != pragma(target, "page_size"):
            plain.execute(f"PRAGMA page_size={int(pragma(target, 'page_size'))}")
            plain.execute("VACUUM")
        version = target.execute("SELECT definitions_version FROM household").fetchone()[0]
        # Whoever remembers definitions or entries of the old content must see that they are gone.
        plain.execute(
            "UPDATE household SET lineage = ?, definitions_version = max(?, definitions_version)+1",
            (token_hex(8), version),
        )
        ends = time.monotonic() + BUSY_SECONDS

        def patient(status: int, _remaining: int, _total: int) -> None:
            # The driver tries for ever while somebody else writes; we do not.
            waits = status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
            if waits and time.monotonic() > ends:
                raise Surroundings("locked", path=str(live))

        plain.backup(target, progress=patient)
