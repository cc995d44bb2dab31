"""How the first page comes, and what becomes of its answers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from tankkeeper.core.catalogue import Proposal
from tankkeeper.core.errors import TankkeeperError
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.pages.first_page import FirstPage
from tankkeeper.reports.faults import fault_words
from tankkeeper.services.settling_in import Answers, household_of, with_chores

if TYPE_CHECKING:
    from tankkeeper.gui.openings import Founding
    from tankkeeper.gui.window import Window


class Beginning(QObject):
    """Shows the page over the frame until its household is made or another is opened."""

    def __init__(self, window: Window, frame: Frame, founding: Callable[[], Founding]) -> None:
        super().__init__(window)
        self._window = window
        self._frame = frame
        self._found = founding
        self._founding: Founding | None = None
        self.page: FirstPage | None = None

    @property
    def is_shown(self) -> bool:
        """Whether the page is seen."""
        return self.page is not None and not self.page.isHidden()

    def show(self, decimal_sign: str) -> None:
        """Show the page, as it was left where it stands already."""
        if self.page is not None:
            self._show_again(self.page)
            return
        founding = self._founding = self._found()
        self.page = FirstPage(
            founding.zone,
            founding.now,
            decimal_sign,
            places=founding.place,
            can_leave=self._window.session is not None,
            parent=self._frame,
        )
        self.page.accepted.connect(self._on_accepted)
        self.page.commanded.connect(self._frame.command)
        self.page.left.connect(self._on_left)
        self.page.cleared.connect(lambda: self._begin_anew(decimal_sign))
        self._cover(self.page)

    def _show_again(self, page: FirstPage) -> None:
        if page.isHidden():
            # It was left with something typed, which nothing could bring back.
            page.go_on(self._found().now)
            self._cover(page)
        page.setFocus()

    def _cover(self, page: FirstPage) -> None:
        has_other = self._window.session is not None
        self._frame.cover(page, self._on_left if has_other else None)

    def _begin_anew(self, decimal_sign: str) -> None:
        self.end()
        self.show(decimal_sign)

    def end(self) -> None:
        """Take the page away."""
        if self.page is not None:
            self._frame.cover(None)
            self.page.hide()
            self.page.deleteLater()
            self.page = None

    def refuse(self, sentence: str) -> None:
        """Tell on the page why something was not done."""
        if self.page is not None:
            self.page.refuse(sentence)

    def _on_left(self) -> None:
        """Go back to the household that is open behind the page."""
        if self.page is not None and not self.page.isEnabled():
            # Its answers are being written.
            return
        if self.page is not None and self.page.is_begun:
            self._frame.cover(None)
            self.page.hide()
        else:
            self.end()
        page = self._frame.stack.currentWidget()
        if page is not None:
            page.setFocus()

    def _on_accepted(self, answers: Answers, chores: Sequence[Proposal]) -> None:
        founding, page = self._founding, self.page
        if founding is None or page is None:
            return
        household = with_chores(household_of(answers), chores)
        place = page.asked.household.place
        page.setEnabled(False)
        self._window.worker.run(
            lambda: founding.keep(household, place), self._on_kept, self._on_failed
        )

    def _on_kept(self, where: Path) -> None:
        other = self._window.doors.other
        self._window.open(lambda: other(where))

    def _on_failed(self, error: Exception) -> None:
        if self.page is not None:
            self.page.setEnabled(True)
        if not isinstance(error, TankkeeperError) or self.page is None:
            raise error
        self.page.refuse(fault_words(error))
