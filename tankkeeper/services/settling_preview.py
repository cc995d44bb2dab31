"""What a change of a tank would come to, before it is kept."""

from __future__ import annotations

from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Stage, Tank
from tankkeeper.core.pauses import SLEEPING_STAGES
from tankkeeper.core.state import HouseholdState, items_of
from tankkeeper.core.tank_learning import learn
from tankkeeper.core.tank_water import TankWater, water_now
from tankkeeper.core.values import dataclass


@dataclass(frozen=True, slots=True)
class StageOutlook:
    """What another stage means for the work on a tank: chores that rest or wake, turns that go."""

    chores: int
    open_now: int
    rests: bool
    rested: bool


def water_with(state: HouseholdState, tank: Tank) -> TankWater | UserFault:
    """Return the water of a tank if it were as given, its log heeded, or why it cannot be so."""
    room = state.household.room(tank.room)
    entries = state.history.of_water(tank.id)
    try:
        learned = learn(tank, room, entries, state.moment.day)
        return water_now(tank, learned, state.moment)
    except UserFault as impossible:
        return impossible


def stage_outlook(state: HouseholdState, tank: Tank, stage: Stage) -> StageOutlook:
    """Return what entering a stage means for the work on a tank."""
    own = [one for one in state.chores if one.chore.tank == tank.id and one.chore.ended_on is None]
    open_now = sum(item.is_open for one in own for item in items_of(state, one))
    rests = stage in SLEEPING_STAGES
    return StageOutlook(len(own), open_now, rests, state.pause_of(tank) is not None)
