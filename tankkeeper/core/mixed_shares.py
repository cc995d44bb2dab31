"""Who gets what of the mixed water that stands there: one change after another, as walked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from tankkeeper.core.amounts import amount_of
from tankkeeper.core.chores import Chore
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry, Turn
from tankkeeper.core.making_ready import mixed_ready_at
from tankkeeper.core.mixed_batches import CLOSEST_L, Batch, draw, is_ready, litres_of
from tankkeeper.core.moment import Moment
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.turns import OpenTurn
from tankkeeper.core.walking import in_walking_order, urgency


class Due(NamedTuple):
    """A change that is due; `is_mixed_for` where its mixing was done since the change before."""

    chore: Chore
    turn: OpenTurn
    is_mixed_for: bool


class Shares(NamedTuple):
    """Of which mixings each change gets its litres, and what is left for one that gets too few."""

    of: Mapping[Turn, tuple[Entry, ...]]
    left_l: Mapping[Turn, float]


class _Wish(NamedTuple):
    """A change in its place of the walk, with the litres it takes, None where nobody knows."""

    turn: Turn
    litres: float | None
    is_mixed_for: bool


def shared(
    due: Sequence[Due],
    stands: Sequence[Batch],
    spare_l: float,
    household: Household,
    waters: Mapping[str, TankWater],
    moment: Moment,
) -> Shares:
    """Return which turns get their litres of what stands there, and what is left for the others.

    They get it one after another as walked, those that are not due yet after all that are. Those
    come first that it was mixed for; they may take a little more than stands there, as long
    as anything does. One that takes more than is left by then leaves it to those behind it; what
    none of them takes is told of the first that got too little. One that has to wait for water
    leaves what is ready before to those behind it, too, unless one would go short by that.
    """
    places = {tank.id: place for place, tank in enumerate(in_walking_order(household))}

    def rank(one: Due) -> tuple[bool, bool, int, tuple[int, bool, str]]:
        place = len(places) if one.chore.tank is None else places[one.chore.tank]
        urgent = urgency(one.turn.turn, one.turn.state, one.turn, moment.day)
        return one.turn.target > moment.day, not one.is_mixed_for, place, urgent

    wishes = [_wish(one, household, waters) for one in sorted(due, key=rank)]
    plain = _one_by_one(wishes, (tuple(stands),), spare_l)
    lots = _lots(stands, household, moment)
    if len(lots) == 1:
        return plain
    found = _one_by_one(wishes, lots, spare_l)
    return found if plain.of.keys() <= found.of.keys() else plain


def _lots(
    stands: Sequence[Batch], household: Household, moment: Moment
) -> tuple[tuple[Batch, ...], ...]:
    """Return what is ready by now, and behind it what will be, by the moment when it is."""
    ready = tuple(one for one in stands if is_ready(one.mixed, household, moment))
    stirs = [one for one in stands if one not in ready]
    later = sorted({mixed_ready_at(one.mixed, household) for one in stirs})
    of_later = [
        tuple(one for one in stirs if mixed_ready_at(one.mixed, household) == at) for at in later
    ]
    return tuple(lot for lot in (ready, *of_later) if lot) or ((),)


def _wish(one: Due, household: Household, waters: Mapping[str, TankWater]) -> _Wish:
    water = None if one.chore.tank is None else waters.get(one.chore.tank)
    amount = amount_of(one.chore, water, household)
    is_known = amount is not None and amount.unit == "L"
    return _Wish(one.turn.turn, amount.value if amount and is_known else None, one.is_mixed_for)


def _one_by_one(
    wishes: Sequence[_Wish], lots: Sequence[tuple[Batch, ...]], spare_l: float
) -> Shares:
    """Return what each gets in its turn; what is left of one lot goes on into the next."""
    found: dict[Turn, tuple[Entry, ...]] = {}
    left: tuple[Batch, ...] = ()
    for at, lot in enumerate(lots, 1):
        left = (*left, *lot)
        for one in wishes:
            if one.turn in found:
                continue
            if one.litres is None:
                if one.is_mixed_for:
                    found[one.turn] = ()
                continue
            may_spare = at == len(lots) and one.is_mixed_for and litres_of(left) > CLOSEST_L
            drawn = draw(left, one.litres)
            if drawn.short_l <= (spare_l if may_spare else 0.0) + CLOSEST_L:
                left = drawn.left
                found[one.turn] = drawn.of
    parts, rest_l = dict[Turn, float](), litres_of(left)
    for one in wishes:
        if one.turn not in found and one.litres is not None:
            parts[one.turn] = min(rest_l, one.litres)
            rest_l -= parts[one.turn]
    return Shares(found, parts)
