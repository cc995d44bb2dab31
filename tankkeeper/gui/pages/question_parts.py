"""What the questions of the first page are made of: their heads, rows, choices and names."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.labels import CaptionLabel, HeadingLabel
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.faults import fault_words
from tankkeeper.services.noting import named


def add_head(column: QVBoxLayout, text: str, number: str, parent: QWidget) -> None:
    """Begin a question: its words, and which of all it is."""
    column.addSpacing(Space.M)
    row = QHBoxLayout()
    row.addWidget(HeadingLabel(text, parent=parent), 1)
    row.addWidget(CaptionLabel(number, wraps=False, parent=parent))
    column.addLayout(row)


def add_row(column: QVBoxLayout, *fields: QWidget) -> None:
    """Ask these side by side."""
    row = QHBoxLayout()
    row.setSpacing(Space.M)
    for field in fields:
        row.addWidget(field, 1, Qt.AlignmentFlag.AlignTop)
    column.addLayout(row)


def choice_of(name: str, texts: Sequence[str], parent: QWidget) -> ChoiceField:
    """Return a field in which one of these is chosen."""
    field = ChoiceField(name, parent)
    field.addItems(list(texts))
    return field


def name_of(name: str, field: str, parent: QWidget) -> QuantityField:
    """Return a field for a name, refused by the services as the one of this `field`."""
    return QuantityField(name, "", lambda text: named(text, field), fault_words, parent=parent)
