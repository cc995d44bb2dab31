"""The list model of the logbook: it holds what was read so far, and asks for more at its end."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from tankkeeper.gui.models.log_rows import LogRow

ROW_ROLE = int(Qt.ItemDataRole.UserRole) + 1

_Index = QModelIndex | QPersistentModelIndex
_NO_PARENT = QModelIndex()


class LogModel(QAbstractListModel):
    """Entries by time, newest first; `more_wanted` tells that the end comes near."""

    more_wanted = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: list[LogRow] = []
        self._has_more = False

    @property
    def rows(self) -> Sequence[LogRow]:
        """The rows that were read."""
        return self._rows

    def rowCount(self, parent: _Index = _NO_PARENT) -> int:
        """Return how many rows were read."""
        return 0 if parent.isValid() else len(self._rows)

    def canFetchMore(self, parent: _Index) -> bool:
        """Return whether there is more than was read."""
        return self._has_more and not parent.isValid()

    def fetchMore(self, parent: _Index) -> None:
        """Ask for more; it comes when it was read."""
        if self._has_more:
            self.more_wanted.emit()

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the row, its text, or the sentence for a screen reader."""
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == ROW_ROLE:
            return row
        if role == Qt.ItemDataRole.DisplayRole:
            return row.text
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return row.sentence
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Return nothing: rows have no numbers, neither to be seen nor to be heard."""
        return None

    def begins_day(self, at: int) -> bool:
        """Return whether a row is the first of its day."""
        return at == 0 or self._rows[at - 1].on != self._rows[at].on

    def set_rows(self, rows: Sequence[LogRow], *, has_more: bool) -> None:
        """Show these rows in place of all others."""
        self._has_more = has_more
        new = list(rows)
        if [one.id for one in new] == [one.id for one in self._rows]:
            changed = [at for at, one in enumerate(new) if one != self._rows[at]]
            self._rows = new
            for at in changed:
                self.dataChanged.emit(self.index(at), self.index(at))
            return
        self.beginResetModel()
        self._rows = new
        self.endResetModel()

    def add_rows(self, rows: Sequence[LogRow], *, has_more: bool) -> None:
        """Show these rows below the others."""
        self._has_more = has_more
        if rows:
            first = len(self._rows)
            self.beginInsertRows(QModelIndex(), first, first + len(rows) - 1)
            self._rows.extend(rows)
            self.endInsertRows()

    def row_of(self, entry_id: str) -> int:
        """Return where an entry stands, -1 where it was not read."""
        return next((at for at, one in enumerate(self._rows) if one.id == entry_id), -1)
