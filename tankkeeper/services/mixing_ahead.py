"""How much salt water a mixing to come is for: what the changes take until the next one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from tankkeeper.core.amounts import AmountDue, amount_of
from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.coming import projected_turns
from tankkeeper.core.making_ready import lead_days, served
from tankkeeper.core.mixing import Demand, demands, next_ready, together
from tankkeeper.core.mixing_parts import (
    NOTHING_MIXED,
    SoFar,
    less_mixed,
    mixed_so_far,
    rest_to_mix,
)
from tankkeeper.core.state import HouseholdState, items_of
from tankkeeper.core.turns import ChoreState, OpenTurn
from tankkeeper.core.values import dataclass


@dataclass(frozen=True, slots=True)
class Taker:
    """A change that a mixing serves, with the days on which it is expected."""

    chore: Chore
    name: str
    days: tuple[date, ...]
    litres: float | None


def is_reckoned(chore: Chore) -> bool:
    """Tell whether the litres of a chore follow from the changes that it serves."""
    return chore.kind is ChoreKind.MIX_SALT_WATER and chore.amount is None


def takers(
    state: HouseholdState, prep: Chore, turns: Sequence[OpenTurn], *, waits: bool = False
) -> tuple[Taker, ...]:
    """Return the changes that take the water of turns to come, in order of their days.

    What is open since a past day takes it today, or `waits` for its last day where it can.
    """
    if not turns or not is_reckoned(prep):
        return ()
    first, last = turns[0].target, _last_day(state, prep, turns[-1])
    mine = {one.id for one in served(prep, state.household.chores, state.moment.day)}
    serves = [one for one in state.chores if one.chore.id in mine]
    return tuple(_taker(state, one, first, last, waits=waits) for one in serves)


def _taker(
    state: HouseholdState, one: ChoreState, first: date, last: date, *, waits: bool
) -> Taker:
    tank, today = one.chore.tank, state.moment.day
    days = []
    if one.paused is None:
        waiting = [waits and each.waits_past_target(today) for each in one.open]
        days = [
            max(each.latest if can_wait else each.target, today)
            for each, can_wait in zip(one.open, waiting, strict=True)
        ]
    turns = projected_turns(state, one, first.toordinal(), last.toordinal(), waits=waits)
    days += [date.fromordinal(turn.day) for _, turn in turns]
    amount = amount_of(one.chore, state.water_of(one.chore), state.household)
    litres = None if amount is None or amount.unit != "L" else amount.value
    name = one.chore.name if tank is None else state.household.tank(tank).name
    return Taker(one.chore, name, tuple(days), litres)


def amount_coming(
    state: HouseholdState, one: ChoreState, prep: Chore, turn: OpenTurn, found: Sequence[Taker]
) -> tuple[AmountDue | None, SoFar]:
    """Return the litres of a mixing to come, and what of them stands there.

    None where what takes them is not known. The next one is for the changes that wait and for
    those that come once its water is ready, less what stands mixed and no change before takes;
    what will stand there later nobody knows. Litres that the chore states are less the parts of it.
    """
    coming = one.upcoming
    first = turn.target + timedelta(days=lead_days(prep, state.household))
    if not one.open and coming is not None and coming.target == turn.target:
        household, history, today = state.household, state.history, state.moment.day
        so_far = mixed_so_far(prep, household, history, today)
        known = (state.chores, household, history, state.waters, today)
        wanted = demands(prep, coming, *known) if is_reckoned(prep) else None
        if wanted is None:
            return rest_to_mix(prep, coming, so_far, *known), so_far
        waiting = _waiting(state)
        before = [
            one
            for one in wanted
            if one.day < first and not (one.day <= today and one.change in waiting)
        ]
        after = [one for one in wanted if one not in before]
        left = max(0.0, so_far.left_l - sum(one.litres for one in before))
        return less_mixed(together(after, household), left), replace(so_far, left_l=left)
    if not is_reckoned(prep):
        return amount_of(prep, None, state.household), NOTHING_MIXED
    last = _last_day(state, prep, turn)
    wanted = []
    for each in found:
        days = [day for day in each.days if first <= day <= last]
        if days and each.litres is None:
            return None, NOTHING_MIXED
        wanted += [Demand(each.chore.id, each.name, day, each.litres or 0.0) for day in days]
    return together(wanted, state.household), NOTHING_MIXED


def _waiting(state: HouseholdState) -> set[str]:
    """Return the changes that are due and have no water: nothing was mixed for them."""
    return {
        item.chore.id
        for one in state.chores
        if one.chore.kind is ChoreKind.WATER_CHANGE and one.open
        for item in items_of(state, one)
        if item.not_ready is not None and item.not_ready.is_unmixed
    }


def _last_day(state: HouseholdState, prep: Chore, turn: OpenTurn) -> date:
    return next_ready(prep, state.household, state.history, turn.target)
