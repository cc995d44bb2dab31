"""One window for each household: who holds it is told, and a second start raises the first.

All of this is a courtesy. The database is right without it, so whatever fails here never keeps a
household from being opened. What listens in the first window stands in `app.listening`, which the
start does without.
"""

from __future__ import annotations

import logging
import os
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QDeadlineTimer, QLockFile, QSysInfo

SHOW = "show"
# What the window says that a second start may end by; one that hangs up without it is ending.
HERE = b"here\n"
# How long a second start waits for a first one that holds the household but does not answer yet:
# it loads, or backs the household up before it ends.
ANSWER_MS = 10_000
STEP_MS = 50
THIS_HOST = "this computer"
_log = logging.getLogger(__name__)


class Holder(NamedTuple):
    """The process that has a household open."""

    process: int
    host: str

    @property
    def sentence(self) -> str:
        """What the window says of it."""
        return (
            f"Also open in process {self.process} on {self.host}. "
            "What is written there is shown here."
        )


def lock_file(where: Path) -> Path:
    """Return the file beside a household that says who has it open."""
    return where.with_name(f"{where.name}.lock")


def server_name(where: Path) -> str:
    """Return the name under which the window on a household listens, one for each user and file.

    >>> server_name(Path("/a")) == server_name(Path("/b"))
    False
    """
    import hashlib

    text = f"{_user()}\0{os.path.realpath(where)}"
    return f"tankkeeper-{hashlib.sha256(text.encode()).hexdigest()[:24]}"


def _user() -> str:
    return str(os.getuid()) if hasattr(os, "getuid") else os.environ.get("USERNAME", "")


class HouseLock:
    """Marks one household after the other as open here."""

    def __init__(self) -> None:
        self._lock: QLockFile | None = None
        self.where: Path | None = None

    def take(self, where: Path, patience_ms: int = 0) -> Holder | None:
        """Mark this household instead of the one before; return who else has it open.

        None where it is ours now, and where nobody can tell: a folder that cannot be written, a
        household that is not there yet.
        """
        if self._lock is not None and self.where == where:
            return None
        self.release()
        if not _is_seen(where):
            return None
        lock = QLockFile(str(lock_file(where)))
        # Only a process that ended gives its lock up, not one that runs for long.
        lock.setStaleLockTime(0)
        if lock.tryLock(patience_ms):
            self._lock, self.where = lock, where
            return None
        if lock.error() is not QLockFile.LockError.LockFailedError:
            _log.info("no lock beside %s: %s", where, lock.error())
            return None
        return _holder(lock)

    @property
    def is_ours(self) -> bool:
        """Whether a household is marked."""
        return self._lock is not None

    def release(self) -> None:
        """Take the mark away."""
        if self._lock is not None:
            self._lock.unlock()
        self._lock = self.where = None


def _is_seen(path: Path) -> bool:
    """Tell whether a file is there; not where nobody may look."""
    try:
        return path.exists()
    except OSError:
        return False


def _holder(lock: QLockFile) -> Holder:
    told = lock.getLockInfo()
    # Qt gives process, host and program, or nothing where the file was gone by then.
    process, host = told[:2] if isinstance(told, tuple) and len(told) == 3 else (0, "")
    return Holder(int(process), str(host) or THIS_HOST)


def hand_over(
    where: Path, message: dict[str, object], lock: HouseLock, wait_ms: int = ANSWER_MS
) -> bool:
    """Tell the window that has this household open what is wanted; return whether it is there.

    Where nobody has it open `lock` marks it from now on, so that of two starts at the same moment
    one is the first. One that holds the household but does not say that it is there may have begun
    just now, or be ending: it is asked until it has let go, or `wait_ms` have passed.
    """
    holder, until = lock.take(where), QDeadlineTimer(wait_ms)
    if holder is None:
        # Nobody's yet, what a killed process left, or a folder nobody can write in.
        return False
    line = _line(message)
    while holder is not None:
        if not _may_hear(holder, where):
            return False
        if _told(server_name(where), line, until):
            return True
        if until.hasExpired():
            return False
        holder = lock.take(where, STEP_MS)
    # It has closed meanwhile.
    return False


def _may_hear(holder: Holder, where: Path) -> bool:
    """Tell whether a holder can be asked: not on another computer, nor of another user."""
    if holder.host not in (THIS_HOST, QSysInfo.machineHostName()):
        return False
    try:
        owner = lock_file(where).stat().st_uid
    except OSError:
        # It has let go meanwhile, which the next try finds.
        return True
    return not hasattr(os, "getuid") or owner == os.getuid()


def _line(message: dict[str, object]) -> bytes:
    import json

    return json.dumps(message).encode() + b"\n"


def _told(name: str, line: bytes, until: QDeadlineTimer) -> bool:
    from PySide6.QtNetwork import QLocalSocket

    socket = QLocalSocket()
    socket.connectToServer(name)
    if not socket.waitForConnected(STEP_MS):
        return False
    socket.write(line)
    socket.waitForBytesWritten(STEP_MS)
    said = b""
    # One that is busy reads the line later; one that is ending hangs up without a word.
    while b"\n" not in said:
        if not socket.waitForReadyRead(max(STEP_MS, int(until.remainingTime()))):
            break
        said += bytes(socket.readAll().data())
    socket.abort()
    return said == HERE
