"""The way to the pages on which the household is set down, which are made when first wanted."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from tankkeeper.gui.frame import Frame
from tankkeeper.gui.models.in_hand import InHand
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.shortcuts import Command

if TYPE_CHECKING:
    from tankkeeper.gui.parts import Part
    from tankkeeper.gui.settling import Settling
    from tankkeeper.services.backup_habits import BackupMeans


class SettlingDoor(QObject):
    """Opens the pages at what is wanted; `made` tells the pages once they are there.

    `in_hand` tells the tank of the line on which the keys act. `pages` is None until one was
    opened.
    """

    made = Signal(object)

    def __init__(
        self, frame: Frame, session: Session, in_hand: Callable[[], InHand | None], parent: QObject
    ) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self._in_hand = in_hand
        # What the person sets on the page of the household; reminders put theirs in.
        self._more: list[Part] = []
        self.backup_means: Callable[[], BackupMeans] | None = None
        self.pages: Settling | None = None

    @property
    def is_open(self) -> bool:
        """Whether one of the pages is shown."""
        return self.pages is not None and self.pages.is_open

    def take(self, shown: Shown) -> bool:
        """Let an open page go on with a new reading; tell whether one is shown."""
        return self.pages is not None and self.pages.take(shown)

    def do(self, command: Command) -> None:
        """Open the page of the chosen tank or of the household, or move a tank in the walk."""
        pages = self._wanted()
        self._session.keys.key_in_turn(lambda: pages.do(command, self._in_hand()))

    def open_settings_at(self, part_id: str) -> None:
        """Open the page of the household at one of its parts."""
        pages = self._wanted()
        self._session.keys.in_turn(lambda: pages.open_settings_at(part_id))

    def move_in_walk(self, tank_id: str, place: int) -> None:
        """Let a tank be at another place of the walk."""
        pages = self._wanted()
        self._session.keys.in_turn(lambda: pages.move_to(tank_id, place))

    def add_settings(self, part: Part) -> None:
        """Have one more part on the page of the household, which may stand already."""
        self._more.append(part)
        if self.pages is not None:
            self.pages.add_settings(part)

    def refuse(self, sentence: str) -> bool:
        """Say on an open page why something was not done; tell whether one is open."""
        return self.pages is not None and self.pages.refuse(sentence)

    def set_tank(self, tank_id: str | None) -> None:
        """Go on with another tank."""
        if self.pages is not None:
            self.pages.set_tank(tank_id)

    def leave_for_view(self) -> None:
        """Leave an open page; what cannot be kept of it waits as a draft."""
        if self.pages is not None:
            self.pages.leave_for_view()

    def dispose(self) -> None:
        """Forget the pages."""
        if self.pages is not None:
            self.pages.dispose()

    def _wanted(self) -> Settling:
        if self.pages is None:
            from tankkeeper.gui.settling import Settling

            more = [*self._more]
            if self.backup_means is not None:
                from tankkeeper.gui.backup_parts import backup_room_part

                more.append(backup_room_part(self.backup_means()))
            self.pages = Settling(self._frame, self._session, self, more)
            self.made.emit(self.pages)
        return self.pages
