"""What a change of today waits for; what was mixed in parts is shared by all that are due."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from tankkeeper.core.amounts import amount_of
from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.history import History
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Turn
from tankkeeper.core.making_ready import NotReady, not_ready
from tankkeeper.core.mixing_parts import CLOSEST_L, mixed_so_far, ready_in_parts
from tankkeeper.core.moment import Moment
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.turns import ChoreState, OpenTurn
from tankkeeper.core.walking import in_walking_order, urgency


class _Due(NamedTuple):
    """A change that is due and waits for a mixing that is not done."""

    chore: Chore
    turn: OpenTurn


def waits_for(
    one: ChoreState,
    turn: OpenTurn,
    states: Sequence[ChoreState],
    household: Household,
    history: History,
    waters: Mapping[str, TankWater],
    moment: Moment,
) -> NotReady | None:
    """Return what a change waits for that is due; one whose day comes may still be mixed for."""
    if not _is_due(one, turn, moment.day):
        return None
    waits = not_ready(household, history, one.chore, moment)
    if waits is None or waits.ready_at is not None:
        return waits
    left_l = mixed_so_far(waits.prep, household, history, moment.day).left_l
    if not left_l:
        return waits
    due = _waiting(waits.prep, states, household, history, moment)
    if turn.turn not in _supplied(due, left_l, household, waters, moment.day):
        return waits
    return ready_in_parts(waits, household, history, moment)


def _is_due(one: ChoreState, turn: OpenTurn, today: date) -> bool:
    is_change = one.chore.kind is ChoreKind.WATER_CHANGE and one.paused is None
    return is_change and turn.target <= today


def _waiting(
    prep: Chore,
    states: Sequence[ChoreState],
    household: Household,
    history: History,
    moment: Moment,
) -> Iterator[_Due]:
    """Yield the changes that are due and wait for this mixing, which is not done."""
    for one in states:
        due = [turn for turn in one.open if _is_due(one, turn, moment.day)]
        if due and not_ready(household, history, one.chore, moment) == NotReady(prep):
            yield from (_Due(one.chore, turn) for turn in due)


def _supplied(
    due: Iterator[_Due],
    left_l: float,
    household: Household,
    waters: Mapping[str, TankWater],
    today: date,
) -> set[Turn]:
    """Return the turns that get their litres of what stands there, one after another as walked.

    One that takes more than is left by then leaves it to those behind it.
    """
    places = {tank.id: place for place, tank in enumerate(in_walking_order(household))}

    def rank(one: _Due) -> tuple[int, tuple[int, bool, str]]:
        place = len(places) if one.chore.tank is None else places[one.chore.tank]
        return place, urgency(one.turn.turn, one.turn.state, one.turn, today)

    found: set[Turn] = set()
    left = left_l + CLOSEST_L
    for one in sorted(due, key=rank):
        water = None if one.chore.tank is None else waters.get(one.chore.tank)
        amount = amount_of(one.chore, water, household)
        if amount is not None and amount.unit == "L" and amount.value <= left:
            left -= amount.value
            found.add(one.turn.turn)
    return found
