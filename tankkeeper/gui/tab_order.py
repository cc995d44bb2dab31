"""The order in which Tab goes through the parts of the window, whichever of them was made first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol, runtime_checkable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget


@runtime_checkable
class HasTabParts(Protocol):
    """A page whose parts Tab goes through in another order than that in which they were made."""

    @property
    def tab_parts(self) -> tuple[QWidget, ...]:
        """Return the parts in that order."""


def go_by_tab(window: QWidget, parts: Sequence[QWidget], *, is_forth: bool) -> bool:
    """Give the keys to the next stop by the order of the parts, and tell whether there was one.

    What is in none of them comes last. Qt's own order has what is made late behind all else.
    """
    here = window.window().focusWidget()
    stops = sorted(_stops_in(window), key=lambda one: _place(one, parts))
    if here not in stops:
        return False
    to = stops[(stops.index(here) + (1 if is_forth else -1)) % len(stops)]
    to.setFocus(Qt.FocusReason.TabFocusReason if is_forth else Qt.FocusReason.BacktabFocusReason)
    return True


def _place(stop: QWidget, parts: Sequence[QWidget]) -> int:
    inside = (at for at, part in enumerate(parts) if part is stop or part.isAncestorOf(stop))
    return next(inside, len(parts))


def _stops_in(window: QWidget) -> list[QWidget]:
    """Return what Tab may stop at, in the order in which it was put into the window.

    The chain that Qt keeps is not walked: that ends in a crash once a page of it is taken out.
    """
    return [
        part
        for part in window.findChildren(QWidget)
        if part.focusPolicy() & Qt.FocusPolicy.TabFocus
        and part.focusProxy() is None
        and part.isEnabled()
        and part.isVisible()
        and part.window() is window.window()
    ]
