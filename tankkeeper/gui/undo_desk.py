"""Undo and redo by key: first of what is carried or typed, then of what was kept."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.line_desk import LineDesk
from tankkeeper.gui.session import Session
from tankkeeper.gui.settling_door import SettlingDoor
from tankkeeper.gui.views import Views

_PUT_BACK = "Put back what stood there before."


class UndoDesk(QObject):
    """`told` tells what was done without the store, `refused` gets why undo or redo was not."""

    told = Signal(str)

    def __init__(
        self,
        frame: Frame,
        session: Session,
        views: Views,
        settling: SettlingDoor,
        deeds: LineDesk,
        refused: Callable[[TankkeeperError], None],
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self._views = views
        self._settling = settling
        self._deeds = deeds
        self._refused = refused

    def undo(self) -> None:
        """Take back what was done last: what is typed on a page first, then what was kept.

        What is carried on the board comes before all of it: it is only let go.
        """
        if self._let_go():
            return
        pages = self._settling.pages
        if pages is not None and pages.put_back():
            self.told.emit(_PUT_BACK)
            return
        self._session.keys.key_in_turn(self._undo)

    def redo(self) -> None:
        """Do again what was taken back last; what is carried on the board is only let go.

        It waits for an undo of many turns for as long as that takes: it is about nothing else.
        """
        if not self._let_go():
            self._session.keys.key_in_turn(self._redo, lasts=True)

    def _undo(self) -> None:
        pages = self._settling.pages
        is_named = pages is not None and pages.name_before_undo()
        # What is told at the foot, and what comes of it, is to be seen.
        self._frame.uncover()
        if is_named:
            self._session.undoing.tell()
            return
        self._deeds.going_on.expect_back()
        self._session.undoing.undo(self._refused)

    def _redo(self) -> None:
        self._frame.uncover()
        if self._session.undoing.can_redo:
            self._deeds.going_on.expect_forth()
        self._session.undoing.redo(self._refused)

    def _let_go(self) -> bool:
        """Leave what is carried on the board on its day; tell whether something was carried."""
        calendar = self._views.calendar_here
        told = calendar.let_go() if calendar is not None else ""
        if told:
            self.told.emit(told)
        return bool(told)
