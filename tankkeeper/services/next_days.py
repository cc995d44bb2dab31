"""When what was done, left out or let go on comes next, where that is not known by heart."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tankkeeper.core.calendar_days import is_daily
from tankkeeper.core.chores import AfterLastDone, Calendar, Chore
from tankkeeper.core.early_days import least_days_apart
from tankkeeper.core.logbook import Entry, Resume, Skip
from tankkeeper.core.state import HouseholdState


def next_days(state: HouseholdState, entries: Iterable[Entry]) -> list[tuple[Chore, date]]:
    """Return the chores that these entries settle or let go on, with the day they come next.

    Of work of every day nobody asks, unless its pause has ended, and one that rests has no day.
    What the water decides is told by the water.
    """
    entries = tuple(entries)
    settled, resumed = settled_by(entries), _resumed_by(entries)
    found = []
    for one in state.chores:
        coming = one.upcoming
        if one.chore.id not in settled or coming is None or one.open or one.paused is not None:
            continue
        if one.chore.id in resumed or _is_rarer_than_daily(one.chore, state.moment.day):
            found.append((one.chore, coming.target))
    return found


def settled_by(entries: Iterable[Entry]) -> set[str]:
    """Return the chores by id that entries tick, leave out or let go on."""
    entries = tuple(entries)
    return {chore for entry in entries for chore in _settled(entry)} | _resumed_by(entries)


def _resumed_by(entries: Iterable[Entry]) -> set[str]:
    """Return the chores by id of which a pause of their own was ended."""
    facts = (entry.fact for entry in entries)
    return {fact.chore for fact in facts if isinstance(fact, Resume) and fact.chore is not None}


def _settled(entry: Entry) -> list[str]:
    done = [turn.chore for turn in entry.completes if turn.key and not turn.is_part]
    return [*done, entry.fact.turn.chore] if isinstance(entry.fact, Skip) else done


def _is_rarer_than_daily(chore: Chore, today: date) -> bool:
    """Tell whether days lie between its turns; Monday to Friday leave some free, too."""
    if isinstance(chore.rhythm, Calendar):
        return not is_daily(chore, today)
    if not isinstance(chore.rhythm, AfterLastDone):
        return False
    apart = least_days_apart(chore.rhythm)
    return apart is not None and apart > 1
