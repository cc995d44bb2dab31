"""The table model of a month: weeks as rows, cells prepared beforehand."""

from __future__ import annotations

from PySide6.QtCore import Qt

from tankkeeper.gui.models.month_sheet import DayCell, MonthSheet
from tankkeeper.gui.models.sheet_model import CHOSEN, NOTHING, Index, SheetModel
from tankkeeper.reports.words import WEEKDAYS

_DAYS = 7


class MonthModel(SheetModel[MonthSheet]):
    """Cells by week and weekday; with as many weeks as before the selection stays."""

    def size_of(self, sheet: MonthSheet) -> tuple[int, int]:
        """Return the number of weeks, and their days."""
        return len(sheet.weeks), _DAYS

    def keeps_place(self, old: MonthSheet, new: MonthSheet) -> bool:
        """Tell whether there are as many weeks as before."""
        return len(old.weeks) == len(new.weeks)

    def head(self, sheet: MonthSheet, column: int) -> tuple[str, str]:
        """Return a weekday, in short and in full."""
        return sheet.heads[column], WEEKDAYS[sheet.weeks[0][column].day.weekday()]

    def row_name(self, sheet: MonthSheet, row: int) -> str:
        """Return a week by its first day."""
        return f"Week of {sheet.weeks[row][0].day:%d}"

    def cell_at(self, index: Index) -> DayCell | None:
        """Return the cell at an index."""
        sheet = self.sheet
        if sheet is None or not index.isValid() or index.row() >= len(sheet.weeks):
            return None
        return sheet.weeks[index.row()][index.column()]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the number of a day, or the sentence for a screen reader."""
        cell = self.cell_at(index)
        if cell is None:
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.number
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return cell.sentence
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return that every day can be chosen."""
        return CHOSEN if index.isValid() else NOTHING
