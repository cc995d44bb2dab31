"""What a second start on the same household asks of the window that has it open."""

from __future__ import annotations

import json
import logging
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtNetwork import QLocalServer, QLocalSocket
from PySide6.QtWidgets import QWidget

from tankkeeper.app.instance import HERE, SHOW, STEP_MS, server_name

_LONGEST_MESSAGE = 1 << 16
# A key that ends the window may have been pressed before it was asked, and be handled after that.
# Engineering judgement, no source: by then whatever was pressed before has been handled.
HERE_AFTER_MS = 250
_log = logging.getLogger(__name__)


class _Call(QObject):
    """One line that a second start says; it is answered once the window has stayed for a moment."""

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
        # What follows the line is nothing that was agreed on.
        self._socket.readyRead.disconnect(self.read)
        if said is None:
            self._socket.disconnectFromServer()
            return
        QTimer.singleShot(HERE_AFTER_MS, self, self._answer)
        self._listening.asked.emit(said)

    def _answer(self) -> None:
        """Tell the caller that the window is there, and let it go."""
        self._socket.write(HERE)
        self._socket.disconnectFromServer()

    def hang_up(self) -> None:
        """Let the caller go without a word: it waits until the household is free, and opens it."""
        self._socket.abort()


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
        self.stop()
        name = server_name(where)
        # With access for the user alone Qt takes a name without asking whether it is in use.
        probe = QLocalSocket()
        probe.connectToServer(name)
        is_taken = probe.waitForConnected(STEP_MS)
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
        """Listen no more; who was heard and not answered yet is let go without a word."""
        for call in self.findChildren(_Call):
            call.hang_up()
        if self._server is not None:
            # With it go those who called and were not heard yet.
            self._server.close()
            while self._server.hasPendingConnections():
                self._server.nextPendingConnection().abort()
            self._server.deleteLater()
            self._server = None

    def _on_connection(self) -> None:
        while self._server is not None and self._server.hasPendingConnections():
            call = _Call(self._server.nextPendingConnection(), self)
            call.read()


def _message(line: bytes) -> dict[str, object] | None:
    try:
        said = json.loads(line)
    except ValueError:
        _log.info("a message that is none was left alone")
        return None
    return said if isinstance(said, dict) else None


def raising(shell: QWidget) -> Callable[[dict[str, object]], None]:
    """Return what shows a window and brings it to the front when a second start asks."""

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
