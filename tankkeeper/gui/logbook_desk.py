"""The logbook behind its page: what is read for it, corrected and taken back in it."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry, Revoke
from tankkeeper.core.state import HouseholdState
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.file_work import ask_file
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.log_cards import corrected_words, log_card
from tankkeeper.gui.log_export import LogExport
from tankkeeper.gui.log_reader import LogReader
from tankkeeper.gui.models.log_rows import LogRow
from tankkeeper.gui.models.round_rows import HOUSEHOLD
from tankkeeper.gui.pages.logbook_page import LogbookPage
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command
from tankkeeper.gui.widgets.why_panel import WhyCard
from tankkeeper.reports.effect_words import effect_words
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.logbook_words import text_inside
from tankkeeper.reports.undo_words import taken_back_words
from tankkeeper.reports.words import Words
from tankkeeper.services import correcting
from tankkeeper.services.desk import Desk
from tankkeeper.services.effects import Effects

CSV_FILES = "Tables (*.csv);;All files (*)"
READ_ONLY = "This household can only be read here. Nothing was kept."
UNREAD = "What the entry is compared with could not be read. Keep it again to try once more."
NOTHING_CHANGED = "Nothing else changes by it."


class LogbookDesk(QObject):
    """Keeps the page of the logbook in step with the session.

    `changed` tells that the why panel has something else to tell, `refused` an entry's id and why
    it stays as it is, `broke` a failure that belongs to no entry.
    """

    changed = Signal()
    refused = Signal(str, str)
    broke = Signal(object)

    def __init__(self, frame: Frame, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self.page = LogbookPage(frame.stack)
        self.reader = LogReader(session, self.page, self)
        self._form: Form | None = None
        self._row: LogRow | None = None
        self._export: LogExport | None = None
        # Whether the entry was struck then: told no longer once that is otherwise.
        self._refusal: tuple[str, bool, str] | None = None
        # What each correction of this sitting changed, by the id of its entry, and whether it has
        # to be struck for that to hold: an undo changes it back, by whatever way it comes.
        self._effects: dict[str, tuple[bool, str]] = {}
        self.page.set_metrics(frame.metrics)
        frame.metrics_changed.connect(self.page.set_metrics)
        self.page.picked.connect(self.changed)
        self.page.commanded.connect(self.do)
        self.page.filter.changed.connect(self.reader.look_anew)
        self.reader.shown.connect(self.changed)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._on_keys)
        if session.last is not None:
            self.take(session.last)

    def take(self, shown: Shown) -> None:
        """Go on with a new reading of the household."""
        self.reader.take(shown)

    def open_anew(self) -> None:
        """Stand on the newest entry: whoever opens the logbook looks for what was just done.

        What was looked for there is found again as it was left.
        """
        if not self.page.filter.is_clear:
            return
        self.reader.begin_at_newest()
        first = self._row_id

        def begin() -> None:
            # What was still being kept comes above it, unless the person has gone on meanwhile.
            if self._row_id == first and self.page.filter.is_clear:
                self.reader.begin_at_newest()

        if self._session.is_behind:
            self._session.keys.in_turn(begin, lasts=True)

    @property
    def _row_id(self) -> str:
        row = self.page.list.current_row()
        return row.id if row is not None else ""

    def find(self, typed: str = "") -> None:
        """Let a word be typed; `typed` is its first letter."""
        self.page.filter.begin(typed)

    def leave(self) -> None:
        """Ask for nothing more."""
        self.reader.stop()
        if self._export is not None:
            self._export.stop()

    def card(self) -> WhyCard | None:
        """Return what is told of the current entry, None where there is none."""
        row, last = self.page.list.current_row(), self._session.last
        if row is None or last is None:
            return None
        entry_id, was_struck, sentence = self._refusal or ("", False, "")
        is_told = entry_id == row.id and was_struck == row.is_struck
        if not is_told:
            self._refusal = None
        when_struck, changed = self._effects.get(row.id, (row.is_struck, ""))
        moved = changed if when_struck == row.is_struck else ""
        refusal = sentence if is_told else None
        from_line = self.page.filter.field.hasFocus()
        return log_card(row, last.sheet.words, moved, refusal, from_line=from_line)

    def _on_keys(self, before: QWidget | None, now: QWidget | None) -> None:
        """Tell the keys of an entry anew, which are others from the line."""
        if self.page.filter.field in (before, now):
            self.changed.emit()

    def do(self, command: str) -> None:
        """Do what a key or a button says with the current entry, after what is under way."""
        row = self.page.list.current_row()
        if command == Command.EVERY_ENTRY.value:
            self.page.filter.clear()
        elif command == Command.EXPORT_LOG.value:
            self._ask_file()
        elif command == Command.LOG_NOTE.value:
            self._session.keys.key_in_turn(lambda: self._note(row), opens=True)
        elif row is not None and command == Command.CORRECT.value:
            self._session.keys.key_in_turn(lambda: self._correct(row), opens=True)
        elif row is not None and command == Command.TAKE_BACK.value:
            self._session.keys.key_in_turn(lambda: self._take_back(row))

    def _words(self) -> Words:
        last = self._session.last
        assert last is not None
        return last.sheet.words

    def _worded(self, error: TankkeeperError) -> str:
        return fault_words(error, self._words())

    def _refuse(self, entry_id: str, sentence: str) -> None:
        row = self.page.list.current_row()
        self._refusal = (entry_id, row is not None and row.is_struck, sentence)
        self.refused.emit(entry_id, sentence)

    def _is_ready(self, entry_id: str) -> bool:
        """Tell whether something can be written now, and say why not."""
        last = self._session.last
        if last is None or self._form is not None:
            return False
        self._refusal = None
        if last.is_read_only:
            self._refuse(entry_id, READ_ONLY)
            return False
        return True

    # Correcting and taking back

    def _correct(self, row: LogRow) -> None:
        if not self._is_ready(row.id):
            return
        try:
            correcting.refuse_correction(row.found.entry, is_revoked=row.is_struck)
        except TankkeeperError as error:
            self._refuse(row.id, self._worded(error))
            return
        from tankkeeper.gui.forms.correct_form import CorrectForm

        self._row = row
        told = f"{row.where}: {row.text}" if row.where else row.text
        form = CorrectForm(
            row.found.entry, told.rstrip("."), self._words(), self._frame, judges=True
        )
        form.corrected.connect(self._on_corrected)
        entry = row.found.entry

        def judge(then: object) -> None:
            if self._form is form and isinstance(then, HouseholdState):
                form.judge_by(then)

        def unread(error: Exception) -> None:
            why = self._worded(error) if isinstance(error, TankkeeperError) else ""
            if self._form is form:
                form.tell_unread(why or UNREAD)
            if self._form is not form or not why:
                self.broke.emit(error)

        def read() -> None:
            self._session.read_with(
                lambda desk, shown: correcting.without(desk, shown.state, entry), judge, unread
            )

        form.reading_wanted.connect(read)
        read()
        self._show(form)

    def _on_corrected(self, said: correcting.Correction) -> None:
        from tankkeeper.gui.forms.correct_form import CorrectForm

        form, row, by = self._form, self._row, self._session.person_id
        assert isinstance(form, CorrectForm)
        assert row is not None
        done: list[correcting.Corrected] = []

        def work(desk: Desk) -> tuple[Entry, ...]:
            done.append(correcting.correct(desk, row.id, said, by))
            return done[-1].rows

        def tell(_entries: tuple[Entry, ...]) -> str:
            self.reader.want(done[-1].entry.id)
            return corrected_words(done[-1].old, done[-1].entry, self._words())

        def moved() -> str:
            return self._moved(done[-1].entry.id, done[-1].effects, when_struck=False)

        answer = Answer("", form.refuse_for, form.accept, tell, moved=moved)
        self._session.write(work, answer)

    def _take_back(self, row: LogRow) -> None:
        if not self._is_ready(row.id):
            return
        if row.is_struck:
            self._refuse(row.id, f"It holds no longer: {row.fate}. Take back that line instead.")
            return
        by = self._session.person_id
        done: list[correcting.Corrected] = []

        def work(desk: Desk) -> tuple[Entry, ...]:
            done.append(correcting.take_back(desk, *row.ids, by=by))
            return done[-1].rows

        def moved() -> str:
            return self._moved(row.id, done[-1].effects, when_struck=True)

        def refused(error: TankkeeperError) -> None:
            self._refuse(row.id, self._worded(error))

        # Of an undo the undo is what it says itself.
        entry = row.found.entry
        is_undo = isinstance(entry.fact, Revoke)
        is_corrected = entry.replaces is not None
        # As the line of its undo says it, without a second colon.
        text = text_inside(entry, self._words()) if is_corrected else row.text
        text = text.removeprefix("Done: ").rstrip(".")
        undone = f"{text}." if is_undo else f"Holds again: {text}."
        told = f"{taken_back_words(text)}."
        self._session.write(work, Answer(told, refused, undone=undone, moved=moved))

    def _moved(self, entry_id: str, effects: Effects, *, when_struck: bool) -> str:
        """Return what changed by what was done; it stays in the why panel while that holds."""
        changed = effect_words(effects, self._words())
        self._effects[entry_id] = (when_struck, changed or NOTHING_CHANGED)
        return changed

    # Notes and tables

    def _note(self, row: LogRow | None) -> None:
        if not self._is_ready(row.id if row is not None else ""):
            return
        from tankkeeper.gui.forms.note_form import NoteForm

        tank = self._tank_of(row)
        form = NoteForm(tank.name if tank is not None else HOUSEHOLD, self._frame)

        def written(text: str) -> None:
            def refused(error: TankkeeperError) -> None:
                form.refuse(self._worded(error))

            self._session.deeds.note(text, tank, Answer("Note kept.", refused, form.accept))

        form.written.connect(written)
        self._show(form)

    def _tank_of(self, row: LogRow | None) -> Tank | None:
        """Return the tank chosen in the rail, else that of the entry."""
        household = self._session.household
        wanted = self._session.tank_id
        if wanted is None and row is not None:
            wanted = row.found.entry.tank
        if household is None or wanted is None:
            return None
        return next((one for one in household.tanks if one.id == wanted), None)

    def _show(self, form: Form) -> None:
        self._form = form
        form.finished.connect(self._on_finished)
        form.open()

    def _on_finished(self) -> None:
        form, self._form = self._form, None
        if form is not None:
            form.deleteLater()
        self.page.take_keys()

    def _ask_file(self) -> None:
        """Ask where the table is to go without holding the window up."""
        if self._export is not None:
            self._refuse("", "A table is still being written.")
            return
        title, proposed = "Export what is shown", "logbook.csv"
        here = self._session.desk.store.where
        ask_file(self._frame, title, CSV_FILES, self.export_to, "csv", proposed, beside=here)

    def export_to(self, name: str) -> None:
        """Write what the filter leaves into a file."""
        export = self._export = LogExport(self._session, self.reader.search, name, self)
        export.finished.connect(self._on_exported)
        export.failed.connect(self._on_export_failed)
        export.begin()

    def _on_exported(self, sentence: str) -> None:
        self._end_export()
        self._session.did.emit(sentence)

    def _on_export_failed(self, error: object) -> None:
        self._end_export()
        self.broke.emit(error)

    def _end_export(self) -> None:
        if self._export is not None:
            self._export.deleteLater()
            self._export = None
