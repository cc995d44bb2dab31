"""What nobody wrote down on the days that a calendar shows: what lapsed, and what is still open."""

from __future__ import annotations

from collections.abc import Iterable
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
    lapsed_now,
    still_open_in,
    unsettled_turns,
)


class Unwritten(NamedTuple):
    """What lapsed by its day, and by the id of an open turn the days of all that it gathers."""

    lapsed: dict[date, tuple[Lapsed, ...]]
    waiting: dict[str, tuple[date, ...]]


def unwritten(
    state: HouseholdState,
    entries: Iterable[Entry],
    first: date,
    last: date,
    tank: Tank | None = None,
) -> Unwritten:
    """Return what of the turns from `first` to `last` that are each lost nobody wrote down.

    `entries` are those of the days around: before the earliest of them nothing is missed, since
    nobody wrote then. What is still open lapsed not yet, and can still be written down for its
    day; of today that is told which a later hour of its chore let lapse.
    """
    log, today = _read(entries, state.moment.now), state.moment.day
    until = min(last, today - timedelta(days=1))
    lapsed: dict[date, list[Lapsed]] = {}
    waiting: dict[str, list[date]] = {}
    for one in state.chores if first <= min(last, today) else ():
        chore = one.chore
        if not is_each_lost(chore) or (tank is not None and chore.tank != tank.id):
            continue
        turns = list(lapsed_now(state, one)) if last >= today else []
        if first <= until:
            turns += unsettled_turns(state, one, first, until, _entries_of(state, one, log))
        days: dict[date, list[LapsedTurn]] = {}
        for turn in turns:
            gathered_in = still_open_in(one, turn)
            if gathered_in is not None:
                waiting.setdefault(gathered_in.turn.id, []).append(turn.day)
            elif turn.day >= state.moment.day_of(log.begins) and not _is_before(log, chore, turn):
                days.setdefault(turn.day, []).append(turn)
        where = state.household.tank(chore.tank) if chore.tank is not None else None
        for day, own in days.items():
            lapsed.setdefault(day, []).append(Lapsed(chore, where, tuple(own)))
    return Unwritten(
        {day: tuple(lines) for day, lines in lapsed.items()},
        {turn: tuple(on) for turn, on in waiting.items()},
    )


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


def _entries_of(state: HouseholdState, one: ChoreState, log: _Log) -> list[Entry]:
    """Return what moved a chore: the state knows it of long before, the log of meanwhile."""
    known = {each.id: each for each in state.history.of_chore(one.chore.id)}
    known |= {each.id: each for each in log.by_chore.get(one.chore.id, ())}
    return sorted(known.values(), key=lambda each: each.seq)


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
