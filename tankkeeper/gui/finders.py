"""The find bars of the views, each made when it is first used."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from tankkeeper.gui.finding import FindDesk, FindPage
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.widgets.why_panel import WhyCard

if TYPE_CHECKING:
    from tankkeeper.gui.calendar_desk import CalendarDesk


class Finders(QObject):
    """Opens the bar of the view that is shown; `changed` tells that something else is told of.

    `day_wanted` tells a day that is to be shown, `typed` what is looked for.
    """

    changed = Signal()
    typed = Signal(str)
    day_wanted = Signal(object)

    def __init__(self, frame: Frame, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self._made: dict[str, FindDesk] = {}

    @property
    def here(self) -> FindDesk | None:
        """The finder of the view that is shown, None until it was used."""
        return self._made.get(self._frame.view_id)

    @property
    def is_open(self) -> bool:
        """Whether something is being looked for in any view."""
        return any(one.is_open for one in self._made.values())

    @property
    def told_row(self) -> ItemRow | None:
        """The chore that was found and has no line in the page, while it is told of."""
        return self.here.told_row if self.here is not None else None

    @property
    def told_card(self) -> WhyCard | None:
        """What is told of a chore that was found and has nothing to come."""
        return self.here.told_card if self.here is not None else None

    def hold_told(self) -> Callable[[], None] | None:
        """Return what tells again of the chore that is told of now, None where none is."""
        return self.here.hold_told() if self.here is not None else None

    def open_for(
        self, page: FindPage, calendar: CalendarDesk | None, typed: str, come_from: str = ""
    ) -> None:
        """Open the bar at the head of a page; `calendar` is given where the page is its own.

        `come_from` is the line to which Escape leads, where its deed is taken back meanwhile.
        """
        finder = self.here
        if finder is None:
            has_days = calendar is not None
            finder = FindDesk(self._frame, self._session, page, self, has_days=has_days)
            finder.changed.connect(self.changed)
            finder.day_wanted.connect(self.day_wanted)
            finder.bar.typed.connect(self.typed)
            self._made[self._frame.view_id] = finder
            if calendar is not None:
                finder.chore_wanted.connect(calendar.go_to_chore)
                finder.marked.connect(calendar.page.month.table.mark_found)
                calendar.shown.connect(finder.look_again)
                calendar.page.month.turned.connect(finder.look_again)
        finder.open_bar(typed)
        if come_from:
            finder.come_from(come_from)

    def take(self, shown: Shown) -> None:
        """Go on with a new reading, once the pages show it."""
        for finder in self._made.values():
            finder.take(shown)
