"""The window itself: it stands at once, empty but in its colours, until the frame is in it."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Signal
from PySide6.QtGui import QCloseEvent, QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QMainWindow, QWidget

from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import TypeRole, Weight, metrics_for, type_font

SMALLEST = (640, 480)
NAME_LEFT = 20


class Curtain(QWidget):
    """Draws the parts of the window as they will stand: bars, rail, content and why panel."""

    painted = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._name = name
        self._has_told = False

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw grounds, hairlines and the name; tell the first time that it was done."""
        painter = QPainter(self)
        table, wide, high = colours_of(self.palette()), self.width(), self.height()
        sizes = metrics_for(self.font(), wide, high)
        line, foot = table.hairline, high - sizes.bottom_line
        painter.fillRect(self.rect(), table[Role.GROUND])
        beside = 0 if sizes.why_is_drawer else sizes.why_width
        content = QRectF(
            sizes.rail_width, sizes.top_bar, wide - sizes.rail_width - beside, foot - sizes.top_bar
        )
        painter.fillRect(content, table[Role.SURFACE])
        for area in (
            QRectF(0, sizes.top_bar - line, wide, line),
            QRectF(0, foot, wide, line),
            QRectF(sizes.rail_width - line, sizes.top_bar, line, content.height()),
            QRectF(content.right(), sizes.top_bar, line if beside else 0, content.height()),
        ):
            painter.fillRect(area, table[Role.LINE])
        self._paint_name(painter, sizes.top_bar - line)
        painter.end()
        if not self._has_told:
            self._has_told = True
            self.painted.emit()

    def _paint_name(self, painter: QPainter, bar: int) -> None:
        font = type_font(self.font(), TypeRole.BODY, Weight.SEMIBOLD)
        metrics = QFontMetricsF(font)
        painter.setFont(font)
        painter.setPen(colours_of(self.palette())[Role.INK])
        baseline = (bar - metrics.height()) / 2 + metrics.ascent()
        painter.drawText(QPointF(NAME_LEFT, baseline), self._name)


class Shell(QMainWindow):
    """The top-level window; `painted` tells that it can be seen, `closing` that it goes."""

    closing = Signal()

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setWindowTitle(f"{name} - tankkeeper")
        self.setMinimumSize(*SMALLEST)
        self.curtain = Curtain(name, self)
        self.setCentralWidget(self.curtain)

    def put_in(self, frame: QWidget) -> None:
        """Put the frame where the curtain was."""
        self.setCentralWidget(frame)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Tell that the window closes."""
        self.closing.emit()
        super().closeEvent(event)
