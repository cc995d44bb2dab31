"""What the pages for setting down share: a sheet that is kept, refused in place, or left."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QApplication
from shiboken6 import isValid

from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.forms.sheet_form import Draft, SheetForm
from tankkeeper.gui.forms.spec_field import SpecField
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.pages.settle_page import SettlePage
from tankkeeper.gui.session import Session
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.words import Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown

PREVIEW_AFTER_MS = 60
READ_ONLY = "This household can only be read here. Nothing can be changed."
CHANGED = "Changed, not kept yet. Ctrl+Return keeps it; so does going back with Esc."


UNSOUND = "{} cannot be kept as {}. Esc tells which; Esc again leaves a draft here."
STILL_HERE = "What you typed last time is still here, not kept yet. Ctrl+Z or As it was clears it."
LEFT = "It was not kept. What you typed stands there again when the page is opened next."


class SheetDesk(QObject):
    """Keeps one page; `closed` tells that it left, `told` a sentence for the bottom line.

    `typed` tells that something was typed or chosen.

    What was typed is kept on leaving, since undo brings back what was before. What cannot be kept
    is told first; who leaves all the same finds it as a draft when the page is opened next.
    """

    closed = Signal()
    told = Signal(str)
    typed = Signal()

    def __init__(self, name: str, frame: Frame, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self.page = SettlePage(name, frame.stack)
        self.sheet: SheetForm | None = None
        self._form: Form | None = None
        self._is_open = False
        # Whether leaving was refused and nothing was typed since.
        self._has_warned = False
        # Whether the bottom line says what cannot be kept.
        self._has_told = False
        self._is_leaving = False
        self._ends = ""
        # What leaves with a draft where it cannot be kept, without asking first.
        self._leaves_draft: Callable[[], None] | None = None
        # What was left without being kept, by the thing that it belongs to, with its name.
        self._drafts: dict[object, tuple[str, Draft]] = {}
        self._stands_again = False
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(PREVIEW_AFTER_MS)
        self._soon.timeout.connect(self._show_preview)
        self.page.left.connect(self.leave)
        self.page.group_asked.connect(self._on_group)
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

    def _on_group(self, by: int) -> None:
        if self.sheet is not None:
            self.sheet.go_to_group(by)

    def dispose(self) -> None:
        """Take the page out of the frame, which may be gone before what was still to come."""
        self._is_open = False
        self._frame.remove_page(self.page)

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

    def _draft_key(self) -> object:
        """Return what tells the thing on the page from others."""
        raise NotImplementedError

    def _what_it_is(self) -> str:
        """Return what stands on the page, at the head of a sentence."""
        raise NotImplementedError

    @property
    def is_changed(self) -> bool:
        """Whether something is typed that is not kept."""
        return self._is_open and self.sheet is not None and self.sheet.is_changed

    def unkept(self) -> list[tuple[str, object]]:
        """Return what is typed and not kept, here and in what was left: its name and its text."""
        found: list[tuple[str, object]] = list(self._drafts.values())
        if self.is_changed and self.sheet is not None:
            found.insert(0, (self._what_it_is(), self.sheet.draft()))
        return found

    def _put_draft(self) -> None:
        """Let stand again what was left here without being kept."""
        self._has_warned = False
        _name, draft = self._drafts.pop(self._draft_key(), ("", None))
        self._stands_again = False
        if draft and self.sheet is not None:
            self.sheet.put(draft)
            self._stands_again = True

    @property
    def _changed_words(self) -> str:
        if self._stands_again:
            return STILL_HERE
        # Not `unsound`: that tells why at the field, which may still be typed in.
        wrong = 0 if self.sheet is None else self.sheet.faults.unfit
        if wrong:
            stand = "it stands" if wrong == 1 else "they stand"
            return UNSOUND.format(counted(wrong, "field", "fields"), stand)
        return CHANGED

    def _leave_draft(self, go_on: Callable[[], None]) -> None:
        """Leave what cannot be kept, to be gone on with next time."""
        sheet = self.sheet
        assert sheet is not None
        self._drafts[self._draft_key()] = (self._what_it_is(), sheet.draft())
        sheet.show_thing(sheet.base)
        self.page.refuse("")
        self._has_warned = False
        self._show_state()
        go_on()
        self.told.emit(LEFT)

    def _warn(self) -> None:
        """Say in the bottom line how many fields stand in the way, and that leaving is free."""
        fields = 0 if self.sheet is None else self.sheet.faults.unfit
        # The head counts the same fields.
        self._show_state()
        self._has_warned = self._is_leaving
        self._has_told = True
        if self._ends:
            why = f": mend {counted(fields, 'field', 'fields')}, or " if fields else ". "
            self.told.emit(f"{self._what_it_is()} is not kept yet{why}{self._ends}")
            return
        how = "It cannot be kept."
        if fields:
            stand = "it stands" if fields == 1 else "they stand"
            how = f"{counted(fields, 'field', 'fields')} cannot be kept as {stand}."
        mend = f"Mend {'them' if fields > 1 else 'it'}, or leave again: a draft waits here."
        self.told.emit(f"{how} {mend if self._is_leaving else 'Nothing was changed.'}")

    def _words(self) -> Words:
        last = self._session.last
        assert last is not None
        return last.sheet.words

    def _on_typed(self) -> None:
        self._has_warned = self._stands_again = False
        if self._has_told:
            # It was about what stood there before.
            self._has_told = False
            self.told.emit("")
        self.typed.emit()
        self.page.refuse("")
        self._show_state()
        self._soon.start()

    def keep_then(
        self,
        go_on: Callable[[], None] | None,
        *,
        leaves: bool = True,
        ends: str = "",
        drafts: bool = False,
    ) -> None:
        """Keep what was typed if anything was, then go on; where it is refused, stay.

        Where going on `leaves` the page, it does so the second time whether or not it is kept;
        where it `ends` the household, what would be lost is told by its name, and `ends` after
        it. Where it `drafts`, it leaves the first time: keys that come next are for what it goes
        on to.
        """
        sheet = self.sheet
        self._is_leaving = leaves and go_on is not None
        self._ends = ends
        self._leaves_draft = None
        if self._is_leaving and self._has_warned and sheet is not None and go_on is not None:
            self._leave_draft(go_on)
            return
        # First: what cannot be read has no value, and may look as if nothing had been typed.
        unsound = sheet.faults.unsound() if sheet is not None else []
        if unsound and drafts and go_on is not None:
            self._leave_draft(go_on)
            return
        if unsound:
            self._come_back()
            unsound[0].go_to()
            self._warn()
            self._look_at_others(unsound)
            return
        if sheet is None or not sheet.is_changed:
            if go_on is not None:
                go_on()
            return
        thing = sheet.thing

        def kept() -> None:
            self._leaves_draft = None
            if self.sheet is sheet:
                sheet.take_as_base(thing)
                self._show_state()
            if go_on is not None:
                go_on()

        self._leaves_draft = go_on if drafts else None
        try:
            write, told = self._deed(thing)
        except TankkeeperError as refused:
            self._refused(refused)
            return
        self._write(write, told, kept)

    def _look_at_others(self, unsound: Sequence[SpecField]) -> None:
        """Find out which of the other fields would be refused, so that all is told at once."""
        sheet = self.sheet
        assert sheet is not None
        standing = sheet.draft()
        try:
            write, _told = self._deed(sheet.thing_without(unsound))
        except TankkeeperError as refused:
            self._tell_others(unsound, refused)
            return

        def tried(desk: Desk, _shown: object) -> object:
            try:
                write(desk.on_trial())
            except UserFault as refused:
                return refused
            return None

        def found(refused: object) -> None:
            is_same = self._is_open and self.sheet is sheet and sheet.draft() == standing
            if isinstance(refused, UserFault) and is_same:
                self._tell_others(unsound, refused)

        self._session.read_with(tried, found)

    def _tell_others(self, unsound: Sequence[SpecField], refused: TankkeeperError) -> None:
        assert self.sheet is not None
        self.sheet.faults.refuse_at(refused, unsound)
        self._warn()

    def _write(
        self,
        write: Callable[[Desk], SetDown],
        told: str,
        kept: Callable[[], None],
        undone: str = "",
        stands: Callable[[bool], None] | None = None,
    ) -> None:
        last = self._session.last
        if last is not None and last.is_read_only:
            self.page.refuse(READ_ONLY)
            if self.sheet is not None:
                self._warn()
            return
        self._session.settle(write, Answer(told, self._refused, kept, undone=undone, stands=stands))

    def _come_back(self) -> None:
        """Stand in front again, where a view was chosen that takes the place of the page."""
        QTimer.singleShot(0, self._stand_in_front)

    def _stand_in_front(self) -> None:
        # Where the window was closed meanwhile, the page has left the stack.
        if self._is_open and self._frame.stack.indexOf(self.page) >= 0:
            self._frame.stack.setCurrentWidget(self.page)

    def _refused(self, error: TankkeeperError) -> None:
        go_on, self._leaves_draft = self._leaves_draft, None
        if go_on is not None and self.sheet is not None and self._form is None:
            self._leave_draft(go_on)
            return
        self._come_back()
        if self._form is not None:
            self._form.refuse(fault_words(error, self._words()))
            return
        fields, apart = (0, [error]) if self.sheet is None else self.sheet.faults.refuse_at(error)
        if apart and not fields:
            self.page.refuse("\n".join(fault_words(one, self._words()) for one in apart))
        if self.sheet is not None:
            self._warn()

    def _open_form(
        self, form: Form, asked: Callable[[], None], done: Callable[[], None] | None
    ) -> None:
        self._form = form
        here = QApplication.focusWidget()

        def finished() -> None:
            self._form = None
            form.deleteLater()
            if self._is_open:
                # Back to where the keys were, unless that went with what was asked.
                is_there = here is not None and isValid(here) and self.page.isAncestorOf(here)
                (here if here is not None and is_there else self.page).setFocus()
            if done is not None:
                done()

        form.asked.connect(asked)
        form.finished.connect(finished)
        form.open()
