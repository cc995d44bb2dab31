"""The marks of calendar cells, drawn once for a scheme and a screen."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPixmap

from tankkeeper.gui.marks import Mark, paint_mark
from tankkeeper.gui.palette import Colours


class MarkStore:
    """Pixmaps by mark, size, scheme and ratio."""

    def __init__(self) -> None:
        self._drawn: dict[tuple[Mark, int, str, float], QPixmap] = {}

    def pixmap(self, mark: Mark, size: int, table: Colours, ratio: float) -> QPixmap:
        """Return a mark as a picture of `size` pixels."""
        key = (mark, size, table.scheme.value, ratio)
        found = self._drawn.get(key)
        if found is None:
            found = QPixmap(round(size * ratio), round(size * ratio))
            found.setDevicePixelRatio(ratio)
            found.fill(Qt.GlobalColor.transparent)
            painter = QPainter(found)
            paint_mark(painter, mark, QPointF(0, 0), size, table)
            painter.end()
            self._drawn[key] = found
        return found
