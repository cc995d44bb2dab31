"""Keys pressed while the rail has them: those of the view beside it act there all the same."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.frame import Frame

NOT_HERE = "The keys are in the tank rail. Return goes on to the list, where this key acts."
_INTO = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
# Without another key they go through the tanks, or find what is called so.
_WITH = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier


class RailKeys(QObject):
    """Gives the view what the rail has no use for, and says where a key of the list acts.

    A key with Ctrl or Alt acts in the view at once, as Esc does where it leaves a page. Return goes
    on into the view. What ticks or deletes acts only where the line is that it is about.
    """

    def __init__(self, frame: Frame, tell: Callable[[str], None], parent: QObject) -> None:
        super().__init__(parent)
        self._frame = frame
        self._tell = tell
        frame.rail.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take the key where the view has one like it."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._takes(event)
        return super().eventFilter(watched, event)

    def _takes(self, event: QKeyEvent) -> bool:
        key, page = Qt.Key(event.key()), self._frame.stack.currentWidget()
        if page is None:
            return False
        is_far = bool(event.modifiers() & _WITH) or key == Qt.Key.Key_Escape
        pressed = QKeySequence(event.keyCombination())
        mine = (one for one in _actions(page) if pressed in one.shortcuts() and one.isEnabled())
        action = next(mine, None)
        if is_far and action is not None:
            action.trigger()
            return True
        if key in _INTO and not event.modifiers() & _WITH:
            self._frame.next_area()
            return True
        if key in (Qt.Key.Key_Space, Qt.Key.Key_Delete) and action is not None:
            self._tell(NOT_HERE)
            return True
        return False


def _actions(page: QWidget) -> Iterator[QAction]:
    """Yield the actions of a page and of what can be seen in it."""
    yield from page.actions()
    for part in page.findChildren(QWidget):
        if part.actions() and part.isVisible():
            yield from part.actions()
