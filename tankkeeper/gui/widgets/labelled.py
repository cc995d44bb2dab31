"""A field under its label; the label is lit while the keys act in the field."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from tankkeeper.gui.palette import Role
from tankkeeper.gui.typography import Space, Weight
from tankkeeper.gui.widgets.chips import Chips
from tankkeeper.gui.widgets.labels import CaptionLabel
from tankkeeper.gui.widgets.quantity_field import QuantityField


def with_its_words(widget: QWidget) -> QWidget:
    """Return what has to be seen for a field to be understood: label, field and its sentence."""
    around = widget.parentWidget()
    while isinstance(around, (QuantityField, Labelled, Chips)):
        widget, around = around, around.parentWidget()
    return widget


class Labelled(QWidget):
    """Puts a label above a field; `lit_changed` tells that the keys came or went."""

    lit_changed = Signal()

    def __init__(self, text: str, field: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field = field
        self._target = field.field if isinstance(field, QuantityField) else field
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.XXS)
        self.label = CaptionLabel(text, parent=self)
        column.addWidget(self.label)
        column.addWidget(field)
        # Not the layout's own alignment, which gives a sentence no more lines than its hint has.
        column.addStretch(1)
        self._target.installEventFilter(self)

    @property
    def is_lit(self) -> bool:
        """Whether the keys act in the field."""
        return self._target.hasFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Light the label with the field."""
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            is_lit = event.type() is QEvent.Type.FocusIn
            self.label.set_ink(Role.SEA if is_lit else Role.INK_2)
            self.label.set_weight(Weight.SEMIBOLD if is_lit else Weight.REGULAR)
            self.lit_changed.emit()
        return super().eventFilter(watched, event)
