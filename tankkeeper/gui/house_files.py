"""What the window does with files: households opened and copied, tank files, backups."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from os.path import realpath
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QFileDialog, QWidget

from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.gui.deeds import Answer, Deed
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.long_work import LongWork
from tankkeeper.reports.faults import fault_words, problem_lines
from tankkeeper.services.settling import Apart

if TYPE_CHECKING:
    from tankkeeper.core.logbook import Entry
    from tankkeeper.gui.forms.import_form import ImportForm
    from tankkeeper.gui.forms.restore_form import RestoreForm
    from tankkeeper.gui.morning import Morning
    from tankkeeper.gui.openings import Recent
    from tankkeeper.gui.session import Session
    from tankkeeper.gui.window import Window
    from tankkeeper.services.desk import Desk
    from tankkeeper.services.exchange import Imported
    from tankkeeper.services.ports import StoredBackup
    from tankkeeper.services.previews import ImportPreview, RestorePreview
    from tankkeeper.services.tank_file import Document

T = TypeVar("T")

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

    def ask_household(self) -> None:
        """Ask for another household, and open it."""
        _ask(self._frame, "Open a household", FILE_FILTER, self._open)

    def ask_import(self) -> None:
        """Ask for a tank file, and show what it would change."""
        _ask(self._frame, "Import a tank file", TANK_FILES, lambda name: self.bring_in(Path(name)))

    def ask_export(self) -> None:
        """Ask where the whole household is to be written."""
        if self._window.session is None:
            self._tell_none_open()
            return
        _ask(self._frame, "Export the household", TANK_FILES, self._export, "toml")

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
        title = f"Export {session.household.tank(tank_id).name}"
        _ask(self._frame, title, TANK_FILES, lambda name: self._export(name, tank_id), "toml")

    def ask_copy(self) -> None:
        """Ask where a copy of the household is to be saved."""
        if self._window.session is None:
            self._tell_none_open()
        else:
            _ask(self._frame, "Save a copy as", FILE_FILTER, self._copy, "tankkeeper")

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

            form = ImportForm(path.name, self._frame)
            _Importing(self._window, session, morning, path, form).begin()

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
            work = _writing(path, lambda: door.take_out(session.desk, path, tank_id, long.watch))
            told = long.then(morning.told_and_refresh)
            self._window.worker.run(work, told, long.then(_unless_stopped(morning)))

    def _copy(self, name: str) -> None:
        session, morning = self._window.session, self._window.morning
        if session is None or morning is None or session.last is None:
            return
        from tankkeeper.services import keeping

        path, stays = Path(name), Path(session.last.where).name
        session.did.emit(f"Saving a copy as {path.name} ...")

        def done(_written: None) -> None:
            morning.told_and_refresh(
                f"Saved a verified copy as {path.name}. This window stays on {stays}."
            )

        work = _writing(path, lambda: keeping.save_copy(session.desk, path))
        self._window.worker.run(work, done, morning.failed)

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
        _show(form)

    def _forget(self, path: Path) -> None:
        forget = self._window.doors.forget
        self._window.worker.run(lambda: forget(path), _nothing, _raised)

    def _on_backups(self, found: Sequence[StoredBackup]) -> None:
        session, morning = self._window.session, self._window.morning
        if session is None or morning is None or session.last is None:
            return
        from tankkeeper.gui.forms.restore_form import RestoreForm

        form = RestoreForm(found, session.last.sheet.words, self._frame)
        restoring = _Restoring(self._window, session, morning, form)
        form.other_wanted.connect(
            lambda: _ask(form, "Restore from a file", FILE_FILTER, restoring.take)
        )
        restoring.begin()


class _Importing(QObject):
    """One import: the file is read once, shown, and brought in as it was shown."""

    def __init__(
        self, window: Window, session: Session, morning: Morning, path: Path, form: ImportForm
    ) -> None:
        super().__init__(form)
        self._window, self._session, self._morning = window, session, morning
        self._path, self._form = path, form
        self._document: Document | None = None
        self._has_left = False
        form.asked.connect(self._on_asked)
        form.rejected.connect(self._on_left)

    @property
    def _title(self) -> str:
        return f"Import {self._path.name}"

    def begin(self) -> None:
        """Read the file; the form can be left meanwhile."""
        from tankkeeper.services.previews import preview_import
        from tankkeeper.services.tank_file import Document

        _show(self._form)
        long = LongWork(self._title, self._window.worker, self._form)
        read = self._window.doors.read_file

        def work() -> ImportPreview:
            text = _reading(self._path, lambda: read(self._path))()
            self._document = Document.of(text)
            return preview_import(self._session.desk, self._document, long.watch)

        self._window.worker.run(work, long.then(self._on_read), long.then(self._on_unread))

    def _on_read(self, preview: ImportPreview) -> None:
        if not self._has_left:
            self._form.show_preview(preview)

    def _on_unread(self, error: Exception) -> None:
        if self._has_left:
            return
        if isinstance(error, TankkeeperError) and error.code == "import_problems":
            last = self._session.last
            words = last.sheet.words if last is not None else None
            self._form.show_problems(problem_lines(error, words))
            return
        self._form.reject()
        _unless_stopped(self._morning)(error)

    def _on_asked(self) -> None:
        from tankkeeper.reports.imported_words import imported_words
        from tankkeeper.services.exchange import import_text

        document = self._document
        assert document is not None
        self._form.wait()
        by = self._session.person_id
        done: list[Imported] = []
        long = LongWork(self._title, self._window.worker, self._form)

        def work(desk: Desk) -> tuple[Entry, ...]:
            done.append(import_text(desk, document, by, looks_on=True, watch=long.watch))
            row = done[-1].row
            return () if row is None else (row,)

        def told(_rows: tuple[Entry, ...]) -> str:
            return f"Imported {self._path.name}. {imported_words(done[-1])}"

        def kept() -> None:
            long.end()
            self._form.accept()

        answer = Answer("", long.then(self._on_refused), kept, told)
        self._session.write(work, answer)

    def _on_refused(self, error: Exception) -> None:
        self._form.refuse(_sentence(error, self._session))

    def _on_left(self) -> None:
        self._has_left = True


class _Restoring(QObject):
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
        _show(self._form)
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
                self._form.refuse(_sentence(error, self._session))

        work = _reading(path, lambda: path.stat().st_size)
        self._window.worker.run(work, added, failed)

    def _look(self, path: Path) -> None:
        if self._looking is not None:
            # Whoever runs down the list waits for the last of them only.
            return
        from tankkeeper.services.previews import preview_restore

        self._looking = path
        work = _reading(path, lambda: preview_restore(self._session.desk, path))
        self._window.worker.run(work, self._on_looked, self._on_unreadable)

    def _on_looked(self, preview: RestorePreview) -> None:
        if self._is_wanted(preview.source):
            self._form.show_preview(preview)

    def _on_unreadable(self, error: Exception) -> None:
        path = self._looking
        if path is not None and self._is_wanted(path):
            self._form.show_unreadable(path, _sentence(error, self._session))

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

        def done(before: Path) -> None:
            self._form.accept()
            told = f"Restored {path.name}. What was there before is in the backup {before.name}."
            undone = f"Undone: Restored {path.name}. What it had brought is in a backup as well."
            self._session.remember(Deed(told, (), undone, _turning(self._session.desk, before)))
            self._morning.told_and_refresh(told)

        def failed(error: Exception) -> None:
            self._form.refuse(_sentence(error, self._session))

        work = _reading(path, lambda: keeping.restore(self._session.desk, path))
        self._window.worker.run(work, done, failed)

    def _on_left(self) -> None:
        self._has_left = True


def _unless_stopped(morning: Morning) -> Callable[[Exception], None]:
    """Return what tells a failure; that somebody stopped it is no more than a line at the foot."""

    def failed(error: Exception) -> None:
        if isinstance(error, TankkeeperError) and error.code == "stopped":
            morning.told_and_refresh(fault_words(error))
        else:
            morning.failed(error)

    return failed


def _turning(desk: Desk, before: Path) -> Apart:
    """Return what turns a restore back and forth, each time to what was backed up by the last."""
    from tankkeeper.services import keeping

    there = before

    def turn() -> None:
        nonlocal there
        there = _reading(there, lambda: keeping.restore(desk, there))()

    return Apart(turn, turn)


def _ask(
    parent: QWidget, title: str, filters: str, chosen: Callable[[str], object], suffix: str = ""
) -> None:
    """Ask for a file without holding the window up; one to be written where it has a suffix."""
    dialog = QFileDialog(parent, title, "", filters)
    if suffix:
        # What is there already is written over only after the dialog has asked.
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setDefaultSuffix(suffix)
    else:
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
    dialog.fileSelected.connect(chosen)
    dialog.finished.connect(dialog.deleteLater)
    dialog.open()


def _show(form: Form) -> None:
    form.finished.connect(form.deleteLater)
    form.open()


def _writing(path: Path, work: Callable[[], T]) -> Callable[[], T]:
    """Return the work, with what the system refuses told by the file that was chosen."""

    def done() -> T:
        try:
            return work()
        except OSError as failure:
            why = failure.strerror or "the disk failed"
            raise UserFault("cannot_write_table", path=str(path), why=why) from failure

    return done


def _reading(path: Path, work: Callable[[], T]) -> Callable[[], T]:
    """Return the work, with what the system refuses told by the file that was chosen."""

    def done() -> T:
        try:
            return work()
        except OSError as failure:
            why = failure.strerror or "the disk failed"
            raise UserFault("cannot_open", path=str(path), why=why) from failure

    return done


def _sentence(error: Exception, session: Session) -> str:
    if not isinstance(error, TankkeeperError):
        raise error
    last = session.last
    return fault_words(error, last.sheet.words if last is not None else None)


def _nothing(_done: None) -> None:
    """Take note of nothing: the list shows it already."""


def _raised(error: Exception) -> None:
    raise error
