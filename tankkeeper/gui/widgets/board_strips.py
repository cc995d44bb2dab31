"""The strips at the foot of the board: the minutes each person has to do, and what they give."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from tankkeeper.gui.models.board_sheet import BoardSheet, StripSheet
from tankkeeper.gui.palette import Colours, Role, colours_of
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.board_paint import paint_day_ground
from tankkeeper.gui.widgets.focus import paint_ground
from tankkeeper.gui.widgets.month_cells import CellStyle, style_for

BAR_PX = 22
LEAST_BAR_PX = 10
SHARE_OF_PAGE = 0.46
LINE_WORDS = "what this person gives that day"
OVER_WORDS = "over it"


class BoardStrips(QWidget):
    """A strip for each person, all on one scale: bar, number, and a line for what is given."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._sheet: BoardSheet | None = None
        self._edges: list[int] = [0, 1]
        self._bar = float(BAR_PX)
        self.setAccessibleName("Minutes a day")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def set_sheet(self, sheet: BoardSheet, page_height: int) -> None:
        """Show the strips of a board; on a low page their bars are lower."""
        self._sheet = sheet
        self.setAccessibleDescription(" ".join(one.sentence for one in sheet.strips))
        self.fit(page_height)
        self.update()

    def set_edges(self, edges: list[int]) -> None:
        """Stand under these columns."""
        self._edges = edges
        self.update()

    def fit(self, page_height: int) -> None:
        """Take the height the strips need, with as much bar as the page has room for."""
        sheet = self._sheet
        if sheet is None or not sheet.strips:
            self.setFixedHeight(0)
            return
        style, count = style_for(self.font()), len(sheet.strips)
        words = self._words(style)
        free = page_height * SHARE_OF_PAGE - self._head(style) - count * words
        scale = style.metrics.scale
        self._bar = min(max(free / count, LEAST_BAR_PX * scale), BAR_PX * scale)
        self.setFixedHeight(round(self._head(style) + count * (words + self._bar)))

    def _head(self, style: CellStyle) -> float:
        return style.line + Space.XS

    def _words(self, style: CellStyle) -> float:
        """Return the height of the name and of the numbers over a strip."""
        return 2 * style.line - 1

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the strips under their columns."""
        sheet = self._sheet
        if sheet is None or not sheet.strips:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        table, style = colours_of(self.palette()), style_for(self.font())
        right = float(self._edges[-1])
        for column in range(len(sheet.days)):
            area = QRectF(self._left(column), 0, self._wide(column), self.height())
            paint_day_ground(painter, sheet, column, area, table)
        paint_ground(painter, QRectF(0, 0, right, table.hairline), table[Role.EDGE])
        self._paint_head(painter, style, table)
        highest = max(
            1,
            *(
                max((*one.strip.minutes, *filter(None, one.strip.gives or ())))
                for one in sheet.strips
            ),
        )
        top = self._head(style)
        for one in sheet.strips:
            self._paint_strip(painter, one, top, highest, style, table)
            top += self._words(style) + self._bar
            line = QRectF(0, top - table.hairline, right, table.hairline)
            paint_ground(painter, line, table[Role.LINE])

    def _left(self, column: int) -> float:
        return float(self._edges[column])

    def _wide(self, column: int) -> float:
        return float(self._edges[column + 1] - self._edges[column])

    def _paint_head(self, painter: QPainter, style: CellStyle, table: Colours) -> None:
        """Draw the heading and what line and hatching mean."""
        y = Space.XXS + style.ascent
        painter.setFont(style.strong)
        painter.setPen(table[Role.INK])
        painter.drawText(QPointF(8, y), "Minutes a day")
        x = 8 + style.strong_metrics.horizontalAdvance("Minutes a day") + Space.M
        middle = y - style.plain_metrics.capHeight() / 2
        painter.setPen(QPen(table[Role.INK], 2))
        painter.drawLine(QPointF(x, middle), QPointF(x + 18, middle))
        painter.setFont(style.plain)
        painter.setPen(table[Role.INK_2])
        painter.drawText(QPointF(x + 24, y), LINE_WORDS)
        x += 24 + style.plain_metrics.horizontalAdvance(LINE_WORDS) + Space.M
        self._hatch(painter, QRectF(x, middle - 5, 14, 10), table)
        painter.setPen(table[Role.INK_2])
        painter.drawText(QPointF(x + 20, y), OVER_WORDS)

    def _hatch(self, painter: QPainter, area: QRectF, table: Colours) -> None:
        painter.setPen(QPen(table[Role.OVERDUE], 1))
        painter.setBrush(QBrush(table[Role.OVERDUE], Qt.BrushStyle.BDiagPattern))
        painter.drawRect(area.adjusted(0.5, 0.5, -0.5, -0.5))

    def _paint_strip(
        self,
        painter: QPainter,
        one: StripSheet,
        top: float,
        highest: int,
        style: CellStyle,
        table: Colours,
    ) -> None:
        y = top + style.ascent
        painter.setFont(style.strong)
        painter.setPen(table[Role.INK])
        painter.drawText(QPointF(8, y), one.name)
        x = 16 + style.strong_metrics.horizontalAdvance(one.name)
        painter.setFont(style.plain)
        painter.setPen(table[Role.INK_2])
        painter.drawText(QPointF(x, y), one.total)
        foot = top + self._words(style) + self._bar - table.hairline
        for column, minutes in enumerate(one.strip.minutes):
            self._paint_day(painter, one, column, minutes, foot, highest, style, table)

    def _paint_day(
        self,
        painter: QPainter,
        one: StripSheet,
        column: int,
        minutes: int,
        foot: float,
        highest: int,
        style: CellStyle,
        table: Colours,
    ) -> None:
        left, wide = self._left(column), self._wide(column)
        bar_left, bar_wide = left + wide * 0.24, wide * 0.52
        per_minute = self._bar / highest
        over = one.strip.over(column)
        high, within = minutes * per_minute, (minutes - over) * per_minute
        paint_ground(
            painter, QRectF(bar_left, foot - within, bar_wide, within), table[Role.WATER_DEEP]
        )
        if over:
            self._hatch(painter, QRectF(bar_left, foot - high, bar_wide, high - within), table)
        line = 0.0
        given = one.strip.given(column)
        if given is not None:
            line = given * per_minute
            painter.setPen(QPen(table[Role.INK], 2))
            y = foot - max(line, 1.0)
            painter.drawLine(QPointF(left + wide * 0.16, y), QPointF(left + wide * 0.84, y))
        text = str(minutes)
        font, metrics = style.plain, style.plain_metrics
        if over:
            font, metrics = style.strong, style.strong_metrics
        painter.setFont(font)
        painter.setPen(table[Role.OVERDUE if over else Role.INK_2])
        x = left + (wide - metrics.horizontalAdvance(text)) / 2
        painter.drawText(QPointF(x, foot - max(high, line) - 3), text)
