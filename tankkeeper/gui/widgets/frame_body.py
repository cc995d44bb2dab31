"""The ground on which the parts of the window stand, with the hairlines between them."""

from __future__ import annotations

from PySide6.QtCore import QRect, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Metrics
from tankkeeper.gui.widgets.focus import paint_ground


class FrameBody(QWidget):
    """Holds the parts, which are placed by hand: no layout is asked when it is resized.

    `resized` asks for them to be placed; `sizes` are those by which they were placed last.
    """

    resized = Signal()

    def __init__(self, sizes: Metrics, parent: QWidget) -> None:
        super().__init__(parent)
        self.sizes = sizes

    def hairlines(self, wide: int) -> list[QRect]:
        """Return the lines under the top bar, above the bottom line and beside the rail."""
        sizes = self.sizes
        width, height = self.width(), self.height()
        foot = height - sizes.bottom_line
        return [
            QRect(0, sizes.top_bar - wide, width, wide),
            QRect(0, foot, width, wide),
            QRect(sizes.rail_width - wide, sizes.top_bar, wide, foot - sizes.top_bar),
        ]

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Ask for the parts to be placed."""
        super().resizeEvent(event)
        self.resized.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw ground and hairlines between the parts."""
        painter = QPainter(self)
        table = colours_of(self.palette())
        paint_ground(painter, self.rect(), table[Role.GROUND])
        for line in self.hairlines(table.hairline):
            paint_ground(painter, line, table[Role.LINE])
