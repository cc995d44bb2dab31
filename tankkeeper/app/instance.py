"""One window for each household: who holds it is told, and a second start raises the first.

All of this is a courtesy. The database is right without it, so whatever fails here never keeps a
household from being opened.
"""

from __future__ import annotations

import logging
import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QDeadlineTimer, QLockFile, QObject, QThread, Signal

from tankkeeper.core.values import dataclass

if TYPE_CHECKING:
    from PySide6.QtNetwork import QLocalServer, QLocalSocket

SHOW = "show"
# How long a second start waits for a first one that holds the household but does not answer yet.
ANSWER_MS = 2000
_STEP_MS = 50
_LONGEST_MESSAGE = 1 << 16
_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Holder:
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

    def take(self, where: Path) -> Holder | None:
        """Mark this household instead of the one before; return who else has it open.

        None where it is ours now, and where nobody can tell: a folder that cannot be written, a
        household that is not there yet.
        """
        self.release()
        if not where.exists():
            return None
        lock = QLockFile(str(lock_file(where)))
        # Only a process that ended gives its lock up, not one that runs for long.
        lock.setStaleLockTime(0)
        if lock.tryLock(0):
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


def _holder(lock: QLockFile) -> Holder:
    told = lock.getLockInfo()
    # Qt gives process, host and program, or nothing where the file was gone by then.
    process, host = told[:2] if isinstance(told, tuple) and len(told) == 3 else (0, "")
    return Holder(int(process), str(host) or "this computer")


class _Call(QObject):
    """One line that a second start says."""

    def __init__(self, socket: QLocalSocket, listening: Listening) -> None:
        super().__init__(listening)
        self._listening = listening
        self._socket = socket
        self._heard = b""
        socket.setParent(self)
        socket.readyRead.connect(self.read)
        socket.disconnected.connect(self.deleteLater)

    def read(self) -> None:
        """Take what has come; a whole line is told, and the caller let go."""
        self._heard += bytes(self._socket.readAll().data())
        if b"\n" not in self._heard and len(self._heard) <= _LONGEST_MESSAGE:
            return
        said = _message(self._heard.partition(b"\n")[0])
        self._heard = b""
        self._socket.disconnectFromServer()
        if said is not None:
            self._listening.asked.emit(said)


class Listening(QObject):
    """Hears what second starts on the same household ask; `asked` tells it as a dictionary."""

    asked = Signal(dict)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._server: QLocalServer | None = None

    def listen(self, where: Path) -> bool:
        """Listen for this household instead of the one before; tell whether that works.

        A socket that a killed process left is removed only after nobody answered on it.
        """
        from PySide6.QtNetwork import QLocalServer, QLocalSocket

        self.stop()
        name = server_name(where)
        # With access for the user alone Qt takes a name without asking whether it is in use.
        probe = QLocalSocket()
        probe.connectToServer(name)
        is_taken = probe.waitForConnected(_STEP_MS)
        probe.abort()
        if is_taken:
            return False
        QLocalServer.removeServer(name)
        server = QLocalServer(self)
        server.setSocketOptions(QLocalServer.SocketOption.UserAccessOption)
        if not server.listen(name):
            _log.info("nobody can raise this window: %s", server.errorString())
            server.deleteLater()
            return False
        server.newConnection.connect(self._on_connection)
        self._server = server
        return True

    def stop(self) -> None:
        """Listen no more."""
        if self._server is not None:
            self._server.close()
            self._server.deleteLater()
            self._server = None

    def _on_connection(self) -> None:
        while self._server is not None and self._server.hasPendingConnections():
            call = _Call(self._server.nextPendingConnection(), self)
            call.read()


def _message(line: bytes) -> dict[str, object] | None:
    import json

    try:
        said = json.loads(line)
    except ValueError:
        _log.info("a message that is none was left alone")
        return None
    return said if isinstance(said, dict) else None


def hand_over(where: Path, message: dict[str, object], wait_ms: int = ANSWER_MS) -> bool:
    """Tell the window that has this household open what is wanted; return whether it heard.

    Costs one look at a file where nobody has it open. One that holds the household but does not
    answer may have begun just now, or be closing: it is asked until `wait_ms` have passed.
    """
    if not lock_file(where).exists():
        return False
    until, lock, line = QDeadlineTimer(wait_ms), HouseLock(), _line(message)
    while True:
        holder = lock.take(where)
        lock.release()
        if holder is None:
            # What a killed process left, one that has closed, or a folder nobody can write in.
            return False
        if _told(server_name(where), line, until):
            return True
        if until.hasExpired():
            return False
        QThread.msleep(_STEP_MS)


def _line(message: dict[str, object]) -> bytes:
    import json

    return json.dumps(message).encode() + b"\n"


def _told(name: str, line: bytes, until: QDeadlineTimer) -> bool:
    from PySide6.QtNetwork import QLocalSocket

    socket = QLocalSocket()
    socket.connectToServer(name)
    if not socket.waitForConnected(_STEP_MS):
        return False
    socket.write(line)
    is_written = socket.waitForBytesWritten(_STEP_MS)
    # It hangs up when it has read the line; one that is busy reads it later.
    if socket.state() is not QLocalSocket.LocalSocketState.UnconnectedState:
        socket.waitForDisconnected(max(_STEP_MS, int(until.remainingTime())))
    return is_written


def raising(shell: object) -> Callable[[dict[str, object]], None]:
    """Return what shows a window and brings it to the front when a second start asks."""
    from PySide6.QtCore import Qt
    from PySide6.QtWidgets import QWidget

    assert isinstance(shell, QWidget)

    def answer(said: dict[str, object]) -> None:
        if said.get("say") != SHOW:
            _log.info("asked for what is not known here: %s", said.get("say"))
            return
        shell.setWindowState(
            shell.windowState() & ~Qt.WindowState.WindowMinimized | Qt.WindowState.WindowActive
        )
        shell.show()
        shell.raise_()
        shell.activateWindow()

    return answer
