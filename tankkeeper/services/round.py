"""The round: all that is due today, in walking order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from tankkeeper.core.capable import is_for
from tankkeeper.core.chores import FRESH_KINDS, Chore, ChoreKind
from tankkeeper.core.harmful import Harm, harms_of, readings_outside
from tankkeeper.core.household import DRY_STAGES, Household, Person, Stage, Tank
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import Span, pause_on
from tankkeeper.core.resting import rests_with
from tankkeeper.core.running_short import Shortage
from tankkeeper.core.state import HouseholdState, Item, items_of, upcoming_item
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.turns import State
from tankkeeper.core.values import dataclass
from tankkeeper.core.walking import in_walking_order, urgency
from tankkeeper.services.day_minutes import minutes_left
from tankkeeper.services.desk import Desk


@dataclass(frozen=True, slots=True)
class Totals:
    """What the overdue and due work of a round adds up to, with the litres of each line."""

    minutes: int = 0
    each_fresh_l: tuple[float, ...] = ()
    each_to_mix_l: tuple[float, ...] = ()
    each_salt_l: tuple[float, ...] = ()

    @property
    def fresh_water_l(self) -> float:
        """The fresh water to top off with."""
        return sum(self.each_fresh_l)

    @property
    def fresh_water_to_mix_l(self) -> float:
        """The fresh water that salt goes into."""
        return sum(self.each_to_mix_l)

    @property
    def salt_water_l(self) -> float:
        """The salt water of changes."""
        return sum(self.each_salt_l)


@dataclass(frozen=True, slots=True)
class Counts:
    """How many lines stand in each state; of the whole house also how many tanks are paused."""

    overdue: int = 0
    due: int = 0
    may_wait: int = 0
    done: int = 0
    skipped: int = 0
    paused: int = 0
    paused_tanks: int = 0


@dataclass(frozen=True, slots=True)
class Group:
    """The lines of one tank, or of the household when `tank` is None."""

    tank: Tank | None
    items: tuple[Item, ...]

    @property
    def minutes(self) -> int:
        """Minutes of what is overdue and due here, so that the groups add up to the totals."""
        return minutes_left(self.items)


@dataclass(frozen=True, slots=True)
class TankSummary:
    """A tank as the rail shows it; `outside` are newest readings that are off and harm nothing."""

    tank: Tank
    water: TankWater
    overdue: int
    due: int
    is_resting: bool
    harms: tuple[Harm, ...] = ()
    outside: tuple[Harm, ...] = ()


@dataclass(frozen=True, slots=True)
class NextWork:
    """The next turn to come when nothing more is due."""

    item: Item
    at: datetime


@dataclass(frozen=True, slots=True)
class RoundView:
    """A whole round.

    `paused_alone` are the lines of the chores that are paused while their tank is not: they stand
    in no group of the whole house, and nowhere else could they be found to go on. `short` is the
    salt water that will be missing by a mixing that has no open line to say so.
    """

    household: Household
    moment: Moment
    groups: tuple[Group, ...]
    totals: Totals
    counts: Counts
    tanks: tuple[TankSummary, ...]
    following: NextWork | None
    state: HouseholdState
    state_counts: Counts = Counts()
    paused_alone: tuple[Item, ...] = ()
    short: tuple[Shortage, ...] = ()

    @property
    def items(self) -> list[Item]:
        """All lines, in walking order."""
        return [item for group in self.groups for item in group.items]


def round_view(desk: Desk, tank: Tank | None = None, person: Person | None = None) -> RoundView:
    """Return the round now, of one tank or for one person if given."""
    return round_of(desk.state(), tank, person)


def round_of(
    state: HouseholdState, tank: Tank | None = None, person: Person | None = None
) -> RoundView:
    """Return the round that a state holds."""
    household = state.household
    by_tank: dict[str | None, list[Item]] = {}
    for one in state.chores:
        items = items_of(state, one)
        if one.paused is not None and not (tank is not None and one.chore.tank == tank.id):
            items = [item for item in items if item.entry is not None]
        by_tank.setdefault(one.chore.tank, []).extend(items)
    summaries = tuple(_summary(state, each, by_tank.get(each.id, [])) for each in walk(household))
    groups = tuple(
        Group(each, in_order(items, state.moment.day))
        for each in (*walk(household), None)
        if (items := _for_person(by_tank.get(each.id if each else None, []), person, household))
        and (tank is None or (each is not None and each.id == tank.id))
    )
    everything = [item for group in groups for item in group.items]
    return RoundView(
        household=household,
        moment=state.moment,
        groups=groups,
        totals=totals_of(everything),
        counts=replace(counts_of(everything), paused_tanks=0 if tank else _paused_tanks(state)),
        tanks=summaries,
        following=following_work(state, tank),
        state=state,
        state_counts=counts_of(item for items in by_tank.values() for item in items),
        paused_alone=() if tank is not None else _paused_alone(state, person),
        short=_short_unsaid(state, everything, tank, person),
    )


def _short_unsaid(
    state: HouseholdState, items: Iterable[Item], tank: Tank | None, person: Person | None
) -> tuple[Shortage, ...]:
    """Return what will be missing by the mixings that no open line tells of.

    Whoever is to mix more has to know before the mixing or the change is in its window.
    """
    told = {item.chore.id for item in items if item.shortage is not None}
    return tuple(
        one
        for key, one in state.short.of_mixings.items()
        if key not in told
        and (tank is None or tank.id in {one.prep.tank, *(each.chore.tank for each in one.changes)})
        and (person is None or is_for(person, one.prep, state.household))
    )


def pause_alone(state: HouseholdState, chore: Chore) -> Span | None:
    """Return the pause of a chore alone, not of its tank or the household, that lasts today."""
    return pause_on(state.moment.day.toordinal(), state.spans.get(("chore", chore.id), []))


def rests_apart(state: HouseholdState, chore: Chore) -> bool:
    """Tell whether a chore rests though neither its tank nor the household is paused."""
    served = rests_with(chore, state.household, state.spans, state.moment.day)
    return bool(served) or pause_alone(state, chore) is not None


def _paused_alone(state: HouseholdState, person: Person | None) -> tuple[Item, ...]:
    resting = {tank.id for tank in state.household.tanks if is_resting(state, tank)}
    items = [
        item
        for one in state.chores
        if one.chore.tank not in resting and rests_apart(state, one.chore)
        for item in items_of(state, one)
        if item.state is State.PAUSED
    ]
    return tuple(_for_person(items, person, state.household))


def _paused_tanks(state: HouseholdState) -> int:
    """Count the tanks that are paused as a whole; what is planned or retired never began."""
    return sum(effective_stage(state, tank) is Stage.PAUSED for tank in state.household.tanks)


def walk(household: Household) -> list[Tank]:
    """Return the tanks in walking order; those without a place come last, as they were added."""
    return in_walking_order(household)


def place_at_end(household: Household) -> int | None:
    """Return the place in the walk with which one more tank comes last; None goes behind those."""
    places = [one.walk_order for one in household.tanks]
    return None if None in places else max((one or 0 for one in places), default=0) + 1


def is_resting(state: HouseholdState, tank: Tank) -> bool:
    """Tell whether a tank is paused, planned or retired today."""
    return state.pause_of(tank) is not None


def effective_stage(state: HouseholdState, tank: Tank) -> Stage:
    """Return the stage of a tank with its pauses and resumes heeded."""
    if tank.stage in DRY_STAGES:
        return tank.stage
    if is_resting(state, tank):
        return Stage.PAUSED
    return Stage.RUNNING if tank.stage is Stage.PAUSED else tank.stage


def _for_person(items: list[Item], person: Person | None, household: Household) -> list[Item]:
    """Return the lines for one person: not those of what that person does not do."""
    if person is None:
        return items
    return [item for item in items if is_for(person, item.chore, household)]


def in_order(items: list[Item], today: date) -> tuple[Item, ...]:
    """Return the lines of a tank as they stand: the most urgent first, then by the hour."""
    return tuple(sorted(items, key=lambda one: urgency(one.turn, one.state, one.open, today)))


def totals_of(items: Iterable[Item]) -> Totals:
    """Return the sums over overdue and due lines."""
    fresh: list[float] = []
    to_mix: list[float] = []
    salt: list[float] = []
    lines = [item for item in items if item.counts]
    for item in lines:
        if item.amount is None or item.amount.unit != "L":
            continue
        if item.chore.kind in FRESH_KINDS:
            fresh.append(item.amount.value)
        elif item.chore.kind is ChoreKind.MIX_SALT_WATER:
            to_mix.append(item.amount.value)
        elif item.chore.kind is ChoreKind.WATER_CHANGE:
            salt.append(item.amount.value)
    return Totals(minutes_left(lines), tuple(fresh), tuple(to_mix), tuple(salt))


def counts_of(items: Iterable[Item]) -> Counts:
    """Count lines by their states; round, rail and calendar all count so."""
    states = [item.state for item in items]
    return Counts(
        overdue=states.count(State.OVERDUE),
        due=states.count(State.DUE),
        may_wait=states.count(State.MAY_WAIT),
        done=states.count(State.DONE),
        skipped=states.count(State.SKIPPED),
        paused=states.count(State.PAUSED),
    )


def _summary(state: HouseholdState, tank: Tank, items: list[Item]) -> TankSummary:
    counts, water = counts_of(items), state.waters[tank.id]
    rests = is_resting(state, tank)
    readings = () if rests else water.learned.readings
    harms = harms_of(tank, readings, state.household.animals)
    outside = () if rests else readings_outside(water, state.household.animals)
    return TankSummary(tank, water, counts.overdue, counts.due, rests, harms, outside)


def following_work(state: HouseholdState, tank: Tank | None = None) -> NextWork | None:
    """Return what becomes due next after now: a slot later today, or the nearest turn ahead.

    What is due all day is due already, also before the hour of the round.
    """
    found: list[tuple[datetime, int, Item]] = []
    for index, one in enumerate(state.chores):
        if one.paused is not None or (tank is not None and one.chore.tank != tank.id):
            continue
        coming = upcoming_item(state, one)
        later = [item for item in items_of(state, one) if item.is_open] if one.open else []
        for item in (*later, *([coming] if coming is not None else [])):
            if item.open is None:
                continue
            if item.open.due_at is None and item.open.target <= state.moment.day:
                continue
            at = item.open.due_at or state.moment.round_on(item.open.target)
            if at > state.moment.now:
                found.append((at, index, item))
    if not found:
        return None
    at, _, item = min(found, key=lambda one: one[:2])
    return NextWork(item, at)


def next_change_at(state: HouseholdState) -> datetime:
    """Return the next moment at which the round looks different by itself."""
    moment = state.moment
    tomorrow = moment.day.fromordinal(moment.day.toordinal() + 1)
    moments = [moment.at(tomorrow, moment.day_begins)]
    # What was still ahead is told as past from then on.
    limits = [one.limit.limit_at for one in state.waters.values()]
    moments += [at for at in limits if at is not None]
    for one in state.chores:
        moments += [turn.due_at for turn in one.open if turn.due_at is not None]
        moments += [moment.at(moment.day, slot) for slot in one.chore.slots if one.paused is None]
    return min(at for at in moments if at > moment.now)
