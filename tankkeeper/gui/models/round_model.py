"""The list model of the round: rows prepared beforehand, looked up by role."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from tankkeeper.gui.models.round_rows import HeadingRow, ItemRow, RoundRow
from tankkeeper.gui.widgets.labels import tip

ROW_ROLE = int(Qt.ItemDataRole.UserRole) + 1

_Index = QModelIndex | QPersistentModelIndex
_NO_PARENT = QModelIndex()


def _identity(row: RoundRow) -> str:
    """Return what makes a row the same one after a change: its heading, or its chore and slot."""
    if isinstance(row, HeadingRow):
        return f"# {row.name}"
    return f"{row.item.chore.id} {row.item.turn.slot}"


class RoundModel(QAbstractListModel):
    """Headings and lines of work in walking order."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: list[RoundRow] = []

    @property
    def rows(self) -> Sequence[RoundRow]:
        """The rows as they are shown."""
        return self._rows

    def rowCount(self, parent: _Index = _NO_PARENT) -> int:
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the row, its name, or the sentence for a screen reader."""
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == ROW_ROLE:
            return row
        if role == Qt.ItemDataRole.DisplayRole:
            return row.name
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return row.sentence
        if role == Qt.ItemDataRole.ToolTipRole:
            return row.state if isinstance(row, ItemRow) else tip(row.way) if row.way else None
        if role == Qt.ItemDataRole.CheckStateRole and isinstance(row, ItemRow):
            return Qt.CheckState.Checked if row.is_closed else Qt.CheckState.Unchecked
        return None

    def flags(self, index: _Index) -> Qt.ItemFlag:
        """Return what can be done with a row; headings can only be read."""
        if not index.isValid() or isinstance(self._rows[index.row()], HeadingRow):
            return Qt.ItemFlag.ItemIsEnabled if index.isValid() else Qt.ItemFlag.NoItemFlags
        return (
            Qt.ItemFlag.ItemIsEnabled
            | Qt.ItemFlag.ItemIsSelectable
            | Qt.ItemFlag.ItemIsUserCheckable
        )

    def set_rows(self, rows: Sequence[RoundRow]) -> None:
        """Show these rows; rows that stay the same chore keep their place and selection."""
        new = list(rows)
        if [_identity(row) for row in new] == [_identity(row) for row in self._rows]:
            self._replace(new)
            return
        self.beginResetModel()
        self._rows = new
        self.endResetModel()

    def _replace(self, new: list[RoundRow]) -> None:
        changed = [at for at, row in enumerate(new) if row != self._rows[at]]
        self._rows = new
        for at in changed:
            self.dataChanged.emit(self.index(at), self.index(at))

    def row_of(self, chore: str, slot: object = None) -> int:
        """Return the row of a chore's line, the one with this slot if given; -1 when gone."""
        for at, row in enumerate(self._rows):
            if not isinstance(row, ItemRow) or row.item.chore.id != chore:
                continue
            if slot is None or row.item.turn.slot == slot:
                return at
        return -1
