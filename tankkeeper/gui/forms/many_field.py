"""Any of a few, each with a box to be ticked."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QGridLayout, QWidget

from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.buttons import without_mnemonic

_MOST_ROWS = 400


class ManyField(QWidget):
    """Boxes side by side; `changed` tells that one was ticked or not any more."""

    changed = Signal()

    def __init__(
        self, name: str, rows: Sequence[tuple[str, object]], columns: int, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._values = [value for _text, value in rows]
        self.boxes: list[QCheckBox] = []
        grid = QGridLayout(self)
        grid.setContentsMargins(0, Space.XXS, 0, 0)
        grid.setHorizontalSpacing(Space.M)
        grid.setVerticalSpacing(Space.XXS)
        for place, (text, _value) in enumerate(rows[:_MOST_ROWS]):
            box = QCheckBox(without_mnemonic(text), self)
            box.setAccessibleName(f"{name}: {text}")
            box.toggled.connect(self.changed)
            self.boxes.append(box)
            grid.addWidget(box, place // columns, place % columns)
        grid.setColumnStretch(columns, 1)
        if self.boxes:
            self.setFocusProxy(self.boxes[0])

    @property
    def value(self) -> tuple[object, ...]:
        """What is ticked, in the order of the boxes."""
        pairs = zip(self.boxes, self._values, strict=False)
        return tuple(value for box, value in pairs if box.isChecked())

    def show_value(self, wanted: object) -> None:
        """Tick these, and no others."""
        ticked = wanted if isinstance(wanted, tuple) else ()
        for box, value in zip(self.boxes, self._values, strict=False):
            box.setChecked(value in ticked)
