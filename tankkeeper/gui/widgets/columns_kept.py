"""The columns of a list from one showing to the next: when they stand, and when they are made."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QFont

from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.widgets.columns_stand import grown
from tankkeeper.gui.widgets.round_columns import Columns, Needs, columns_for

# What a person sets down of a chore and a column shows: with another of it the work is another.
_Work = dict[str, tuple[object, ...]]


class ColumnsKept:
    """Keeps the columns as they were made for the same work, in one width and one size of type.

    For other work they are made anew, but stand where they were as long as that costs nothing.
    """

    def __init__(self) -> None:
        self._columns: Columns | None = None
        self._measure: tuple[float, str] | None = None
        # What the columns had room for so far, in this width and type.
        self._kept: Needs | None = None
        self._work: _Work | None = None
        self._others: tuple[ItemRow, ...] = ()
        self._people: tuple[str, ...] = ()
        self._has_room_for_others = False

    def begin_anew(self) -> None:
        """Make the columns next as a start would."""
        self._measure = None

    def begin_other(self) -> None:
        """Make the columns next for other work: another tank, or another day."""
        self._work = None

    def set_people(self, names: Sequence[str]) -> None:
        """Let the columns have room for these people, any of whom may tick a line."""
        if tuple(names) != self._people:
            self._people = tuple(names)
            self.begin_anew()

    def keep_room_for(self, rows: Sequence[ItemRow]) -> None:
        """Let the columns be made so that these rows would have room, too, if they can be shown.

        So they do not move from one day to the next.
        """
        self._others, self._has_room_for_others = tuple(rows), False

    def columns_of(self, rows: Sequence[ItemRow], base: QFont, width: float) -> Columns:
        """Return where the columns stand for these rows."""
        measure, work = (width, base.key()), _work_of(rows)
        is_other = measure != self._measure
        if is_other:
            self._measure, self._kept, self._has_room_for_others = measure, None, False
        columns = self._columns
        if columns is None or is_other or not self._is_same(work):
            self._keep_others(base, width)
            columns = columns_for(rows, base, width, self._kept, self._people)
        elif rows:
            columns = grown(columns, rows, base, width)
        if rows:
            # What is shown when all is done, or moved away, is still the work of the same day.
            self._kept, self._work = columns.needs, work
        self._columns = columns
        return columns

    def _keep_others(self, base: QFont, width: float) -> None:
        if self._has_room_for_others:
            return
        self._has_room_for_others = True
        others = columns_for(self._others, base, width, people=self._people).needs
        if others is not None:
            self._kept = others if self._kept is None else self._kept.at_least(others)

    def _is_same(self, work: _Work) -> bool:
        """Tell whether it is the work that was shown, of which a tick may take and bring some."""
        known = self._work
        if known is None or any(known[one] != work[one] for one in known.keys() & work.keys()):
            return False
        both, either = len(known.keys() & work.keys()), len(known.keys() | work.keys())
        return both == min(len(known), len(work)) or 2 * both > either


def _work_of(rows: Sequence[ItemRow]) -> _Work:
    chores = [row.item.chore for row in rows]
    return {one.id: (one.name, one.who, one.caution, one.minutes) for one in chores}
