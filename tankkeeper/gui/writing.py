"""Writing down what is not in the round: opens the form and tells what came of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from tankkeeper.core.logbook import Entry
from tankkeeper.gui.dated_back import told_with_effects
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.left_told import told_with_left
from tankkeeper.gui.models.in_hand import InHand
from tankkeeper.gui.next_told import told_with_next
from tankkeeper.gui.rest_told import told_with_rest
from tankkeeper.gui.session import Session
from tankkeeper.gui.work_page import WorkPage
from tankkeeper.reports.noted_words import fed_words, noted_words

if TYPE_CHECKING:
    from tankkeeper.gui.forms.log_form import LogForm
    from tankkeeper.gui.forms.log_writes import Written


class WriteDesk(QObject):
    """Opens the form on the tank that is chosen, and keeps what is written in it.

    `refused` tells why there is no form now.
    """

    refused = Signal(str)

    def __init__(self, frame: Frame, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self._form: LogForm | None = None
        self._page: WorkPage | None = None

    def open_for(self, page: WorkPage, in_hand: InHand | None) -> None:
        """Open the form over a page, to which the keys return; it begins with what is in hand."""
        last = self._session.last
        if self._form is not None or last is None:
            return
        if last.is_read_only:
            self.refused.emit("This household can only be read here. Nothing can be written down.")
            return
        from tankkeeper.gui.forms.log_begins import log_begins
        from tankkeeper.gui.forms.log_form import LogForm

        self._page = page
        # A hit of the find bar is of no day that has the keys.
        day = page.day_in_hand() if in_hand == page.in_hand() else None
        narrowed = self._session.tank_id
        form = self._form = LogForm(
            last.state,
            last.sheet.words,
            log_begins(narrowed, in_hand, day, last.state),
            self._session.person_id,
            self._frame,
        )
        form.written.connect(self._on_written)
        form.finished.connect(self._on_finished)
        form.open()

    def _on_written(self, written: Written) -> None:
        from tankkeeper.gui.forms.log_fields import What

        last, form = self._session.last, self._form
        assert last is not None
        assert form is not None
        words, desk = last.sheet.words, self._session.desk

        def tell(entries: tuple[Entry, ...]) -> str:
            told = fed_words if written.what is What.FEEDING else noted_words
            return " ".join(told(e, words, is_of_line=bool(written.line)) for e in entries)

        answer = Answer("", form.refuse_for, form.accept, tell)
        work, answer = told_with_effects(desk, lambda: (written.write(desk).entry,), answer, words)
        lines = [written.line] if written.line else []
        work, answer = told_with_left(desk, work, answer, words, lambda: lines)
        work, answer = told_with_rest(desk, work, answer, words)
        work, answer = told_with_next(desk, work, answer, words)
        self._session.write(lambda _desk: work(), answer)

    def _on_finished(self) -> None:
        form, self._form = self._form, None
        if form is not None:
            form.deleteLater()
        if self._page is not None:
            self._page.take_keys()
