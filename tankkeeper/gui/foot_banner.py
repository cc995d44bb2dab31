"""Where the banner stands: beneath every page, and over the foot of one while it is read whole."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol, runtime_checkable

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from tankkeeper.gui.widgets.banner import Banner

# What stands beneath the pages takes at most this part of the window from them, one in so many.
_SHARE = 4


@runtime_checkable
class Coverable(Protocol):
    """A page whose row in hand stays in sight while all of a reminder is read over its foot."""

    def cover_foot(self, high: int) -> None:
        """Keep the rows above so many pixels at the foot."""


class FootBanner:
    """Places the banner in the body of the window, once there is one.

    It stands beneath the pages: above, it would push the rows down under a hand that clicks.
    """

    def __init__(self, body: QWidget) -> None:
        self._body = body
        self._banner: Banner | None = None

    def hold(self, banner: Banner) -> None:
        """Take the banner."""
        self._banner = banner
        banner.setParent(self._body)

    def place(self, room: QRect, page: QWidget | None) -> int:
        """Place it at the foot of the room for a page; return the height it takes from the page.

        The page is told how much of its foot the rest lies over.
        """
        taken = covered = 0
        banner = self._banner
        if banner is not None and not banner.isHidden():
            most = (self._body.height() // _SHARE, room.height())
            high, taken = banner.fit(room.width(), *most, page)
            foot = room.y() + room.height()
            banner.setGeometry(room.x(), foot - high, room.width(), high)
            covered = high - taken
        told: object = page
        if isinstance(told, Coverable):
            told.cover_foot(covered)
        return taken
