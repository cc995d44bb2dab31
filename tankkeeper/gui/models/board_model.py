"""The table model of the board: lines of bands as rows, days as columns."""

from __future__ import annotations

from PySide6.QtCore import Qt

from tankkeeper.gui.models.board_sheet import BandRow, BoardCell, BoardSheet, LineRow
from tankkeeper.gui.models.month_sheet import long_day
from tankkeeper.gui.models.sheet_model import CHOSEN, NOTHING, READ_ONLY, Index, SheetModel


class BoardModel(SheetModel[BoardSheet]):
    """Bands with their turns."""

    def size_of(self, sheet: BoardSheet) -> tuple[int, int]:
        """Return the number of bands with their lines, and of days."""
        return len(sheet.rows), len(sheet.days)

    def head(self, sheet: BoardSheet, column: int) -> tuple[str, str]:
        """Return a day, in short and in full."""
        return " ".join(sheet.heads[column]), long_day(sheet.days[column])

    def row_name(self, sheet: BoardSheet, row: int) -> str:
        """Return the band of a row."""
        return sheet.rows[row].name

    def row_at(self, at: int) -> BandRow | LineRow | None:
        """Return a row, or None where there is none."""
        sheet = self.sheet
        return sheet.rows[at] if sheet is not None and 0 <= at < len(sheet.rows) else None

    def turn_at(self, row: int, column: int) -> BoardCell | None:
        """Return the turn in a row on a day, or None where the day is free."""
        one = self.row_at(row)
        return one.cells[column] if isinstance(one, LineRow) else None

    def cell_at(self, index: Index) -> BoardCell | None:
        """Return the turn at an index, or None where the day is free."""
        return self.turn_at(index.row(), index.column()) if index.isValid() else None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the noun, or the sentence for a screen reader."""
        sheet, row = self.sheet, self.row_at(index.row()) if index.isValid() else None
        if isinstance(row, BandRow):
            if role == Qt.ItemDataRole.DisplayRole:
                return row.name
            return row.sentence if role == Qt.ItemDataRole.AccessibleTextRole else None
        if row is None or sheet is None:
            return None
        cell = row.cells[index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.noun if cell is not None else ""
        if role == Qt.ItemDataRole.ToolTipRole:
            return f"{cell.row.name}, {cell.row.state}" if cell is not None else None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            day = long_day(sheet.days[index.column()])
            return cell.sentence if cell is not None else f"{day}, {row.name}, nothing"
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return that turns can be chosen; names of bands and free days can only be read."""
        if not index.isValid():
            return NOTHING
        return READ_ONLY if self.cell_at(index) is None else CHOSEN
