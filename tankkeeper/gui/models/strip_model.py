"""The table model of the strips: a line with the name of a person, and one with their days."""

from __future__ import annotations

from PySide6.QtCore import Qt

from tankkeeper.gui.models.board_sheet import BoardSheet, StripSheet
from tankkeeper.gui.models.month_sheet import long_day
from tankkeeper.gui.models.sheet_model import Index, SheetModel

ROWS_OF_ONE = 2


class StripModel(SheetModel[BoardSheet]):
    """Two rows for each person: the name over all days, then the minutes of each day."""

    def size_of(self, sheet: BoardSheet) -> tuple[int, int]:
        """Return the number of rows, and of days."""
        return ROWS_OF_ONE * len(sheet.strips), len(sheet.days)

    def head(self, sheet: BoardSheet, column: int) -> tuple[str, str]:
        """Return a day, in short and in full."""
        return " ".join(sheet.heads[column]), long_day(sheet.days[column])

    def row_name(self, sheet: BoardSheet, row: int) -> str:
        """Return the person of a row."""
        return sheet.strips[row // ROWS_OF_ONE].name

    def is_name(self, row: int) -> bool:
        """Tell whether a row holds a name, not days."""
        return row % ROWS_OF_ONE == 0

    def strip_at(self, row: int) -> StripSheet | None:
        """Return the strip of a row, or None where there is none."""
        strips = self.sheet.strips if self.sheet is not None else ()
        at = row // ROWS_OF_ONE
        return strips[at] if 0 <= at < len(strips) else None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return name or minutes, or the sentence for a screen reader."""
        strip = self.strip_at(index.row()) if index.isValid() else None
        if strip is None:
            return None
        is_name = self.is_name(index.row())
        if role == Qt.ItemDataRole.DisplayRole:
            return strip.name if is_name else str(strip.strip.minutes[index.column()])
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return strip.sentence if is_name else strip.days[index.column()]
        if role == Qt.ItemDataRole.ToolTipRole and not is_name:
            return strip.days[index.column()]
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return that days can be chosen; names can only be read."""
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        if self.is_name(index.row()):
            return Qt.ItemFlag.ItemIsEnabled
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
