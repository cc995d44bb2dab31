"""The strips at the foot of the board: the minutes each person has to do, and what they give."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QApplication, QSizePolicy, QVBoxLayout, QWidget

from tankkeeper.gui.models.board_sheet import BoardSheet, StripSheet
from tankkeeper.gui.models.month_sheet import minutes_seen
from tankkeeper.gui.models.strip_model import ROWS_OF_ONE, StripModel
from tankkeeper.gui.palette import Colours, Role, colours_of
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.board_fold import (
    has_room_for_unit,
    paint_fold,
    paint_hatching,
    paint_idle,
)
from tankkeeper.gui.widgets.board_paint import paint_day_ground
from tankkeeper.gui.widgets.calendar_table import CalendarTable, TableHeads
from tankkeeper.gui.widgets.focus import paint_focus_ring, paint_ground
from tankkeeper.gui.widgets.letters import is_plain
from tankkeeper.gui.widgets.month_cells import CellStyle, style_for
from tankkeeper.gui.widgets.scrolling import use_slim_bar

BAR_PX = 22
LEAST_BAR_PX = 10
SHARE_OF_PAGE = 0.46
# On a page lower than this, at the usual type, the bands have the room: one line is left.
FOLDED_BELOW_PX = 300
# And on one lower than this, where the bars of all people would have less than this share of
# their usual height: number, line and name stand on each other then.
CROWDED_BELOW_PX = 400
LEAST_SHARE_OF_BAR = 0.75
# Where the keys are in the strips of such a page, that is what is looked at.
SHARE_WITH_KEYS = 0.6
LINE_WORDS = "what this person gives that day"
OVER_WORDS = "over it"
MORE_WORDS = "more than somebody gives that day"
_STEPS: Final = {
    Qt.Key.Key_Left: (0, -1),
    Qt.Key.Key_Right: (0, 1),
    Qt.Key.Key_Up: (-ROWS_OF_ONE, 0),
    Qt.Key.Key_Down: (ROWS_OF_ONE, 0),
}


class BoardStrips(QWidget):
    """A strip for each person, all on one scale, under a line that says what is drawn.

    On a low page they fold to one line with the minutes of all together, as long as the keys are
    elsewhere.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.is_folded = False
        self._page_height = 0
        self._edges: list[int] = [0, 1]
        self.table = StripTable(self)
        self.setAccessibleName("Minutes a day")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self.table)
        self.table.installEventFilter(self)

    @property
    def sheet(self) -> BoardSheet | None:
        """The board whose strips are shown."""
        return self.table.sheet

    def set_sheet(self, sheet: BoardSheet, page_height: int) -> None:
        """Show the strips of a board; on a low page their bars are lower."""
        self.table.set_sheet(sheet)
        self.fit(page_height)
        self.update()

    def set_edges(self, edges: list[int]) -> None:
        """Stand under these columns."""
        self._edges = edges
        self.table.set_edges(edges)
        if self.is_folded:
            self.fit(self._page_height)
        self.update()

    def fit(self, page_height: int) -> None:
        """Take the height the strips need; more than half a page is scrolled through."""
        sheet = self.sheet
        if sheet is None or not sheet.strips:
            self.setFixedHeight(0)
            return
        style = style_for(self.font())
        self._page_height = page_height
        head = self._head()
        is_low = page_height < style.metrics.px(FOLDED_BELOW_PX)
        if page_height < style.metrics.px(CROWDED_BELOW_PX):
            room = page_height * SHARE_OF_PAGE - head
            is_low = is_low or self.table.bar_share(room) < LEAST_SHARE_OF_BAR
        self._fold(is_low and not self._has_keys())
        self._describe(sheet)
        if self.is_folded:
            lines = 1 if has_room_for_unit(sheet, self._edges, style) else 2
            self.setFixedHeight(round(lines * style.line + Space.XS))
            return
        self._column.setContentsMargins(0, head, 0, 0)
        room = page_height * (SHARE_WITH_KEYS if is_low else SHARE_OF_PAGE) - head
        needed = self.table.fit(room)
        self.setFixedHeight(round(head + max(min(needed, room), self.table.least())))

    def _has_keys(self) -> bool:
        return QApplication.focusWidget() in (self, self.table)

    def _fold(self, is_folded: bool) -> None:
        """Fold to one line, which takes the keys in place of the table, or unfold again."""
        self.is_folded = is_folded
        policy = Qt.FocusPolicy
        self.setFocusPolicy(policy.StrongFocus if is_folded else policy.NoFocus)
        self.table.setHidden(is_folded)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Unfold, and let the keys go from day to day and from person to person."""
        super().focusInEvent(event)
        self._refit()
        self.table.setFocus(event.reason())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Fold again once the keys are elsewhere."""
        is_done = super().eventFilter(watched, event)
        if event.type() == QEvent.Type.FocusOut and not self._has_keys():
            self._refit()
        return is_done

    def _refit(self) -> None:
        self.fit(self._page_height)
        self.update()

    def _describe(self, sheet: BoardSheet) -> None:
        """Tell a screen reader what is drawn; of a fold, what its strips would say."""
        signs = (
            [f"A heavy line: {LINE_WORDS}", f"Hatched: {OVER_WORDS}"] if sheet.has_limits else []
        )
        told = [one.sentence for one in sheet.strips] if self.is_folded else signs
        parts = [*told, *([sheet.idle_told] if sheet.idle else [])]
        self.setAccessibleDescription(" ".join(f"{part}." for part in parts))

    def _head(self) -> int:
        return round(style_for(self.font()).line + Space.XS)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the heading and what line and hatching mean, over the grounds of the days."""
        sheet = self.sheet
        if sheet is None or not sheet.strips:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        table, style = colours_of(self.palette()), style_for(self.font())
        for column, (left, right) in enumerate(pairwise(self._edges)):
            if column < len(sheet.days):
                high = self.height() if self.is_folded else self._head()
                area = QRectF(left, 0, right - left, high)
                paint_day_ground(painter, sheet, column, area, table)
        line = QRectF(0, 0, self._edges[-1], table.hairline)
        paint_ground(painter, line, table[Role.EDGE])
        y = Space.XXS + style.ascent
        if self.is_folded:
            has_unit = has_room_for_unit(sheet, self._edges, style)
            if not has_unit:
                x = self._paint_heading(painter, sheet, y, style, table)
                self._paint_over(painter, x, y, MORE_WORDS, table)
                y += style.line
            paint_fold(painter, sheet, self._edges, y, style, table, has_unit=has_unit)
            return
        x = self._paint_heading(painter, sheet, y, style, table)
        painter.setFont(style.plain)
        painter.setPen(table[Role.INK_2])
        if sheet.has_limits:
            x = self._paint_limits(painter, x, y, style, table)
        paint_idle(painter, sheet, QPointF(x, y), self.width() - x - Space.XS, style)

    def _paint_limits(
        self, painter: QPainter, x: float, y: float, style: CellStyle, table: Colours
    ) -> float:
        """Draw what the lines and the hatching mean, and return where it can go on."""
        middle = y - style.plain_metrics.capHeight() / 2
        painter.setPen(QPen(table[Role.INK], 2))
        painter.drawLine(QPointF(x, middle), QPointF(x + 18, middle))
        painter.setPen(table[Role.INK_2])
        painter.drawText(QPointF(x + 24, y), LINE_WORDS)
        x += 24 + style.plain_metrics.horizontalAdvance(LINE_WORDS) + Space.M
        return self._paint_over(painter, x, y, OVER_WORDS, table)

    def _paint_heading(
        self, painter: QPainter, sheet: BoardSheet, y: float, style: CellStyle, table: Colours
    ) -> float:
        """Draw what the strips are of, and return where it can go on."""
        painter.setFont(style.strong)
        painter.setPen(table[Role.INK])
        name = heading_of(sheet)
        painter.drawText(QPointF(8, y), name)
        return 8 + style.strong_metrics.horizontalAdvance(name) + Space.M

    def _paint_over(
        self, painter: QPainter, x: float, y: float, words: str, table: Colours
    ) -> float:
        """Draw what hatching means, and return where it can go on."""
        style = style_for(self.font())
        middle = y - style.plain_metrics.capHeight() / 2
        paint_hatching(painter, QRectF(x, middle - 5, 14, 10), table)
        painter.setFont(style.plain)
        painter.setPen(table[Role.INK_2])
        painter.drawText(QPointF(x + 20, y), words)
        return x + 20 + style.plain_metrics.horizontalAdvance(words) + Space.M


def heading_of(sheet: BoardSheet) -> str:
    """Return the heading, with what is counted where the board is of one tank alone.

    A day has its minutes only once, whatever tank is chosen.
    """
    return "Minutes a day" if sheet.view.tank is None else "Minutes a day, whole house"


class StripTable(CalendarTable[BoardSheet]):
    """A line with the name of each person, and below it their days: bar, number, what is given."""

    def __init__(self, parent: QWidget) -> None:
        self._model = StripModel()
        super().__init__("Minutes a day", self._model, TableHeads("Days", None), parent)
        self.horizontalHeader().hide()
        self._bar = float(BAR_PX)
        self._edges: list[int] = [0, 1]
        use_slim_bar(self)

    def set_sheet(self, sheet: BoardSheet) -> None:
        """Show the strips of a board; the keys stay on their day, with the same person."""
        here = self.currentIndex()
        strip, row, column = self._model.strip_at(here.row()), here.row(), here.column()
        names = [one.name for one in sheet.strips]
        if strip is not None and strip.name in names:
            row = names.index(strip.name) * ROWS_OF_ONE + 1
        row = min(row, len(names) * ROWS_OF_ONE - 1)
        self.setAccessibleName(heading_of(sheet))
        self._model.set_sheet(sheet)
        self.clearSpans()
        for at in range(0, self._model.rowCount(), ROWS_OF_ONE):
            if len(sheet.days) > 1:
                self.setSpan(at, 0, 1, len(sheet.days))
        self.arrange()
        self._go_to(max(row, 1), max(column, 0))

    def set_edges(self, edges: list[int]) -> None:
        """Let the days stand under these columns."""
        self._edges = edges
        self.arrange()

    def fit(self, room: float) -> float:
        """Make the bars as high as the room allows; return the height that all strips need."""
        scale = self.styled().metrics.scale
        self._bar = min(max(self._free(room), LEAST_BAR_PX * scale), BAR_PX * scale)
        self.arrange()
        return float(sum(self.rowHeight(row) for row in range(self._model.rowCount())))

    def bar_share(self, room: float) -> float:
        """Return how high the bars could be in this room, as a share of their usual height."""
        return self._free(room) / (BAR_PX * self.styled().metrics.scale)

    def _free(self, room: float) -> float:
        """Return the height that the words leave to each bar."""
        count = max(1, self._model.rowCount() // ROWS_OF_ONE)
        return room / count - self._words()

    def least(self) -> float:
        """Return the height of one strip."""
        return float(self.rowHeight(0) + self.rowHeight(1))

    def arrange(self) -> None:
        """Give names and days their heights, and the days their widths."""
        if self.sheet is None:
            return
        name, line = self._name_high(), self.styled().line
        with self.sized_at_once():
            self.set_columns(self._edges)
            for row in range(self._model.rowCount()):
                is_name = self._model.is_name(row)
                self.setRowHeight(row, round(name if is_name else line - 1 + self._bar))

    def _name_high(self) -> float:
        return self.styled().line

    def _words(self) -> float:
        """Return the height of the name and of the numbers over a strip."""
        return 2 * self.styled().line - 1

    def note_current(self, index: QModelIndex) -> bool:
        """Tell whether the keys are on a day."""
        return index.isValid() and not self._model.is_name(index.row())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go from day to day, and from person to person."""
        step = _STEPS.get(Qt.Key(event.key()))
        if step is None or not is_plain(event):
            super().keyPressEvent(event)
            return
        here = self.currentIndex()
        self._go_to(here.row() + step[0], here.column() + step[1])

    def _go_to(self, row: int, column: int) -> None:
        """Let a day have the keys, and bring it into view with the name over it."""
        index = self._model.index(row, column)
        if index.isValid():
            self.setCurrentIndex(index)
            self.scrollTo(index)
            self.scrollTo(self._model.index(row - 1, column))

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Draw where the keys are."""
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Draw the keys' place as left."""
        super().focusOutEvent(event)
        self.viewport().update()

    def paint_cell(self, painter: QPainter, area: QRect, row: int, column: int) -> None:
        """Draw a name over the grounds of all days, or one day."""
        sheet, strip = self.sheet, self._model.strip_at(row)
        if sheet is None or strip is None:
            return
        table, style = colours_of(self.palette()), self.styled()
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self._model.is_name(row):
            for at in range(len(sheet.days)):
                paint_day_ground(painter, sheet, at, QRectF(self.area_of(row, at)), table)
            self._paint_name(painter, strip, area, style, table)
        else:
            # The view has drawn the ground of a selection, which is not ours.
            paint_ground(painter, area, table[Role.SURFACE])
            paint_day_ground(painter, sheet, column, QRectF(area), table)
            self._paint_day(painter, strip, column, QRectF(area), style, table)
            foot = area.bottom() + 1 - table.hairline
            line = QRect(area.left(), foot, area.width(), table.hairline)
            paint_ground(painter, line, table[Role.LINE])
            if self.hasFocus() and self.is_current(row, column):
                paint_focus_ring(painter, QRectF(area), table)
        painter.restore()

    def _paint_name(
        self, painter: QPainter, one: StripSheet, area: QRect, style: CellStyle, table: Colours
    ) -> None:
        y = area.top() + style.ascent
        metrics, total = style.strong_metrics, style.plain_metrics.horizontalAdvance(one.total)
        room = area.width() - total - 24
        name = metrics.elidedText(one.name, Qt.TextElideMode.ElideRight, room)
        painter.setFont(style.strong)
        painter.setPen(table[Role.INK])
        painter.drawText(QPointF(area.left() + 8, y), name)
        painter.setFont(style.plain)
        painter.setPen(table[Role.INK_2])
        x = area.left() + 16 + metrics.horizontalAdvance(name)
        painter.drawText(QPointF(x, y), one.total)

    def _highest(self) -> int:
        """Return the most minutes of any day, on which all bars are scaled."""
        strips = [one.strip for one in self.sheet.strips] if self.sheet is not None else []
        return max(1, *(max((*one.minutes, *filter(None, one.gives or ()))) for one in strips))

    def _paint_day(
        self,
        painter: QPainter,
        one: StripSheet,
        column: int,
        area: QRectF,
        style: CellStyle,
        table: Colours,
    ) -> None:
        left, wide, foot = area.left(), area.width(), area.bottom() - table.hairline
        bar_left, bar_wide = left + wide * 0.24, wide * 0.52
        per_minute = (self._bar - table.hairline) / self._highest()
        minutes, over = one.strip.minutes[column], one.strip.over(column)
        high, within = minutes * per_minute, (minutes - over) * per_minute
        bar = QRectF(bar_left, foot - within, bar_wide, within)
        paint_ground(painter, bar, table[Role.WATER_DEEP])
        if over:
            hatched = QRectF(bar_left, foot - high, bar_wide, high - within)
            paint_hatching(painter, hatched, table)
        line = 0.0
        given = one.strip.given(column)
        if given is not None:
            line = given * per_minute
            painter.setPen(QPen(table[Role.INK], 2))
            y = foot - max(line, 1.0)
            painter.drawLine(QPointF(left + wide * 0.16, y), QPointF(left + wide * 0.84, y))
        text = minutes_seen(minutes, one.strip.waiting_on(column))
        painter.setFont(style.strong if over else style.plain)
        metrics = style.strong_metrics if over else style.plain_metrics
        painter.setPen(table[Role.OVERDUE if over else Role.INK_2])
        x = left + (wide - metrics.horizontalAdvance(text)) / 2
        painter.drawText(QPointF(x, foot - max(high, line) - 3), text)
