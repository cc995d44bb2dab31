"""A slim scroll bar without arrows, and how lists and tables of ours scroll and look."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from PySide6.QtCore import QPoint, QRectF, QSize, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QAbstractScrollArea,
    QAbstractSlider,
    QFrame,
    QScrollArea,
    QScrollBar,
    QWidget,
)

from tankkeeper.gui.palette import Role, colours_of

BAR_WIDTH: Final = 12
_THUMB = 6
_SHORTEST_THUMB = 32
_SCROLLING: Final[Mapping[int, QAbstractSlider.SliderAction]] = MappingProxyType(
    {
        Qt.Key.Key_PageUp: QAbstractSlider.SliderAction.SliderPageStepSub,
        Qt.Key.Key_PageDown: QAbstractSlider.SliderAction.SliderPageStepAdd,
        Qt.Key.Key_Home: QAbstractSlider.SliderAction.SliderToMinimum,
        Qt.Key.Key_End: QAbstractSlider.SliderAction.SliderToMaximum,
    }
)


class SlimScrollBar(QScrollBar):
    """A thumb in the colour of borders; it is dragged, and the wheel and the keys move it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Vertical, parent)
        self.setAccessibleName("Scroll")
        self._grip: float | None = None

    def sizeHint(self) -> QSize:
        """Return a narrow strip."""
        return QSize(BAR_WIDTH, 60)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the thumb where the view stands."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colours_of(self.palette())[Role.EDGE])
        painter.drawRoundedRect(self._thumb(), _THUMB / 2, _THUMB / 2)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of the thumb, or go on by a page towards the mouse."""
        y, thumb = event.position().y(), self._thumb()
        if thumb.top() <= y <= thumb.bottom():
            self._grip = y - thumb.top()
        else:
            is_above = y < thumb.top()
            action = QAbstractSlider.SliderAction
            self.triggerAction(action.SliderPageStepSub if is_above else action.SliderPageStepAdd)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Let the view follow the thumb."""
        free = self.height() - 4 - self._thumb().height()
        if self._grip is not None and free > 0:
            share = (event.position().y() - self._grip - 2) / free
            span = self.maximum() - self.minimum()
            self.setValue(self.minimum() + round(share * span))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let the thumb go."""
        self._grip = None

    def _thumb(self) -> QRectF:
        span = self.maximum() - self.minimum()
        track = float(self.height() - 4)
        if span <= 0:
            return QRectF()
        high = max(_SHORTEST_THUMB, track * self.pageStep() / (span + self.pageStep()))
        top = 2 + (track - high) * (self.value() - self.minimum()) / span
        return QRectF((self.width() - _THUMB) / 2, top, _THUMB, high)


def use_slim_bar(area: QAbstractScrollArea) -> None:
    """Give a list or a panel the slim bar; its strip is kept free, so that nothing jumps."""
    area.setVerticalScrollBar(SlimScrollBar(area))
    area.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)


def bring_whole(area: QScrollArea, part: QWidget, around: int = 0) -> None:
    """Bring a part into view with all of its frame; of one that is too high its top or its cursor.

    Qt alone looks at the cursor where there is one, and leaves the frame below it cut.
    """
    inside = area.widget()
    if inside is None:
        return
    top = part.mapTo(inside, QPoint(0, 0)).y()
    area.ensureVisible(0, top + part.height(), 0, around)
    area.ensureVisible(0, top, 0, around)
    area.ensureWidgetVisible(part, 0, 0)


def scrolls(area: QAbstractScrollArea, event: QKeyEvent) -> bool:
    """Scroll by PgUp, PgDn, Home and End, whichever part has the keys; tell whether it was one."""
    if event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
        return False
    to, bar = _SCROLLING.get(event.key()), area.verticalScrollBar()
    if to is None:
        return False
    event.accept()
    bar.triggerAction(to)
    return True


def look_quiet(view: QAbstractItemView) -> None:
    """Let a list or a table be read and chosen from: no frame, no editing, and it glides."""
    view.setFrameShape(QFrame.Shape.NoFrame)
    view.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    view.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
