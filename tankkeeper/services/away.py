"""Days off: since when nobody wrote anything, what piled up, and the days it may have been done."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from tankkeeper.core.pauses import pause_on, spans_for
from tankkeeper.core.state import HouseholdState, Item, items_of
from tankkeeper.core.turns import OpenTurn, State
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import FARTHEST_BEHIND
from tankkeeper.services.lapsed import Lapsed, is_still_open, lapsed

# Two mornings with a round at about the same hour lie closer together than this.
AWAY_AFTER = timedelta(hours=36)


@dataclass(frozen=True, slots=True)
class Absence:
    """Since when nobody wrote anything, and what is overdue, due and lapsed in the whole house."""

    since: datetime
    overdue: int
    due: int
    lapsed: int = 0


@dataclass(frozen=True, slots=True)
class PiledUp:
    """A turn that is still open, with the days before today on which it may have been done."""

    item: Item
    days: tuple[date, ...]


def away_since(state: HouseholdState) -> datetime | None:
    """Return when somebody was last there, by the logbook, where it is long past, else None.

    Whoever writes down what was done on a day before is there when it is written.
    """
    newest, written_at = state.history.newest_at, state.history.written_at
    if newest is None:
        return None
    last = newest if written_at is None else max(newest, written_at)
    return None if state.moment.now - last <= AWAY_AFTER else last


def absence(
    state: HouseholdState, since: datetime, lost: Sequence[Lapsed] | None = None
) -> Absence | None:
    """Return what piled up, None where nothing is overdue, due or lapsed.

    `lost` is what lapsed, where that is known already. Of it the round tells what is still open,
    which is counted there alone.
    """
    lost = lapsed(state, since) if lost is None else lost
    states = [turn.state for one in state.chores if one.paused is None for turn in one.open]
    overdue, due = states.count(State.OVERDUE), states.count(State.DUE)
    by_id = {one.chore.id: one for one in state.chores}
    count = sum(not is_still_open(by_id[one.chore.id], turn) for one in lost for turn in one.turns)
    return Absence(since, overdue, due, count) if overdue or due or count else None


def piled_up(state: HouseholdState, since: datetime) -> tuple[PiledUp, ...]:
    """Return the turns that somebody may have done since without writing it down.

    Only what is overdue or due now, or can wait beyond its day, and could be done before today. Of
    what comes day by day `lapsed` tells, turn by turn.
    """
    found, by_day = [], {one.chore.id for one in lapsed(state, since)}
    for one in state.chores:
        if one.paused is not None:
            continue
        for item in items_of(state, one):
            days = _days_for(state, item, since)
            if days and _is_late_or_due(state, item) and item.chore.id not in by_day:
                found.append(PiledUp(item, days))
    return tuple(found)


def _is_late_or_due(state: HouseholdState, item: Item) -> bool:
    """Tell whether the day of a turn has come, be it that it can wait for longer."""
    if item.counts:
        return True
    return item.is_open and item.open is not None and item.open.target < state.moment.day


def _days_for(state: HouseholdState, item: Item, since: datetime) -> tuple[date, ...]:
    """Return the days on which a turn may have been done, from the first whole day away on.

    On the day of `since` somebody was there and wrote down what they did, so it is one of them
    only where no other is.
    """
    if item.open is None:
        return ()
    left_on = state.moment.day_of(since)
    first = max(_first_day(item, item.open), left_on)
    count = (state.moment.day - first).days
    pauses = spans_for(item.chore, state.spans)
    days = (first + timedelta(days=ahead) for ahead in range(count))
    found = [one for one in days if pause_on(one.toordinal(), pauses) is None]
    return tuple(one for one in found if one != left_on) or tuple(found)


def _first_day(item: Item, turn: OpenTurn) -> date:
    """Return the first day on which a turn may have been done.

    What evaporated can be filled up on any day after the last time, long before a limit asks for
    it, and whoever looks after the tanks may do so.
    """
    if not item.chore.is_done_by_filling or turn.is_put_off or turn.counted_from is None:
        return turn.earliest
    return min(turn.earliest, turn.counted_from + timedelta(days=1))


def done_at(state: HouseholdState, day: date, since: datetime) -> datetime:
    """Return the moment to write for something done on a day of the absence.

    The usual hour of the round, but not before the entry that was the last one.
    """
    return max(state.moment.round_on(day), since)


def newest_ahead(state: HouseholdState) -> datetime | None:
    """Return the newest entry where the clock stands more than a day behind it, else None.

    Nothing is written then without its moment: one of the two is wrong.
    """
    newest = state.history.newest_at
    if newest is None or state.moment.now >= newest - FARTHEST_BEHIND:
        return None
    return newest
