"""Draws one row of the logbook: its day where that begins, then time, text, tank and person."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from tankkeeper.gui.models.log_model import ROW_ROLE
from tankkeeper.gui.models.log_rows import DOT, LogRow
from tankkeeper.gui.palette import Colours, Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, Weight, line_height, type_font
from tankkeeper.gui.widgets.focus import paint_focus_ring, paint_ground, paint_tint

if TYPE_CHECKING:
    from tankkeeper.gui.widgets.log_list import LogList

_PAST_TEXT: Final = 10
_STRIKE: Final = 1.2
# What stays of a text beside what became of it.
_LEAST_STRUCK: Final = 140


class LogDelegate(QStyledItemDelegate):
    """Lays the rows out by the list's columns."""

    def __init__(self, view: LogList) -> None:
        super().__init__(view)
        self._view = view

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the height of a row; all are equally high."""
        return QSize(10, self._view.columns.height)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw the row."""
        row = index.data(ROW_ROLE)
        if not isinstance(row, LogRow):
            return
        columns, table = self._view.columns, colours_of(self._view.palette())
        area = QRectF(option.rect)
        if option.state & QStyle.StateFlag.State_Selected:
            # The view has drawn the ground of a selection, which is not ours.
            paint_ground(painter, area, table[Role.SURFACE])
        begins = self._view.log_model.begins_day(index.row())
        if begins and index.row() > 0:
            wide = columns.right - columns.left
            line = QRectF(columns.left, area.top(), wide, table.hairline)
            paint_ground(painter, line, table[Role.LINE])
        ground = QRectF(
            columns.time - _PAST_TEXT,
            area.top() + 1,
            columns.right - columns.time + 2 * _PAST_TEXT,
            area.height() - 2,
        )
        if option.state & QStyle.StateFlag.State_Selected:
            paint_tint(painter, ground, table, Role.SEA_SOFT)
        if index == self._view.currentIndex() and self._view.hasFocus():
            paint_focus_ring(painter, ground, table)
        first = self._first_baseline(area)
        if begins or index.row() == self._view.top_row():
            strong = self._font(TypeRole.CAPTION, Weight.SEMIBOLD)
            # A row that is half out of sight still tells its day in what can be seen of it.
            lowest = area.bottom() - Space.XXS
            seen = max(first, min(lowest, QFontMetricsF(strong).ascent()))
            self._write(painter, row.day, strong, columns.left, seen, table[Role.INK])
        small = self._font(TypeRole.CAPTION)
        self._write(painter, row.time, small, columns.time, first, table[Role.INK_2])
        if columns.has_two_lines:
            self._paint_two_lines(painter, row, area, first, table)
        else:
            self._paint_one_line(painter, row, first, table)

    def _paint_one_line(self, painter: QPainter, row: LogRow, first: float, table: Colours) -> None:
        columns, small = self._view.columns, self._font(TypeRole.CAPTION)
        ink = table[Role.INK_3 if row.is_struck else Role.INK_2]
        self._elided(painter, row.where, small, columns.where, columns.where_width, first, ink)
        self._elided(painter, row.who, small, columns.who, columns.who_width, first, ink)
        room = columns.text_width
        aside = row.aside
        if not aside:
            self._paint_text(painter, row, room, first, table)
            return
        metrics = QFontMetricsF(small)
        beside = metrics.horizontalAdvance(aside) + Space.XS
        least = self._view.metrics.px(_LEAST_STRUCK)
        used = self._paint_text(painter, row, max(room - beside, least), first, table)
        x = columns.text + used + Space.XS
        self._elided(painter, aside, small, x, columns.text + room - x, first, ink)

    def _paint_two_lines(
        self, painter: QPainter, row: LogRow, area: QRectF, first: float, table: Colours
    ) -> None:
        columns, small = self._view.columns, self._font(TypeRole.CAPTION)
        self._paint_text(painter, row, columns.text_width, first, table)
        below = DOT.join(part for part in (row.aside, row.where, row.who) if part)
        line = line_height(self._view.font(), TypeRole.CAPTION)
        letters = QFontMetricsF(small).capHeight()
        second = area.bottom() - Space.XS + 2 - (line - letters) / 2
        ink = table[Role.INK_3 if row.is_struck else Role.INK_2]
        self._elided(painter, below, small, columns.text, columns.text_width, second, ink)

    def _paint_text(
        self, painter: QPainter, row: LogRow, room: float, baseline: float, table: Colours
    ) -> float:
        """Draw what was done, struck through where it holds no longer; return its width."""
        font = self._font(TypeRole.BODY)
        ink = table[Role.INK_3 if row.is_struck else Role.INK]
        used = self._elided(painter, row.text, font, self._view.columns.text, room, baseline, ink)
        if row.is_struck:
            y = baseline - QFontMetricsF(font).xHeight() / 2
            painter.save()
            painter.setPen(QPen(ink, _STRIKE * self._view.metrics.scale))
            left = self._view.columns.text
            painter.drawLine(QPointF(left, y), QPointF(left + used, y))
            painter.restore()
        return used

    def _first_baseline(self, area: QRectF) -> float:
        letters = QFontMetricsF(self._font(TypeRole.BODY)).capHeight()
        if not self._view.columns.has_two_lines:
            return area.center().y() + letters / 2
        line = line_height(self._view.font(), TypeRole.BODY)
        return area.top() + Space.XS - 2 + (line + letters) / 2

    def _font(self, size: TypeRole, weight: Weight = Weight.REGULAR) -> QFont:
        return type_font(self._view.font(), size, weight)

    def _elided(
        self,
        painter: QPainter,
        text: str,
        font: QFont,
        x: float,
        room: float,
        baseline: float,
        ink: QColor,
    ) -> float:
        """Draw a text, shortened where it is longer than its room; return the width it takes."""
        if not text or room <= 0:
            return 0.0
        metrics = QFontMetricsF(font)
        shown = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room + 1)
        self._write(painter, shown, font, x, baseline, ink)
        return metrics.horizontalAdvance(shown)

    def _write(
        self, painter: QPainter, text: str, font: QFont, x: float, baseline: float, ink: QColor
    ) -> None:
        painter.setFont(font)
        painter.setPen(ink)
        painter.drawText(QPointF(x, baseline), text)
