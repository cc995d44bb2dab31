"""Where the keys go once what was done at a line is shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tankkeeper.core.turns import State
from tankkeeper.gui.models.round_rows import ItemRow

if TYPE_CHECKING:
    from tankkeeper.gui.work_page import WorkPage


class GoingOn:
    """Remembers the line in hand when something was done, until that is shown; `page` tells where.

    A person who went to another line meanwhile stays there.
    """

    def __init__(self, page: Callable[[], WorkPage]) -> None:
        self._page = page
        self._goes_on = False
        # Whether it goes on from a line that stays open: it was moved to another day.
        self._steps_on = False
        # Whether such a line keeps the keys: what was done is of an earlier day.
        self._is_earlier = False
        self._was: State | None = None
        # The line in hand when something was done, while it is not shown yet.
        self._stood: tuple[str, object] | None = None
        # What was open before an undo, until what it brings back is shown.
        self._open_before: set[str] | None = None
        # Whether what is done again may close the line in hand, until that is shown.
        self._goes_forth = False

    def expect_back(self) -> None:
        """Go to what an undo brings back, once it is shown."""
        self._open_before = {row.id for row in self._page().rows() if row.item.is_open}
        self._goes_forth = False
        self._stood = self._in_hand()

    def expect_forth(self) -> None:
        """Go on from the line in hand where what is done again closes it, as that did first.

        Else the next Space would take it back once more. From any other line nobody is sent on.
        """
        rows = self._page().selected()
        self._goes_forth = bool(rows) and rows[0].item.is_open
        self._open_before = None
        self._stood = self._in_hand()

    def expect_nothing(self) -> None:
        """Go to nothing that comes back or is done again: what was written is shown by now."""
        self._open_before, self._goes_forth = None, False

    def after_deed(self, *, steps: bool = False, is_earlier: bool = False) -> None:
        """Go on from the line in hand, once what is done now is shown.

        One that `steps` goes on from a line that stays open, too, for what is to do today. Where
        what was done `is_earlier`, that of today may be still to do: then the line keeps the keys.
        """
        self._goes_on, self._steps_on, self._is_earlier = True, steps or is_earlier, is_earlier
        self._stood = self._in_hand()
        rows = self._page().selected()
        self._was = rows[0].item.state if rows else None

    def stay(self) -> None:
        """Leave the keys where they are: nothing came of it."""
        self._goes_on = False

    def look_where(self) -> None:
        """Leave the keys on the line that a person chose since, before what was done is shown."""
        is_expecting = self._goes_on or self._goes_forth or self._open_before is not None
        if is_expecting and self._in_hand() != self._stood:
            self._goes_on = self._goes_forth = False
            self._open_before = None

    def settle(self) -> None:
        """Go on to the next row that is still to do, once what was done is shown."""
        self._go_back()
        self._go_forth()
        if not self._goes_on:
            return
        self._goes_on = False
        page = self._page()
        rows = page.selected()
        to_do = [row for row in rows if row.item.is_open]
        if self._is_earlier and to_do and self._in_hand() == self._stood:
            # Else the next Space would tick another line, while the foot speaks of this one.
            if len(to_do) < len(rows):
                page.show_row(to_do[0].id)
        elif self._steps_on and rows and self._is_passed(rows[0]):
            page.step_on(self._was)
        else:
            page.go_on()
        left = page.selected()
        if len(left) > 1 and all(row.is_closed for row in left):
            # The next Space would take all of it back at once.
            page.show_row(left[0].id)

    def _go_back(self) -> None:
        before = self._open_before
        if before is None:
            return
        back = [row for row in self._page().rows() if row.item.is_open and row.id not in before]
        if back:
            self._open_before = None
            self._page().show_row(back[0].id)

    def _go_forth(self) -> None:
        rows = self._page().selected() if self._goes_forth else []
        if rows and not rows[0].item.is_open:
            self._goes_forth = False
            self._page().go_on()

    def _in_hand(self) -> tuple[str, object] | None:
        """Return chore and slot of the line on which the keys act, however its turn is called."""
        rows = self._page().selected()
        return (rows[0].item.chore.id, rows[0].item.turn.slot) if rows else None

    def _is_passed(self, row: ItemRow) -> bool:
        """Tell whether a line that is open is not the next one: it is the same line as before.

        Where that has left, it is one that can wait, after one that could not, or one whose hour
        is still to come while there is other work.
        """
        others = (one for one in self._page().rows() if one.item.is_open and not one.comes_later)
        is_next = self._was is State.MAY_WAIT or row.item.counts
        is_next = is_next and not (row.comes_later and any(others))
        return row.item.is_open and (self._in_hand() == self._stood or not is_next)
