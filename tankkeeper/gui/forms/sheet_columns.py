"""The fields of a sheet in their groups, as many of them side by side as there is room for."""

from __future__ import annotations

from typing import Final

from PySide6.QtWidgets import QGridLayout, QWidget

from tankkeeper.gui.forms.spec_field import SpecField
from tankkeeper.gui.typography import Space, metrics_for

_COLUMN_PX: Final = 230
# More of them stand beside each other on no screen.
_MOST: Final = 12


class SheetColumns:
    """Lays out the fields that are shown of each group, by the width of the sheet."""

    def __init__(self, sheet: QWidget) -> None:
        self._sheet = sheet
        self._grids: list[tuple[QWidget, QGridLayout, list[SpecField]]] = []
        # How many there are, none while all is to be laid out anew.
        self._count = 0

    def add_group(self, box: QWidget, grid: QGridLayout, made: list[SpecField]) -> None:
        """Lay out these fields as well, and those that are made among them later."""
        self._grids.append((box, grid, made))

    @property
    def groups(self) -> list[tuple[QWidget, list[SpecField]]]:
        """The box of each group with its fields."""
        return [(box, made) for box, _grid, made in self._grids]

    @property
    def is_laid_out(self) -> bool:
        """Whether the fields stand where they belong, as far as is known."""
        return self._count > 0

    def forget(self) -> None:
        """Take note that other fields are to be laid out than before."""
        self._count = 0

    def lay_out(self) -> None:
        """Lay out the fields where there is room for more or fewer, or there are others."""
        room = self._sheet.width() - 2 * Space.L + Space.M
        columns = max(1, room // (metrics_for(self._sheet.font()).px(_COLUMN_PX) + Space.M))
        if columns == self._count:
            return
        self._count = columns
        wide = (room - columns * Space.M) // columns
        for _box, grid, made in self._grids:
            _lay_group(grid, made, columns, wide)


def _lay_group(grid: QGridLayout, made: list[SpecField], columns: int, wide: int) -> None:
    """Lay out one group in columns that are so `wide`."""
    for field in made:
        grid.removeWidget(field)
    place = 0
    for field in made:
        if field.isHidden():
            continue
        if field.spec.is_wide or field.spec.begins_line:
            place = -(-place // columns) * columns
        if field.spec.is_wide:
            grid.addWidget(field, place // columns, 0, 1, columns)
            place += columns
        else:
            span = 2 if columns > 1 and field.least_width > wide else 1
            # What takes two places stands in one line.
            place += columns - place % columns if place % columns + span > columns else 0
            grid.addWidget(field, place // columns, place % columns, 1, span)
            place += span
    for number in range(_MOST):
        grid.setColumnStretch(number, 1 if number < columns else 0)
