"""What a change of today waits for; what stands mixed is shared by all that are due."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date

from tankkeeper.core.amounts import amount_of
from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.history import History
from tankkeeper.core.household import Household
from tankkeeper.core.making_ready import (
    NotReady,
    is_mixed_for,
    mixers,
    not_ready_by,
    served,
)
from tankkeeper.core.mixed_batches import (
    CLOSEST_L,
    draw,
    litres_of,
    until_ready,
    when_of,
)
from tankkeeper.core.mixed_shares import Due, shared
from tankkeeper.core.mixing_beside import comes_too_late
from tankkeeper.core.mixing_parts import (
    NEARLY_ALL,
    mixed_with_litres,
    standing,
    stated_batches,
)
from tankkeeper.core.moment import Moment
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.turns import ChoreState, OpenTurn


def waits_for(
    one: ChoreState,
    turn: OpenTurn,
    states: Sequence[ChoreState],
    household: Household,
    history: History,
    waters: Mapping[str, TankWater],
    moment: Moment,
) -> NotReady | None:
    """Return what an open change waits for; one whose day comes may still be mixed for in time.

    Where no chore mixes, nobody can tell.
    """
    if one.chore.kind is not ChoreKind.WATER_CHANGE or one.paused is not None:
        return None
    waits: NotReady | None = None
    preps = tuple(mixers(household, one.chore, moment.day))
    for prep in preps:
        found = _waits_by(prep, one.chore, turn, states, household, history, waters, moment)
        if found is None:
            return None
        if waits is None or not found.is_unmixed:
            waits = found
    if waits is None or not waits.is_unmixed:
        return waits
    is_coming = turn.target > moment.day
    if is_coming and waits.falls_short and waits.prep.amount is not None:
        # It states its litres itself: nobody knows what stands there besides.
        return None
    if comes_too_late(preps, states, household, turn.target, moment.day):
        return replace(waits, is_beside=True)
    return None if is_coming else waits


def stands_short(
    one: ChoreState,
    turn: OpenTurn,
    states: Sequence[ChoreState],
    household: Household,
    history: History,
    waters: Mapping[str, TankWater],
    moment: Moment,
) -> float | None:
    """Return what can stand mixed at most for a change that is due, where that is too little.

    That is less than it takes, or than all that are due take with it and before it. Only of a chore
    that states its litres itself: of others it is known what stands there.
    """
    water = None if one.chore.tank is None else waters.get(one.chore.tank)
    amount = amount_of(one.chore, water, household)
    if not _is_due(one, turn, moment.day) or amount is None or amount.unit != "L":
        return None
    preps = tuple(mixers(household, one.chore, moment.day))
    found = [stated_batches(prep, household, history, moment.day) for prep in preps]
    known = [each for each in found if each is not None]
    if not known or len(known) < len(found):
        return None
    due = {
        each.turn.turn: each
        for prep in preps
        for each in _sharing(prep, states, household, history, moment)
    }
    stands = sorted((batch for each in known for batch in each), key=lambda each: when_of(each[0]))
    shares = shared(list(due.values()), stands, 0.0, household, waters, moment)
    return None if turn.turn in shares.of else litres_of(stands)


def taken_beside(
    tank: str | None, litres: float, household: Household, history: History, moment: Moment
) -> NotReady | None:
    """Return until when water is not ready that a change beside the turns would take.

    None where it is ready, and where nobody knows what stands there.
    """
    changes = [
        one
        for one in household.chores
        if one.kind is ChoreKind.WATER_CHANGE and one.tank == tank and not one.has_ended(moment.day)
    ]
    preps = {one.id: one for change in changes for one in mixers(household, change, moment.day)}
    waits: NotReady | None = None
    for prep in preps.values():
        known = (prep, household, history, moment.day)
        drawn = draw(stated_batches(*known) or standing(*known), litres)
        waits = until_ready(prep, drawn.of, household, moment)
        if waits is None:
            return None
    return waits


def _waits_by(
    prep: Chore,
    change: Chore,
    turn: OpenTurn,
    states: Sequence[ChoreState],
    household: Household,
    history: History,
    waters: Mapping[str, TankWater],
    moment: Moment,
) -> NotReady | None:
    """Return what a change waits for of one mixing: when it was done, and what is left of it."""
    waits = not_ready_by(prep, household, history, change, moment)
    is_unmixed = waits is not None and waits.is_unmixed
    if not _is_in_litres(change, household, waters):
        return waits
    due = list(_sharing(prep, states, household, history, moment))
    if all(one.turn.turn != turn.turn for one in due):
        due.append(Due(change, turn, not is_unmixed))
    stated = stated_batches(prep, household, history, moment.day)
    if stated is not None:
        drawn = shared(due, stated, 0.0, household, waters, moment).of.get(turn.turn)
        if drawn is not None:
            return until_ready(prep, drawn, household, moment)
        if is_unmixed or turn.target > moment.day:
            return NotReady(prep, falls_short=not is_unmixed)
        rest = [one.mixed for one in stated if one.litres > CLOSEST_L]
        return until_ready(prep, rest, household, moment)
    mixed_l = mixed_with_litres(prep, household, history, moment.day)
    stands = standing(prep, household, history, moment.day)
    if (not litres_of(stands)) if is_unmixed else (mixed_l is None):
        return waits
    if mixed_l is None:
        # What was mixed for the others is not reckoned in litres.
        due = [one for one in due if not one.is_mixed_for]
    # Who mixed nearly all of it mixed for all of them.
    spare_l = 0.0 if mixed_l is None else mixed_l / NEARLY_ALL - mixed_l
    shares = shared(due, stands, spare_l, household, waters, moment)
    drawn = shares.of.get(turn.turn)
    if drawn is None:
        is_open = any(one.open for one in states if one.chore.id == prep.id)
        left_l = shares.left_l.get(turn.turn, 0.0)
        return NotReady(prep, falls_short=not is_unmixed and not is_open, stands_l=left_l)
    return until_ready(prep, drawn, household, moment)


def _is_in_litres(change: Chore, household: Household, waters: Mapping[str, TankWater]) -> bool:
    water = None if change.tank is None else waters.get(change.tank)
    amount = amount_of(change, water, household)
    return amount is not None and amount.unit == "L"


def _is_due(one: ChoreState, turn: OpenTurn, today: date) -> bool:
    is_change = one.chore.kind is ChoreKind.WATER_CHANGE and one.paused is None
    return is_change and turn.target <= today


def _sharing(
    prep: Chore,
    states: Sequence[ChoreState],
    household: Household,
    history: History,
    moment: Moment,
) -> Iterator[Due]:
    """Yield the changes that are due and take the water of a mixing."""
    mine = {one.id for one in served(prep, household.chores, moment.day)}
    for one in states:
        due = [turn for turn in one.open if _is_due(one, turn, moment.day)]
        if one.chore.id in mine and due:
            is_mixed = is_mixed_for(prep, household, history, one.chore, moment)
            yield from (Due(one.chore, turn, is_mixed) for turn in due)
