"""The pages of the views, in the frame: the round, and those made when they are first shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from tankkeeper.gui.frame import Frame
from tankkeeper.gui.motion import MotionChoice
from tankkeeper.gui.pages.round_page import RoundPage
from tankkeeper.gui.session import Session

if TYPE_CHECKING:
    from tankkeeper.gui.calendar_desk import CalendarDesk
    from tankkeeper.gui.logbook_desk import LogbookDesk
    from tankkeeper.gui.pages.calendar_page import CalendarPage
    from tankkeeper.gui.pages.empty_page import EmptyPage
    from tankkeeper.gui.pages.logbook_page import LogbookPage
    from tankkeeper.gui.reading import Shown

ROUND = "round"
CALENDAR = "calendar"
LOGBOOK = "logbook"


class Views(QObject):
    """Makes and shows the pages; `calendar_made` and `logbook_made` tell the desk of a new one.

    `begun_on_board` is whether the calendar was left on the board, for when it is first shown.
    """

    calendar_made = Signal(object)
    logbook_made = Signal(object)

    def __init__(
        self,
        frame: Frame,
        session: Session,
        motion: MotionChoice,
        parent: QObject,
        *,
        begun_on_board: bool = False,
    ) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self._motion = motion
        self._begun_on_board = begun_on_board
        self._empty: EmptyPage | None = None
        self.round = RoundPage(frame.stack, motion)
        self.calendar: CalendarDesk | None = None
        self.logbook: LogbookDesk | None = None
        frame.add_page(ROUND, self.round)
        self.round.set_metrics(frame.metrics)
        frame.metrics_changed.connect(self.round.set_metrics)

    @property
    def is_empty(self) -> bool:
        """Whether the household has neither a tank nor a chore."""
        house = self._session.household
        return house is not None and not house.tanks and not house.chores

    @property
    def on_board(self) -> bool:
        """Whether the calendar shows the board, or will as soon as it is shown."""
        return self._begun_on_board if self.calendar is None else self.calendar.on_board

    @property
    def calendar_here(self) -> CalendarDesk | None:
        """The desk of the calendar while that is the view, else None."""
        return self.calendar if self._frame.view_id == CALENDAR else None

    @property
    def logbook_here(self) -> LogbookDesk | None:
        """The desk of the logbook while that is the view, else None."""
        return self.logbook if self._frame.view_id == LOGBOOK else None

    @property
    def page(self) -> RoundPage | CalendarPage | LogbookPage:
        """The page on whose lines the keys act."""
        desk = self.logbook_here or self.calendar_here
        return self.round if desk is None else desk.page

    def make(self, view_id: str) -> None:
        """Make the page of a view where there is none yet, and let the logbook begin anew.

        While there is nothing to show, what can be done about it stays in every view.
        """
        if view_id == CALENDAR and self.calendar is None and not self.is_empty:
            self._make_calendar()
        if view_id == LOGBOOK and self.logbook is not None:
            self.logbook.open_anew()
        elif view_id == LOGBOOK and not self.is_empty:
            self._make_logbook()

    def take(self, shown: Shown) -> None:
        """Let calendar and logbook go on with a new reading."""
        if self.calendar is not None:
            self.calendar.take(shown.beside)
        if self.logbook is not None:
            self.logbook.take(shown)

    def show_empty(self) -> None:
        """Offer what can be done while there is no tank; the page is made when it is needed."""
        if self._empty is None:
            from tankkeeper.gui.pages.empty_page import EmptyPage

            self._empty = EmptyPage(parent=self._frame.stack, can_add=True)
            self._empty.commanded.connect(self._frame.command)
            self._frame.stack.addWidget(self._empty)
        if self._frame.stack.currentWidget() is not self._empty:
            self._frame.show_instead(self._empty)
            self._empty.setFocus()

    def take_keys(self) -> None:
        """Let the keys act on the page that is shown."""
        if self._empty is not None and self.is_empty:
            self._empty.setFocus()
        else:
            self.page.take_keys()

    def refuse(self, sentence: str) -> bool:
        """Say on the page of an empty household why something was not done; tell whether it is."""
        if self._empty is None or not self.is_empty:
            return False
        self._empty.refuse(sentence)
        return True

    def dispose(self) -> None:
        """Take the pages out of the frame."""
        self._frame.remove_page(self.round)
        if self._empty is not None:
            self._frame.remove_page(self._empty)
        for desk in (self.calendar, self.logbook):
            if desk is not None:
                desk.leave()
                self._frame.remove_page(desk.page)

    def _make_calendar(self) -> None:
        from tankkeeper.gui.calendar_desk import CalendarDesk

        calendar = self.calendar = CalendarDesk(
            self._frame, self._session, self._motion, self, on_board=self._begun_on_board
        )
        self.calendar_made.emit(calendar)
        self._frame.add_page(CALENDAR, calendar.page)

    def _make_logbook(self) -> None:
        from tankkeeper.gui.logbook_desk import LogbookDesk

        logbook = self.logbook = LogbookDesk(self._frame, self._session, self)
        self.logbook_made.emit(logbook)
        self._frame.add_page(LOGBOOK, logbook.page)
        # Once the frame shows it, the keys act in it.
        QTimer.singleShot(0, logbook.page.take_keys)
