"""Makes a new household file and opens one that exists, looking before touching."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from tankkeeper.core.errors import Surroundings, UserFault
from tankkeeper.core.household import Household
from tankkeeper.services.ports import Clock
from tankkeeper.store import places
from tankkeeper.store.engine import Access, connect
from tankkeeper.store.faults import told
from tankkeeper.store.file_store import FileStore
from tankkeeper.store.schema import (
    APPLICATION_ID,
    HEAD,
    USER_VERSION,
    is_known,
    revision_of,
)

_MAGIC = b"SQLite format 3\0"
_HEADER_BYTES = 100
_APPLICATION_ID_AT = 68


def create(path: Path, household: Household, clock: Clock) -> FileStore:
    """Return a new household kept in a new file; a file that exists is refused."""
    # The tables are declared only where they are made or written.
    from tankkeeper.store.founding import fill_new

    where = str(path)
    with told(where):
        if path.exists():
            raise UserFault("file_exists", path=where)
        places.refuse_network_drive(path)
        places.make_private_folder(path.parent)
        with _removed_on_failure(path):
            fill_new(path, household)
    return open_household(path, clock)


def open_household(
    path: Path, clock: Clock, most_backup_bytes: Callable[[], int | None] = lambda: None
) -> FileStore:
    """Return the household kept in the file `path`, brought up to this program's schema.

    `most_backup_bytes` is asked before each rolling backup how much room they may take.
    """
    where = str(path)
    with told(where):
        revision = look_at(path)
        access = access_to(path)
        if revision != HEAD:
            _bring_up_to_date(path, access, clock)
        store = FileStore(path, access, clock, most_backup_bytes)
        try:
            store.refuse_damage()
        except BaseException:
            store.close()
            raise
    return store


def look_at(path: Path) -> str:
    """Return the revision of a household, or refuse a file that is none; neither touches it."""
    where = str(path)
    if not path.exists():
        raise Surroundings("not_found", path=where)
    if not path.is_file():
        raise UserFault("not_a_household", path=where)
    places.refuse_network_drive(path)
    with path.open("rb") as file:
        header = file.read(_HEADER_BYTES)
    if not header:
        raise Surroundings("empty_file", path=where)
    if not header.startswith(_MAGIC):
        raise UserFault("not_a_household", path=where)
    if len(header) < _HEADER_BYTES:
        raise Surroundings("damaged_file", path=where, why="cut short")
    written = int.from_bytes(header[_APPLICATION_ID_AT : _APPLICATION_ID_AT + 4], "big")
    if written != APPLICATION_ID:
        raise UserFault("not_a_household", path=where)
    return _known_revision(path)


def access_to(path: Path) -> Access:
    """Return how the file can be opened: for writing, for reading, or only as it lies there."""
    if os.access(path.parent, os.W_OK):
        return Access.WRITE if os.access(path, os.W_OK) else Access.READ
    wal = places.write_ahead_log(path)
    if wal.exists() and wal.stat().st_size:
        # The newest entries lie in the log beside the file, which SQLite cannot use here.
        raise Surroundings("read_only_folder", path=str(path), folder=str(path.parent))
    return Access.FROZEN


def quiet_access(path: Path) -> Access:
    """Return how to look at a file without leaving anything beside it."""
    wal = places.write_ahead_log(path)
    return Access.READ if wal.exists() and wal.stat().st_size else Access.FROZEN


def _known_revision(path: Path) -> str:
    with closing(connect(path, quiet_access(path))) as plain:
        revision = revision_of(plain)
        user_version = plain.execute("PRAGMA user_version").fetchone()[0]
    if revision is None:
        raise Surroundings("damaged_file", path=str(path), why="no schema version")
    if not is_known(revision, user_version):
        found = f"{user_version} ({revision})"
        raise Surroundings(
            "newer_file", path=str(path), found=found, known=f"{USER_VERSION} ({HEAD})"
        )
    return revision


def _bring_up_to_date(path: Path, access: Access, clock: Clock) -> None:
    # Alembic takes a fifth of a second to load, and almost every start does without it.
    from tankkeeper.store.upgrade import upgrade_file

    if access is not Access.WRITE:
        raise Surroundings("older_file_read_only", path=str(path))
    upgrade_file(path, clock)


@contextmanager
def _removed_on_failure(path: Path) -> Iterator[None]:
    try:
        places.make_private_file(path)
    except FileExistsError as somebody_was_quicker:
        raise UserFault("file_exists", path=str(path)) from somebody_was_quicker
    try:
        yield
    except BaseException:
        places.remove_database(path)
        raise
