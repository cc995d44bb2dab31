"""The row with the keys is the row that is chosen, whatever is held beside a key."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView

if TYPE_CHECKING:
    _View = QAbstractItemView
else:
    # One class of Qt among the bases is what the binding can hold.
    _View = object

_MOVING: Final = frozenset(
    {
        Qt.Key.Key_Up,
        Qt.Key.Key_Down,
        Qt.Key.Key_Left,
        Qt.Key.Key_Right,
        Qt.Key.Key_Home,
        Qt.Key.Key_End,
        Qt.Key.Key_PageUp,
        Qt.Key.Key_PageDown,
    }
)


class RowInHand(_View):
    """Goes before the kind of view among the bases of a list."""

    def selectionCommand(
        self, index: QModelIndex | QPersistentModelIndex, event: QEvent | None = None
    ) -> QItemSelectionModel.SelectionFlag:
        """Return what a key or the mouse does to the selection.

        In Qt's lists Ctrl moves the keys and leaves the selection behind, and takes it from the
        row with Space: then the keys would act on a row that nobody sees.
        """
        flag = QItemSelectionModel.SelectionFlag
        is_held = isinstance(event, QKeyEvent) and bool(
            event.modifiers() & Qt.KeyboardModifier.ControlModifier
        )
        if not is_held:
            return super().selectionCommand(index, event)
        assert isinstance(event, QKeyEvent)
        if event.key() in _MOVING:
            is_several = (
                self.selectionMode() is QAbstractItemView.SelectionMode.ExtendedSelection
                and event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            )
            return flag.SelectCurrent if is_several else flag.ClearAndSelect
        if event.key() == Qt.Key.Key_Space:
            return flag.NoUpdate
        return super().selectionCommand(index, event)
