"""The turns that an entry of the logbook closes, and the work beside the plan that it tells of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.logbook import (
    Dose,
    Entry,
    Note,
    ReservoirCheck,
    Skip,
    TopOff,
    Turn,
    WaterChange,
)
from tankkeeper.core.schedule import EXTRA
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.turns import State
from tankkeeper.services.noting import EXTRA_FEEDING
from tankkeeper.services.outside_turns import chores_of, doses_of


def decided_by_water(chores: Iterable[Chore]) -> Mapping[str, str]:
    """Return by tank the chore that a top-off does although it names no turn."""
    return {
        chore.tank: chore.id
        for chore in chores
        if chore.tank is not None and chore.is_done_by_filling
    }


def turns_closed(entry: Entry, by_water: Mapping[str, str]) -> list[tuple[Turn, State]]:
    """Return the turns that an entry did or left out, be it by the water that was poured in."""
    fact = entry.fact
    closed = [(turn, State.DONE) for turn in entry.completes]
    if isinstance(fact, Skip):
        closed.append((fact.turn, State.SKIPPED))
    fills = isinstance(fact, TopOff) or (isinstance(fact, ReservoirCheck) and fact.left_l is None)
    if not closed and fills and entry.tank is not None and entry.tank in by_water:
        closed.append((Turn(by_water[entry.tank], EXTRA + entry.id), State.DONE))
    return closed


def beside_plan(state: HouseholdState, entry: Entry) -> Turn | None:
    """Return as an extra turn what an entry did beside the plan: a change, a dose or a feeding.

    It is of the chore that does such work in that tank, None where there is none.
    """
    tank = next((one for one in state.household.tanks if one.id == entry.tank), None)
    if entry.completes or tank is None:
        return None
    if isinstance(entry.fact, WaterChange):
        found = chores_of(state, tank, ChoreKind.WATER_CHANGE)
    elif isinstance(entry.fact, Dose):
        found = doses_of(state, tank, entry.fact.of)
    elif isinstance(entry.fact, Note) and entry.note.startswith(EXTRA_FEEDING):
        found = chores_of(state, tank, ChoreKind.FEEDING)
    else:
        return None
    return Turn(found[0].chore.id, EXTRA + entry.id) if found else None
