"""Letters that are typed beside the lines of a page: they begin to find there as well."""

from __future__ import annotations

from collections.abc import Callable, Collection

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QKeyEvent

from tankkeeper.gui.frame import Frame
from tankkeeper.gui.widgets.letters import letter_of


class LettersBeside(QObject):
    """Begins to find with a letter that no part of the window took, while one of `views` is shown.

    Such a key comes to the frame in the end, from the why panel as from every button. Only the rail
    has a use of its own for letters, which it keeps elsewhere.
    """

    def __init__(
        self,
        frame: Frame,
        find: Callable[[str], None],
        views: Collection[str],
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._frame = frame
        self._find = find
        self._views = views
        for part in (frame, frame.rail):
            part.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take a letter, so that what is typed behind it comes to the find bar."""
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            letter = letter_of(event)
            if letter and self._is_view_shown():
                event.accept()
                self._find(letter)
                return True
        return False

    def _is_view_shown(self) -> bool:
        """Tell whether nothing stands in the place of a view in which is found by typing."""
        frame = self._frame
        return frame.view_id in self._views and frame.has_why and not frame.is_covered
