"""A list of things that are set down, each with a line beneath its name."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPalette
from PySide6.QtWidgets import (
    QFrame,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, Weight, line_height, type_font
from tankkeeper.gui.widgets.focus import paint_focus_ring, paint_ground
from tankkeeper.gui.widgets.row_in_hand import RowInHand
from tankkeeper.gui.widgets.scrolling import use_slim_bar

_LINE = Qt.ItemDataRole.UserRole + 1


class _Delegate(QStyledItemDelegate):
    """Draws the name, and the line beneath it."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: object) -> None:
        """Draw one row."""
        view = self.parent()
        assert isinstance(view, QWidget)
        table = colours_of(view.palette())
        area: QRect = option.rect
        state = option.state
        if state & QStyle.StateFlag.State_Selected:
            paint_ground(painter, area, table[Role.SEA_SOFT])
        name = index.data(Qt.ItemDataRole.DisplayRole)  # type: ignore[attr-defined]
        line = index.data(_LINE)  # type: ignore[attr-defined]
        room = area.adjusted(Space.L, Space.XS, -Space.S, -Space.XS)
        side = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
        painter.save()
        for text, role, weight, ink in (
            (name, TypeRole.BODY, Weight.MEDIUM, Role.INK),
            (line, TypeRole.CAPTION, Weight.REGULAR, Role.INK_2),
        ):
            painter.setFont(type_font(view.font(), role, weight))
            painter.setPen(table[ink])
            width = painter.fontMetrics()
            elided = width.elidedText(str(text or ""), Qt.TextElideMode.ElideRight, room.width())
            painter.drawText(room, side, elided)
            room.setTop(room.top() + line_height(view.font(), role))
        painter.restore()
        if state & QStyle.StateFlag.State_HasFocus:
            paint_focus_ring(painter, area.toRectF().adjusted(1, 1, -1, -1), table)

    def sizeHint(self, option: QStyleOptionViewItem, index: object) -> QSize:
        """Return the height of two lines."""
        view = self.parent()
        assert isinstance(view, QWidget)
        lines = (line_height(view.font(), one) for one in (TypeRole.BODY, TypeRole.CAPTION))
        return QSize(100, sum(lines) + 2 * Space.XS)


class ThingList(RowInHand, QListWidget):
    """The list; `opened` tells the place of the thing that is to be looked at."""

    opened = Signal(int)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setItemDelegate(_Delegate(self))
        self.viewport().setBackgroundRole(QPalette.ColorRole.Base)
        use_slim_bar(self)
        self.itemClicked.connect(self._on_clicked)

    def show_rows(self, rows: Sequence[tuple[str, str]], place: int = 0) -> None:
        """Show these names with their lines, the keys on one of them."""
        self.clear()
        # An empty list would have the keys and show nothing of it.
        policy = Qt.FocusPolicy
        self.setFocusPolicy(policy.StrongFocus if rows else policy.NoFocus)
        for name, line in rows:
            item = QListWidgetItem(name)
            item.setData(_LINE, line)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{name}, {line}" if line else name)
            self.addItem(item)
        if rows:
            self.setCurrentRow(max(0, min(place, len(rows) - 1)))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the thing with the keys on Return."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentRow() >= 0:
            self.opened.emit(self.currentRow())
            return
        super().keyPressEvent(event)

    def _on_clicked(self, item: QListWidgetItem) -> None:
        self.opened.emit(self.row(item))
