"""When what was done or left out comes next, where that counts from it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tankkeeper.core.chores import AfterLastDone, Chore
from tankkeeper.core.early_days import least_days_apart
from tankkeeper.core.logbook import Entry, Skip
from tankkeeper.core.state import HouseholdState


def next_days(state: HouseholdState, entries: Iterable[Entry]) -> list[tuple[Chore, date]]:
    """Return the chores whose next day counts from these entries, with that day.

    Of work of every day nobody asks, and one that rests has no day.
    """
    settled = settled_by(entries)
    found = []
    for one in state.chores:
        coming = one.upcoming
        if one.chore.id not in settled or coming is None or one.open or one.paused is not None:
            continue
        if isinstance(one.chore.rhythm, AfterLastDone) and _is_rarer_than_daily(one.chore):
            found.append((one.chore, coming.target))
    return found


def settled_by(entries: Iterable[Entry]) -> set[str]:
    """Return the chores by id that entries tick or leave out."""
    return {chore for entry in entries for chore in _settled(entry)}


def _settled(entry: Entry) -> list[str]:
    done = [turn.chore for turn in entry.completes if turn.key and not turn.is_part]
    return [*done, entry.fact.turn.chore] if isinstance(entry.fact, Skip) else done


def _is_rarer_than_daily(chore: Chore) -> bool:
    apart = least_days_apart(chore.rhythm)
    return apart is not None and apart > 1
