"""The window itself: it stands at once, empty but in its colours, until the frame is in it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, Signal
from PySide6.QtGui import QBrush, QCloseEvent, QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QMainWindow, QWidget

from tankkeeper.gui.palette import colours_of
from tankkeeper.gui.typography import TypeRole, metrics_for, type_font

SMALLEST = (640, 480)
NAME_LEFT = 20
# The property of the window that holds the folder of the file that was chosen last.
LAST_FOLDER = "last_folder"


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
        palette, wide, high = self.palette(), self.width(), self.height()
        sizes = metrics_for(self.font(), wide, high)
        line, foot = colours_of(palette).hairline, high - sizes.bottom_line
        beside = 0 if sizes.why_is_drawer else sizes.why_width
        left, top, right = sizes.rail_width, sizes.top_bar, wide - beside
        self._fill(painter, palette.window(), (0, 0, wide, high))
        self._fill(painter, palette.base(), (left, top, right - left, foot - top))
        for area in (
            (0, top - line, wide, line),
            (0, foot, wide, line),
            (left - line, top, line, foot - top),
            (right, top, line if beside else 0, foot - top),
        ):
            self._fill(painter, palette.mid(), area)
        self._paint_name(painter, top - line)
        painter.end()
        if not self._has_told:
            self._has_told = True
            self.painted.emit()

    def _fill(self, painter: QPainter, brush: QBrush, area: tuple[int, int, int, int]) -> None:
        """Fill an area. `fillRect` would do, but it loads Qt's whole namespace first (15 ms)."""
        painter.setBackground(brush)
        painter.eraseRect(*area)

    def _paint_name(self, painter: QPainter, bar: int) -> None:
        """Write the name; the painter of a widget has the pen for text already."""
        font = type_font(self.font(), TypeRole.BODY)
        metrics = QFontMetricsF(font)
        painter.setFont(font)
        baseline = (bar - metrics.height()) / 2 + metrics.ascent()
        painter.drawText(QPointF(NAME_LEFT, baseline), self._name)


class Shell(QMainWindow):
    """The top-level window; `painted` tells that it can be seen, `closing` that it goes."""

    closing = Signal()

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setWindowTitle(f"{name} - tankkeeper")
        self.setMinimumSize(*SMALLEST)
        # Asked before the window closes; where it says yes, it stays or goes out of sight by it.
        self.keeps: Callable[[], bool] | None = None
        # Asked before it ends; where it says yes, it stays and says why.
        self.holds: Callable[[], bool] | None = None
        # Whether the program closes it, and not a person at its frame.
        self._is_told = False
        self.curtain = Curtain(name, self)
        self.setCentralWidget(self.curtain)

    def put_in(self, frame: QWidget) -> None:
        """Put the frame where the curtain was."""
        self.setCentralWidget(frame)

    def end(self) -> None:
        """Close for good, whatever closing means otherwise."""
        keeps, self.keeps = self.keeps, None
        if not self.close():
            self.keeps = keeps

    def close(self) -> bool:
        """Close it as the program wishes; a person closes nothing under a form that stands."""
        self._is_told = True
        try:
            return super().close()
        finally:
            self._is_told = False

    def closeEvent(self, event: QCloseEvent) -> None:
        """Tell that the window closes."""
        from tankkeeper.gui.forms.standing_over import top_form

        if not self._is_told and top_form() is not None:
            event.ignore()
            return
        if self.keeps is not None and self.keeps():
            event.ignore()
            return
        if self.holds is not None and self.holds():
            event.ignore()
            return
        self.closing.emit()
        super().closeEvent(event)
