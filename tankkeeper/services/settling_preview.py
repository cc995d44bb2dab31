"""What a change of a tank would come to, before it is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from tankkeeper.core.catalogue import keys_there, proposed
from tankkeeper.core.chores import Chore
from tankkeeper.core.coming import projected_turns
from tankkeeper.core.errors import UserFault
from tankkeeper.core.history import History
from tankkeeper.core.household import Stage, Tank
from tankkeeper.core.logbook import Entry, Readings
from tankkeeper.core.pauses import SLEEPING_STAGES
from tankkeeper.core.reading_outlook import OLDEST_DAYS
from tankkeeper.core.state import HouseholdState, fold_household, items_of
from tankkeeper.core.tank_learning import learn, may_lose_otherwise
from tankkeeper.core.tank_water import TankWater, water_now
from tankkeeper.core.values import dataclass
from tankkeeper.core.water_turns import LimitForecast
from tankkeeper.services.desk import Desk
from tankkeeper.services.log_search import LogKind, LogSearch, Place
from tankkeeper.services.rhythm_versions import changed_from

NEXT_DAYS = 5
# More readings than any trends need, and how many entries are looked through for them at once.
_MOST_READINGS, _REACH = 400, 20_000
# Looked ahead step by step: what comes daily needs few days, what comes every ten years many.
_SPANS = (timedelta(days=40), timedelta(days=400), timedelta(days=12 * 366))


@dataclass(frozen=True, slots=True)
class StageOutlook:
    """What another stage means for the work on a tank: chores that rest or wake, turns that go.

    `fitting` counts what is proposed for the stage and is not there yet.
    """

    chores: int
    open_now: int
    rests: bool
    rested: bool
    fitting: int = 0


def water_with(state: HouseholdState, tank: Tank) -> TankWater | UserFault:
    """Return the water of a tank if it were as given, its log heeded, or why it cannot be so."""
    room = state.household.room(tank.room)
    entries = state.history.of_water(tank.id)
    restated = state.history.restated_at(tank.id)
    present = next((one for one in state.household.tanks if one.id == tank.id), None)
    if present is not None and may_lose_otherwise(present, tank):
        restated = (*restated, state.moment.now)
    try:
        learned = learn(tank, room, entries, state.moment.day, restated=restated)
        return water_now(tank, learned, state.moment, state.household.units.salinity)
    except UserFault as impossible:
        return impossible


def stage_outlook(state: HouseholdState, tank: Tank, stage: Stage) -> StageOutlook:
    """Return what entering a stage means for the work on a tank."""
    today = state.moment.day
    own = [one for one in state.chores if one.chore.tank == tank.id and not one.is_over(today)]
    open_now = sum(item.is_open for one in own for item in items_of(state, one))
    rests = stage in SLEEPING_STAGES
    rested = state.pause_of(tank) is not None
    fitting = 0 if rests or stage is tank.stage else _fitting(state, replace(tank, stage=stage))
    return StageOutlook(len(own), open_now, rests, rested, fitting)


def _fitting(state: HouseholdState, tank: Tank) -> int:
    """Return how many chores would be proposed for the tank that it has not."""
    tanks = tuple(tank if one.id == tank.id else one for one in state.household.tanks)
    household, on = replace(state.household, tanks=tanks), state.moment.day
    found = [one for one in proposed(tank, household, on) if one.is_on]
    there = keys_there(household, tank.id, on, found)
    return sum(one.row.key not in there for one in found)


def recent_readings(desk: Desk, tank_id: str) -> tuple[Entry, ...]:
    """Return the readings of a tank on which a trend may rest that no chore waits for yet."""
    with desk.store.reading() as reading:
        known = [
            one for one in reading.history().of_water(tank_id) if isinstance(one.fact, Readings)
        ]
        if not known:
            return ()
        # Each parameter is looked back upon from its own newest reading.
        first = min(one.day for one in known) - timedelta(days=OLDEST_DAYS)
        wanted = LogSearch(tank=tank_id, kind=LogKind.READING, from_day=first)
        found: list[Entry] = []
        below: Place | None = None
        while len(found) < _MOST_READINGS:
            part = reading.search(wanted, below, _MOST_READINGS, _REACH)
            found += [one.entry for one in part.found if one.revoked_by is None]
            if part.reached is None:
                break
            below = part.reached
    return tuple(found)


def _with_readings(history: History, tank_id: str | None, readings: Sequence[Entry]) -> History:
    """Return the history with readings that it left out, in order of time."""
    if tank_id is None or not readings:
        return history
    known = {one.id: one for one in (*readings, *history.of_water(tank_id))}
    ordered = sorted(known.values(), key=lambda one: (one.at, one.seq))
    return replace(history, water={**history.water, tank_id: ordered})


@dataclass(frozen=True, slots=True)
class Foreseen:
    """The day of a turn that is open by today, None where none is, and the days to come."""

    open_since: date | None
    days: tuple[date, ...]


def next_days(
    state: HouseholdState,
    chore: Chore,
    count: int = NEXT_DAYS,
    readings: Sequence[Entry] = (),
) -> tuple[date, ...]:
    """Return the next days on which a chore would be due as given: those of the schedule itself.

    Its own past is heeded; a chore that has one keeps what was written of it. `readings` are those
    of its tank that the state leaves out while no chore waits for their trend.
    """
    found = foreseen(state, chore, count, readings)
    is_open = found.open_since is not None
    return ((state.moment.day,) * is_open + found.days)[:count]


def foreseen(
    state: HouseholdState,
    chore: Chore,
    count: int = NEXT_DAYS,
    readings: Sequence[Entry] = (),
) -> Foreseen:
    """Return since when a chore as given would be open, and the next days apart from that."""
    then = _alone(state, chore, readings)
    one = then.chores[0]
    today = state.moment.day
    targets = [
        item.open.target for item in items_of(then, one) if item.is_open and item.open is not None
    ]
    since = min((day for day in targets if day <= today), default=None)
    ahead = {day for day in targets if day > today}
    for span in _SPANS:
        last = (today + span).toordinal()
        coming = [turn for _, turn in projected_turns(then, one, today.toordinal(), last)]
        days = ahead | {date.fromordinal(turn.day) for turn in coming}
        found = sorted(days if since is None else days - {today})
        if len(found) >= count:
            break
    return Foreseen(since, tuple(found[:count]))


def limit_with(
    state: HouseholdState, chore: Chore, readings: Sequence[Entry] = ()
) -> LimitForecast:
    """Return what the water says of a chore as given."""
    return _alone(state, chore, readings).limit_of(chore)


def _alone(state: HouseholdState, chore: Chore, readings: Sequence[Entry]) -> HouseholdState:
    """Return the state of a household that has this chore alone, with its tank."""
    house = state.household
    alone = replace(
        house, chores=(chore,), tanks=tuple(one for one in house.tanks if one.id == chore.tank)
    )
    history = _with_readings(state.history, chore.tank, readings)
    return fold_household(alone, history, state.moment.now)


def changed_like(state: HouseholdState, chore: Chore, from_day: date | None = None) -> Chore:
    """Return a chore as it would be once kept, with the rhythms it had before."""
    present = next((one for one in state.household.chores if one.id == chore.id), None)
    if present is None:
        return replace(chore, id=chore.id or "new", valid_from=state.moment.day)
    return changed_from(state, present, chore, from_day or state.moment.day)
