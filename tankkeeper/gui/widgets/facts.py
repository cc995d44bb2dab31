"""Small tables of the why panel: a label with its value, and what was done when and by whom."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, Weight
from tankkeeper.gui.widgets.focus import paint_ground
from tankkeeper.gui.widgets.labels import CaptionLabel


class _Heading(QWidget):
    """A small heading with a hairline under it."""

    def __init__(self, text: str, parent: QWidget) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, Space.XXS)
        column.addWidget(CaptionLabel(text, weight=Weight.SEMIBOLD, parent=self))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the hairline."""
        table = colours_of(self.palette())
        high = table.hairline
        line = QRect(0, self.height() - high, self.width(), high)
        paint_ground(QPainter(self), line, table[Role.LINE])


class _Cells(QWidget):
    """Texts on one line where they fit side by side, and under each other where they do not.

    The first stands left, the last right; one in the middle ends at its own column, also beside an
    empty last one.
    """

    def __init__(self, labels: Sequence[CaptionLabel], parent: QWidget) -> None:
        super().__init__(parent)
        self._all = tuple(labels)
        self._labels = [label for label in labels if label.text()]
        for label in labels:
            label.setParent(self)
            label.setVisible(bool(label.text()))
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def sizeHint(self) -> QSize:
        """Return the size with all texts on one line."""
        return QSize(self._needed(), self._labels[0].line_px() if self._labels else 0)

    def minimumSizeHint(self) -> QSize:
        """Return the width of the longest word and one line."""
        widest = max((label.minimumSizeHint().width() for label in self._labels), default=0)
        return QSize(widest, self.sizeHint().height())

    def heightForWidth(self, width: int) -> int:
        """Return the height at this width."""
        if self._needed() <= width:
            return self.sizeHint().height()
        return sum(label.heightForWidth(width) for label in self._labels)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the texts."""
        super().resizeEvent(event)
        if self._needed() <= self.width():
            self._place_side_by_side()
        else:
            self._place_stacked()

    def _needed(self) -> int:
        widths = [label.text_width() for label in self._labels]
        return sum(widths) + Space.XXS * max(0, len(widths) - 1)

    def _place_side_by_side(self) -> None:
        # What is empty takes no room, and keeps the column of the others.
        widths = [label.text_width() if label.text() else 0 for label in self._all]
        high = self.height()
        rights = [widths[0], round(self.width() * 0.62), self.width()]
        if len(widths) == 2:
            rights = [widths[0], self.width()]
        if len(widths) == 3:
            # The middle gives way where a neighbour is long.
            after_first = widths[0] + Space.XXS + widths[1]
            before_last = self.width() - widths[2] - Space.XXS
            rights[1] = min(max(rights[1], after_first), before_last)
        for label, wide, right in zip(self._all, widths, rights, strict=False):
            label.setGeometry(right - wide, 0, wide, high)

    def _place_stacked(self) -> None:
        y = 0
        for label in self._labels:
            high = label.heightForWidth(self.width())
            label.setGeometry(0, y, self.width(), high)
            y += high


class _Table(QWidget):
    def __init__(self, title: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName(title)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(Space.XXS)
        self._column.addWidget(_Heading(title, self))

    def add_row(self, *labels: CaptionLabel) -> None:
        """Add a row of texts below the others."""
        self._column.addWidget(_Cells(labels, self))


class FactRows(_Table):
    """Labels with their values, the values right and heavier."""

    def __init__(self, title: str, rows: Sequence[tuple[str, str]], parent: QWidget) -> None:
        super().__init__(title, parent)
        for label, value in rows:
            self.add_row(CaptionLabel(label, parent=self), _value(value, self))


class HistoryRows(_Table):
    """When, how much, by whom."""

    def __init__(self, title: str, rows: Sequence[tuple[str, str, str]], parent: QWidget) -> None:
        super().__init__(title, parent)
        for day, amount, who in rows:
            self.add_row(
                CaptionLabel(day, parent=self),
                _value(amount, self),
                CaptionLabel(who, align=Qt.AlignmentFlag.AlignRight, parent=self),
            )


def _value(text: str, parent: QWidget) -> CaptionLabel:
    return CaptionLabel(
        text,
        weight=Weight.SEMIBOLD,
        ink=Role.INK,
        align=Qt.AlignmentFlag.AlignRight,
        parent=parent,
    )
