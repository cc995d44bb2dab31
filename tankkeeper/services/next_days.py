"""When what was done, left out or let go on comes next."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from tankkeeper.core.calendar_days import is_daily
from tankkeeper.core.chores import AfterLastDone, Calendar, Chore, WhenWaterSays
from tankkeeper.core.early_days import least_days_apart
from tankkeeper.core.logbook import Entry, Resume, Skip
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.turns import OpenTurn, next_turn
from tankkeeper.core.values import dataclass


@dataclass(frozen=True, slots=True)
class Coming:
    """When a chore comes next: its day, and its hour where it has one.

    `is_expected` tells that the water decides it, so that it may move.
    """

    chore: Chore
    day: date
    at: datetime | None = None
    is_expected: bool = False


def next_days(state: HouseholdState, entries: Iterable[Entry]) -> list[Coming]:
    """Return when the chores come next that these entries settle or let go on.

    Of several, work of every day and what the water decides is left out, unless its pause has
    ended: that would hide the days that nobody knows by heart. What rests has no day.
    """
    entries = tuple(entries)
    settled, resumed = settled_by(entries), _resumed_by(entries)
    today = state.moment.day
    is_alone = len(settled) == 1 and all(one.day == today for one in entries)
    found = []
    for one in state.chores:
        turn = next_turn(one, state.moment.now) if one.chore.id in settled else None
        if turn is None:
            continue
        if is_alone or one.chore.id in resumed or _is_rarer_than_daily(one.chore, today):
            found.append(coming_of(one.chore, turn))
    return found


def coming_of(chore: Chore, turn: OpenTurn) -> Coming:
    """Return when a chore comes by its next turn; what the water decides has no hour."""
    is_expected = isinstance(chore.rhythm, WhenWaterSays)
    return Coming(chore, turn.target, None if is_expected else turn.due_at, is_expected)


def settled_by(entries: Iterable[Entry]) -> set[str]:
    """Return the chores by id that entries tick, leave out or let go on."""
    entries = tuple(entries)
    return {chore for entry in entries for chore in _settled(entry)} | _resumed_by(entries)


def _resumed_by(entries: Iterable[Entry]) -> set[str]:
    """Return the chores by id of which a pause of their own was ended."""
    facts = (entry.fact for entry in entries)
    return {fact.chore for fact in facts if isinstance(fact, Resume) and fact.chore is not None}


def _settled(entry: Entry) -> list[str]:
    done = [turn.chore for turn in entry.completes if not (turn.is_extra or turn.is_part)]
    return [*done, entry.fact.turn.chore] if isinstance(entry.fact, Skip) else done


def _is_rarer_than_daily(chore: Chore, today: date) -> bool:
    """Tell whether days lie between its turns; Monday to Friday leave some free, too."""
    if isinstance(chore.rhythm, Calendar):
        return not is_daily(chore, today)
    if not isinstance(chore.rhythm, AfterLastDone):
        return False
    apart = least_days_apart(chore.rhythm)
    return apart is not None and apart > 1
