"""What is left to pour in after a part of the fresh water that was missing, and when it comes."""

from __future__ import annotations

from datetime import date
from operator import itemgetter

from tankkeeper.core.amounts import SMALLEST_TOP_OFF_L, told_litres
from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.logbook import Entry, ReservoirCheck, TopOff
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.services.finding import items_of_chore
from tankkeeper.services.fresh_fills import due_then, missing_then


@dataclass(frozen=True, slots=True)
class Rest:
    """The litres that are still missing until full, and their day; no day where they stand open.

    Those of a coming day are what is missing at its round, with what evaporates until then. `part`
    is what of them goes in on that day, where they are spread over more.
    """

    litres: float
    day: date | None
    part: float | None = None


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
        return Rest(told_litres(missing), None)
    days = [(item.open.target, item.chore) for item in turns if item.open is not None]
    return _coming(state, *min(days, key=itemgetter(0)), missing) if days else None


def _coming(state: HouseholdState, day: date, chore: Chore, missing: Estimate) -> Rest:
    """Return what is due at the round of a coming day, as its line will tell it."""
    at = max(state.moment.now, state.moment.round_on(day))
    due = due_then(state, chore, at)
    if due is None or due.unit != "L":
        return Rest(told_litres(missing), day)
    return Rest(due.whole or due.value, day, due.value if due.is_split else None)
