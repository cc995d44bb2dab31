"""What comes in a span of days, as if open work were done today and the rest on target.

Open work that waits for its target, because it was put off to it or may be done early, is done on
that target: today stands for the days that are past. A calendar has what can wait past its target
on the last day until which it can, and what follows from there: `waits`.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, timedelta

from tankkeeper.core.amounts import stated_amount
from tankkeeper.core.chores import Calendar, WhenWaterSays
from tankkeeper.core.coming import projected_turns
from tankkeeper.core.early_days import early_days
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household, Tank
from tankkeeper.core.logbook import Turn
from tankkeeper.core.mixing_parts import NOTHING_MIXED, takes_mixed_litres
from tankkeeper.core.moment import Moment
from tankkeeper.core.own_window import moved_from
from tankkeeper.core.pauses import spans_for, window_begins
from tankkeeper.core.projection import Projected, done_on
from tankkeeper.core.rule_versions import later_nominal
from tankkeeper.core.running_short import Shortage, key_of, may_be_short, shortage_of
from tankkeeper.core.state import HouseholdState, Item, items_of
from tankkeeper.core.turns import ChoreState, OpenTurn, State
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Desk
from tankkeeper.services.mixing_ahead import amount_coming, takers

ABOUT = "about:"
LONGEST_SPAN = timedelta(days=3653)


@dataclass(frozen=True, slots=True)
class AheadView:
    """Turns in order of the day on which they are expected.

    `has_last_days` tells that open work which waits past its target has its last day in the span:
    a calendar shows it there, but here it counts as done today.
    """

    household: Household
    moment: Moment
    items: tuple[Item, ...]
    has_last_days: bool = False


def ahead(desk: Desk, first: date, last: date, tank: Tank | None = None) -> AheadView:
    """Return the turns expected from `first` to `last`, both included."""
    if last < first:
        raise UserFault("span_turned_round", first=first, last=last)
    if last - first > LONGEST_SPAN:
        raise UserFault("span_too_long", first=first, last=last, longest=LONGEST_SPAN.days)
    return ahead_of(desk.state(), first, last, tank)


def ahead_of(
    state: HouseholdState,
    first: date,
    last: date,
    tank: Tank | None = None,
    *,
    has_open: bool = True,
    waits: bool = False,
) -> AheadView:
    """Return the expected turns that a state holds; `has_open` adds the work that is open now.

    What is open since a past day is done today before them, or `waits` for its last day.
    """
    items: list[tuple[date, int, int, Item]] = []
    for index, one in enumerate(state.chores):
        if tank is not None and one.chore.tank != tank.id:
            continue
        open_now = _open(state, one, first, last) if has_open else []
        for item in (*open_now, *_items(state, one, first, last, waits=waits)):
            assert item.open is not None
            day = _day_of(state, item)
            at = item.open.due_at
            minute = 0 if at is None else int(at.timestamp() // 60)
            items.append((day, minute, index, item))
    items.sort(key=lambda row: row[:3])
    has_last_days = has_open and _has_last_days(state, first, last, tank)
    return AheadView(state.household, state.moment, tuple(row[3] for row in items), has_last_days)


def _has_last_days(state: HouseholdState, first: date, last: date, tank: Tank | None) -> bool:
    """Tell whether open work that waits past its target has its last day in a span."""
    return any(
        turn.waits_past_target(state.moment.day) and first <= turn.latest <= last
        for one in state.chores
        if one.paused is None and (tank is None or one.chore.tank == tank.id)
        for turn in one.open
    )


def _open(state: HouseholdState, one: ChoreState, first: date, last: date) -> list[Item]:
    """Return the open work of a span: all of it from today on, later what waits for its target.

    On a day to come that is as projected as anything else.
    """
    today = state.moment.day
    if one.paused is not None or last < today:
        return []
    found = [item for item in items_of(state, one) if item.is_open]
    if first <= today:
        return found
    amount = stated_amount(one.chore, state.water_of(one.chore), state.household)
    # What was mixed of it in parts is taken off there already.
    is_mixed = takes_mixed_litres(one.chore)
    return [
        replace(item, state=State.PROJECTED, amount=item.amount if is_mixed else amount)
        for item in found
        if first <= _day_of(state, item) <= last
    ]


def _items(
    state: HouseholdState, one: ChoreState, first: date, last: date, *, waits: bool
) -> list[Item]:
    found: list[Item] = []
    turns = projected_turns(state, one, first.toordinal(), last.toordinal(), waits=waits)
    tank = state.household.tank(one.chore.tank) if one.chore.tank is not None else None
    water = state.water_of(one.chore)
    coming = [(part, expected_turn(state, part.chore, turn)) for part, turn in turns]
    follows = _late_done_on(state, one, waits=waits)
    takers_of = takers(state, one.chore, [expected for _, expected in coming], waits=waits)
    for part, expected in coming:
        chore = part.chore.chore
        amount, mixed = stated_amount(chore, water, state.household), NOTHING_MIXED
        if takes_mixed_litres(chore):
            amount, mixed = amount_coming(state, one, chore, expected, takers_of)
        found.append(
            Item(
                turn=expected.turn,
                state=State.PROJECTED,
                chore=chore,
                tank=tank,
                open=expected,
                amount=amount,
                water=water,
                limit=part.limit,
                last_done=one.last_done,
                mixed=mixed,
                own_latest=moved_from(state, chore, expected),
                follows=follows,
                shortage=_shortage(state, one, expected, waits=waits),
            )
        )
    return found


def _shortage(
    state: HouseholdState, one: ChoreState, turn: OpenTurn, *, waits: bool
) -> Shortage | None:
    """Return the salt water that will be missing of an expected turn."""
    if not turn.turn.key.startswith(ABOUT) or not may_be_short(state, one.chore):
        return shortage_of(state, one.chore, turn)
    first, last = state.moment.day.toordinal() + 1, turn.target.toordinal()
    place = len(projected_turns(state, one, first, last, waits=waits)) - 1
    return state.short.of_changes.get(key_of(turn.turn, place))


def _late_done_on(state: HouseholdState, one: ChoreState, *, waits: bool) -> date | None:
    """Return the day on which what is open since a past day is taken as done, None without any."""
    pauses = spans_for(one.chore, state.spans)
    days = [
        done_on(turn, pauses, state.moment, waits=waits)
        for turn in one.open
        if turn.target < state.moment.day
    ]
    return next((date.fromordinal(day) for day in days if day is not None), None)


def _day_of(state: HouseholdState, item: Item) -> date:
    """Return the day on which a turn is done: its target, today for open work whose day is past."""
    assert item.open is not None
    return max(item.open.target, state.moment.day) if item.is_open else item.open.target


def _about(turn: Projected, iso: str) -> str:
    """Return the day of an expected turn, with its minute where a day has several by the hour."""
    return iso if turn.due_at is None else f"{turn.due_at.astimezone(UTC):%Y-%m-%dT%H%MZ}"


def expected_turn(state: HouseholdState, one: ChoreState, turn: Projected) -> OpenTurn:
    """Return a projected turn with its window; one without a key of its own is "about" a day."""
    chore, day = one.chore, date.fromordinal(turn.day)
    iso = day.isoformat()
    key = turn.key or (iso if isinstance(chore.rhythm, Calendar) else ABOUT + _about(turn, iso))
    latest = _latest(state, one, Turn(chore.id, key, turn.slot), turn)
    first = day - timedelta(days=early_days(chore))
    due_at = turn.due_at
    if due_at is None and turn.slot is not None:
        due_at = state.moment.at(day, turn.slot)
    return OpenTurn(
        turn=Turn(chore.id, key, turn.slot),
        earliest=window_begins(first, day, spans_for(chore, state.spans)),
        target=day,
        latest=latest,
        state=State.PROJECTED,
        due_at=due_at,
        is_put_off=turn.is_put_off,
    )


def _latest(state: HouseholdState, one: ChoreState, turn: Turn, projected: Projected) -> date:
    """Return the last day that a projected turn can wait until.

    One that was put off waits no longer than until the next one, and a pause gives no more time.
    """
    chore, day = one.chore, date.fromordinal(projected.day)
    if isinstance(chore.rhythm, WhenWaterSays):
        return day
    latest = day + timedelta(days=chore.late_days)
    if not isinstance(chore.rhythm, Calendar) or turn.key == day.isoformat():
        return latest
    for known in (*one.open, one.upcoming):
        if known is not None and known.turn == turn and known.target == day:
            return known.latest
    nominal = date.fromisoformat(turn.key)
    if not projected.is_put_off:
        return max(nominal + timedelta(days=chore.late_days), day)
    following = later_nominal(chore, state.history.of_chore(chore.id), nominal)
    before = latest if following is None else following - timedelta(days=1)
    return min(latest, max(day, before))
