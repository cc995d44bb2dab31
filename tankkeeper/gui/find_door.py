"""To find by typing, from whatever is shown: the way to the find bar of the view."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from tankkeeper.gui.foot_line import FootLine
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.session import Session
from tankkeeper.gui.settling_door import SettlingDoor
from tankkeeper.gui.shortcuts import Where, key_caption, key_typed
from tankkeeper.gui.views import CALENDAR, Views

if TYPE_CHECKING:
    from tankkeeper.gui.finders import Finders


class FindDoor(QObject):
    """Opens the bar; `made` tells the finders once they are there, `told` a sentence.

    `finders` is None until one was used.
    """

    made = Signal(object)
    told = Signal(str)

    def __init__(
        self,
        frame: Frame,
        session: Session,
        views: Views,
        settling: SettlingDoor,
        foot: FootLine,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self._views = views
        self._settling = settling
        self._foot = foot
        self.finders: Finders | None = None

    def find(self, typed: str = "", come_from: str = "") -> None:
        """Open the find bar at the head of what is shown; `typed` is its first letter.

        `come_from` is the line to which it leads back, where its deed is taken back meanwhile.

        The logbook has a line of its own. A page of setting down would hide the bar: it is left
        first, and what cannot be kept of it waits as a draft.
        """
        self._foot.begin_search(typed)
        pages = self._settling.pages
        if pages is not None and pages.is_open:
            pages.leave_for_find()
            self._session.keys.in_turn(lambda: None if pages.is_open else self.find(typed))
            return
        if self._frame.is_covered:
            return
        logbook = self._views.logbook_here
        if logbook is not None:
            logbook.find(typed)
            return
        if self._views.is_empty:
            return
        calendar = self._views.calendar_here
        page = self._views.round if calendar is None else calendar.page
        self._wanted().open_for(page, calendar, typed, come_from)

    def take_letter(self, typed: str) -> None:
        """Begin to find with a letter that no command has; one that is a key never does."""
        of_calendar = (Where.CALENDAR,) if self._frame.view_id == CALENDAR else ()
        row = key_typed(typed, (Where.CHORES, *of_calendar))
        if row is None:
            self.find(typed)
        else:
            self.told.emit(f"{row.text} ({key_caption(row.command)}) cannot be done here.")

    def _wanted(self) -> Finders:
        if self.finders is None:
            from tankkeeper.gui.finders import Finders

            self.finders = Finders(self._frame, self._session, self)
            self.finders.typed.connect(self._foot.begin_search)
            self.finders.day_wanted.connect(self._on_day_wanted)
            self.made.emit(self.finders)
        return self.finders

    def _on_day_wanted(self, day: date) -> None:
        self._frame.show_view(CALENDAR)
        if self._views.calendar is not None:
            self._views.calendar.go_to(day)
