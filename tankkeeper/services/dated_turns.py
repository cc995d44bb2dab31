"""Which turn somebody means who says of a day gone by only that the work was done."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from tankkeeper.core.chores import Calendar, IfMissed
from tankkeeper.core.logbook import Entry, Turn
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.values import dataclass
from tankkeeper.services.lapsed import turns_left_on
from tankkeeper.services.ports import LogQuery, Writing
from tankkeeper.services.tick_facts import has_amount


@dataclass(frozen=True, slots=True)
class Meant:
    """The turn that is meant and the moment to write for it, or who did all of that day already."""

    turn: Turn
    at: datetime
    done_by: Entry | None = None


def meant_on_day(
    writing: Writing, state: HouseholdState, item: Item, own: Turn, at: datetime
) -> Meant:
    """Return what a completion at `at`, on a day before today, is that says no more than so.

    The hour that nobody wrote down on that day, the line's own first; `own`, which the moment
    alone gives, where the chore has no hours. Nothing where the day has its completion already.
    """
    chore, day = item.chore, state.moment.day_of(at)
    is_calendar = isinstance(chore.rhythm, Calendar)
    if is_calendar and chore.slots:
        left = [
            one
            for one in turns_left_on(state, chore.id, day)
            if writing.holder_of(one.turn.id) is None
        ]
        left.sort(key=lambda one: (one.turn.slot != item.turn.slot, one.at))
        if left:
            return Meant(left[0].turn, max(at, left[0].at))
    if not own.is_extra and is_calendar and chore.if_missed is IfMissed.EACH:
        # Several turns of it may have been made up for on one day.
        return Meant(own, at)
    return Meant(own, at, _newest_of(writing, chore.id, day))


def writes_nothing_yesterday(state: HouseholdState, item: Item) -> bool:
    """Tell whether yesterday has its completion already, as `meant_on_day` finds for a bare tick.

    Work that has an amount is asked about in its form, whatever stands there before.
    """
    chore, day = item.chore, state.moment.day - timedelta(days=1)
    if has_amount(item):
        return False
    if isinstance(chore.rhythm, Calendar) and (
        chore.if_missed is IfMissed.EACH or (chore.slots and turns_left_on(state, chore.id, day))
    ):
        return False
    done = state.history.of_chore(chore.id)
    return any(one.day == day and one.completes_chore(chore.id) for one in done)


def _newest_of(writing: Writing, chore: str, day: date) -> Entry | None:
    """Return the newest standing entry of a day by which a chore was done."""
    found = writing.entries(LogQuery(chore=chore, from_day=day, to_day=day, only_valid=True))
    return next((row.entry for row in found if row.entry.completes_chore(chore)), None)
