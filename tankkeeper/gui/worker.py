"""The one thread beside the window: work that reads or writes the household goes here, in order."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from PySide6.QtCore import QCoreApplication, QObject, QRunnable, QThreadPool, Signal, Slot

T = TypeVar("T")


class _Post(QObject):
    """Carries a result from the thread to the window."""

    done = Signal(object)
    failed = Signal(object)


class _Job(QRunnable):
    """Runs one piece of work; whatever it raises is carried back, never lost."""

    def __init__(self, work: Callable[[], object], post: _Post) -> None:
        super().__init__()
        self._work = work
        self._post = post

    def run(self) -> None:
        """Do the work and post what it gave."""
        try:
            result = self._work()
        except Exception as error:  # noqa: BLE001 -- carried to the window, which tells or raises it
            self._post.failed.emit(error)
        else:
            self._post.done.emit(result)


class Worker(QObject):
    """Does one thing after another in a thread of its own and tells the window what came of it."""

    idle = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._pool.setExpiryTimeout(-1)
        self._waiting: dict[
            _Post, tuple[Callable[[object], None], Callable[[Exception], None]]
        ] = {}

    @property
    def is_busy(self) -> bool:
        """Whether something is still under way."""
        return bool(self._waiting)

    def run(
        self,
        work: Callable[[], T],
        done: Callable[[T], None],
        failed: Callable[[Exception], None],
    ) -> None:
        """Do `work` in the thread, then call `done` or `failed` in the window's thread."""
        post = _Post(self)
        self._waiting[post] = (done, failed)  # type: ignore[assignment]
        post.done.connect(self._on_done)
        post.failed.connect(self._on_failed)
        self._pool.start(_Job(work, post))

    def settle(self, app: QCoreApplication) -> None:
        """Let everything that is under way come to its end, for pictures."""
        while self._waiting:
            self._pool.waitForDone()
            app.processEvents()
        app.processEvents()

    def forget(self) -> None:
        """Let what is under way go on to its end; what it gives is not told any more."""
        self._waiting.clear()

    def finish(self, wait_ms: int = -1) -> bool:
        """Wait until all work is done, or for so long; what it gave is not told any more.

        Tells whether it is done; what is not goes on to its end before the program ends.
        """
        self.forget()
        return self._pool.waitForDone(wait_ms)

    @Slot(object)
    def _on_done(self, result: object) -> None:
        called = self._taken()
        if called is not None:
            called[0](result)
        self._tell_idle()

    @Slot(object)
    def _on_failed(self, error: Exception) -> None:
        called = self._taken()
        if called is not None:
            called[1](error)
        self._tell_idle()

    def _taken(self) -> tuple[Callable[[object], None], Callable[[Exception], None]] | None:
        post = self.sender()
        if not isinstance(post, _Post):
            return None
        post.deleteLater()
        return self._waiting.pop(post, None)

    def _tell_idle(self) -> None:
        if not self._waiting:
            self.idle.emit()
