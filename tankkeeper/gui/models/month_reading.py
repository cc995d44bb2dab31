"""What the calendar asks for, and what the worker reads and words for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from tankkeeper.core.calendar_days import month_after, month_of, weeks_of
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry
from tankkeeper.core.values import dataclass
from tankkeeper.gui.models.board_sheet import BoardSheet, board_sheet
from tankkeeper.gui.models.month_sheet import MonthSheet, before_logbook, head_sentence, month_sheet
from tankkeeper.gui.models.round_rows import counts_words
from tankkeeper.gui.reading import Shown
from tankkeeper.services.board import board_of
from tankkeeper.services.calendar import calendar_of, folded_today, logged_between, logged_on
from tankkeeper.services.desk import Desk
from tankkeeper.services.log_pages import log_extent
from tankkeeper.services.round import counts_of


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
            entries = logged_on(desk, state.moment.day)
            board = board_of(state, self.board_days, tank, entries)
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
        counted = replace(shown.sheet.view.counts, done=0, skipped=0, paused_tanks=0)
        folded = counts_of(folded_today(state, shown.sheet.view.items))
        counts = counts_words(counted, folded.due)
        why_empty = _why_empty(desk, month, state.moment.day, entries)
        sentence = head_sentence(month, state.moment.day, counts, why_empty)
        return month_sheet(view, month, words, sentence, is_narrowed=tank is not None)


def _why_empty(desk: Desk, month: date, today: date, entries: Sequence[Entry]) -> str:
    """Return why nothing was done in a month before the logbook begins, else nothing.

    How far the log reaches is asked only where it shows nothing: counting it takes its time.
    """
    following = month_after(month, 1)
    if following > month_of(today) or any(one.day < following for one in entries):
        return ""
    begins_on = log_extent(desk).first_on
    return before_logbook(begins_on) if begins_on is None or begins_on >= following else ""
