"""The days above the columns of the board."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QPainter

from tankkeeper.gui.models.board_model import BoardModel
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, Weight, line_height, type_font
from tankkeeper.gui.widgets.board_paint import paint_day_ground
from tankkeeper.gui.widgets.calendar_table import TableHeads
from tankkeeper.gui.widgets.focus import paint_ground


class BoardHeads(TableHeads):
    """Weekday and number above each column."""

    def __init__(self) -> None:
        super().__init__("Days", None)

    def sizeHint(self) -> QSize:
        """Return the height of two small lines."""
        return QSize(100, 2 * line_height(self.font(), TypeRole.CAPTION) + Space.XXS)

    def paintSection(self, painter: QPainter, rect: QRect, logicalIndex: int) -> None:  # noqa: N803 -- as Qt names it
        """Draw one day."""
        model = self.model()
        sheet = model.sheet if isinstance(model, BoardModel) else None
        if sheet is None or logicalIndex >= len(sheet.heads):
            return
        table = colours_of(self.palette())
        paint_ground(painter, rect, table[Role.SURFACE])
        paint_day_ground(painter, sheet, logicalIndex, QRectF(rect), table)
        weekday, number = sheet.heads[logicalIndex]
        is_today = logicalIndex == 0
        line = line_height(self.font(), TypeRole.CAPTION)
        upper = QRect(rect.left(), rect.top() + 2, rect.width(), line)
        painter.setPen(table[Role.SEA if is_today else Role.INK_2])
        painter.setFont(type_font(self.font(), TypeRole.CAPTION, Weight.MEDIUM))
        painter.drawText(upper, Qt.AlignmentFlag.AlignCenter, weekday)
        painter.setPen(table[Role.SEA if is_today else Role.INK])
        painter.setFont(type_font(self.font(), TypeRole.CAPTION, Weight.SEMIBOLD))
        painter.drawText(upper.translated(0, line - 1), Qt.AlignmentFlag.AlignCenter, number)
