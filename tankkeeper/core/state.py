"""The whole household on one day: every chore's state and every tank's water, as one fold."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field, replace
from datetime import date, datetime

from tankkeeper.core.amounts import AmountDue, amount_of, asks_of
from tankkeeper.core.chores import Chore, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.fold_memory import Memory
from tankkeeper.core.history import History
from tankkeeper.core.household import Household, Tank
from tankkeeper.core.logbook import Entry, PauseMode, Turn
from tankkeeper.core.making_ready import NotReady, unready_by
from tankkeeper.core.mixing_parts import (
    NOTHING_MIXED,
    SoFar,
    mixed_so_far,
    rest_to_mix,
)
from tankkeeper.core.moment import Moment, moment_of
from tankkeeper.core.own_window import moved_from
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.core.pauses import HOUSE, Scope, Span, pause_on, pause_spans, spans_for
from tankkeeper.core.resting import rests_with, with_served
from tankkeeper.core.rhythm_ahead import parted
from tankkeeper.core.running_short import (
    NOTHING_SHORT,
    RunningShort,
    Shortage,
    running_short,
    shortage_of,
)
from tankkeeper.core.schedule import NOTHING_KNOWN, turns_of
from tankkeeper.core.sharing_parts import stands_short, waits_for
from tankkeeper.core.storing import OverStore, over_store
from tankkeeper.core.tank_water import TankWater, water_now
from tankkeeper.core.testing_again import brought_closer
from tankkeeper.core.turns import ChoreState, ClosedTurn, OpenTurn, State, next_turn
from tankkeeper.core.values import dataclass
from tankkeeper.core.water_turns import LimitForecast, forecast_of, limit_by_filling


@dataclass(frozen=True, slots=True)
class Item:
    """One line of work: a turn with its chore, amount, and all that its reason needs.

    `unready` is the chore that should mix its water and has no turn before it; `not_ready` the
    mixing that a change of today still waits for; `stands_short` the litres that can stand mixed
    for it at most, where those are too few; `over_store` tells of water made ready that goes
    beyond what can be stored, `mixed` what was mixed of it in parts. `rests_with` are the tanks
    that would take what it makes and all rest. `own_latest` is the last day of its own of a turn
    that was put off; `lapsed` are the turns of today that a later hour of its chore let lapse.
    `next_turn` is the one that comes after a line that is closed, where one is known;
    `follows` is the day on which a turn before it that is open since a past day is taken as done.
    What `is_extra` was done beside the plan: it is told of its chore, and does no turn of it.
    `shortage` is what will be missing of salt water, for a change to come or after a mixing.
    """

    turn: Turn
    state: State
    chore: Chore
    tank: Tank | None
    open: OpenTurn | None = None
    entry: Entry | None = None
    amount: AmountDue | None = None
    water: TankWater | None = None
    limit: LimitForecast = NOTHING_KNOWN
    last_done: Entry | None = None
    paused: Span | None = None
    rests_with: tuple[Tank, ...] = ()
    unready: Chore | None = None
    not_ready: NotReady | None = None
    stands_short: float | None = None
    over_store: OverStore | None = None
    mixed: SoFar = NOTHING_MIXED
    own_latest: date | None = None
    lapsed: tuple[Turn, ...] = ()
    next_turn: OpenTurn | None = None
    follows: date | None = None
    is_extra: bool = False
    shortage: Shortage | None = None

    @property
    def id(self) -> str:
        """The stable id of this occurrence."""
        return self.turn.id

    @property
    def asks(self) -> tuple[str, ...]:
        """What must be written down when it is ticked."""
        return asks_of(self.chore)

    @property
    def is_open(self) -> bool:
        """Whether it stands in the round as work to do."""
        return self.state in (State.OVERDUE, State.DUE, State.MAY_WAIT)

    @property
    def counts(self) -> bool:
        """Whether it counts as work of today: overdue or due."""
        return self.state in (State.OVERDUE, State.DUE)


@dataclass(frozen=True, slots=True)
class HouseholdState:
    """The household at one moment.

    `limits` holds what the water says of each chore by the rhythm of today, `later_limits` by a
    rhythm that replaces it on a day to come; `short` the salt water that will be missing.
    """

    household: Household
    moment: Moment
    chores: tuple[ChoreState, ...]
    waters: Mapping[str, TankWater]
    spans: Mapping[tuple[str, str], list[Span]]
    history: History
    limits: Mapping[str, LimitForecast]
    later_limits: Mapping[str, LimitForecast] = field(default_factory=dict)
    short: RunningShort = NOTHING_SHORT

    def water_of(self, chore: Chore) -> TankWater | None:
        """Return the water of the chore's tank, or None for a household chore."""
        return self.waters.get(chore.tank) if chore.tank is not None else None

    def limit_of(self, chore: Chore) -> LimitForecast:
        """Return the forecast that decides the chore, if the water decides it."""
        return self.limits.get(chore.id, NOTHING_KNOWN)

    def pause_of(self, tank: Tank) -> Span | None:
        """Return the pause that a tank is in today, or None."""
        today = self.moment.day.toordinal()
        return pause_on(today, self.spans.get(("tank", tank.id), []))


def _limit_for(
    chore: Chore, water: TankWater | None, history: History, memory: Memory
) -> LimitForecast:
    """Return the forecast for a chore; what no part of the program computes is not known."""
    rhythm = chore.rhythm
    if not isinstance(rhythm, WhenWaterSays) or water is None:
        return NOTHING_KNOWN
    if rhythm.condition is Condition.EVAPORATION:
        entries = history.of_chore(chore.id)
        return limit_by_filling(chore, entries, water.limit, water.full_interval_days)
    if rhythm.condition is Condition.STOCK or rhythm.of is None or rhythm.of not in PARAMETERS:
        return NOTHING_KNOWN
    outlook = memory.outlook(water, rhythm.of, history.of_water(water.tank.id))
    return forecast_of(chore, outlook, history.of_chore(chore.id))


def fold_household(
    household: Household, history: History, now: datetime, memory: Memory | None = None
) -> HouseholdState:
    """Return the state of the whole household at `now`, a pure function of its arguments."""
    memory = memory if memory is not None else Memory()
    moment = moment_of(household, now)
    rests = pause_spans(history.pauses, household.tanks)
    spans = with_served(rests, household, moment.day)
    waters = {}
    for tank in household.tanks:
        freezes = _freezes_of(tank, spans, moment)
        learned = memory.learned(tank, household, history, moment.day, freezes)
        waters[tank.id] = water_now(tank, learned, moment, household.units.salinity)
    states: list[ChoreState] = []
    limits: dict[str, LimitForecast] = {}
    later: dict[str, LimitForecast] = {}
    for chore in household.chores:
        water = waters.get(chore.tank) if chore.tank is not None else None
        parts = parted(chore, moment.day)
        limit = _limit_for(parts.now, water, history, memory)
        if limit is not NOTHING_KNOWN:
            limits[chore.id] = limit
        if parts.later is not None:
            later[chore.id] = _limit_for(parts.later, water, history, memory)
        entries, pauses = history.of_chore(chore.id), spans_for(chore, spans)
        one = memory.folded(chore, entries, pauses, moment, limit)
        if water is not None:
            one = brought_closer(one, water, household.animals, entries, pauses, moment)
        states.append(one)
    known = (household, moment, tuple(states), waters, spans, history, limits, later)
    state = HouseholdState(*known)
    return replace(state, short=running_short(state))


def _freezes_of(tank: Tank, spans: Mapping[Scope, list[Span]], moment: Moment) -> tuple[Span, ...]:
    """Return the pauses up to today in which a tank stood still."""
    if not spans:
        return ()
    today = moment.day.toordinal()
    return tuple(
        span
        for scope in (("tank", tank.id), HOUSE)
        for span in spans.get(scope, ())
        if span.mode is PauseMode.FREEZE and span.first <= today
    )


def items_of(state: HouseholdState, one: ChoreState) -> list[Item]:
    """Return the lines of one chore for today: open, done and skipped; one line if paused."""
    chore = one.chore
    tank = state.household.tank(chore.tank) if chore.tank is not None else None
    water = state.water_of(chore)
    limit = state.limit_of(chore)
    coming = next_turn(one, state.moment.now) if one.closed else None
    items = [
        Item(
            turn=closed.turn,
            state=closed.state,
            chore=chore,
            tank=tank,
            open=turn_before(state, chore, closed),
            entry=closed.entry,
            water=water,
            # What was left out leaves the water as it is, so its limit stands.
            limit=limit
            if limit.outlook is not None or closed.state is State.SKIPPED
            else NOTHING_KNOWN,
            last_done=one.last_done,
            next_turn=coming,
            lapsed=one.lapsed,
        )
        for closed in one.closed
    ]
    turns: Sequence[OpenTurn] = one.open
    resting = rests_with(chore, state.household, state.spans, state.moment.day)
    if one.paused is not None:
        turns = one.open[:1] or ((one.upcoming,) if one.upcoming is not None else ())
        if not turns:
            return [*items, _paused_item(chore, tank, one, resting)]
    amount = amount_of(chore, water, state.household) if turns else None
    known = (state.chores, state.household, state.history, state.waters)
    today = state.moment.day
    mixed = mixed_so_far(chore, state.household, state.history, today)
    for turn in turns:
        if chore.kind is ChoreKind.MIX_SALT_WATER:
            amount = rest_to_mix(chore, turn, mixed, *known, today)
        items.append(
            Item(
                turn=turn.turn,
                state=turn.state if one.paused is None else State.PAUSED,
                chore=chore,
                tank=tank,
                open=turn,
                amount=amount,
                water=water,
                limit=limit,
                last_done=one.last_done,
                paused=one.paused,
                rests_with=resting,
                unready=_unready(state, chore, turn),
                not_ready=waits_for(one, turn, *known, state.moment),
                stands_short=stands_short(one, turn, *known, state.moment),
                over_store=over_store(chore, turn, amount, *known, today, mixed.left_l),
                mixed=mixed,
                own_latest=moved_from(state, chore, turn),
                lapsed=one.lapsed,
                shortage=None if one.paused else shortage_of(state, chore, turn),
            )
        )
        # What was mixed in parts is of the first turn.
        mixed = NOTHING_MIXED
    return items


def _unready(state: HouseholdState, chore: Chore, turn: OpenTurn) -> Chore | None:
    if chore.kind is not ChoreKind.WATER_CHANGE or turn.is_put_off:
        return None
    day = turn.target
    return unready_by(state.household, state.history, chore, day, turn.counted_from)


def _unready_put_off(state: HouseholdState, one: ChoreState, turn: OpenTurn) -> NotReady | None:
    """Return what a change waits for that was put off so far that its window has yet to come.

    Of the others the rhythms tell, before anybody moved a turn.
    """
    if not turn.is_put_off:
        return None
    known = (state.chores, state.household, state.history, state.waters)
    return waits_for(one, turn, *known, state.moment)


def turn_before(state: HouseholdState, chore: Chore, closed: ClosedTurn) -> OpenTurn | None:
    """Return what a closed turn was before it was closed, or None where only the water knows."""
    if isinstance(chore.rhythm, WhenWaterSays):
        return None
    kept = [one for one in state.history.of_chore(chore.id) if one.id != closed.entry.id]
    turns = turns_of(chore, kept, spans_for(chore, state.spans), state.moment)
    same_slot = [turn for turn in turns if turn.turn.slot == closed.turn.slot]
    return same_slot[0] if same_slot else None


def _paused_item(
    chore: Chore, tank: Tank | None, one: ChoreState, resting: tuple[Tank, ...]
) -> Item:
    return Item(
        turn=Turn(chore.id),
        state=State.PAUSED,
        chore=chore,
        tank=tank,
        last_done=one.last_done,
        paused=one.paused,
        rests_with=resting,
    )


def upcoming_item(state: HouseholdState, one: ChoreState) -> Item | None:
    """Return the next turn of a chore as a line, or None."""
    if one.upcoming is None or one.paused is not None:
        return None
    chore = one.chore
    return Item(
        turn=one.upcoming.turn,
        state=State.PROJECTED,
        chore=chore,
        tank=state.household.tank(chore.tank) if chore.tank is not None else None,
        open=one.upcoming,
        water=state.water_of(chore),
        limit=state.limit_of(chore),
        last_done=one.last_done,
        unready=_unready(state, chore, one.upcoming),
        not_ready=_unready_put_off(state, one, one.upcoming),
        own_latest=moved_from(state, chore, one.upcoming),
        shortage=shortage_of(state, chore, one.upcoming),
    )
