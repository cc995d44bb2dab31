"""What is left to pour in after a part of the fresh water that was missing, and when it comes."""

from __future__ import annotations

from datetime import date

from tankkeeper.core.amounts import SMALLEST_TOP_OFF_L
from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.logbook import Entry, ReservoirCheck, TopOff
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.services.finding import items_of_chore
from tankkeeper.services.fresh_fills import missing_then


@dataclass(frozen=True, slots=True)
class Rest:
    """The litres that are still missing until full, and their day; no day where they stand open."""

    litres: Estimate
    day: date | None


def is_part(entry: Entry) -> bool:
    """Tell whether fresh water went in and there was more missing."""
    fact = entry.fact
    if isinstance(fact, TopOff):
        return not fact.to_mark
    return isinstance(fact, ReservoirCheck) and fact.left_l is not None and fact.estimated


def rest_of(state: HouseholdState, entry: Entry) -> Rest | None:
    """Return what a part left to do, by the state after it; None where nothing or not known."""
    tank = state.household.tank(entry.tank) if entry.tank is not None else None
    if tank is None:
        return None
    kind = ChoreKind.RESERVOIR if tank.has_automatic_top_off else ChoreKind.TOP_OFF
    missing = missing_then(state, kind, tank.id)
    if missing is None or missing.value < SMALLEST_TOP_OFF_L:
        return None
    chores = [one.id for one in state.household.chores if one.tank == tank.id and one.kind is kind]
    items = [item for chore_id in chores for item in items_of_chore(state, chore_id)]
    turns = [item for item in items if item.entry is None and item.open is not None]
    if any(item.is_open for item in turns):
        return Rest(missing, None)
    days = [item.open.target for item in turns if item.open is not None]
    return Rest(missing, min(days)) if days else None
