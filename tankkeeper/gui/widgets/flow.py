"""Buttons side by side, in as many rows as they need."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from tankkeeper.gui.typography import Space


class FlowBar(QWidget):
    """Places its parts by hand, in columns of one width if wanted; its height follows its width."""

    def __init__(self, parent: QWidget | None = None, *, in_columns: bool = False) -> None:
        super().__init__(parent)
        self._in_columns = in_columns
        self._shown: list[QWidget] = []
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setSizePolicy(policy)

    def add(self, widget: QWidget) -> None:
        """Add a part behind the others."""
        widget.setParent(self)
        self._shown.append(widget)
        self._lay_out()

    def sizeHint(self) -> QSize:
        """Return the height that the present width needs."""
        return QSize(200, self._place(max(200, self.width()), is_trial=True))

    def minimumSizeHint(self) -> QSize:
        """Return the same height; the width may be less."""
        return QSize(100, self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the parts anew."""
        super().resizeEvent(event)
        self._lay_out()

    def changeEvent(self, event: QEvent) -> None:
        """Place the parts anew in another font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._lay_out()

    def _lay_out(self) -> None:
        self.setFixedHeight(self._place(max(200, self.width()), is_trial=False))

    def _place(self, width: int, *, is_trial: bool) -> int:
        x = y = row = 0
        widest = max((part.sizeHint().width() for part in self._shown), default=0)
        for part in self._shown:
            size = part.sizeHint()
            if self._in_columns:
                size.setWidth(min(widest, width))
            if x and x + size.width() > width:
                x, y = 0, y + row + Space.XS
            if not is_trial:
                part.setGeometry(x, y, size.width(), size.height())
            x, row = x + size.width() + Space.XS, size.height()
        return y + row
