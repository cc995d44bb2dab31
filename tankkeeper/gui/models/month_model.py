"""The table model of a month: weeks as rows, cells prepared beforehand."""

from __future__ import annotations

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from tankkeeper.gui.models.month_sheet import DayCell, MonthSheet
from tankkeeper.reports.words import WEEKDAYS

CELL_ROLE = int(Qt.ItemDataRole.UserRole) + 1

_Index = QModelIndex | QPersistentModelIndex
_NO_PARENT = QModelIndex()


class MonthModel(QAbstractTableModel):
    """Cells by week and weekday."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._sheet: MonthSheet | None = None

    @property
    def sheet(self) -> MonthSheet | None:
        """The month that is shown."""
        return self._sheet

    def set_sheet(self, sheet: MonthSheet) -> None:
        """Show a month; with as many weeks as before the selection stays."""
        old = self._sheet
        if old is not None and len(old.weeks) == len(sheet.weeks):
            self._sheet = sheet
            self.dataChanged.emit(self.index(0, 0), self.index(len(sheet.weeks) - 1, 6))
            return
        self.beginResetModel()
        self._sheet = sheet
        self.endResetModel()

    def rowCount(self, parent: _Index = _NO_PARENT) -> int:
        """Return the number of weeks."""
        return 0 if parent.isValid() or self._sheet is None else len(self._sheet.weeks)

    def columnCount(self, parent: _Index = _NO_PARENT) -> int:
        """Return the days of a week."""
        return 0 if parent.isValid() else 7

    def cell_at(self, index: _Index) -> DayCell | None:
        """Return the cell at an index."""
        if self._sheet is None or not index.isValid() or index.row() >= len(self._sheet.weeks):
            return None
        return self._sheet.weeks[index.row()][index.column()]

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the cell, its number, or the sentence for a screen reader."""
        cell = self.cell_at(index)
        if cell is None:
            return None
        if role == CELL_ROLE:
            return cell
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.number
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return cell.sentence
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Return the weekdays, in full for a screen reader, and the first day of a week."""
        sheet = self._sheet
        if sheet is None:
            return None
        if orientation is Qt.Orientation.Vertical:
            shown = role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)
            return f"Week of {sheet.weeks[section][0].day:%d}" if shown else None
        if role == Qt.ItemDataRole.DisplayRole:
            return sheet.heads[section]
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return WEEKDAYS[sheet.weeks[0][section].day.weekday()]
        return None

    def flags(self, index: _Index) -> Qt.ItemFlag:
        """Return that every day can be chosen."""
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
