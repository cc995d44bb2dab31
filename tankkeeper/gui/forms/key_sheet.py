"""The sheet of keys, made from the one table of shortcuts."""

from __future__ import annotations

from collections.abc import Collection

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QGridLayout, QScrollArea, QVBoxLayout, QWidget

from tankkeeper.gui.palette import Role
from tankkeeper.gui.shortcuts import Command, sheet
from tankkeeper.gui.typography import Space, Weight, metrics_for
from tankkeeper.gui.widgets.buttons import Button, ButtonKind
from tankkeeper.gui.widgets.labels import BodyLabel, CaptionLabel, HeadingLabel
from tankkeeper.gui.widgets.scrolling import scrolls, use_slim_bar

_WIDE, _HIGH = 520, 560


class KeySheet(QDialog):
    """Lists the commands with their keys by where they act, `without` those that are not there.

    Escape closes it.
    """

    def __init__(self, parent: QWidget, without: Collection[Command] = ()) -> None:
        super().__init__(parent)
        self._without = without
        self.setWindowTitle("Sheet of keys")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.L, Space.M, Space.L, Space.M)
        column.addWidget(HeadingLabel("Sheet of keys", parent=self))
        self._area = area = QScrollArea(self)
        area.setAccessibleName("Keys")
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        use_slim_bar(area)
        area.setWidget(self._content())
        column.addWidget(area, 1)
        close = Button("Close", ButtonKind.PRIMARY, self)
        close.clicked.connect(self.accept)
        column.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
        self._fit(parent)

    def _fit(self, parent: QWidget) -> None:
        """Be as large as the type asks, and no larger than the window and the screen allow."""
        sizes = metrics_for(self.font())
        under, screen = parent.window().size(), self.screen().availableSize()
        most = under.boundedTo(screen) - QSize(2 * Space.L, Space.HUGE)
        self.resize(QSize(sizes.px(_WIDE), sizes.px(_HIGH)).boundedTo(most))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Scroll the sheet where the keys are at its button, too."""
        if not scrolls(self._area, event):
            super().keyPressEvent(event)

    def _content(self) -> QWidget:
        content = QWidget()
        grid = QGridLayout(content)
        grid.setHorizontalSpacing(Space.L)
        grid.setVerticalSpacing(Space.XXS)
        grid.setColumnStretch(0, 1)
        at = 0
        for where, rows in sheet(self._without).items():
            heading = CaptionLabel(where.value, weight=Weight.SEMIBOLD, parent=content)
            grid.addWidget(heading, at, 0, 1, 2)
            at += 1
            for text, keys in rows:
                grid.addWidget(BodyLabel(text, parent=content), at, 0)
                grid.addWidget(BodyLabel(keys, ink=Role.INK_2, parent=content), at, 1)
                at += 1
        grid.setRowStretch(at, 1)
        return content
