"""What the table models of the calendar share: one sheet, prepared beforehand, as rows of cells."""

from __future__ import annotations

from typing import Final, Generic, TypeVar

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

Index = QModelIndex | QPersistentModelIndex
NO_PARENT = QModelIndex()
# Put together once: a table asks for every cell that it paints.
NOTHING: Final = Qt.ItemFlag.NoItemFlags
READ_ONLY: Final = Qt.ItemFlag.ItemIsEnabled
CHOSEN: Final = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable

SheetT = TypeVar("SheetT")


class SheetModel(QAbstractTableModel, Generic[SheetT]):
    """Shows a sheet, nothing before there is one; the kinds say what its rows and cells are."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._sheet: SheetT | None = None

    @property
    def sheet(self) -> SheetT | None:
        """The sheet that is shown."""
        return self._sheet

    def set_sheet(self, sheet: SheetT) -> None:
        """Show a sheet; one of the same size keeps the current cell where `keeps_place` says so."""
        old = self._sheet
        if old is not None and self.keeps_place(old, sheet):
            self._sheet = sheet
            last = self.index(self.rowCount() - 1, self.columnCount() - 1)
            self.dataChanged.emit(self.index(0, 0), last)
            return
        self.beginResetModel()
        self._sheet = sheet
        self.endResetModel()

    def keeps_place(self, _old: SheetT, _new: SheetT) -> bool:
        """Tell whether the same cells are shown, only with other contents."""
        return False

    def size_of(self, sheet: SheetT) -> tuple[int, int]:
        """Return how many rows and columns a sheet has."""
        raise NotImplementedError

    def head(self, sheet: SheetT, column: int) -> tuple[str, str]:
        """Return the words over a column: as they are drawn, and as they are read aloud."""
        raise NotImplementedError

    def row_name(self, sheet: SheetT, row: int) -> str:
        """Return what a row is called."""
        raise NotImplementedError

    def rowCount(self, parent: Index = NO_PARENT) -> int:
        """Return the number of rows."""
        return 0 if parent.isValid() or self._sheet is None else self.size_of(self._sheet)[0]

    def columnCount(self, parent: Index = NO_PARENT) -> int:
        """Return the number of columns."""
        return 0 if parent.isValid() or self._sheet is None else self.size_of(self._sheet)[1]

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Return the words over the columns, in full for a screen reader, and those of the rows."""
        sheet = self._sheet
        if sheet is None or role not in _SAID:
            return None
        if orientation is Qt.Orientation.Vertical:
            return self.row_name(sheet, section)
        drawn, read = self.head(sheet, section)
        return drawn if role == Qt.ItemDataRole.DisplayRole else read


_SAID = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)
