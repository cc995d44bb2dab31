"""What the calendar asks for, and what the worker reads and words for it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tankkeeper.core.calendar_days import month_of, weeks_of
from tankkeeper.core.household import Tank
from tankkeeper.core.values import dataclass
from tankkeeper.gui.models.board_sheet import BoardSheet, board_sheet
from tankkeeper.gui.models.month_sheet import MonthSheet, month_sheet
from tankkeeper.gui.models.round_rows import counts_words
from tankkeeper.gui.reading import Shown
from tankkeeper.services.board import board_of
from tankkeeper.services.calendar import calendar_of, logged_between
from tankkeeper.services.desk import Desk


@dataclass(frozen=True, slots=True)
class CalendarSheets:
    """What one reading gives the calendar: a month, or the board."""

    wish: CalendarWish
    shown: Shown
    month: MonthSheet | None = None
    board: BoardSheet | None = None


@dataclass(frozen=True, slots=True)
class CalendarWish:
    """A month by one of its days (None for that of today), or a board of some days."""

    day: date | None = None
    board_days: int | None = None
    tank_id: str | None = None
    wide: frozenset[str] = frozenset()

    def read(self, desk: Desk, shown: Shown) -> CalendarSheets:
        """Return what was asked for, as the state of a reading and the log have it."""
        state = shown.state
        tank = next((one for one in state.household.tanks if one.id == self.tank_id), None)
        if self.board_days is not None:
            board = board_of(state, self.board_days, tank)
            return CalendarSheets(
                self, shown, board=board_sheet(board, shown.sheet.words, self.wide)
            )
        return CalendarSheets(self, shown, month=self._month(desk, shown, tank))

    def _month(self, desk: Desk, shown: Shown, tank: Tank | None) -> MonthSheet:
        state, words = shown.state, shown.sheet.words
        month = month_of(self.day or state.moment.day)
        weeks = weeks_of(month, state.household.first_weekday)
        first, last = weeks[0][0], weeks[-1][-1]
        entries = logged_between(desk, state, first, last)
        view = calendar_of(state, entries, first, last, tank)
        counts = counts_words(replace(shown.sheet.view.counts, done=0, skipped=0))
        return month_sheet(view, month, words, counts, is_narrowed=tank is not None)
