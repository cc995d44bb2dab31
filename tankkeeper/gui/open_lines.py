"""Which lines can be worked on now; of those that cannot it is told why, and from when."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tankkeeper.core.state import Item
from tankkeeper.core.turns import State
from tankkeeper.gui.line_answers import LineAnswers
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.models.row_words import not_due_yesterday, not_open, not_yet
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.services.calendar import can_be_moved
from tankkeeper.services.ticking import too_early

if TYPE_CHECKING:
    from tankkeeper.gui.work_page import WorkPage


class OpenLines:
    """Judges lines by the reading that is shown; a refusal is told at the line in hand.

    That is the first of several, and may be another one than that which is refused.
    """

    def __init__(
        self, session: Session, page: Callable[[], WorkPage], answers: LineAnswers
    ) -> None:
        self._session = session
        self._page = page
        self._answers = answers

    def can_act(self, row: ItemRow) -> bool:
        """Tell whether a turn is open, or the next one of its chore and can be done early."""
        last = self._session.last
        return row.item.is_open or (last is not None and can_be_moved(last.state, row.item))

    def still_open(self, rows: list[ItemRow]) -> list[ItemRow]:
        """Return the rows that can be worked on; where there is none, that is told as a refusal."""
        found = [row for row in rows if self.can_act(row)]
        if not found:
            self._refuse(rows, not_open(rows[0]))
        return found

    def still_to_tick(self, rows: list[ItemRow]) -> list[ItemRow]:
        """Return the rows that can be ticked; of one far ahead is told from when it can be."""
        last, ahead = self._session.last, rows[0].item
        if last is None or ahead.state is not State.PROJECTED or any(map(self.can_act, rows)):
            return self.still_open(rows)
        self._refuse(rows, self._not_yet(ahead, last))
        return []

    def is_too_early(self, rows: list[ItemRow]) -> bool:
        """Refuse lines of which a tick would leave a turn to come as it is; none is ticked then."""
        last = self._session.last
        if last is None:
            return False
        found = [(row, too_early(last.state, row.item)) for row in rows]
        row, early = next((one for one in found if one[1] is not None), (rows[0], None))
        if early is not None:
            can_act = self.can_act(row)
            told = self._answers.worded(early) if can_act else self._not_yet(row.item, last)
            self._refuse(rows, told)
        return early is not None

    def is_to_come(self, rows: list[ItemRow]) -> bool:
        """Refuse to tick for yesterday what was not due then; none is ticked then."""
        row = next((one for one in rows if one.item.state is State.PROJECTED), None)
        if row is not None and not self.is_too_early(rows):
            form, can_act = self._page().form_command, self.can_act(row)
            self._refuse(rows, not_due_yesterday(row, form, can_act=can_act))
        return row is not None

    def _not_yet(self, item: Item, last: Shown) -> str:
        return not_yet(item, last.state, last.sheet.words, self._page().form_command)

    def _refuse(self, rows: list[ItemRow], sentence: str) -> None:
        self._answers.refused.emit(rows[0].id, sentence)
