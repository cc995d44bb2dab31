"""A window that stayed open over night begins the day where a start would."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject

from tankkeeper.gui.frame import Frame
from tankkeeper.gui.keys_ahead import is_form_open
from tankkeeper.gui.pressed_keys import is_key
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session

if TYPE_CHECKING:
    from tankkeeper.gui.morning import Morning

# A choice of this project: who pressed no key for so long is not in the middle of something.
RESTED = timedelta(minutes=10)


class NewDay(QObject):
    """Takes the keys to the first line to do, and the month to today, once the day has changed.

    They stay where they are in the middle of something: in a form, in a search, with something
    carried. Right behind keys of the day before it waits; a key of the new day ends that.
    """

    def __init__(self, frame: Frame, session: Session, morning: Morning) -> None:
        super().__init__(morning)
        self._frame = frame
        self._session = session
        self._morning = morning
        self._day: date | None = None
        self._typed_at: datetime | None = None
        # When the new day came, while the keys are still to be taken there.
        self._came_at: datetime | None = None
        self._was_on_today = False
        # What no part of it takes for itself, every key of a list among it, comes to the frame.
        frame.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        """Note when a key was pressed last."""
        if is_key(event):
            self._typed_at = self._session.desk.clock.now()
        return False

    def take(self, shown: Shown) -> None:
        """Note, before a reading is shown, whether it is of another day than the last."""
        before, self._day = self._day, shown.state.moment.day
        if before is None or before == self._day:
            return
        calendar = self._morning.calendar
        self._came_at = self._session.desk.clock.now()
        self._morning.page.list.begin_day()
        self._was_on_today = calendar is not None and calendar.is_month_at(before)

    def look(self) -> None:
        """Begin the day that has come, unless somebody is in the middle of something."""
        came_at, typed_at = self._came_at, self._typed_at
        if came_at is None or self._session.is_behind:
            return
        now = self._session.desk.clock.now()
        if self._is_busy or (typed_at is not None and typed_at >= came_at):
            self._came_at = None
        elif typed_at is None or abs(now - typed_at) >= RESTED:
            self._came_at = None
            self._begin()

    @property
    def _is_busy(self) -> bool:
        finders, calendar = self._morning.finders, self._morning.calendar
        settling = self._morning.settling
        is_page_open = self._frame.is_covered or (settling is not None and settling.is_open)
        is_finding = finders is not None and finders.is_open
        is_carrying = calendar is not None and calendar.page.is_carrying
        return is_form_open() or is_page_open or is_finding or is_carrying

    def _begin(self) -> None:
        round_list, calendar = self._morning.page.list, self._morning.calendar
        round_list.scrollToTop()
        round_list.go_to_first_open()
        if calendar is not None and self._was_on_today:
            calendar.go_to_today()
