"""The table model of the board: lines of bands as rows, days as columns."""

from __future__ import annotations

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from tankkeeper.gui.models.board_sheet import BandRow, BoardCell, BoardSheet, LineRow
from tankkeeper.gui.models.month_sheet import long_day

_Index = QModelIndex | QPersistentModelIndex
_NO_PARENT = QModelIndex()


class BoardModel(QAbstractTableModel):
    """Bands with their turns."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._sheet: BoardSheet | None = None

    @property
    def sheet(self) -> BoardSheet | None:
        """The board that is shown."""
        return self._sheet

    def set_sheet(self, sheet: BoardSheet) -> None:
        """Show a board."""
        self.beginResetModel()
        self._sheet = sheet
        self.endResetModel()

    def rowCount(self, parent: _Index = _NO_PARENT) -> int:
        """Return the number of bands with their lines."""
        return 0 if parent.isValid() or self._sheet is None else len(self._sheet.rows)

    def columnCount(self, parent: _Index = _NO_PARENT) -> int:
        """Return the number of days."""
        return 0 if parent.isValid() or self._sheet is None else len(self._sheet.days)

    def row_at(self, at: int) -> BandRow | LineRow | None:
        """Return a row, or None where there is none."""
        sheet = self._sheet
        return sheet.rows[at] if sheet is not None and 0 <= at < len(sheet.rows) else None

    def cell_at(self, index: _Index) -> BoardCell | None:
        """Return the turn at an index, or None where the day is free."""
        row = self.row_at(index.row()) if index.isValid() else None
        return row.cells[index.column()] if isinstance(row, LineRow) else None

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the noun, or the sentence for a screen reader."""
        row = self.row_at(index.row()) if index.isValid() else None
        if isinstance(row, BandRow):
            if role == Qt.ItemDataRole.DisplayRole:
                return row.name
            return row.sentence if role == Qt.ItemDataRole.AccessibleTextRole else None
        if not isinstance(row, LineRow) or self._sheet is None:
            return None
        cell = row.cells[index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.noun if cell is not None else ""
        if role == Qt.ItemDataRole.ToolTipRole:
            return f"{cell.row.name}, {cell.row.state}" if cell is not None else None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            day = long_day(self._sheet.days[index.column()])
            return cell.sentence if cell is not None else f"{day}, {row.band}, nothing"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Return the days, in full for a screen reader, and the bands."""
        sheet = self._sheet
        if sheet is None:
            return None
        if orientation is Qt.Orientation.Vertical:
            row = self.row_at(section)
            shown = role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)
            name = row.name if isinstance(row, BandRow) else row.band if row is not None else ""
            return name if shown else None
        if role == Qt.ItemDataRole.DisplayRole:
            return " ".join(sheet.heads[section])
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return long_day(sheet.days[section])
        return None

    def flags(self, index: _Index) -> Qt.ItemFlag:
        """Return that turns can be chosen; names of bands and free days can only be read."""
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        if self.cell_at(index) is None:
            return Qt.ItemFlag.ItemIsEnabled
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
