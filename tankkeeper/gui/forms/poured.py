"""What a correction says of fresh water: what it went into, and how far."""

from __future__ import annotations

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.fills import is_poured_part
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry, Fact, ReservoirCheck, TopOff
from tankkeeper.services.fresh_fills import Extent


def litres_of(fact: Fact | None) -> float | None:
    """Return the litres that stand in an entry about fresh water."""
    if isinstance(fact, ReservoirCheck):
        return fact.fill_l if fact.left_l is None else fact.left_l
    return fact.litres if isinstance(fact, TopOff) else None


def went_into(entry: Entry, household: Household) -> tuple[ChoreKind, Extent] | None:
    """Return what fresh water went into and how far, None where that is not to be chosen."""
    fact = entry.fact
    tank = household.tank(entry.tank) if entry.tank is not None else None
    has_reservoir = tank is not None and tank.has_automatic_top_off
    if isinstance(fact, TopOff):
        if is_poured_part(fact, tank):
            return ChoreKind.RESERVOIR, Extent.PART
        return ChoreKind.TOP_OFF, Extent.FULL if fact.to_mark else Extent.PART
    if not isinstance(fact, ReservoirCheck) or not has_reservoir:
        return None
    if fact.left_l is None:
        return ChoreKind.RESERVOIR, Extent.FULL
    # What was only looked at was not poured in.
    return (ChoreKind.RESERVOIR, Extent.HOLDS) if fact.estimated else None


def poured(
    fact: TopOff | ReservoirCheck,
    into: ChoreKind,
    extent: Extent | None,
    litres: float | None,
    *,
    estimated: bool,
) -> Fact:
    """Return fresh water that went as far as is chosen."""
    if into is ChoreKind.TOP_OFF:
        return TopOff(litres, to_mark=extent is Extent.FULL, estimated=estimated)
    if extent is Extent.HOLDS:
        # Nobody knows what was in it before.
        return ReservoirCheck(left_l=litres, estimated=True)
    if isinstance(fact, ReservoirCheck) and fact.left_l is not None:
        estimated = False
    if extent is Extent.PART:
        return TopOff(litres, to_mark=False, estimated=estimated)
    return ReservoirCheck(fill_l=litres, estimated=estimated)
