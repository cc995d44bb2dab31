"""What gives cause to remind: a morning, a slot, water that is short, a reading that harms."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from enum import StrEnum

from tankkeeper.core.chores import FRESH_KINDS, Chore, ChoreKind
from tankkeeper.core.days import instant_of
from tankkeeper.core.harmful import POISONS, harms_of, readings_outside
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import AFTER, Entry
from tankkeeper.core.parameters import PARAMETERS, ReadingValue
from tankkeeper.core.salinity_limit import is_high_when_full
from tankkeeper.core.state import HouseholdState, Item, items_of
from tankkeeper.core.tank_water import (
    TankWater,
    can_fill_from,
    expected_round,
    harm_begins,
    is_loss_unsure,
)
from tankkeeper.core.target_ranges import range_of
from tankkeeper.core.turns import ChoreState, State
from tankkeeper.core.values import dataclass
from tankkeeper.core.water_turns import Limit
from tankkeeper.services.reminder_habits import Habits
from tankkeeper.services.restarts import Restart
from tankkeeper.services.round import walk

# Engineering judgement, no source: by then the keeper can still act, and knows what it is about.
LIMIT_AHEAD = timedelta(hours=6)
# A choice of this project: by then the round of the day is behind, and the day is not yet over.
ROUND_AHEAD = timedelta(hours=12)
# A choice of this project: who keeps to the hour of the round has done it by then.
ROUND_LASTS = timedelta(hours=4)
# A day to make the fresh water.
RESERVOIR_AHEAD = timedelta(hours=24)
# What was due by the hour before that stands in the round and in the morning's summary.
SLOT_HOLDS = timedelta(hours=24)
# Pumps that stand still are told again and again, every time with a key of its own.
RESTART_EVERY = timedelta(minutes=30)


class Cause(StrEnum):
    """Why something is told."""

    RESTART = "restart"
    POISON = "poison"
    LIMIT = "limit"
    RESERVOIR = "reservoir"
    SLOT = "slot"
    MORNING = "morning"


@dataclass(frozen=True, slots=True)
class Outside:
    """What lies outside its range in a tank, as names of parameters."""

    tank: Tank
    parameters: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reminder:
    """One cause: from `at` on it is to be told; `row` is the line of the round it leads to.

    `by` is the moment it is about (a limit, a slot), None where there is none; `likely` and
    `surely` those from which on a limit likely is passed, and for certain; `harm_at` when it
    harms a tank that lacks water, and `filled_at` when it had all of it; `reading` one that lies
    outside its range; `part` the top-off whose rest is due; `paused` the chore that would have put
    in water and is paused; `is_high` says that the salinity is high even in the full tank,
    and `salinity_limit` up to where it may rise; `is_unsure` that the loss is not known well yet;
    `overdue` and `due` count the work of a morning,
    `outside` names the newest readings that lie outside their range without doing harm.
    """

    key: str
    cause: Cause
    at: datetime
    row: str | None = None
    tank: Tank | None = None
    item: Item | None = None
    reading: ReadingValue | None = None
    restart: Restart | None = None
    by: datetime | None = None
    likely: datetime | None = None
    surely: datetime | None = None
    harm_at: datetime | None = None
    filled_at: datetime | None = None
    limit: Limit | None = None
    part: Entry | None = None
    paused: Chore | None = None
    is_high: bool = False
    salinity_limit: float | None = None
    is_unsure: bool = False
    overdue: int = 0
    due: int = 0
    outside: tuple[Outside, ...] = ()
    breaks_quiet: bool = False


def causes_of(
    state: HouseholdState, restarts: Sequence[Restart], habits: Habits, now: datetime
) -> Iterator[Reminder]:
    """Give all that is to be told at some moment, told or not."""
    yield from mornings(state, habits, now)
    yield from _slots(state, now)
    yield from _waters(state)
    yield from _poisons(state)
    for one in restarts:
        yield _of_restart(one, now)


def mornings(state: HouseholdState, habits: Habits, now: datetime) -> Iterator[Reminder]:
    """Give the summary of today's date, for as long as it lasts, and the next one to come."""
    states = [turn.state for one in state.chores if one.paused is None for turn in one.open]
    overdue, due = states.count(State.OVERDUE), states.count(State.DUE)
    outside = _outside(state)
    today = now.astimezone(state.moment.zone).date()
    for ahead in range(8):
        day: date = today + timedelta(days=ahead)
        wall = habits.mornings[day.weekday()]
        if wall is None:
            continue
        at = instant_of(day, wall, state.moment.zone)
        key = f"{Cause.MORNING.value}:{day.isoformat()}T{wall:%H%M}"
        yield Reminder(key, Cause.MORNING, at, overdue=overdue, due=due, outside=outside)
        if at > now:
            return


def _outside(state: HouseholdState) -> tuple[Outside, ...]:
    """Return by tank whose newest readings lie outside their range, where it does not rest."""
    found = []
    for tank in walk(state.household):
        water = state.waters.get(tank.id)
        if water is None or state.pause_of(tank) is not None:
            continue
        off = readings_outside(water, state.household.animals)
        if off:
            found.append(Outside(tank, tuple(one.value.parameter for one in off)))
    return tuple(found)


def _slots(state: HouseholdState, now: datetime) -> Iterator[Reminder]:
    for one in state.chores:
        if one.paused is not None or not any(turn.due_at for turn in one.open):
            continue
        for item in items_of(state, one):
            at = item.open.due_at if item.open is not None else None
            if at is None or not item.counts or at < now - SLOT_HOLDS:
                continue
            key = f"{Cause.SLOT.value}:{item.id}"
            yield Reminder(key, Cause.SLOT, at, item.id, item.tank, item, by=at)


def _waters(state: HouseholdState) -> Iterator[Reminder]:
    """Give the tanks that reach a limit before long, or whose reservoir runs empty."""
    for water in state.waters.values():
        limit = water.limit
        if limit.limit_at is None or limit.base is None or state.pause_of(water.tank) is not None:
            continue
        is_reservoir = limit.limit is Limit.RESERVOIR
        cause = Cause.RESERVOIR if is_reservoir else Cause.LIMIT
        at = limit.limit_at - (RESERVOIR_AHEAD if is_reservoir else LIMIT_AHEAD)
        at = max(at, expected_round(limit, state.moment) or at)
        if not is_reservoir:
            # Whatever its limit, a tank at its mark must not be told to be topped off.
            at = max(at, can_fill_from(water, state.moment) or at)
        key = f"{cause.value}:{water.tank.id}:{limit.base.id}"
        item = _water_item(state, water.tank)
        row = item.id if item is not None else None
        at = max(at, _given_its_round(state, water, item) or at)
        part = _part_before(water, item)
        if part is not None:
            # Its rest would lower the salinity too fast today, so nobody is told to pour it in.
            at = max(at, state.moment.round_on(part.day + timedelta(days=1)))
            key = f"{key}:{part.id}"
        by = limit.limit_at
        asleep = _asleep(state, water.tank, max(state.moment.day, state.moment.day_of(by)))
        if asleep is None and limit.limit is Limit.SALINITY and _is_read_high(state, water):
            # The reading is the surer word, and says what is to be done.
            continue
        if asleep is not None and asleep.paused is not None:
            # Nothing in the round will ask for fresh water, so it is told as soon as that is so.
            begun = asleep.paused.first
            at = state.moment.at(date.fromordinal(begun), state.moment.day_begins)
            row, key = items_of(state, asleep)[-1].id, f"{key}:paused:{begun}"
        yield Reminder(
            key,
            cause,
            at,
            row,
            water.tank,
            item,
            by=by,
            likely=limit.likely_at,
            surely=limit.surely_at,
            harm_at=harm_begins(water, state.moment),
            filled_at=limit.base.at,
            limit=limit.limit,
            part=part,
            paused=asleep.chore if asleep is not None else None,
            is_high=is_high_when_full(water.tank, water.learned),
            salinity_limit=water.salinity_limit,
            is_unsure=is_loss_unsure(water),
        )


def _given_its_round(state: HouseholdState, water: TankWater, item: Item | None) -> datetime | None:
    """Return until when a limit waits for the round of the day that tops the tank off, else None.

    Of a tank that was filled the day before, that round asks for all that can be done. A salinity
    that is only past its limit if the loss is high harms nothing meanwhile, and who is warned of it
    on each morning heeds it no more: it waits for the moment at which it likely is past, until
    after the round at least, and no longer than until the evening of the day. What is late or put
    off waits for nothing.
    """
    limit, moment = water.limit, state.moment
    turn = item.open if item is not None else None
    if turn is None or limit.base is None or limit.likely_at is None:
        return None
    day = limit.base.day + timedelta(days=1)
    if limit.limit is not Limit.SALINITY or turn.is_put_off or turn.target != day:
        return None
    if moment.day > turn.latest:
        return None
    begins = moment.round_on(day)
    return max(begins + ROUND_LASTS, min(limit.likely_at, begins + ROUND_AHEAD))


def _is_read_high(state: HouseholdState, water: TankWater) -> bool:
    """Tell whether the newest salinity read lies so far above its range that it harms."""
    high = range_of(water.tank, PARAMETERS["salinity"]).high
    return any(
        one.value.parameter == "salinity" and high is not None and one.value.value > high
        for one in harms_of(water.tank, water.learned.readings, state.household.animals)
    )


def _poisons(state: HouseholdState) -> Iterator[Reminder]:
    """Give the newest readings that harm animals, until a later one does not.

    A tank that cycles without animals is meant to have ammonia, and nothing in it is harmed.
    """
    for water in state.waters.values():
        tank = water.tank
        if state.pause_of(tank) is not None:
            continue
        for harm in harms_of(tank, water.learned.readings, state.household.animals):
            value, entry = harm.value, harm.entry
            item = _test_of(state, tank, value.parameter)
            if item is None and value.parameter in POISONS:
                item = _change_of(state, tank)
            key = f"{Cause.POISON.value}:{tank.id}:{value.parameter}:{entry.first_id}"
            row = item.id if item is not None else None
            yield Reminder(key, Cause.POISON, entry.at, row, tank, item, value, by=entry.at)


def _test_of(state: HouseholdState, tank: Tank, parameter: str) -> Item | None:
    """Return the open line that tests a parameter of a tank.

    None of one that was done: a key that ticks would take the test back there.
    """
    tests = (one for one in _open_lines(state, tank) if parameter in one.chore.tests)
    return next(tests, None)


def _change_of(state: HouseholdState, tank: Tank) -> Item | None:
    """Return the open line that changes the water of a tank."""
    lines = _open_lines(state, tank)
    return next((one for one in lines if one.chore.kind is ChoreKind.WATER_CHANGE), None)


def _open_lines(state: HouseholdState, tank: Tank) -> Iterator[Item]:
    for one in state.chores:
        if one.chore.tank == tank.id:
            yield from (item for item in items_of(state, one) if item.is_open)


def _part_before(water: TankWater, item: Item | None) -> Entry | None:
    """Return the part that was put in last, where nothing is due or only what follows it."""
    part = water.learned.log.part
    if part is None or (item is not None and item.turn.key != AFTER + part.id):
        return None
    return part


def _water_item(state: HouseholdState, tank: Tank) -> Item | None:
    """Return the open line that puts fresh water into a tank, if there is one."""
    for one in state.chores:
        if one.chore.tank == tank.id and one.chore.kind in FRESH_KINDS and one.open:
            return next((item for item in items_of(state, one) if item.is_open), None)
    return None


def _asleep(state: HouseholdState, tank: Tank, day: date) -> ChoreState | None:
    """Return the chore that puts fresh water into a tank, where all that do are paused on a day."""
    today = state.moment.day
    found = [
        one
        for one in state.chores
        if one.chore.tank == tank.id
        and one.chore.kind in FRESH_KINDS
        and not one.chore.has_ended(today)
    ]
    pauses = [one.paused for one in found]
    if not found or any(one is None or day.toordinal() > one.last for one in pauses):
        return None
    return found[0]


def _of_restart(one: Restart, now: datetime) -> Reminder:
    """Give the reminder whose turn it is; only the first of them breaks quiet hours."""
    number = max(0, (now - one.due_at) // RESTART_EVERY)
    row = one.entry.completes[0].id if one.entry.completes else None
    return Reminder(
        f"{Cause.RESTART.value}:{one.tank.id}:{one.entry.first_id}:{number}",
        Cause.RESTART,
        one.due_at + number * RESTART_EVERY,
        row,
        one.tank,
        restart=one,
        breaks_quiet=number == 0,
    )


def next_restart(one: Restart, now: datetime) -> datetime:
    """Return when pumps that stand still are told of next, after `now`."""
    number = max(-1, (now - one.due_at) // RESTART_EVERY)
    return one.due_at + (number + 1) * RESTART_EVERY
