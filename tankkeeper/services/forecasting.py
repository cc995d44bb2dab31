"""The board as it will stand once a turn is put off, before anything is written."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tankkeeper.core.fold_memory import Memory
from tankkeeper.core.logbook import Entry, PutOff
from tankkeeper.core.state import HouseholdState, Item, fold_household
from tankkeeper.services.board import BoardView, board_of
from tankkeeper.services.finding import items_of_chore

_ID = "forecast"


def state_if_put_off(
    state: HouseholdState, item: Item, to: date, memory: Memory | None = None
) -> HouseholdState:
    """Return the state at the same moment with a turn put off to a day.

    What follows from that turn moves with it, so no sum of today's board would be right.
    """
    chore, history, moment = item.chore, state.history, state.moment
    entries = history.of_chore(chore.id)
    entry = Entry(
        id=_ID,
        seq=1 + max((one.seq for one in entries), default=0),
        at=moment.now,
        day=moment.day,
        zone=state.household.zone,
        tank=chore.tank,
        fact=PutOff(item.turn, to),
    )
    by_chore = {**history.by_chore, chore.id: (*entries, entry)}
    then = replace(history, by_chore=by_chore)
    return fold_household(state.household, then, moment.now, memory)


def moved_turn(state: HouseholdState, item: Item, to: date) -> Item | None:
    """Return the line of a turn as it stands once it is put off to a day."""
    after = state_if_put_off(state, item, to)
    found = items_of_chore(after, item.chore.id)
    return next((one for one in found if one.open and one.open.is_put_off), None)


def board_if_put_off(
    state: HouseholdState, item: Item, to: date, count: int, memory: Memory | None = None
) -> BoardView:
    """Return the board of the next `count` days with a turn put off to one of them."""
    return board_of(state_if_put_off(state, item, to, memory), count)
