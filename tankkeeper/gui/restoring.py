"""A visit to the backups at the window: each is looked into, one may become what is there."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from tankkeeper.gui.deeds import Deed
from tankkeeper.gui.file_work import reading_file, sentence_of, show_form
from tankkeeper.gui.long_work import LongWork
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.services.settling import Apart
from tankkeeper.services.watching import Step, stopped

if TYPE_CHECKING:
    from tankkeeper.gui.forms.restore_form import RestoreForm
    from tankkeeper.gui.morning import Morning
    from tankkeeper.gui.session import Session
    from tankkeeper.gui.window import Window
    from tankkeeper.services.desk import Desk
    from tankkeeper.services.previews import RestorePreview


class Restoring(QObject):
    """One visit to the backups: each that is chosen is looked into, one look after the other."""

    def __init__(
        self, window: Window, session: Session, morning: Morning, form: RestoreForm
    ) -> None:
        super().__init__(form)
        self._window, self._session, self._morning = window, session, morning
        self._form = form
        self._looking: Path | None = None
        self._has_left = False
        form.looked.connect(self._look)
        form.asked.connect(self._on_asked)
        form.finished.connect(self._on_left)

    def begin(self) -> None:
        """Show the form and look into the first."""
        show_form(self._form)
        if self._form.chosen is not None:
            self._look(self._form.chosen)

    def take(self, name: str) -> None:
        """Put a file from elsewhere among the backups."""
        path = Path(name)

        def added(size: int) -> None:
            if not self._has_left:
                self._form.add(path, size)

        def failed(error: Exception) -> None:
            if not self._has_left:
                self._form.refuse(sentence_of(error, self._session))

        work = reading_file(path, lambda: path.stat().st_size)
        self._window.worker.run(work, added, failed)

    def _look(self, path: Path) -> None:
        if self._looking is not None:
            # Whoever runs down the list waits for the last of them only.
            return
        from tankkeeper.services.previews import preview_restore

        self._looking = path

        def watch(_step: Step, _done: int, _of: int) -> None:
            if self._has_left:
                raise stopped()

        work = reading_file(path, lambda: preview_restore(self._session.desk, path, watch))
        self._window.worker.run(work, self._on_looked, self._on_unreadable)

    def _on_looked(self, preview: RestorePreview) -> None:
        if self._is_wanted(preview.source):
            self._form.show_preview(preview)

    def _on_unreadable(self, error: Exception) -> None:
        path = self._looking
        if path is not None and self._is_wanted(path):
            self._form.show_unreadable(path, sentence_of(error, self._session))

    def _is_wanted(self, path: Path) -> bool:
        """Tell whether this one is still chosen, and look into the one that is instead."""
        self._looking = None
        if self._has_left:
            return False
        chosen = self._form.chosen
        if chosen is not None and chosen != path:
            self._look(chosen)
        return chosen == path

    def _on_asked(self) -> None:
        path = self._form.chosen
        if path is None:
            return
        from tankkeeper.services import keeping

        self._form.wait()
        long = LongWork(f"Restore {path.name}", self._window.worker, self._form)

        def done(before: Path) -> None:
            self._form.accept()
            name = self._form.called(path)
            key = key_caption(Command.RESTORE)
            told = f"Restored {name}. What was there before is the newest backup now ({key})."
            undone = f"Undone: Restored {name}. What it had brought is in a backup as well."
            apart = _turning(self._session.desk, before)

            def stands(_is_kept: bool) -> None:
                self._morning.notices.begin_anew()

            self._session.undoing.remember(Deed(told, (), undone, apart, stands))
            self._morning.notices.begin_anew()
            self._morning.told_and_refresh(told)

        def failed(error: Exception) -> None:
            self._form.refuse(sentence_of(error, self._session))

        work = reading_file(path, lambda: keeping.restore(self._session.desk, path, long.watch))
        self._window.worker.run(work, long.then(done), long.then(failed))

    def _on_left(self) -> None:
        self._has_left = True


def _turning(desk: Desk, before: Path) -> Apart:
    """Return what turns a restore back and forth, each time to what was backed up by the last."""
    from tankkeeper.services import keeping

    there = before

    def turn() -> None:
        nonlocal there
        there = reading_file(there, lambda: keeping.restore(desk, there))()

    return Apart(turn, turn)
