"""What the pages for setting down share: a sheet that is kept, refused in place, or left."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.forms.sheet_form import SheetForm
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.pages.settle_page import SettlePage
from tankkeeper.gui.session import Session
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.words import Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown

PREVIEW_AFTER_MS = 60
READ_ONLY = "This household can only be read here. Nothing can be changed."
CHANGED = "Changed, not kept yet. Ctrl+Return keeps it; so does going back with Esc."


class SheetDesk(QObject):
    """Keeps one page; `closed` tells that it left.

    What was typed is kept on leaving, since undo brings back what was before; what cannot be kept
    stays on the page, and the page with it.
    """

    closed = Signal()

    def __init__(self, name: str, frame: Frame, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self.page = SettlePage(name, frame.stack)
        self.sheet: SheetForm | None = None
        self._form: Form | None = None
        self._is_open = False
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(PREVIEW_AFTER_MS)
        self._soon.timeout.connect(self._show_preview)
        self.page.left.connect(self.leave)
        self._frame.stack.addWidget(self.page)

    @property
    def is_open(self) -> bool:
        """Whether the page is shown."""
        return self._is_open

    def leave(self) -> None:
        """Go back to the view behind, after keeping what was typed."""
        self.keep_then(self.leave_at_once)

    def leave_at_once(self) -> None:
        """Go back to the view behind."""
        if self._is_open:
            self._is_open = False
            self.page.refuse("")
            self.closed.emit()

    def put_back(self) -> bool:
        """Put back what stood there, where something is typed and not kept; tell whether it was."""
        if not self._is_open or self.sheet is None or not self.sheet.is_changed:
            return False
        self.page.asked.emit("as-it-was")
        return True

    def _show_preview(self) -> None:
        """Show what follows from what is typed."""

    def _show_state(self) -> None:
        """Show whether something is to be kept."""

    def _deed(self, thing: Any) -> tuple[Callable[[Desk], SetDown], str]:
        """Return how a thing is written, and what is told then."""
        raise NotImplementedError

    def _words(self) -> Words:
        last = self._session.last
        assert last is not None
        return last.sheet.words

    def _on_typed(self) -> None:
        self.page.refuse("")
        self._show_state()
        self._soon.start()

    def keep_then(self, go_on: Callable[[], None] | None) -> None:
        """Keep what was typed if anything was, then go on; where it is refused, stay."""
        sheet = self.sheet
        # First: what cannot be read has no value, and may look as if nothing had been typed.
        unsound = sheet.first_unsound() if sheet is not None else None
        if unsound is not None:
            self._come_back()
            unsound.go_to()
            return
        if sheet is None or not sheet.is_changed:
            if go_on is not None:
                go_on()
            return
        thing = sheet.thing

        def kept() -> None:
            if self.sheet is sheet:
                sheet.take_as_base(thing)
                self._show_state()
            if go_on is not None:
                go_on()

        try:
            write, told = self._deed(thing)
        except TankkeeperError as refused:
            self._refused(refused)
            return
        self._write(write, told, kept)

    def _write(self, write: Callable[[Desk], SetDown], told: str, kept: Callable[[], None]) -> None:
        last = self._session.last
        if last is not None and last.is_read_only:
            self.page.refuse(READ_ONLY)
            return
        self._session.settle(write, Answer(told, self._refused, kept))

    def _come_back(self) -> None:
        """Stand in front again, where a view was chosen that takes the place of the page."""
        QTimer.singleShot(0, self._stand_in_front)

    def _stand_in_front(self) -> None:
        # Where the window was closed meanwhile, the page has left the stack.
        if self._is_open and self._frame.stack.indexOf(self.page) >= 0:
            self._frame.stack.setCurrentWidget(self.page)

    def _refused(self, error: TankkeeperError) -> None:
        self._come_back()
        if self._form is not None:
            self._form.refuse(fault_words(error, self._words()))
        elif self.sheet is None or not self.sheet.refuse_at(error):
            self.page.refuse(fault_words(error, self._words()))

    def _open_form(
        self, form: Form, asked: Callable[[], None], done: Callable[[], None] | None
    ) -> None:
        self._form = form

        def finished() -> None:
            self._form = None
            form.deleteLater()
            if self._is_open:
                self.page.setFocus()
            if done is not None:
                done()

        form.asked.connect(asked)
        form.finished.connect(finished)
        form.open()
