"""The pages on which the household is set down, opened over whatever view is chosen."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Answer, Session
from tankkeeper.gui.settle_desk import TankDesk
from tankkeeper.gui.sheet_desk import READ_ONLY
from tankkeeper.gui.shortcuts import Command
from tankkeeper.reports.faults import fault_words
from tankkeeper.services.round import walk
from tankkeeper.services.settling_tanks import reorder


class Settling(QObject):
    """Opens the pages and keeps them in step; `told` tells a sentence, `closed` that all left."""

    told = Signal(str)
    closed = Signal()

    def __init__(self, frame: Frame, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self.tank = TankDesk(frame, session, self)
        self.tank.closed.connect(self._on_closed)
        self._is_quiet = False

    @property
    def is_open(self) -> bool:
        """Whether one of the pages is shown."""
        return self.tank.is_open

    def do(self, command: Command) -> None:
        """Carry out one of the commands of setting down."""
        if command is Command.TANK:
            if self.tank.is_open:
                self.tank.leave()
            else:
                self.tank.open_for(self._session.tank_id)
        elif command is Command.NEW_TANK:
            self.tank.open_new()
        elif command is Command.EARLIER_IN_WALK:
            self._move(-1)
        elif command is Command.LATER_IN_WALK:
            self._move(1)

    def take(self, shown: Shown) -> bool:
        """Follow a new reading; tell whether one of the pages is open."""
        self.tank.take(shown)
        return self.is_open

    def set_tank(self, tank_id: str | None) -> None:
        """Go on to a tank that was chosen in the rail."""
        self.tank.set_tank(tank_id)

    def leave_for_view(self) -> None:
        """Let a view take the place of the page, which keeps what was typed if it can."""
        self.tank.leave()

    def dispose(self) -> None:
        """Take the pages out of the frame."""
        self._frame.remove_page(self.tank.page)
        self.deleteLater()

    def _on_closed(self) -> None:
        self.closed.emit()

    def _move(self, by: int) -> None:
        last, tank_id = self._session.last, self._session.tank_id
        if last is None:
            return
        ids = [one.id for one in walk(last.state.household)]
        if tank_id not in ids:
            self.told.emit("Choose a tank first; its place in the walk is moved.")
            return
        if last.is_read_only:
            self.told.emit(READ_ONLY)
            return
        at = ids.index(tank_id)
        to = at + by
        if not 0 <= to < len(ids):
            self.told.emit(
                "It is the first in the walk." if by < 0 else "It is the last in the walk."
            )
            return
        ids.insert(to, ids.pop(at))
        name = last.state.household.tank(tank_id).name
        place = f"{name} is number {to + 1} in the walk."
        answer = Answer(place, self._refused)
        self._session.settle(lambda desk: reorder(desk, ids, self._session.person_id), answer)

    def _refused(self, error: TankkeeperError) -> None:
        last = self._session.last
        self.told.emit(fault_words(error, last.sheet.words if last is not None else None))
