"""The month as a table: arrow keys move the day, and the threads run over its cells."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

from PySide6.QtCore import QEvent, QModelIndex, QPoint, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QHelpEvent, QHideEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QToolTip, QWidget

from tankkeeper.core.calendar_days import LAST_MONTH, month_of
from tankkeeper.gui.marks import Mark
from tankkeeper.gui.models.board_sheet import BoardCell
from tankkeeper.gui.models.month_model import MonthModel
from tankkeeper.gui.models.month_sheet import DayCell, MonthSheet, ThreadLine, told_noun
from tankkeeper.gui.models.round_rows import item_row
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, Weight, line_height, type_font
from tankkeeper.gui.widgets.calendar_table import CalendarTable, TableHeads
from tankkeeper.gui.widgets.focus import paint_ground
from tankkeeper.gui.widgets.labels import tip
from tankkeeper.gui.widgets.letters import is_plain
from tankkeeper.gui.widgets.month_cells import (
    PAD,
    DrawnCell,
    DrawnLine,
    lay_out_cell,
    least_height,
    lines_of_head,
)
from tankkeeper.gui.widgets.month_dragging import MonthDragging
from tankkeeper.gui.widgets.month_paint import (
    CellPainter,
    nearest_thread,
    paint_found_lines,
    paint_hairlines,
    paint_threads,
)
from tankkeeper.gui.widgets.scrolling import SlimScrollBar

THIS_WEEK: Final = 1.7
PAST_WEEK: Final = 0.86
_STEPS: Final = {
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_Up: -7,
    Qt.Key.Key_Down: 7,
}


class MonthHeads(TableHeads):
    """The weekdays above their columns."""

    def __init__(self) -> None:
        super().__init__("Weekdays", None)

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


class MonthTable(CalendarTable[MonthSheet]):
    """Weeks as rows; `day_opened` (day, chore or "") opens a day, with the keys on the chore.

    `month_wanted` tells a day that is not shown, `thread_clicked` the turn whose wait was clicked.
    """

    day_opened = Signal(object, str)
    month_wanted = Signal(object)
    thread_clicked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        self._model = MonthModel()
        super().__init__("Month", self._model, MonthHeads(), parent)
        self._painter = CellPainter()
        self._drawn: dict[tuple[int, int], DrawnCell] = {}
        self._day: date | None = None
        self._found: frozenset[str] = frozenset()
        self.hand = MonthDragging(self, self._turn_at, self._day_at)
        # Only type so large that six weeks with a line each are higher than the page needs it.
        self.setVerticalScrollBar(SlimScrollBar(self))
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)

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
        self.hand.let_loose()
        self._day = day
        self._model.set_sheet(sheet)
        self.arrange()
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
        """Move by a day or by a week, also into the months before and after.

        Escape lets go what the mouse carries.
        """
        if event.key() == Qt.Key.Key_Escape and self.hand.is_dragged:
            self.hand.release()
            return
        step = _STEPS.get(Qt.Key(event.key()))
        if step is None or not is_plain(event):
            super().keyPressEvent(event)
            return
        self.go_by(step)

    def go_by(self, step: int) -> None:
        """Go on by some days, or back, asking for another month where one is begun."""
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

    def mark_found(self, chores: frozenset[str]) -> None:
        """Mark the turns of these chores, and no others."""
        if chores != self._found:
            self._found = chores
            self.viewport().update()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Open the day, at the chore whose line was clicked."""
        at = event.position().toPoint()
        cell = self._model.cell_at(self.indexAt(at))
        if cell is not None and self.thread_at(at) is None:
            line = self._line_at(at)
            chores = line.chores if line is not None else ()
            self.day_opened.emit(cell.day, chores[0] if chores else "")
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Let a day have the keys; the line that tells of more opens it, a thread its chore."""
        at = event.position().toPoint()
        cell = self._model.cell_at(self.indexAt(at))
        if cell is None:
            event.accept()
            return
        thread = self.thread_at(at)
        if thread is not None and event.button() == Qt.MouseButton.LeftButton:
            self.thread_clicked.emit(thread.row)
            event.accept()
            return
        super().mousePressEvent(event)
        line = self._line_at(at)
        if line is not None and line.mark is None:
            self.day_opened.emit(cell.day, line.chores[0] if line.chores else "")

    def viewportEvent(self, event: QEvent) -> bool:
        """Tell over a thread which chore waits, elsewhere what the day holds."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            thread = self.thread_at(event.pos())
            if thread is not None:
                QToolTip.showText(event.globalPos(), tip(thread.row.sentence), self)
                return True
        return super().viewportEvent(event)

    def thread_at(self, at: QPoint) -> ThreadLine | None:
        """Return the thread under a point, where several run the nearest."""
        sheet = self.sheet
        return None if sheet is None else nearest_thread(self, sheet.threads, at)

    def hideEvent(self, event: QHideEvent) -> None:
        """Let go what the mouse carries when a key opens a day or another view."""
        super().hideEvent(event)
        self.hand.let_loose()

    def _turn_at(self, at: QPoint) -> BoardCell | None:
        """Return the turn whose line is under a point; a line that tells of several has none.

        Of several turns of one chore that day it is the first that is still to do.
        """
        sheet, cell, line = self.sheet, self._model.cell_at(self.indexAt(at)), self._line_at(at)
        if sheet is None or cell is None or line is None or line.mark is None:
            return None
        if len(set(line.chores)) != 1 or self.thread_at(at) is not None:
            return None
        items = [one for one in cell.content.items if one.chore.id == line.chores[0]]
        if not items:
            return None
        item = next((one for one in items if one.is_open), items[0])
        row = item_row(item, sheet.words)
        mark = Mark(item.state.value)
        return BoardCell(row, cell.day, mark, told_noun(item), False, row.sentence)

    def _day_at(self, at: QPoint) -> date | None:
        cell = self._model.cell_at(self.indexAt(at))
        return None if cell is None else cell.day

    def _area_of_day(self, day: date) -> QRectF | None:
        place = self.sheet.place_of(day) if self.sheet is not None else None
        return None if place is None else QRectF(self.area_of(*place)).adjusted(1, 1, -1, -1)

    def _line_at(self, at: QPoint) -> DrawnLine | None:
        """Return the line of a cell under a point."""
        index = self.indexAt(at)
        if self._model.cell_at(index) is None:
            return None
        area, style = self.visualRect(index), self.styled()
        lines = self.drawn(index.row(), index.column()).lines
        # Marks with counts may stand side by side: the last one that begins before the point.
        y, x = at.y() - area.top(), at.x() - area.left()
        high = style.line
        hit = [line for line in lines if 0 <= y - line.y + style.ascent < high * line.rows]
        before = [line for line in hit if line.x <= x]
        return before[-1] if before else (hit[0] if hit else None)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the cells, then the threads over them."""
        super().paintEvent(event)
        sheet = self.sheet
        if sheet is not None:
            painter = QPainter(self.viewport())
            table = colours_of(self.palette())
            paint_hairlines(painter, self, table)
            paint_threads(painter, self, sheet.threads, table)
            self.hand.paint(painter, self._area_of_day, self.styled(), table)

    def paint_cell(self, painter: QPainter, area: QRect, row: int, column: int) -> None:
        """Draw one day."""
        sheet = self.sheet
        if sheet is None:
            return
        table, is_here = colours_of(self.palette()), self.is_current(row, column)
        cell, drawn = sheet.weeks[row][column], self.drawn(row, column)
        ratio = self.devicePixelRatioF()
        if is_here:
            # The view has drawn the ground of a selection, which is not ours.
            paint_ground(painter, area, table[Role.SURFACE])
        if self._found:
            paint_found_lines(painter, drawn, area, self._found, self.styled(), table)
        self._painter.paint(painter, cell, drawn, area, self.styled(), table, ratio)
        if is_here:
            self.paint_keys_here(painter, QRectF(area).adjusted(1, 1, -1, -1), table)

    def drawn(self, row: int, column: int) -> DrawnCell:
        """Return how a day stands in its cell, worked out once for a size."""
        found = self._drawn.get((row, column))
        if found is None:
            sheet = self.sheet
            assert sheet is not None
            wide, high = float(self.columnWidth(column)), float(self.rowHeight(row))
            lanes = self._lanes(sheet, row)
            found = lay_out_cell(sheet.weeks[row][column], wide, high, lanes, self.styled())
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

    def arrange(self) -> None:
        """Share the height among the weeks: that of today is taller, past ones are lower."""
        sheet = self.sheet
        self._drawn.clear()
        if sheet is None:
            return
        width, height = self.viewport().width(), self.viewport().height()
        done, top = 0.0, 0
        with self.sized_at_once():
            self.set_columns([round(width * at / 7) for at in range(8)])
            for row, high in enumerate(self._heights(sheet, float(height))):
                done += high
                self.setRowHeight(row, round(done) - top)
                top = round(done)
        if done > height + 1 and self.currentIndex().isValid():
            self.scrollTo(self.currentIndex())

    def _heights(self, sheet: MonthSheet, height: float) -> list[float]:
        """Return the heights by the shares of the weeks; where type is large, a line first."""
        rows = range(len(sheet.weeks))
        shares = [self._share(sheet, row) for row in rows]
        heights = [height * share / sum(shares) for share in shares]
        least = [self._least_height(sheet, row) for row in rows]
        if all(high >= low for high, low in zip(heights, least, strict=True)):
            return heights
        free = max(0.0, height - sum(least))
        return [low + free * share / sum(shares) for low, share in zip(least, shares, strict=True)]

    def _least_height(self, sheet: MonthSheet, row: int) -> float:
        style, week = self.styled(), sheet.weeks[row]
        head = max(
            lines_of_head(cell, self.columnWidth(column), style) for column, cell in enumerate(week)
        )
        return least_height(self._lanes(sheet, row), style, head)

    def _share(self, sheet: MonthSheet, row: int) -> float:
        week = sheet.weeks[row]
        if any(cell.is_today for cell in week):
            return THIS_WEEK
        has_today = sheet.week_of_today >= 0
        return PAST_WEEK if has_today and week[-1].is_past else 1.0

    def note_current(self, index: QModelIndex) -> bool:
        """Keep the day."""
        cell = self._model.cell_at(index)
        if cell is not None:
            self._day = cell.day
        return cell is not None
