"""How a person wants to be reminded, and what closing the window means where an icon stays."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.forms.close_form import CloseForm
from tankkeeper.gui.reminder_means import Means
from tankkeeper.gui.session import Session
from tankkeeper.gui.window import Window
from tankkeeper.services.reminder_habits import Habits, WhenClosed

if TYPE_CHECKING:
    from tankkeeper.gui.parts import Part
    from tankkeeper.services.settling import Apart


class ChosenHabits(QObject):
    """Keeps the habits; `changed` tells that they are others from now on.

    `session` is that of the household that is open, if any.
    """

    changed = Signal()
    _settled = Signal(object)

    def __init__(self, window: Window, means: Means, parent: QObject) -> None:
        super().__init__(parent)
        self._window = window
        self._means = means
        self.habits = means.habits
        self.session: Session | None = None
        self._form: CloseForm | None = None
        self._settled.connect(self.take)

    def take(self, habits: Habits) -> None:
        """Remind as was chosen from now on."""
        self.habits = habits
        self.changed.emit()

    def part(self) -> Part:
        """Return the part of the household page on which they are chosen."""
        from tankkeeper.gui.reminder_parts import reminders_part

        return reminders_part(lambda: self.habits, self._means.has_tray, self._keeping)

    def _keeping(self, becomes: Habits) -> Apart:
        """Return what keeps other habits and what puts back those there are, in the worker."""
        from tankkeeper.services.settling import Apart

        was = self.habits

        def keep(habits: Habits) -> None:
            self._means.keep(habits)
            # The signal brings it to the window's thread.
            self._settled.emit(habits)

        return Apart(lambda: keep(was), lambda: keep(becomes))

    def ask_when_closed(self) -> None:
        """Ask once what closing the window means."""
        frame = self._window.frame
        if self._form is None and frame is not None:
            form = CloseForm(frame)
            form.answered.connect(self._on_answered)
            form.finished.connect(self._on_finished)
            self._form = form
            form.open()

    def _on_answered(self, when_closed: WhenClosed) -> None:
        self._choose(replace(self.habits, when_closed=when_closed))
        form = self._form
        if form is not None:
            form.accepted.connect(self._window.shell.close)

    def _choose(self, habits: Habits) -> None:
        """Keep the habits that were chosen in the form, which tells a refusal."""
        form, window = self._form, self._window

        def kept(_none: object = None) -> None:
            self.take(habits)
            if form is not None:
                form.accept()

        def refused(error: Exception) -> None:
            from tankkeeper.core.errors import TankkeeperError
            from tankkeeper.reports.faults import fault_words

            if not isinstance(error, TankkeeperError) or form is None:
                raise error
            form.refuse(fault_words(error))

        if self.session is None:
            window.worker.run(lambda: self._means.keep(habits), kept, refused)
        else:
            answer = Answer("Reminders kept, for every household on this machine.", refused, kept)
            self.session.change_apart(self._keeping(habits), answer)

    def _on_finished(self, _result: int) -> None:
        form, self._form = self._form, None
        if form is not None:
            form.deleteLater()
