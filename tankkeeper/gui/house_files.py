"""What the window does with files: households opened and copied, tank files, backups."""

from __future__ import annotations

from collections.abc import Sequence
from os.path import realpath
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from tankkeeper.gui.file_work import ask_file, show_form, unless_stopped, writing_file
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.long_work import LongWork
from tankkeeper.reports.file_names import proposed_name

if TYPE_CHECKING:
    from tankkeeper.gui.openings import Recent
    from tankkeeper.gui.window import Window
    from tankkeeper.services.ports import StoredBackup

FILE_FILTER = "Households (*.tankkeeper);;All files (*)"
TANK_FILES = "Tank files (*.toml);;All files (*)"
NO_TANK_CHOSEN = "Choose a tank first; it is exported alone. Ctrl+E exports the whole household."

NONE_OPEN = (
    "No household is open. Ctrl+O opens one, or a backup of it; Ctrl+Shift+S then saves the backup "
    "as a household of its own."
)


class HouseFiles(QObject):
    """Asks for files and carries out what was chosen, all of it in the worker."""

    def __init__(self, window: Window, frame: Frame) -> None:
        super().__init__(window)
        self._window = window
        self._frame = frame

    @property
    def _here(self) -> str:
        """The file of the household that is open, empty where none is."""
        session = self._window.session
        return "" if session is None else session.desk.store.where

    def ask_household(self) -> None:
        """Ask for another household, and open it."""
        ask_file(self._frame, "Open a household", FILE_FILTER, self._open, beside=self._here)

    def ask_import(self) -> None:
        """Ask for a tank file, and show what it would change."""
        ask_file(
            self._frame,
            "Import a tank file",
            TANK_FILES,
            lambda name: self.bring_in(Path(name)),
            beside=self._here,
        )

    def ask_export(self) -> None:
        """Ask where the whole household is to be written."""
        session = self._window.session
        if session is None:
            self._tell_none_open()
            return
        name = "" if session.household is None else session.household.name
        proposed = proposed_name(name, "toml")
        ask_file(
            self._frame,
            "Export the household",
            TANK_FILES,
            self._export,
            "toml",
            proposed,
            beside=self._here,
        )

    def ask_export_of_tank(self) -> None:
        """Ask where the chosen tank is to be written."""
        session, morning = self._window.session, self._window.morning
        if session is None or morning is None or session.household is None:
            self._tell_none_open()
            return
        tank_id = session.tank_id
        if tank_id is None:
            session.did.emit(NO_TANK_CHOSEN)
            return
        tank = session.household.tank(tank_id).name
        ask_file(
            self._frame,
            f"Export {tank}",
            TANK_FILES,
            lambda name: self._export(name, tank_id),
            "toml",
            proposed_name(tank, "toml"),
            beside=self._here,
        )

    def ask_copy(self) -> None:
        """Ask where a copy of the household is to be saved."""
        session = self._window.session
        if session is None:
            self._tell_none_open()
            return
        name = "" if session.household is None else f"{session.household.name}, copy"
        proposed = proposed_name(name, "tankkeeper")
        ask_file(
            self._frame,
            "Save a copy as",
            FILE_FILTER,
            self._copy,
            "tankkeeper",
            proposed,
            beside=self._here,
        )

    def show_recent(self) -> None:
        """Show the households that were opened before."""
        self._window.worker.run(self._window.doors.recent, self._on_recent, _raised)

    def show_backups(self) -> None:
        """Show the backups of the household, and what each would change."""
        session, morning = self._window.session, self._window.morning
        if session is None or morning is None:
            self._tell_none_open()
            return
        from tankkeeper.services import keeping

        def work() -> Sequence[StoredBackup]:
            return keeping.backups(session.desk)

        self._window.worker.run(work, self._on_backups, morning.failed)

    def bring_in(self, path: Path) -> None:
        """Show what a file would change; where nothing is open, a household begins with it."""
        session, morning = self._window.session, self._window.morning
        if session is None:
            begin = self._window.doors.begin
            long = LongWork(f"Import {path.name}", self._window.worker, self._frame)
            self._window.open(lambda: begin(path, long.watch))
        elif morning is not None:
            from tankkeeper.gui.forms.import_form import ImportForm
            from tankkeeper.gui.importing import Importing

            form = ImportForm(path.name, self._frame)
            Importing(self._window, session, morning, path, form).begin()

    def _tell_none_open(self) -> None:
        """Tell on the page that stands instead of a household what can be done without one."""
        from tankkeeper.gui.pages.empty_page import EmptyPage

        page = self._frame.stack.currentWidget()
        if isinstance(page, EmptyPage):
            page.refuse(NONE_OPEN)

    def _open(self, name: str) -> None:
        path, other = Path(name), self._window.doors.other
        self._window.open(lambda: other(path))

    def _export(self, name: str, tank_id: str | None = None) -> None:
        session, morning, door = self._window.session, self._window.morning, self._window.doors
        if session is not None and morning is not None:
            path = Path(name)
            long = LongWork(f"Export to {path.name}", self._window.worker, self._frame)
            work = writing_file(
                path, lambda: door.take_out(session.desk, path, tank_id, long.watch)
            )
            told = long.then(morning.told_and_refresh)
            self._window.worker.run(work, told, long.then(unless_stopped(morning)))

    def _copy(self, name: str) -> None:
        session, morning = self._window.session, self._window.morning
        if session is None or morning is None or session.last is None:
            return
        from tankkeeper.services import keeping

        path, stays = Path(name), Path(session.last.where).name
        long = LongWork(f"Save a copy as {path.name}", self._window.worker, self._frame)

        def done(_written: None) -> None:
            morning.told_and_refresh(
                f"Saved a verified copy as {path.name}. This window stays on {stays}."
            )

        work = writing_file(path, lambda: keeping.save_copy(session.desk, path, long.watch))
        self._window.worker.run(work, long.then(done), long.then(unless_stopped(morning)))

    def _on_recent(self, recent: tuple[Recent, ...]) -> None:
        from tankkeeper.gui.forms.recent_form import RecentForm

        session = self._window.session
        here = realpath(session.desk.store.where) if session is not None else ""
        others = [one for one in recent if str(one.path) != here]
        form = RecentForm(others, self._frame)

        def open_it(path: Path) -> None:
            form.accept()
            self._open(str(path))

        form.chosen.connect(open_it)
        form.forgotten.connect(self._forget)
        show_form(form)

    def _forget(self, path: Path) -> None:
        forget = self._window.doors.forget
        self._window.worker.run(lambda: forget(path), _nothing, _raised)

    def _on_backups(self, found: Sequence[StoredBackup]) -> None:
        session, morning = self._window.session, self._window.morning
        if session is None or morning is None or session.last is None:
            return
        from tankkeeper.gui.forms.restore_form import RestoreForm
        from tankkeeper.gui.restoring import Restoring

        form = RestoreForm(found, session.last.sheet.words, self._frame)
        restoring = Restoring(self._window, session, morning, form)
        form.other_wanted.connect(
            lambda: ask_file(
                form, "Restore from a file", FILE_FILTER, restoring.take, beside=self._here
            )
        )
        restoring.begin()


def _nothing(_done: None) -> None:
    """Take note of nothing: the list shows it already."""


def _raised(error: Exception) -> None:
    raise error
