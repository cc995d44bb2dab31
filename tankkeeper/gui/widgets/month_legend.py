"""The line under the month: every mark with its word, and apart from them what has no thread."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from tankkeeper.gui.marks import Mark, paint_mark
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, Weight, line_height, metrics_for, type_font
from tankkeeper.reports.rows import CAN_WAIT

WORDS = (
    (Mark.OVERDUE, "overdue, with its wait"),
    (Mark.DUE, "due today"),
    (Mark.MAY_WAIT, CAN_WAIT),
    (Mark.PROJECTED, "projected"),
    (Mark.DONE, "done"),
    (Mark.SKIPPED, "skipped"),
    (Mark.PAUSED, "paused"),
)


class MonthLegend(QWidget):
    """Marks with their words, in as many rows as they need."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._more = ""
        self.setAccessibleName("Marks: " + ", ".join(words for _, words in WORDS))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def set_more(self, words: str) -> None:
        """Say how many of the overdue turns have a thread, where not all have one."""
        self._more = words
        self.setAccessibleDescription(f"Overdue: {words}." if words else "")
        self._fit()
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take as many rows as the width asks for."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        rows = self._placed()[-1][1] + 1
        self.setFixedHeight(rows * line_height(self.font(), TypeRole.CAPTION) + 2 * Space.XXS)

    def _placed(self) -> list[tuple[float, int]]:
        """Return x and row of every word, at last that of the rest, which is no mark.

        It ends the line on the other side, on one of its own where it would not stand apart.
        """
        metrics = QFontMetricsF(type_font(self.font(), TypeRole.CAPTION))
        mark = metrics_for(self.font()).mark_small
        x, row = float(Space.XS), 0
        places = []
        widths = [mark + 4 + metrics.horizontalAdvance(words) for _, words in WORDS]
        for wide in widths:
            if x + wide > self.width() and x > Space.XS:
                x, row = float(Space.XS), row + 1
            places.append((x, row))
            x += wide + Space.M
        if self._more:
            strong = QFontMetricsF(type_font(self.font(), TypeRole.CAPTION, Weight.SEMIBOLD))
            left = self.width() - Space.XS - strong.horizontalAdvance(self._more)
            is_apart = left >= x - Space.M + Space.XXL
            places.append((left, row) if is_apart else (float(Space.XS), row + 1))
        return places

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw marks and words."""
        painter = QPainter(self)
        table, base = colours_of(self.palette()), self.font()
        font = type_font(base, TypeRole.CAPTION)
        metrics, size = QFontMetricsF(font), metrics_for(base).mark_small
        line = line_height(base, TypeRole.CAPTION)
        for (x, row), entry in zip(self._placed(), [*WORDS, None], strict=False):
            baseline = Space.XXS + row * line + (line - metrics.height()) / 2 + metrics.ascent()
            if entry is None:
                painter.setFont(type_font(base, TypeRole.CAPTION, Weight.SEMIBOLD))
                painter.setPen(table[Role.OVERDUE])
                painter.drawText(QPointF(x, baseline), self._more)
                continue
            mark, words = entry
            middle = baseline - metrics.capHeight() / 2
            paint_mark(painter, mark, QPointF(x, middle - size / 2), size, table)
            painter.setFont(font)
            painter.setPen(table[Role.INK_2])
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawText(QPointF(x + size + 4, baseline), words)
