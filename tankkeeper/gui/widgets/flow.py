"""Buttons side by side, in as many rows as they need."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from tankkeeper.gui.typography import Space

_Part = tuple[QWidget, QSize]


class FlowBar(QWidget):
    """Places its parts by hand, in columns of one width if wanted; its height follows its width."""

    def __init__(self, parent: QWidget | None = None, *, in_columns: bool = False) -> None:
        super().__init__(parent)
        self._in_columns = in_columns
        self._shown: list[QWidget] = []
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setSizePolicy(policy)

    def add(self, widget: QWidget, at: int | None = None) -> None:
        """Add a part behind the others, or before the one that stands at a place."""
        widget.setParent(self)
        self._shown.insert(len(self._shown) if at is None else at, widget)
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
        y = row = 0
        for parts in self._rows(self._sizes(width), width):
            x, row = 0, 0
            for part, size in parts:
                if not is_trial:
                    part.setGeometry(x, y, size.width(), size.height())
                x, row = x + size.width() + Space.XS, max(row, size.height())
            y += row + Space.XS
        return max(0, y - Space.XS)

    def _sizes(self, width: int) -> list[_Part]:
        widest = max((part.sizeHint().width() for part in self._shown), default=0)
        sizes = [part.sizeHint() for part in self._shown]
        if self._in_columns:
            sizes = [QSize(min(widest, width), size.height()) for size in sizes]
        return list(zip(self._shown, sizes, strict=True))

    def _rows(self, parts: list[_Part], width: int) -> list[list[_Part]]:
        """Return the parts row by row; none stands alone in the last one where that can be."""
        rows: list[list[_Part]] = []
        for part in parts:
            if rows and _wide([*rows[-1], part]) <= width:
                rows[-1].append(part)
            else:
                rows.append([part])
        if len(rows) < 2 or len(rows[-1]) > 1:
            return rows
        each = -(-len(parts) // len(rows))
        even = [parts[at : at + each] for at in range(0, len(parts), each)]
        return even if all(_wide(row) <= width for row in even) else rows


def _wide(parts: list[_Part]) -> int:
    return sum(size.width() + Space.XS for _, size in parts) - Space.XS
