"""One import at the window: the file is looked through, shown, and brought in as it was shown."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.file_work import reading_file, sentence_of, show_form, unless_stopped
from tankkeeper.gui.long_work import LongWork
from tankkeeper.reports.faults import problem_lines

if TYPE_CHECKING:
    from tankkeeper.core.logbook import Entry
    from tankkeeper.gui.forms.import_form import ImportForm
    from tankkeeper.gui.forms.stage_form import NameForm
    from tankkeeper.gui.morning import Morning
    from tankkeeper.gui.session import Session
    from tankkeeper.gui.window import Window
    from tankkeeper.services.desk import Desk
    from tankkeeper.services.exchange import Imported
    from tankkeeper.services.previews import ImportPreview
    from tankkeeper.services.tank_file import Document


NO_NAME = "Type how it is to be called."


def _is_name_taken(error: TankkeeperError) -> bool:
    problems = error.values.get("problems")
    found = problems if isinstance(problems, Iterable) else ()
    return any(getattr(one, "code", "") == "tank_exists" for one in found)


class Importing(QObject):
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
        form.other_name_wanted.connect(self._ask_name)
        form.rejected.connect(self._on_left)

    @property
    def _title(self) -> str:
        return f"Import {self._path.name}"

    def begin(self) -> None:
        """Read the file; the form can be left meanwhile."""
        from tankkeeper.services.previews import preview_import
        from tankkeeper.services.tank_file import Document

        show_form(self._form)
        long = LongWork(self._title, self._window.worker, self._form)
        read = self._window.doors.read_file

        def work() -> ImportPreview:
            text = reading_file(self._path, lambda: read(self._path))()
            self._document = Document.of(text)
            return preview_import(self._session.desk, self._document, long.watch)

        self._window.worker.run(work, long.then(self._on_read), long.then(self._on_unread))

    def _on_read(self, preview: ImportPreview) -> None:
        if not self._has_left:
            last = self._session.last
            # The one worker read the household before it looked into a file.
            assert last is not None
            self._form.show_preview(preview, last.sheet.words)

    def _on_unread(self, error: Exception) -> None:
        if self._has_left:
            return
        if isinstance(error, TankkeeperError) and error.code == "import_problems":
            last = self._session.last
            words = last.sheet.words if last is not None else None
            can_be_named = _is_name_taken(error) and self._only_tank is not None
            lines = problem_lines(error, words, by_name=True)
            self._form.show_problems(lines, is_name_taken=can_be_named)
            return
        self._form.reject()
        unless_stopped(self._morning)(error)

    @property
    def _only_tank(self) -> str | None:
        return None if self._document is None else self._document.only_tank

    def _ask_name(self) -> None:
        """Ask how the tank of the file is to be called, and look through it by that name."""
        from tankkeeper.gui.forms.stage_form import NameForm

        sentence = f"All in the file that names {self._only_tank} follows."
        form = NameForm(f"Import {self._only_tank} as", sentence, "Look again", self._form)
        form.asked.connect(lambda: self._look_again(form))
        form.finished.connect(self._form.activateWindow)
        show_form(form)

    def _look_again(self, form: NameForm) -> None:
        from tankkeeper.services.previews import preview_import

        name = form.name.text.strip()
        if not name:
            form.refuse(NO_NAME)
            return
        form.wait()
        assert self._document is not None
        renamed = self._document.with_tank_called(name)
        long = LongWork(self._title, self._window.worker, form)

        def read(preview: ImportPreview) -> None:
            self._document = renamed
            form.accept()
            self._on_read(preview)

        def unread(error: Exception) -> None:
            if isinstance(error, TankkeeperError) and _is_name_taken(error):
                taken = UserFault("name_taken", field="name", name=name)
                form.refuse(sentence_of(taken, self._session))
                return
            form.accept()
            self._on_unread(error)

        self._window.worker.run(
            lambda: preview_import(self._session.desk, renamed, long.watch),
            long.then(read),
            long.then(unread),
        )

    def _on_asked(self) -> None:
        from tankkeeper.reports.imported_words import imported_line, short_file
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
            return imported_line(self._path.name, done[-1])

        def kept() -> None:
            long.end()
            self._form.accept()
            self._session.keys.in_turn(lambda: self._show_new(done[-1]))

        undone = f"Undone: Imported {short_file(self._path.name)}."
        answer = Answer("", long.then(self._on_refused), kept, told, undone)
        self._session.write(work, answer)

    def _show_new(self, imported: Imported) -> None:
        """Choose the tank that came in the rail; of several all are shown, the first in view."""
        frame = self._window.frame
        if frame is None or imported.is_whole or not imported.tanks:
            return
        if len(imported.tanks) == 1:
            frame.rail.choose(imported.tanks[0].id)
            return
        frame.rail.choose_whole_house()
        frame.rail.bring_into_view(imported.tanks[0].id)

    def _on_refused(self, error: Exception) -> None:
        self._form.refuse(sentence_of(error, self._session))

    def _on_left(self) -> None:
        self._has_left = True
