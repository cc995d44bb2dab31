"""Work in the worker that may take long: once it lasts, a form tells how far it is and stops it."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event
from time import monotonic
from typing import TYPE_CHECKING, Final, TypeVar

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from tankkeeper.services.watching import Step, stopped

if TYPE_CHECKING:
    from tankkeeper.gui.forms.work_form import WorkForm
    from tankkeeper.gui.worker import Worker

T = TypeVar("T")
# What is over sooner needs no form; a choice of this project.
SHOWN_AFTER_MS: Final = 400
_TOLD_EVERY_SECONDS: Final = 0.05


class LongWork(QObject):
    """One piece of work; its `watch` is called in the worker, all else in the window's thread."""

    def __init__(self, title: str, worker: Worker, over: QWidget) -> None:
        super().__init__(over)
        self._title = title
        self._over = over
        self._tell = worker.tell
        self._stop = Event()
        self._told_at = 0.0
        self._form: WorkForm | None = None
        self._has_ended = False
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(SHOWN_AFTER_MS)
        self._soon.timeout.connect(self.show)
        # Where it ended with a failure that is told elsewhere.
        worker.idle.connect(self.end)
        self._soon.start()

    @property
    def form(self) -> WorkForm | None:
        """What is shown of it, once it lasts."""
        return self._form

    def watch(self, step: Step, done: int, of: int) -> None:
        """Tell how far the work is, or end it where somebody wants it no more."""
        if self._stop.is_set() and step is not Step.REPLACING:
            raise stopped()
        now = monotonic()
        if done == 0 or step is Step.REPLACING or now - self._told_at >= _TOLD_EVERY_SECONDS:
            self._told_at = now
            self._tell(lambda: self._on_moved(step, done, of))

    def then(self, told: Callable[[T], None]) -> Callable[[T], None]:
        """Return what ends this before it tells what came of it."""

        def ended(result: T) -> None:
            self.end()
            told(result)

        return ended

    def show(self) -> None:
        """Show the form now."""
        if self._has_ended or self._form is not None:
            return
        from tankkeeper.gui.forms.work_form import WorkForm

        self._form = WorkForm(self._title, self._over)
        self._form.stopped.connect(self._stop.set)
        self._form.finished.connect(self._form.deleteLater)
        self._form.open()

    def end(self) -> None:
        """Take the form away; the work is over."""
        if self._has_ended:
            return
        self._has_ended = True
        self._soon.stop()
        if self._form is not None:
            self._form.end()
            self._form = None
        self.deleteLater()

    def _on_moved(self, step: Step, done: int, of: int) -> None:
        # What it stands over may have gone meanwhile, and both with it.
        if self._form is not None and isValid(self._form):
            self._form.show_far(step, done, of)
