"""Fresh water that was poured in: how far it went, and what had been missing."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from enum import StrEnum

from tankkeeper.core.amounts import (
    AmountDue,
    amount_of,
    as_read,
    room_in_reservoir,
    safe_of_spread_l,
    safe_share_l,
)
from tankkeeper.core.chores import FRESH_KINDS, Chore, ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.logbook import Entry, ReservoirCheck, TopOff
from tankkeeper.core.moment import moment_of
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.tank_learning import Learned
from tankkeeper.core.tank_water import TankWater, water_now
from tankkeeper.services.litres_limits import (
    checked_left,
    checked_litres,
    within_reservoir,
    within_tank,
)

# Choices of this project. A jug is not read closer than half a tenth of a litre; of litres that are
# the same every time a fifth less may still have reached the mark.
READ_L = 0.05
# A fill lies below the span of nine in ten once in twenty times; a little below it is no part.
_CLEARLY = 0.85
_STATED_SHARE = 0.8
# Of what is spread over days, what is about all of it.
_NEARLY_ALL = 0.9


class Extent(StrEnum):
    """How far fresh water went: all the way, in part, or so that a reservoir now holds so much."""

    FULL = "full"
    PART = "part"
    HOLDS = "holds"


def top_off(
    then: HouseholdState,
    chore: Chore,
    litres: float | None,
    amount: AmountDue | None,
    extent: Extent | None,
) -> TopOff:
    """Return a ticked top-off: filled to the mark, unless the safe pace let only a part in."""
    if extent is Extent.HOLDS:
        raise UserFault("nothing_to_keep_it", chore=chore.name, option="left")
    if litres is None:
        assert amount is not None
        return TopOff(amount.value, to_mark=not amount.is_split, estimated=True)
    within_tank(then, chore.tank, checked_litres(litres))
    is_part = is_todays_part(amount, litres) if extent is None else extent is Extent.PART
    return TopOff(litres, to_mark=not is_part)


def reservoir(
    then: HouseholdState,
    chore: Chore,
    litres: float | None,
    amount: AmountDue | None,
    extent: Extent | None,
) -> ReservoirCheck | TopOff:
    """Return a ticked reservoir: filled until full, unless the safe pace let only a part in.

    A part counts as poured into the tank, which it is in the end. What a reservoir holds after
    something unmeasured was poured in tells nothing about what it lost before.
    """
    if litres is None:
        assert amount is not None
        if amount.is_split:
            return TopOff(amount.value, to_mark=False, estimated=True)
        return ReservoirCheck(fill_l=amount.value, estimated=True)
    if extent is Extent.HOLDS:
        tank = then.household.tank(chore.tank) if chore.tank is not None else None
        assert tank is not None
        left_l = checked_left(tank, litres, then.household.units.volume)
        return ReservoirCheck(left_l=left_l, estimated=True)
    within_reservoir(then, chore.tank, "litres", checked_litres(litres))
    is_part = is_todays_part(amount, litres) if extent is None else extent is Extent.PART
    return TopOff(litres, to_mark=False) if is_part else ReservoirCheck(fill_l=litres)


def is_todays_part(amount: AmountDue | None, litres: float) -> bool:
    """Tell whether litres are today's part of what is spread over days."""
    return amount is not None and amount.is_split and litres < _NEARLY_ALL * (amount.whole or 0.0)


def leaves_open(then: HouseholdState, item: Item, extent: Extent | None) -> bool:
    """Tell whether the turn stays open: another bucket may follow, or the water says when.

    Today's part of what is spread over days is all that may go in today, so it completes its turn.
    """
    if extent in (None, Extent.FULL) or item.chore.kind not in FRESH_KINDS:
        return False
    amount = due_then(then, item.chore)
    return extent is Extent.HOLDS or amount is None or not amount.is_split


def missing_then(
    state: HouseholdState,
    kind: ChoreKind,
    tank_id: str | None,
    at: datetime | None = None,
    chore: Chore | None = None,
) -> Estimate | None:
    """Return the litres that were missing until full at a moment (now if None), None if not known.

    Of a `chore` that states its litres, those.
    """
    water = state.waters.get(tank_id) if tank_id is not None else None
    if chore is not None and chore.amount is not None:
        stated = amount_of(chore, water, state.household)
        if stated is None or stated.unit != "L":
            return None
        low = stated.low if stated.low is not None else _STATED_SHARE * stated.value
        return Estimate(stated.value, low, stated.high or stated.value)
    water = None if water is None else _water_at(state, water, at)
    if water is None:
        return None
    missing = room_in_reservoir(water) if kind is ChoreKind.RESERVOIR else water.evaporated
    return None if missing is None else as_read(missing)


def due_then(state: HouseholdState, chore: Chore, at: datetime | None = None) -> AmountDue | None:
    """Return how much fresh water a chore takes at a moment (now if None), None if not known.

    That is what was missing then, by what went in until then. Nothing is known of a moment before
    the newest fill.
    """
    water = state.water_of(chore)
    if water is not None and chore.amount is None:
        water = _water_at(state, water, at)
    return amount_of(chore, water, state.household)


def full_since(state: HouseholdState, chore: Chore, at: datetime | None = None) -> Entry | None:
    """Return the fill that stands at a moment (now if None) or after it: nothing was missing then.

    None where there is none, and of a chore that states its litres.
    """
    water = state.water_of(chore)
    mark = None if water is None else water.learned.log.mark
    if mark is None or chore.kind not in FRESH_KINDS or chore.amount is not None:
        return None
    is_look = isinstance(mark.fact, ReservoirCheck) and mark.fact.left_l is not None
    return None if is_look or mark.at < (at or state.moment.now) else mark


def safe_today(
    state: HouseholdState,
    tank_id: str | None,
    litres: float,
    at: datetime | None = None,
    chore: Chore | None = None,
) -> float | None:
    """Return the most litres of one day where `litres` would lower the salinity too fast.

    Or where all that is missing would: today's part of it may be less than that. None where it may
    go in at once, where that is not known, and of a `chore` that states its own.
    """
    water = state.waters.get(tank_id) if tank_id is not None else None
    if water is None or (chore is not None and chore.amount is not None):
        return None
    water = _water_at(state, water, at)
    if water is None:
        return None
    most_l = safe_of_spread_l(water)
    return safe_share_l(water, litres) if most_l is None else most_l


def is_too_fast(most_l: float | None, litres: float) -> bool:
    """Tell whether litres are more than may go in on a day, if that is bounded."""
    return most_l is not None and litres > most_l + READ_L


def _water_at(state: HouseholdState, water: TankWater, at: datetime | None) -> TankWater | None:
    """Return the water as it was at a moment (now if None), None where nobody knows that."""
    at = at or state.moment.now
    learned = _learned_until(water.learned, at)
    if learned is water.learned and at == state.moment.now:
        return water
    if learned is None:
        return None
    home = state.household
    return water_now(water.tank, learned, moment_of(home, at), home.units.salinity)


def _learned_until(learned: Learned, at: datetime) -> Learned | None:
    """Return what is known of the water without what went in after a moment.

    None where it was filled or looked at since, so that nobody knows what was so then.
    """
    log = learned.log
    if log.mark is not None and log.mark.at > at:
        return None
    part, empty = (None if one and one.at > at else one for one in (log.part, log.found_empty))
    added = tuple(one for one in log.added if one[0] <= at)
    if (part, empty, added) == (log.part, log.found_empty, log.added):
        return learned
    return replace(learned, log=replace(log, part=part, found_empty=empty, added=added))


def falls_short(missing: Estimate | None, litres: float) -> bool:
    """Tell whether litres are clearly fewer than what was missing until full."""
    return missing is not None and litres < _CLEARLY * missing.low - READ_L


def goes_beyond(missing: Estimate, litres: float) -> bool:
    """Tell whether litres are more than what was missing until full."""
    return litres > missing.value + READ_L
