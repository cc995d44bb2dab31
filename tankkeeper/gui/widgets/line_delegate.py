"""Draws the lines of a plain list: the current one has the tint of a selected row."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QListWidget, QStyledItemDelegate, QStyleOptionViewItem

from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, metrics_for, type_font
from tankkeeper.gui.widgets.focus import paint_focus_ring, paint_tint

# Whether a line is told but cannot be chosen.
REFUSED_ROLE: Final = int(Qt.ItemDataRole.UserRole) + 1


class LineDelegate(QStyledItemDelegate):
    """Draws one text; a refused line is struck through and paler.

    `is_led` says that the keys come from a field beside the list, so that its current line has
    the ring though the list has no focus.
    """

    def __init__(self, lines: QListWidget, inset: int = Space.XS, *, is_led: bool = False) -> None:
        super().__init__(lines)
        self._lines = lines
        self._inset = inset
        self._is_led = is_led

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the height that a mouse hits."""
        return QSize(10, metrics_for(self._lines.font()).list_hit_height)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw tint, ring and words."""
        table = colours_of(self._lines.palette())
        area = QRectF(option.rect).adjusted(0, 1, 0, -1)
        if index == self._lines.currentIndex():
            paint_tint(painter, area, table, Role.SEA_SOFT)
            if self._is_led or self._lines.hasFocus():
                paint_focus_ring(painter, area, table)
        is_refused = bool(index.data(REFUSED_ROLE))
        font = type_font(self._lines.font(), TypeRole.BODY)
        font.setStrikeOut(is_refused)
        inside = area.adjusted(self._inset, 0, -self._inset, 0)
        text = QFontMetricsF(font).elidedText(
            str(index.data()), Qt.TextElideMode.ElideRight, inside.width()
        )
        painter.setFont(font)
        painter.setPen(table[Role.INK_3 if is_refused else Role.INK])
        side = Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(inside, side, text)
