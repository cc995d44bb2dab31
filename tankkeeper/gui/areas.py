"""The areas of the window that F6 goes round: views, rail, content, and the why panel if open."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QStackedWidget, QWidget

from tankkeeper.gui.widgets.bars import TopBar
from tankkeeper.gui.widgets.focus import is_inside
from tankkeeper.gui.widgets.rail import TankRail
from tankkeeper.gui.widgets.why_panel import WhyPanel


class Areas:
    """Gives the keys to one area after the other; `is_why_open` tells whether the panel is one."""

    def __init__(
        self,
        top: TopBar,
        rail: TankRail,
        stack: QStackedWidget,
        why: WhyPanel,
        is_why_open: Callable[[], bool],
    ) -> None:
        self._top = top
        self._rail = rail
        self._stack = stack
        self._why = why
        self._is_why_open = is_why_open

    def go_round(self, by: int) -> None:
        """Go so many areas on, back where it is negative; from outside them to the first or last.

        In the top bar it is the views that get the keys.
        """
        areas: list[QWidget] = [self._top, self._rail, self._stack]
        if self._is_why_open():
            areas.append(self._why)
        here = QApplication.focusWidget()
        number = next((n for n, area in enumerate(areas) if is_inside(here, area)), None)
        start = -1 if number is None and by > 0 else (number or 0)
        target = areas[(start + by) % len(areas)]
        if target is self._stack:
            self.go_to_content()
        else:
            widget = self._top.views if target is self._top else target
            widget.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def go_to_content(self) -> None:
        """Give the keys to the page that is shown, or to the first of its parts that takes them."""
        page = self._stack.currentWidget()
        if page is None:
            return
        if page.focusPolicy() != Qt.FocusPolicy.NoFocus or page.focusProxy() is not None:
            page.setFocus(Qt.FocusReason.ShortcutFocusReason)
            return
        inside = page.nextInFocusChain()
        while inside is not None and page.isAncestorOf(inside):
            if inside.focusPolicy() & Qt.FocusPolicy.TabFocus and inside.isVisibleTo(page):
                inside.setFocus(Qt.FocusReason.ShortcutFocusReason)
                return
            inside = inside.nextInFocusChain()
