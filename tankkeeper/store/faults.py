"""Turns failures of the database and the disk into the one kind of fault people are told of."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError

from tankkeeper.core.errors import Surroundings

# By the beginning of SQLite's own error names; the first that fits counts.
_BY_NAME = (
    ("SQLITE_BUSY", "locked"),
    ("SQLITE_LOCKED", "locked"),
    ("SQLITE_FULL", "disk_full"),
    ("SQLITE_READONLY", "read_only"),
    ("SQLITE_CORRUPT", "damaged_file"),
    ("SQLITE_NOTADB", "damaged_file"),
    ("SQLITE_CANTOPEN", "cannot_open"),
    ("SQLITE_PERM", "cannot_open"),
    ("SQLITE_AUTH", "cannot_open"),
    ("SQLITE_IOERR", "disk_error"),
)
_BY_ERRNO = {
    errno.ENOSPC: "disk_full",
    errno.EDQUOT: "disk_full",
    errno.EFBIG: "disk_full",
    errno.EROFS: "read_only",
    errno.EACCES: "cannot_open",
    errno.EPERM: "cannot_open",
    errno.ENOENT: "not_found",
    errno.EIO: "disk_error",
}


class Undecodable(Exception):
    """A stored value that no program of this version wrote."""


def fault_of(failure: BaseException | None, where: str) -> Surroundings | None:
    """Return the fault that tells of `failure`, or None when the program itself is to blame."""
    if isinstance(failure, Undecodable):
        return Surroundings("damaged_file", path=where, why=str(failure))
    if isinstance(failure, sqlite3.Error):
        name = getattr(failure, "sqlite_errorname", "")
        code = next((code for start, code in _BY_NAME if name.startswith(start)), None)
        return Surroundings(code, path=where, why=name) if code else None
    if isinstance(failure, OSError) and failure.errno in _BY_ERRNO:
        reason = errno.errorcode.get(failure.errno, "")
        return Surroundings(_BY_ERRNO[failure.errno], path=where, why=reason)
    return None


@contextmanager
def told(where: str) -> Iterator[None]:
    """Raise `Surroundings` instead of a failure of the disk, a lock or the file `where`."""
    try:
        yield
    except (DBAPIError, sqlite3.Error, OSError, Undecodable) as failure:
        cause = failure.orig if isinstance(failure, DBAPIError) else failure
        fault = fault_of(cause, where)
        if fault is None:
            raise
        raise fault from failure
