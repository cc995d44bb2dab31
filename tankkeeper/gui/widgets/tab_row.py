"""The row of parts of a page: one stop for Tab, the arrow keys go along it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.flow import FlowBar

# So much is seen of the part before and after the one in hand, where the row moves.
_PEEK = 48


class TabRow(FlowBar):
    """Holds checkable buttons; Left and Right go round, Home and End to the ends.

    They only move the keys: a press chooses, because what was typed is kept by it. Where there is
    no room for several rows they stand in one, which moves with the part in hand.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._tabs: list[Button] = []
        self._here: Button | None = None
        self._is_one_row = False
        self._moved = 0

    def whole_height(self, width: int) -> int:
        """Return the height in which all parts are seen."""
        return super()._place(max(200, width), is_trial=True)

    def set_one_row(self, is_one_row: bool) -> None:
        """Stand in one row that moves, or in as many as are needed."""
        if is_one_row != self._is_one_row:
            self._is_one_row = is_one_row
            self._lay_out()

    def _place(self, width: int, *, is_trial: bool) -> int:
        if not self._is_one_row:
            return super()._place(width, is_trial=is_trial)
        parts = self._sizes(width)
        if not is_trial:
            self._move_row(width)
            x = -self._moved
            for part, size in parts:
                part.setGeometry(x, 0, size.width(), size.height())
                x += size.width() + Space.XS
        return max((size.height() for _, size in parts), default=0)

    def _move_row(self, width: int) -> None:
        """Bring the part in hand into view, with a piece of its neighbours."""
        x = 0
        for part, size in self._sizes(width):
            if part is self._here:
                self._moved = max(self._moved, x + size.width() + _PEEK - width)
                self._moved = min(self._moved, x - _PEEK)
            x += size.width() + Space.XS
        self._moved = max(0, min(self._moved, x - Space.XS - width))

    @property
    def tabs(self) -> tuple[Button, ...]:
        """The buttons of the row."""
        return tuple(self._tabs)

    def add_tab(self, tab: Button, at: int) -> None:
        """Add a part before the one that stands at a place, or behind the last."""
        tab.setCheckable(True)
        tab.installEventFilter(self)
        self._tabs.insert(at, tab)
        self.add(tab, at)
        tab.show()

    def stop_at_chosen(self) -> None:
        """Let Tab stop at the chosen part, and at no other."""
        self._stop_at(next((one for one in self._tabs if one.isChecked()), None))

    @property
    def has_keys(self) -> bool:
        """Whether the keys act at one of the parts."""
        return QApplication.focusWidget() in self._tabs

    def take_keys(self) -> None:
        """Let the keys act at the chosen part."""
        if self._here is not None:
            self._here.setFocus(Qt.FocusReason.TabFocusReason)

    def _stop_at(self, tab: Button | None) -> None:
        self._here = tab
        if self._is_one_row:
            self._lay_out()
        for one in self._tabs:
            is_stop = one is tab
            one.setFocusPolicy(Qt.FocusPolicy.StrongFocus if is_stop else Qt.FocusPolicy.ClickFocus)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Go along the row; once the keys are elsewhere, the chosen part is the stop again."""
        if event.type() is QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            return self._move(watched, event)
        if event.type() is QEvent.Type.FocusOut and QApplication.focusWidget() not in self._tabs:
            self.stop_at_chosen()
        return super().eventFilter(watched, event)

    def _move(self, watched: QObject, event: QKeyEvent) -> bool:
        here = next((at for at, one in enumerate(self._tabs) if one is watched), None)
        if here is None or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            return False
        last = len(self._tabs) - 1
        places: dict[int, int] = {
            Qt.Key.Key_Left: here - 1,
            Qt.Key.Key_Right: here + 1,
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: last,
        }
        to = places.get(event.key())
        if to is None:
            # Up and down would go on to fields beyond the row.
            return event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down)
        tab = self._tabs[to % (last + 1)]
        self._stop_at(tab)
        tab.setFocus(Qt.FocusReason.TabFocusReason)
        return True
