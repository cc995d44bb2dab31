"""The month as a table: arrow keys move the day, and the threads run over its cells."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from tankkeeper.core.calendar_days import LAST_MONTH, month_of
from tankkeeper.gui.marks import Mark, mark_role
from tankkeeper.gui.models.month_model import MonthModel
from tankkeeper.gui.models.month_sheet import DayCell, MonthSheet
from tankkeeper.gui.palette import Colours, Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, Weight, line_height, type_font
from tankkeeper.gui.widgets.focus import paint_focus_ring, paint_ground
from tankkeeper.gui.widgets.month_cells import (
    LANE,
    PAD,
    CellStyle,
    DrawnCell,
    DrawnLine,
    lay_out_cell,
    least_height,
    style_for,
)
from tankkeeper.gui.widgets.month_marks import MarkStore
from tankkeeper.gui.widgets.scrolling import SlimScrollBar

THIS_WEEK: Final = 1.7
PAST_WEEK: Final = 0.86
_STEPS: Final = {
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_Up: -7,
    Qt.Key.Key_Down: 7,
}
_QUIET: Final = frozenset({Mark.DONE, Mark.SKIPPED, Mark.PAUSED, Mark.PROJECTED})
_THREAD = 2.0
_HEAD = 4.0


class MonthHeads(QHeaderView):
    """The weekdays above their columns, without boxes."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setAccessibleName("Weekdays")
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setMinimumSectionSize(1)
        self.setSectionsClickable(False)
        self.setHighlightSections(False)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def sizeHint(self) -> QSize:
        """Return the height of one small line with room."""
        return QSize(100, line_height(self.font(), TypeRole.CAPTION) + Space.XS)

    def paintSection(self, painter: QPainter, rect: QRect, logicalIndex: int) -> None:  # noqa: N803 -- as Qt names it
        """Draw a weekday; that of today is heavier."""
        model = self.model()
        sheet = model.sheet if isinstance(model, MonthModel) else None
        if sheet is None:
            return
        table = colours_of(self.palette())
        paint_ground(painter, rect, table[Role.SURFACE])
        week = sheet.week_of_today
        is_today = week >= 0 and sheet.weeks[week][logicalIndex].is_today
        weight = Weight.SEMIBOLD if is_today else Weight.MEDIUM
        painter.setFont(type_font(self.font(), TypeRole.CAPTION, weight))
        painter.setPen(table[Role.SEA if is_today else Role.INK_2])
        flags = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        painter.drawText(rect.adjusted(PAD, 0, 0, 0), flags, sheet.heads[logicalIndex])


class MonthDelegate(QStyledItemDelegate):
    """Draws a day; what stands where was worked out before."""

    def __init__(self, view: MonthTable) -> None:
        super().__init__(view)
        self._view = view

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw ground, number, minutes and lines."""
        self._view.paint_cell(painter, QRect(option.rect), index.row(), index.column())


class MonthTable(QTableView):
    """Weeks as rows; `picked` tells that another day has the keys, `day_opened` opens it.

    `month_wanted` tells a day of a month that is not shown.
    """

    picked = Signal()
    day_opened = Signal(object)
    month_wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._model = MonthModel(self)
        self._marks = MarkStore()
        self._style: CellStyle | None = None
        self._drawn: dict[tuple[int, int], DrawnCell] = {}
        self._day: date | None = None
        self._build()

    def _build(self) -> None:
        self.setAccessibleName("Month")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setModel(self._model)
        self.setHorizontalHeader(MonthHeads(self))
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(1)
        self.setItemDelegate(MonthDelegate(self))
        self.setShowGrid(False)
        self.setCornerButtonEnabled(False)
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        # Only type so large that six weeks with a line each are higher than the page needs it.
        self.setVerticalScrollBar(SlimScrollBar(self))
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.selectionModel().currentChanged.connect(self._on_current)

    @property
    def sheet(self) -> MonthSheet | None:
        """The month that is shown."""
        return self._model.sheet

    @property
    def day(self) -> date | None:
        """The day that has the keys."""
        return self._day

    def current_cell(self) -> DayCell | None:
        """Return the cell that has the keys."""
        return self._model.cell_at(self.currentIndex())

    def set_sheet(self, sheet: MonthSheet, day: date) -> None:
        """Show a month with the keys on this day."""
        self._drawn.clear()
        self._day = day
        self._model.set_sheet(sheet)
        self._arrange()
        self.go_to(day)
        self.viewport().update()

    def go_to(self, day: date) -> None:
        """Let a day have the keys, asking for its month where it is not shown."""
        sheet = self.sheet
        if sheet is None:
            return
        place = sheet.place_of(day)
        self._day = day
        if place is None:
            self.month_wanted.emit(day)
            return
        self.setCurrentIndex(self._model.index(*place))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move by a day or by a week, also into the months before and after."""
        step = _STEPS.get(Qt.Key(event.key()))
        if step is None or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            event.ignore()
            return
        if self._day is None or self.sheet is None:
            return
        number = self._day.toordinal() + step
        if not 32 <= number < LAST_MONTH.toordinal():
            return
        day = self._day + timedelta(days=step)
        if month_of(day) != self.sheet.month:
            self._day = day
            self.month_wanted.emit(day)
        else:
            self.go_to(day)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Open the day."""
        cell = self._model.cell_at(self.indexAt(event.position().toPoint()))
        if cell is not None:
            self.day_opened.emit(cell.day)
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Let a day have the keys; the line that tells of more opens it."""
        at = event.position().toPoint()
        index = self.indexAt(at)
        cell = self._model.cell_at(index)
        if cell is None:
            event.accept()
            return
        super().mousePressEvent(event)
        area = self.visualRect(index)
        drawn = self._cell(index.row(), index.column(), area)
        more = drawn.lines[-1] if drawn.lines and drawn.lines[-1].mark is None else None
        if more is not None and at.y() >= area.top() + more.y - self._styled().ascent:
            self.day_opened.emit(cell.day)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the weeks their heights anew."""
        super().resizeEvent(event)
        self._arrange()

    def changeEvent(self, event: QEvent) -> None:
        """Measure anew with another font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._style = None
            self._arrange()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the cells, then the threads over them."""
        super().paintEvent(event)
        sheet = self.sheet
        if sheet is not None:
            painter = QPainter(self.viewport())
            table = colours_of(self.palette())
            self._paint_lines(painter, table)
            self._paint_threads(painter, sheet, table)

    def paint_cell(self, painter: QPainter, area: QRect, row: int, column: int) -> None:
        """Draw one day."""
        sheet = self.sheet
        if sheet is None:
            return
        cell, style = sheet.weeks[row][column], self._styled()
        table = colours_of(self.palette())
        drawn = self._cell(row, column, area)
        here = self.currentIndex()
        is_here = here.row() == row and here.column() == column
        if cell.is_today or cell.is_outside or is_here:
            ground = Role.GROUND if cell.is_outside else Role.SURFACE
            paint_ground(painter, area, table[Role.SEA_SOFT if cell.is_today else ground])
        left, top = area.left(), area.top()
        is_strong = cell.is_today or not cell.is_outside
        painter.setFont(style.strong if is_strong else style.plain)
        number_ink = Role.SEA if cell.is_today else Role.INK if is_strong else Role.INK_2
        painter.setPen(table[number_ink])
        painter.drawText(QPointF(left + PAD, top + drawn.number_y), drawn.number)
        if drawn.minutes:
            painter.setFont(style.plain)
            painter.setPen(table[Role.INK_3 if cell.is_past else Role.INK_2])
            at = QPointF(left + drawn.minutes_x, top + drawn.number_y)
            painter.drawText(at, drawn.minutes)
        for line in drawn.lines:
            self._paint_line(painter, line, left, top, table, style)
        if is_here:
            self._paint_chosen(painter, area, table)

    def _paint_chosen(self, painter: QPainter, area: QRect, table: Colours) -> None:
        whole = QRectF(area).adjusted(1, 1, -1, -1)
        if self.hasFocus():
            paint_focus_ring(painter, whole, table)
            return
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(table[Role.EDGE], 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(whole, 6, 6)
        painter.restore()

    def _paint_line(
        self,
        painter: QPainter,
        line: DrawnLine,
        left: int,
        top: int,
        table: Colours,
        style: CellStyle,
    ) -> None:
        y = top + line.y
        if line.mark is None:
            painter.setFont(style.medium)
            painter.setPen(table[Role.SEA])
            painter.drawText(QPointF(left + line.x, y), line.first)
            return
        size = style.metrics.mark_cell
        ratio = self.devicePixelRatioF()
        picture = self._marks.pixmap(line.mark, size, table, ratio)
        middle = y - style.plain_metrics.capHeight() / 2
        painter.drawPixmap(QPointF(left + line.x, round(middle - size / 2)), picture)
        ink = self._ink(line.mark, table)
        painter.setPen(ink)
        if line.first:
            painter.setFont(style.medium)
            start = left + PAD + size + 4
            painter.drawText(QPointF(start, y), line.first)
        painter.setFont(style.plain)
        painter.drawText(QPointF(left + line.second_x, y), line.second)

    def _ink(self, mark: Mark, table: Colours) -> QColor:
        if mark is Mark.OVERDUE:
            return table[mark_role(mark)]
        return table[Role.INK_3 if mark in _QUIET else Role.INK]

    def _paint_lines(self, painter: QPainter, table: Colours) -> None:
        """Draw the hairlines between days and weeks."""
        wide = table.hairline
        right = self.columnViewportPosition(6) + self.columnWidth(6)
        bottom = 0
        for row in range(self._model.rowCount()):
            bottom = self.rowViewportPosition(row) + self.rowHeight(row)
            top = self.rowViewportPosition(row)
            paint_ground(painter, QRect(0, top, right, wide), table[Role.LINE])
        for column in range(1, 7):
            x = self.columnViewportPosition(column)
            paint_ground(painter, QRect(x, 0, wide, bottom), table[Role.LINE])
        paint_ground(painter, QRect(0, bottom - wide, right, wide), table[Role.LINE])

    def _paint_threads(self, painter: QPainter, sheet: MonthSheet, table: Colours) -> None:
        """Draw how long what is overdue has waited, from week to week."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colour = table[Role.OVERDUE]
        scale = self._styled().metrics.scale
        for lane, thread in enumerate(sheet.threads):
            for row in range(thread.first // 7, thread.last // 7 + 1):
                bottom = self.rowViewportPosition(row) + self.rowHeight(row)
                y = bottom - 5 - lane * LANE
                first, last = max(thread.first, 7 * row), min(thread.last, 7 * row + 6)
                begins = thread.begins_here and first == thread.first
                ends = thread.ends_here and last == thread.last
                x = self.columnViewportPosition(first % 7) + (PAD + 4 if begins else 0)
                end = self.columnViewportPosition(last % 7)
                end += PAD + 4 if ends else self.columnWidth(last % 7)
                painter.setPen(QPen(colour, _THREAD * scale))
                painter.drawLine(QPointF(x, y), QPointF(end - (_HEAD if ends else 0), y))
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(colour)
                if begins:
                    painter.drawEllipse(QPointF(x, y), 2.5 * scale, 2.5 * scale)
                if ends:
                    head = [QPointF(end, y)]
                    head += [
                        QPointF(end - 1.5 * _HEAD, y + side * _HEAD * 0.75) for side in (-1, 1)
                    ]
                    painter.drawPolygon(QPolygonF(head))

    def _styled(self) -> CellStyle:
        if self._style is None:
            self._style = style_for(self.font())
        return self._style

    def _cell(self, row: int, column: int, area: QRect) -> DrawnCell:
        found = self._drawn.get((row, column))
        if found is None:
            sheet = self.sheet
            assert sheet is not None
            lanes = self._lanes(sheet, row)
            cell = sheet.weeks[row][column]
            size = (float(area.width()), float(area.height()))
            found = lay_out_cell(cell, *size, lanes, self._styled())
            self._drawn[(row, column)] = found
        return found

    def _lanes(self, sheet: MonthSheet, row: int) -> int:
        """Return how much foot a week keeps free for the threads that pass through it."""
        passing = [
            lane + 1
            for lane, thread in enumerate(sheet.threads)
            if thread.first // 7 <= row <= thread.last // 7
        ]
        return max(passing, default=0)

    def _arrange(self) -> None:
        """Share the height among the weeks: that of today is taller, past ones are lower."""
        sheet = self.sheet
        self._drawn.clear()
        if sheet is None:
            return
        width, height = self.viewport().width(), self.viewport().height()
        edges = [round(width * at / 7) for at in range(8)]
        for column in range(7):
            self.setColumnWidth(column, edges[column + 1] - edges[column])
        done, top = 0.0, 0
        for row, high in enumerate(self._heights(sheet, float(height))):
            done += high
            self.setRowHeight(row, round(done) - top)
            top = round(done)

    def _heights(self, sheet: MonthSheet, height: float) -> list[float]:
        """Return the heights by the shares of the weeks; where type is large, a line first."""
        rows = range(len(sheet.weeks))
        shares = [self._share(sheet, row) for row in rows]
        heights = [height * share / sum(shares) for share in shares]
        least = [least_height(self._lanes(sheet, row), self._styled()) for row in rows]
        if all(high >= low for high, low in zip(heights, least, strict=True)):
            return heights
        free = max(0.0, height - sum(least))
        return [low + free * share / sum(shares) for low, share in zip(least, shares, strict=True)]

    def _share(self, sheet: MonthSheet, row: int) -> float:
        week = sheet.weeks[row]
        if any(cell.is_today for cell in week):
            return THIS_WEEK
        has_today = sheet.week_of_today >= 0
        return PAST_WEEK if has_today and week[-1].is_past else 1.0

    def _on_current(self, current: QModelIndex) -> None:
        cell = self._model.cell_at(current)
        if cell is not None:
            self._day = cell.day
            self.picked.emit()
