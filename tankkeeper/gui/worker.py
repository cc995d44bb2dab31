"""The one thread beside the window: work that reads or writes the household goes here, in order."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from itertools import count
from typing import Any, TypeVar

from PySide6.QtCore import QCoreApplication, QObject, QThreadPool, Signal, Slot

T = TypeVar("T")


class _Post(QObject):
    """Carries word from other threads to the window's thread.

    One for all that is told, and as long-lived as the thread: a sender that is deleted before
    another thread has come back from its `emit` can end the program.
    """

    over = Signal(int)
    told = Signal(object)


@dataclass(eq=False)
class _Errand:
    """One piece of work, whom to tell, and what came of it."""

    work: Callable[[], Any]
    done: Callable[[Any], None]
    failed: Callable[[Exception], None]
    is_wanted: bool = True
    result: Any = None
    error: Exception | None = None


class Worker(QObject):
    """Does one thing after another in a thread of its own and tells the window what came of it."""

    idle = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        # Children go in the order they came: the pool, which waits for its thread, before the post.
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._pool.setExpiryTimeout(-1)
        self._post = _Post(self)
        self._post.over.connect(self._on_over)
        self._post.told.connect(self._on_told)
        self._numbers = count()
        self._errands: dict[int, _Errand] = {}

    @property
    def is_busy(self) -> bool:
        """Whether something that is still wanted is under way."""
        return any(errand.is_wanted for errand in self._errands.values())

    def run(
        self,
        work: Callable[[], T],
        done: Callable[[T], None],
        failed: Callable[[Exception], None],
    ) -> None:
        """Do `work` in the thread, then call `done` or `failed` in the window's thread."""
        number = next(self._numbers)
        self._errands[number] = _Errand(work, done, failed)
        self._pool.start(partial(_carry_out, self._errands, number, self._post.over.emit))

    def tell(self, do: Callable[[], None]) -> None:
        """Have something done in the window's thread soon; may be called from any thread."""
        self._post.told.emit(do)

    def settle(self, app: QCoreApplication) -> None:
        """Let everything that is under way come to its end, for pictures."""
        while self.is_busy:
            self._pool.waitForDone()
            app.processEvents()
        app.processEvents()

    def forget(self) -> None:
        """Let what is under way go on to its end; what it gives is not told any more."""
        for errand in self._errands.values():
            errand.is_wanted = False

    def finish(self, wait_ms: int = -1) -> bool:
        """Wait until all work is done, or for so long; what it gave is not told any more.

        Tells whether it is done; what is not goes on to its end before the program ends.
        """
        self.forget()
        return self._pool.waitForDone(wait_ms)

    @Slot(int)
    def _on_over(self, number: int) -> None:
        errand = self._errands.pop(number)
        if errand.is_wanted and errand.error is not None:
            errand.failed(errand.error)
        elif errand.is_wanted:
            errand.done(errand.result)
        if not self.is_busy:
            self.idle.emit()

    @Slot(object)
    def _on_told(self, do: Callable[[], None]) -> None:
        do()


def _carry_out(errands: dict[int, _Errand], number: int, tell: Callable[[int], None]) -> None:
    """Do the work of an errand in the thread, and tell that it is over.

    The thread lets go of all that belongs to the window before it tells: whose last reference
    falls here is deleted here, which no widget survives.
    """
    errand = errands[number]
    try:
        errand.result = errand.work()
    except Exception as error:  # noqa: BLE001 -- carried to the window, which tells or raises it
        errand.error = error
    del errand
    tell(number)
