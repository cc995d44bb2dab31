"""What lapsed on the days that a calendar shows: nobody wrote it down, and no later tick does."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from typing import NamedTuple

from tankkeeper.core.chores import Chore
from tankkeeper.core.history import chores_of
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry, Redefined, Thing
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.turns import ChoreState
from tankkeeper.services.lapsed import (
    Lapsed,
    LapsedTurn,
    is_each_lost,
    is_still_open,
    unsettled_turns,
)


def not_done(
    state: HouseholdState,
    entries: Iterable[Entry],
    first: date,
    last: date,
    tank: Tank | None = None,
) -> dict[date, tuple[Lapsed, ...]]:
    """Return by day the turns from `first` to `last` that lapsed and that nobody wrote down.

    `entries` are those of the days around: before the earliest of them nothing is missed, since
    nobody wrote then. What is still open is none of it; of today it tells nothing.
    """
    log = _read(entries, state.moment.now)
    first = max(first, state.moment.day_of(log.begins))
    last = min(last, state.moment.day - timedelta(days=1))
    found: dict[date, list[Lapsed]] = {}
    for one in state.chores if first <= last else ():
        chore = one.chore
        if not is_each_lost(chore) or (tank is not None and chore.tank != tank.id):
            continue
        days: dict[date, list[LapsedTurn]] = {}
        for turn in _lost(state, one, log, first, last):
            days.setdefault(turn.day, []).append(turn)
        where = state.household.tank(chore.tank) if chore.tank is not None else None
        for day, turns in days.items():
            found.setdefault(day, []).append(Lapsed(chore, where, tuple(turns)))
    return {day: tuple(lines) for day, lines in found.items()}


class _Log(NamedTuple):
    """Entries by the chores that they move, those that set something down, and the first moment."""

    by_chore: dict[str, list[Entry]]
    set_down: list[Entry]
    begins: datetime


def _read(entries: Iterable[Entry], now: datetime) -> _Log:
    by_chore: dict[str, list[Entry]] = {}
    set_down, begins = list[Entry](), now
    for entry in entries:
        begins = min(begins, entry.at)
        if isinstance(entry.fact, Redefined):
            set_down.append(entry)
        for chore in chores_of(entry):
            by_chore.setdefault(chore, []).append(entry)
    return _Log(by_chore, set_down, begins)


def _lost(
    state: HouseholdState, one: ChoreState, log: _Log, first: date, last: date
) -> Iterator[LapsedTurn]:
    chore = one.chore
    # The state knows what moved it long before, the log what was done meanwhile.
    known = {each.id: each for each in state.history.of_chore(chore.id)}
    known |= {each.id: each for each in log.by_chore.get(chore.id, ())}
    entries = sorted(known.values(), key=lambda each: each.seq)
    for turn in unsettled_turns(state, one, first, last, entries):
        if not (is_still_open(one, turn) or _is_before(log, chore, turn)):
            yield turn


def _is_before(log: _Log, chore: Chore, turn: LapsedTurn) -> bool:
    """Tell whether its hour was over when its chore was set down, or anything at all."""
    if turn.turn.slot is None:
        return False
    return turn.at < log.begins or any(
        one.day == turn.day and turn.at < one.at and _sets_down(one, chore) for one in log.set_down
    )


def _sets_down(entry: Entry, chore: Chore) -> bool:
    fact = entry.fact
    if not isinstance(fact, Redefined):
        return False
    if fact.chore is not None:
        return fact.chore == chore.id
    is_of_chores = fact.thing in (Thing.CHORE, Thing.TANK, Thing.HOUSEHOLD)
    return is_of_chores and entry.tank in (None, chore.tank)
