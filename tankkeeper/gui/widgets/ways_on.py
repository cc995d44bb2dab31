"""Buttons that lead on from a page, each with its key."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QWidget

from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.labels import CaptionLabel


class WaysOn(QWidget):
    """Buttons with their keys behind them, one above the other where they would be cut."""

    def __init__(self) -> None:
        super().__init__()
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._row.setContentsMargins(Space.XXL, Space.S, Space.XXL, Space.S)
        self._row.setSpacing(Space.S)
        self._row.addStretch(1)
        self._pairs: list[QHBoxLayout] = []

    def add(self, button: Button, key: str) -> None:
        """Put a button behind those that are there."""
        pair = QHBoxLayout()
        pair.setSpacing(Space.XS)
        pair.addWidget(button)
        caption = CaptionLabel(key, wraps=False, parent=self)
        caption.setVisible(bool(key))
        pair.addWidget(caption, 1, Qt.AlignmentFlag.AlignVCenter)
        self._row.insertLayout(self._row.count() - 1, pair)
        self._pairs.append(pair)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand the buttons as the width allows."""
        super().resizeEvent(event)
        pairs = [pair.sizeHint().width() + Space.S for pair in self._pairs]
        fits = sum(pairs) + 2 * Space.XXL <= self.width()
        way = QBoxLayout.Direction.LeftToRight if fits else QBoxLayout.Direction.TopToBottom
        if way != self._row.direction():
            self._row.setDirection(way)
