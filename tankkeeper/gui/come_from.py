"""Where the keys were before the find bar took them, and how they come back there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QWidget
from shiboken6 import isValid

from tankkeeper.gui.frame import Frame
from tankkeeper.gui.widgets.focus import is_inside

if TYPE_CHECKING:
    from tankkeeper.gui.finding import FindPage


class ComeFrom:
    """The line that was in hand, and what had the keys where that was beside the lines.

    A line whose deed is taken back may not stand there again when it is wanted: it is waited for.
    """

    def __init__(self, frame: Frame, page: FindPage) -> None:
        self._frame = frame
        self._page = page
        self.row: str | None = None
        # Whether the line was to do then.
        self._was_open = False
        self._waits = False
        # The line in hand when the bar was left before it came back.
        self._left_at: str | None = None
        self._beside: QWidget | None = None

    @property
    def focus(self) -> QWidget | None:
        """What has the keys of the window, also while a form that is left has them still."""
        return self._frame.window().focusWidget()

    @property
    def is_why(self) -> bool:
        """Whether the why panel had the keys."""
        return self._beside is self._frame.why

    @property
    def is_rail(self) -> bool:
        """Whether the rail had the keys."""
        return self._beside is self._frame.rail

    def note(self) -> None:
        """Take note of where the keys are now."""
        self._beside = self._beside_lines()
        self._waits = False
        self.note_row()

    def note_row(self) -> None:
        """Take note of the line to which the keys went by themselves."""
        rows = self._page.selected()
        self.row = rows[0].id if rows else None
        self._was_open = bool(rows) and rows[0].item.is_open

    def wait_for(self, row_id: str) -> None:
        """Come back to this line, which is to do again as soon as its deed is taken back."""
        self.row, self._was_open, self._waits = row_id, True, True

    def forget(self) -> None:
        """Wait for no line any more."""
        self._waits = False

    def follow(self, shown: str | None, *, is_open: bool) -> None:
        """Follow the keys where they left the line that was `shown`: its work came to an end.

        Otherwise Escape would give them the line that was done, and the next key take it back.
        `shown` is None for the one that was in hand, `is_open` tells whether the bar still is.
        """
        if self._waits:
            # Once the bar is closed somebody may have gone elsewhere.
            stays = shown is not None if is_open else self._in_hand() != self._left_at
            here = (one for one in self._page.rows() if one.id == self.row)
            self._waits = not any(one.item.is_open for one in here)
            if self.row is not None and not (self._waits or stays):
                self._page.show_row(self.row)
        elif is_open and self._in_hand() not in (None, self.row if shown is None else shown):
            self.note_row()

    def lead_back(self) -> bool:
        """Give the keys back to where they were; tell whether that was beside the lines."""
        is_there = self.row is not None and self._page.show_row(self.row)
        self._left_at = self._in_hand()
        if is_there and self._was_open and not self._waits:
            self._page.go_on()
        beside = self._beside
        if beside is None or not isValid(beside) or not beside.isVisible():
            self._page.take_keys()
            return False
        beside.setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def _in_hand(self) -> str | None:
        rows = self._page.selected()
        return rows[0].id if rows else None

    def _beside_lines(self) -> QWidget | None:
        """Return what has the keys where that are not the lines of the page."""
        focus = self.focus
        if focus is None:
            return None
        if is_inside(focus, self._frame.why):
            # Its buttons are others for each line.
            return self._frame.why
        is_lines = isinstance(self._page, QWidget) and is_inside(focus, self._page)
        return None if is_lines and not isinstance(focus, QAbstractButton) else focus
