"""How one more tank comes: asked for on the page of the first one, kept with its chores."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal

from tankkeeper.core.catalogue import Proposal
from tankkeeper.core.chores import Chore
from tankkeeper.core.errors import TankkeeperError
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.pages.first_page import FirstPage
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.ready_words import followed_words
from tankkeeper.services import settling_in
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown
from tankkeeper.services.settling_chores import followed


class NewTankDesk(QObject):
    """Shows the page over the frame; `closed` tells that what was there before stands again.

    `typed` tells that something was typed or chosen, `added` which tank came and is chosen now.
    """

    added = Signal(str)
    closed = Signal()
    typed = Signal()

    def __init__(self, frame: Frame, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self.page: FirstPage | None = None
        # What was typed and left; it stands again when the page is asked for next.
        self._draft: FirstPage | None = None
        self._added = ""
        self._was_empty = False

    @property
    def is_open(self) -> bool:
        """Whether the page stands."""
        return self.page is not None

    @property
    def begun(self) -> FirstPage | None:
        """The page on which something was answered, open or left; None where there is none."""
        page = self.page or self._draft
        return page if page is not None and page.is_begun else None

    def show(self) -> None:
        """Ask for a tank of the household that is open."""
        last = self._session.last
        if last is None or self.page is not None:
            return
        household, now = last.state.household, self._session.desk.clock.now()
        self._was_empty = not household.tanks
        draft, self._draft = self._draft, None
        if draft is None:
            self.page = self._make(last)
        else:
            self.page = draft
            draft.go_on(now, household)
        self._frame.cover(self.page, self._on_left)

    def _make(self, last: Shown) -> FirstPage:
        page = FirstPage(
            last.state.household.zone,
            self._session.desk.clock.now(),
            last.sheet.words.decimal_sign,
            house=last.state.household,
            can_leave=True,
            parent=self._frame,
        )
        page.accepted.connect(self._on_accepted)
        page.commanded.connect(self._frame.command)
        page.left.connect(self._on_left)
        page.cleared.connect(self.put_back)
        page.asked.changed.connect(self.typed)
        return page

    def put_back(self) -> bool:
        """Take away all that was answered; tell whether there was something."""
        last = self._session.last
        if self.page is None or last is None or not self.page.is_begun:
            return False
        _take_away(self.page)
        self.page = self._make(last)
        self._frame.cover(self.page, self._on_left)
        return True

    def _on_left(self) -> None:
        """Keep what was typed, since nothing could bring it back."""
        if self.page is not None and not self.page.isEnabled():
            # It is being written.
            return
        if self.page is not None and self.page.is_begun:
            self._draft, self.page = self.page, None
            self._draft.hide()
            self._frame.cover(None)
            self.closed.emit()
        else:
            self.end()

    def end(self) -> None:
        """Take the page away, if it stands."""
        if self.page is None:
            return
        self._frame.cover(None)
        _take_away(self.page)
        self.page = None
        self.closed.emit()

    def dispose(self) -> None:
        """Take the page away for good, and what was left of it."""
        self.blockSignals(True)
        self.end()
        if self._draft is not None:
            _take_away(self._draft)
            self._draft = None

    def take(self, shown: Shown) -> None:
        """Choose the tank that was added; go where an import brought the first ones meanwhile."""
        if any(one.id == self._added for one in shown.state.household.tanks):
            self.added.emit(self._added)
            self._frame.rail.choose(self._added)
            self._added = ""
        if self._was_empty and shown.state.household.tanks:
            self.end()

    def refuse(self, sentence: str) -> bool:
        """Tell on the page why something was not done; tell whether it stands."""
        if self.page is None:
            return False
        self.page.refuse(sentence)
        return True

    def _on_accepted(self, answers: settling_in.Answers, chores: Sequence[Proposal]) -> None:
        page = self.page
        assert page is not None
        page.setEnabled(False)
        before, followers = self._session.household, list[Chore]()

        def write(desk: Desk) -> SetDown:
            done = settling_in.add_tank(desk, answers, chores, self._session.person_id)
            self._added = done.entry.tank or "" if done.entry is not None else ""
            if before is not None:
                followers.extend(followed(before, done.household))
            return done

        # It alone is shown then; of a first tank there are no others.
        others = "" if self._was_empty else f"{key_caption(Command.WHOLE_HOUSE)}: the whole house."
        words = f"Added the tank {answers.tank.strip()}."

        def moved() -> str:
            return " ".join((*followed_words(followers), others)).strip()

        answer = Answer(words, self._on_refused, self.end, moved=moved)
        self._session.settle(write, answer)

    def _on_refused(self, error: TankkeeperError) -> None:
        if self.page is not None:
            self.page.setEnabled(True)
            self.page.refuse(fault_words(error))


def _take_away(page: FirstPage) -> None:
    page.hide()
    page.deleteLater()
