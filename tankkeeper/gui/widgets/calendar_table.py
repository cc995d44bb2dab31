"""What month and board share as tables: heads without boxes, cells drawn by hand, one in hand."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from itertools import pairwise
from typing import Generic, TypeVar

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from tankkeeper.gui.models.sheet_model import SheetModel
from tankkeeper.gui.palette import Colours, Role
from tankkeeper.gui.widgets.focus import RADIUS, paint_focus_ring
from tankkeeper.gui.widgets.letters import letter_of
from tankkeeper.gui.widgets.month_cells import CellStyle, style_for
from tankkeeper.gui.widgets.scrolling import look_quiet

SheetT = TypeVar("SheetT")


class TableHeads(QHeaderView):
    """The words above the columns; a kind of heads draws them in `paintSection`."""

    def __init__(self, name: str, parent: QWidget | None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setAccessibleName(name)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setMinimumSectionSize(1)
        self.setSectionsClickable(False)
        self.setHighlightSections(False)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)


class _Cells(QStyledItemDelegate):
    """Lets the table draw its cells."""

    def __init__(self, view: CalendarTable) -> None:  # type: ignore[type-arg]
        super().__init__(view)
        self._view = view

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw one cell."""
        self._view.paint_cell(painter, QRect(option.rect), index.row(), index.column())


class CalendarTable(QTableView, Generic[SheetT]):
    """A table over one sheet; `picked` tells that another cell has the keys.

    `typed` tells a letter that is no key here.

    A kind of table says how a cell is drawn (`paint_cell`), how the room is shared among rows and
    columns (`arrange`), and what is kept of the cell that has the keys (`note_current`).
    """

    picked = Signal()
    typed = Signal(str)

    def __init__(
        self, name: str, model: SheetModel[SheetT], heads: TableHeads, parent: QWidget | None
    ) -> None:
        super().__init__(parent)
        self._sheets = model
        self._style: CellStyle | None = None
        model.setParent(self)
        self.setAccessibleName(name)
        look_quiet(self)
        self.setModel(model)
        self.setHorizontalHeader(heads)
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(1)
        self.setItemDelegate(_Cells(self))
        self.setShowGrid(False)
        self.setCornerButtonEnabled(False)
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.selectionModel().currentChanged.connect(self._on_current)

    @property
    def sheet(self) -> SheetT | None:
        """What is shown."""
        return self._sheets.sheet

    def paint_cell(self, painter: QPainter, area: QRect, row: int, column: int) -> None:
        """Draw one cell."""
        raise NotImplementedError

    def arrange(self) -> None:
        """Share the room among rows and columns."""
        raise NotImplementedError

    def note_current(self, index: QModelIndex) -> bool:
        """Keep what has the keys now; tell whether it is something that can have them."""
        raise NotImplementedError

    def styled(self) -> CellStyle:
        """Return fonts and measures of the cells."""
        if self._style is None:
            self._style = style_for(self.font())
        return self._style

    def area_of(self, row: int, column: int) -> QRect:
        """Return where a cell stands in the viewport."""
        return QRect(
            self.columnViewportPosition(column),
            self.rowViewportPosition(row),
            self.columnWidth(column),
            self.rowHeight(row),
        )

    def is_current(self, row: int, column: int) -> bool:
        """Tell whether a cell has the keys."""
        here = self.currentIndex()
        return here.row() == row and here.column() == column

    def paint_keys_here(self, painter: QPainter, around: QRectF, table: Colours) -> None:
        """Draw the ring around what has the keys, and only an outline while they are elsewhere."""
        if self.hasFocus():
            paint_focus_ring(painter, around, table)
            return
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(table[Role.EDGE], 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(around, RADIUS, RADIUS)
        painter.restore()

    @contextmanager
    def sized_at_once(self) -> Iterator[None]:
        """Let widths and heights be set, and be painted once.

        Qt's table paints itself for a size that it is told of, and once more a moment later.
        """
        heads = (self.horizontalHeader(), self.verticalHeader())
        was = [head.blockSignals(True) for head in heads]
        try:
            yield
        finally:
            for head, before in zip(heads, was, strict=True):
                head.blockSignals(before)
            self.updateGeometries()
            self.viewport().update()

    def set_columns(self, edges: list[int]) -> None:
        """Let the columns stand between these edges."""
        for column, (left, right) in enumerate(pairwise(edges)):
            self.setColumnWidth(column, right - left)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Tell a letter; every other key is left to whoever knows it."""
        letter = letter_of(event)
        if letter:
            self.typed.emit(letter)
        event.setAccepted(bool(letter))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the room anew; what has the keys stays in sight."""
        super().resizeEvent(event)
        self.arrange()
        self.scrollTo(self.currentIndex())

    def changeEvent(self, event: QEvent) -> None:
        """Measure anew with another font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._style = None
            self.arrange()

    def _on_current(self, current: QModelIndex) -> None:
        if self.note_current(current):
            self.picked.emit()
