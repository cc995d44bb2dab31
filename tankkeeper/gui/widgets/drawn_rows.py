"""What lists share whose rows are drawn by hand: their sizes, the row in hand, and being empty."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QItemSelectionModel, Qt
from PySide6.QtGui import QPainter, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QAbstractItemView

from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import (
    Metrics,
    Space,
    TypeRole,
    Weight,
    line_height,
    metrics_for,
    type_font,
)
from tankkeeper.gui.widgets.row_in_hand import RowInHand


class DrawnRows(RowInHand):
    """Goes before the kind of view among the bases of a list.

    The list says how the room is shared among its columns (`arrange`).
    """

    _sizes: Metrics | None = None
    # Whether rows or room changed while nobody saw them.
    _is_astray = False
    _was_high = 0

    def arrange(self) -> None:
        """Place the columns for the present width and font."""
        raise NotImplementedError

    @property
    def metrics(self) -> Metrics:
        """The sizes for the present window and font."""
        if self._sizes is None:
            self._sizes = metrics_for(self.font())
        return self._sizes

    def set_metrics(self, metrics: Metrics) -> None:
        """Take the sizes of the window."""
        before, self._sizes = self.metrics.scale, metrics
        self.arrange()
        if metrics.scale != before:
            self._bring_back()

    def go_to(self, at: int) -> None:
        """Select a row and bring it into view; nothing happens where there is none."""
        model = self.model()
        if 0 <= at < model.rowCount():
            index = model.index(at, 0)
            self.selectionModel().setCurrentIndex(
                index, QItemSelectionModel.SelectionFlag.ClearAndSelect
            )
            self.scrollTo(index)
            # The banner may take its room from the page before this is seen.
            self._is_astray = not self.isVisible()

    def keyboardSearch(self, search: str) -> None:
        """Do nothing: letters are commands here, or begin to find."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the columns anew; a row in hand of which something was seen is seen whole."""
        here = self.visualRect(self.currentIndex())
        # Only by the height: the row is as wide as the list already is. Of a list that comes back
        # to a page Qt tells no size that it had.
        was_seen = here.bottom() >= 0 and here.top() < self._was_high
        self._was_high = event.size().height()
        super().resizeEvent(event)
        self.arrange()
        if self._is_astray or (was_seen and not here.isEmpty()):
            self._is_astray = not self.isVisible()
            self.scrollTo(self.currentIndex())

    def showEvent(self, event: QShowEvent) -> None:
        """Bring the row in hand into view where it was chosen, or its room changed, unseen."""
        super().showEvent(event)
        if self._is_astray:
            self._is_astray = False
            self.scrollTo(self.currentIndex())

    def _bring_back(self) -> None:
        """Bring the row in hand into view in another type, once the list is seen again."""
        self._is_astray = not self.isVisible()
        self.scrollTo(self.currentIndex())

    def changeEvent(self, event: QEvent) -> None:
        """Place the columns anew with another font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.arrange()
            self._bring_back()


def paint_emptiness(view: QAbstractItemView, sentences: tuple[str, str]) -> None:
    """Draw the two sentences that stand in the middle where there is no row."""
    painter = QPainter(view.viewport())
    table, base = colours_of(view.palette()), view.font()
    area = view.viewport().rect()
    flags = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignVCenter
    line = line_height(base, TypeRole.HEADING)
    painter.setFont(type_font(base, TypeRole.HEADING, Weight.SEMIBOLD))
    painter.setPen(table[Role.INK])
    painter.drawText(area.adjusted(0, -line, 0, 0), flags, sentences[0])
    painter.setFont(type_font(base, TypeRole.BODY))
    painter.setPen(table[Role.INK_2])
    painter.drawText(area.adjusted(0, line + Space.XS, 0, 0), flags, sentences[1])
