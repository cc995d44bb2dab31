"""Moving work: skip, put off, shift, pause and resume."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from tankkeeper.core.chores import AfterLastDone, Calendar, Chore, IfMissed, Once, WhenWaterSays
from tankkeeper.core.early_days import early_days
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import DRY_STAGES, Tank
from tankkeeper.core.logbook import (
    Entry,
    Fact,
    Pause,
    PauseMode,
    PutOff,
    Resume,
    Shift,
    Skip,
)
from tankkeeper.core.own_window import own_latest
from tankkeeper.core.pauses import Span, moved_by_pauses, pause_on, spans_for
from tankkeeper.core.rule_versions import later_nominal, rule_spans, span_on
from tankkeeper.core.shifting import shift_rule
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.core.turns import OpenTurn, State
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Change, Desk, moment_given
from tankkeeper.services.finding import find_item
from tankkeeper.services.ports import Writing
from tankkeeper.services.ticking import new_entry

FARTHEST_PLAN = timedelta(days=3653)
# As many days as a form can list at once: four weeks.
DAYS_CHOSEN_FROM = 28
# As many follow the day of work far ahead, unless that is farther than a year.
DAYS_AFTER_OWN = 14
FARTHEST_CHOSEN = 366


@dataclass(frozen=True, slots=True)
class Moved:
    """What was moved: the chore (None for a tank) and the entry that says so."""

    chore: Chore | None
    tank: Tank | None
    entry: Entry


def skip(
    desk: Desk, items: Sequence[str], why: str = "", by: str | None = None
) -> tuple[Moved, ...]:
    """Leave turns out, all or none."""
    with desk.store.writing() as writing:
        moved = tuple(_skip_one(desk, writing, one, why, by) for one in items)
    desk.tell(Change(tuple(one.entry for one in moved)))
    return moved


def _skip_one(desk: Desk, writing: Writing, wanted: str, why: str, by: str | None) -> Moved:
    state = desk.state_in(writing)
    item = _open_item(state, wanted)
    counts_from = skip_counts_from(state, item)
    return _write(desk, writing, state, item, Skip(item.turn, counts_from), by, why)


def skip_counts_from(state: HouseholdState, item: Item) -> date | None:
    """Return the day from which a chore goes on when its open turn is left out, where one is kept.

    A calendar rule goes on by itself; what was missed before is left out with it.
    """
    assert item.open is not None
    if isinstance(item.chore.rhythm, Calendar):
        return item.open.closes_through if item.open.missed else None
    if isinstance(item.chore.rhythm, (AfterLastDone, Once)):
        return max(item.open.target, state.moment.day)
    return None


def put_off(desk: Desk, wanted: str, to: date, by: str | None = None) -> Moved:
    """Move one turn to another target day, or refuse a day on which it cannot stand."""
    return put_off_all(desk, (wanted,), to, by)[0]


def put_off_all(
    desk: Desk, items: Sequence[str], to: date, by: str | None = None
) -> tuple[Moved, ...]:
    """Move turns to the same target day, all or none.

    Of several, those that stand there already are left where they are.
    """
    with desk.store.writing() as writing:
        state = desk.state_in(writing)
        elsewhere = [one for one in items if not stands_there(_open_item(state, one), to)]
        moved = tuple(_put_off_one(desk, writing, one, to, by) for one in elsewhere or items)
    desk.tell(Change(tuple(one.entry for one in moved)))
    return moved


def _put_off_one(desk: Desk, writing: Writing, wanted: str, to: date, by: str | None) -> Moved:
    state = desk.state_in(writing)
    item = _open_item(state, wanted)
    check_put_off(state, item, to)
    stood_on = None if item.open is None else item.open.target
    return _write(desk, writing, state, item, PutOff(item.turn, to, stood_on), by)


def check_put_off(state: HouseholdState, item: Item, to: date) -> None:
    """Refuse a day on which the turn cannot stand; the fault carries the next day that works.

    It carries none where only today would be left, or the day on which the turn stands already:
    that is nothing to put off to.
    """
    _check_moved(state, item, to)
    chore, latest = item.chore, latest_put_off(state, item)
    pauses = spans_for(chore, state.spans)
    if latest is not None and to > latest:
        works = _before_pauses(state, latest, pauses)
        is_last = works is not None and stands_there(item, works)
        works = None if is_last else works
        if isinstance(chore.rhythm, WhenWaterSays):
            raise UserFault(
                "limit_before",
                chore=chore.name,
                to=to,
                works=works,
                limit=item.limit.limit,
                is_last=is_last,
                reserve_l=None if item.tank is None else item.tank.top_off.reserve_l,
            )
        following = latest + timedelta(days=1)
        raise UserFault(
            "beyond_next_turn",
            chore=chore.name,
            to=to,
            works=works,
            following=following,
            slot=item.turn.slot,
            next_at=_next_at(state, item, following),
            is_last=is_last,
        )
    if pause_on(to.toordinal(), pauses) is not None:
        after = moved_by_pauses(to.toordinal(), to.toordinal(), pauses)
        works = None if after is None else date.fromordinal(after)
        is_past = works is not None and latest is not None and works > latest
        if works is not None and (is_past or stands_there(item, works)):
            works = None
        raise UserFault("paused_then", chore=chore.name, to=to, works=works)


def _before_pauses(state: HouseholdState, day: date, pauses: Sequence[Span]) -> date | None:
    """Return the last day up to `day`, after today, that lies in no pause."""
    ordinal = day.toordinal()
    while (span := pause_on(ordinal, pauses)) is not None:
        ordinal = span.first - 1
    return date.fromordinal(ordinal) if ordinal > state.moment.day.toordinal() else None


def latest_put_off(state: HouseholdState, item: Item) -> date | None:
    """Return the last day to which a turn may be put off, or None where there is no such bound."""
    chore, turn = item.chore, item.open
    if turn is None or isinstance(chore.rhythm, (AfterLastDone, Once)):
        return None
    if isinstance(chore.rhythm, WhenWaterSays):
        # A trend is no wall: what it foretells may be put off, as far as the keeper thinks right.
        latest = None if item.limit.outlook is not None else item.limit.waits_until
        return None if latest is None else max(latest, state.moment.day)
    following = _following(state, item, turn)
    return None if following is None else following - timedelta(days=1)


def _next_at(state: HouseholdState, item: Item, following: date) -> datetime | None:
    """Return when the next turn comes of a chore with hours, whichever hour: None without them.

    It is one that is open besides this one, else the first of the day on which the rule goes on.
    """
    rhythm, turn = item.chore.rhythm, item.open
    if not isinstance(rhythm, Calendar) or not item.chore.slots or turn is None:
        return None
    this = turn.due_at
    open_too = [
        one.due_at
        for chore in state.chores
        if chore.chore.id == item.chore.id
        for one in chore.open
        if one.due_at is not None and this is not None and one.due_at > this
    ]
    first = min(state.moment.at(following, slot) for slot in item.chore.slots)
    return min([*open_too, first])


def window_end(state: HouseholdState, item: Item) -> date | None:
    """Return the last day on which a turn is not late, None where nothing says how long it waits.

    It is the turn's own, wherever it was put off to before: in steps a day is no less far past it
    than at once.
    """
    return None if item.open is None else own_latest(state, item.chore, item.open)


def waits_for_its_day(state: HouseholdState, item: Item) -> bool:
    """Tell whether a turn was put off to a day to come, and so can be brought back to today."""
    turn = item.open
    return turn is not None and turn.is_put_off and turn.target > state.moment.day


def days_to_choose(state: HouseholdState, items: Sequence[Item]) -> tuple[date, ...]:
    """Return the days to which turns may be asked to go, whether or not they can stand there.

    Today is one of them where all of the turns were put off and wait for their day. Work of a day
    far ahead can be put off as well, so some days after its own are among them.
    """
    first = 0 if all(waits_for_its_day(state, one) for one in items) else 1
    today = state.moment.day
    own = max(((one.open.target - today).days for one in items if one.open is not None), default=0)
    last = max(DAYS_CHOSEN_FROM, min(own, FARTHEST_CHOSEN) + DAYS_AFTER_OWN)
    return tuple(today + timedelta(days=ahead) for ahead in range(first, last + 1))


def stands_there(item: Item, to: date) -> bool:
    """Tell whether a turn stands on a day already, so that there is nothing to move."""
    return item.open is not None and item.open.target == to


def settled_with(state: HouseholdState, item: Item, to: date) -> date | None:
    """Return the day of the next turn of a rule that is settled by doing this one on a day.

    Its window has begun by then, and one tick closes all that might be done.
    """
    chore, turn = item.chore, item.open
    if turn is None or not isinstance(chore.rhythm, Calendar) or chore.if_missed is IfMissed.EACH:
        return None
    following = _following(state, item, turn)
    if following is None or following - timedelta(days=early_days(chore)) > to:
        return None
    return following


def _following(state: HouseholdState, item: Item, turn: OpenTurn) -> date | None:
    """Return the day of the turn of a rule that comes after this one and those it settles."""
    nominal = date.fromisoformat(turn.turn.key)
    after = max(nominal, turn.closes_through or nominal, state.moment.day)
    return later_nominal(item.chore, state.history.of_chore(item.chore.id), after)


def _check_moved(state: HouseholdState, item: Item, to: date) -> None:
    """Refuse a day to which no turn can be moved, and the one on which it stands already."""
    today = state.moment.day
    if to < today and (item.is_open or stands_there(item, today)):
        raise UserFault("day_is_past", to=to, works=None)
    if item.is_open and to == today and not waits_for_its_day(state, item):
        raise UserFault("open_today", chore=item.chore.name)
    if to >= today and stands_there(item, to):
        raise UserFault("stands_there", chore=item.chore.name, to=to)
    _check_planned(state, to)


def _check_planned(state: HouseholdState, to: date) -> None:
    today = state.moment.day
    if to < today:
        raise UserFault("day_is_past", to=to, works=today)
    if to > today + FARTHEST_PLAN:
        raise UserFault("day_too_far", to=to, works=today + FARTHEST_PLAN)


def shift(desk: Desk, wanted: str, to: date, by: str | None = None) -> Moved:
    """Move a series from this turn on; for a counted chore the same as putting it off."""
    with desk.store.writing() as writing:
        state = desk.state_in(writing)
        item = _open_item(state, wanted)
        rhythm = item.chore.rhythm
        if isinstance(rhythm, Calendar):
            _check_planned(state, to)
            _check_shift(state, item, to)
        elif isinstance(rhythm, WhenWaterSays):
            check_put_off(state, item, to)
        else:
            _check_moved(state, item, to)
        moved = _write(desk, writing, state, item, Shift(item.turn, to), by)
    desk.tell(Change((moved.entry,)))
    return moved


def _check_shift(state: HouseholdState, item: Item, to: date) -> None:
    """Refuse a shift that the rule cannot follow."""
    was = date.fromisoformat(item.turn.key)
    rule = span_on(rule_spans(item.chore, state.history.of_chore(item.chore.id)), was)
    if rule is None:
        raise UserFault("not_a_date_of_the_rule", day=was, rule=item.chore.name)
    shift_rule(rule.text, rule.start, was, to)


def pause_chore(desk: Desk, wanted: str, until: date | None = None, by: str | None = None) -> Moved:
    """Pause a chore, named by its id or by one of its turns; time goes on meanwhile."""
    with desk.store.writing() as writing:
        state = desk.state_in(writing)
        item = _item(state, wanted)
        _check_until(state, until)
        fact = Pause(PauseMode.HOLD, item.chore.id, until)
        _refuse_same(_scope_pause(state, ("chore", item.chore.id)), until, item.chore.name)
        moved = _write(desk, writing, state, item, fact, by)
    desk.tell(Change((moved.entry,)))
    return moved


def pause_tank(desk: Desk, tank: Tank, until: date | None = None, by: str | None = None) -> Moved:
    """Pause a tank: its paused days do not count for what is counted from the last time."""
    with desk.store.writing() as writing:
        state = desk.state_in(writing)
        _check_until(state, until)
        _refuse_same(state.pause_of(tank), until, tank.name)
        moved = _write_tank(desk, writing, state, tank, Pause(PauseMode.FREEZE, None, until), by)
    desk.tell(Change((moved.entry,)))
    return moved


def resume_chore(desk: Desk, wanted: str, by: str | None = None) -> Moved:
    """End the pause of a chore; today is the first day that counts again."""
    with desk.store.writing() as writing:
        state = desk.state_in(writing)
        item = _item(state, wanted)
        if _scope_pause(state, ("chore", item.chore.id)) is None:
            tank = item.tank.name if item.tank is not None and item.paused is not None else None
            served = tuple(one.name for one in item.rests_with)
            raise UserFault("not_paused", name=item.chore.name, paused_tank=tank, served=served)
        moved = _write(desk, writing, state, item, Resume(item.chore.id), by)
    desk.tell(Change((moved.entry,)))
    return moved


def resume_tank(desk: Desk, tank: Tank, by: str | None = None) -> Moved:
    """End the pause of a tank."""
    with desk.store.writing() as writing:
        state = desk.state_in(writing)
        if tank.stage in DRY_STAGES:
            raise UserFault("rests_by_stage", name=tank.name, stage=tank.stage.value)
        if state.pause_of(tank) is None:
            raise UserFault("not_paused", name=tank.name, paused_tank=None)
        moved = _write_tank(desk, writing, state, tank, Resume(), by)
    desk.tell(Change((moved.entry,)))
    return moved


def _scope_pause(state: HouseholdState, scope: tuple[str, str]) -> Span | None:
    return pause_on(state.moment.day.toordinal(), state.spans.get(scope, []))


def _refuse_same(running: Span | None, until: date | None, name: str) -> None:
    if running is not None and running.until == until:
        raise UserFault("paused_already", name=name, until=until)


def _check_until(state: HouseholdState, until: date | None) -> None:
    if until is not None:
        _check_planned(state, until)


def _item(state: HouseholdState, wanted: str) -> Item:
    item = find_item(state, wanted) or find_item(state, wanted.split("@", 1)[0])
    if item is None:
        raise UserFault("no_such_turn", item=wanted, chore=wanted)
    return item


def _open_item(state: HouseholdState, wanted: str) -> Item:
    """Return a turn that can be moved: open today or still to come."""
    item = find_item(state, wanted)
    if item is None or item.open is None:
        raise UserFault("no_such_turn", item=wanted, chore=wanted.split("@", 1)[0])
    if item.entry is not None:
        code = "skipped_already" if item.state is State.SKIPPED else "done_already"
        raise UserFault(code, item=wanted, chore=item.chore.name)
    if item.state is State.PAUSED:
        raise UserFault("is_paused", chore=item.chore.name)
    return item


def _write(
    desk: Desk,
    writing: Writing,
    state: HouseholdState,
    item: Item,
    fact: Fact,
    by: str | None,
    note: str = "",
) -> Moved:
    at = moment_given(state, None)
    entry = writing.add(new_entry(desk, state, item.chore, at, by, (), fact, note))
    return Moved(item.chore, item.tank, entry)


def _write_tank(
    desk: Desk, writing: Writing, state: HouseholdState, tank: Tank, fact: Fact, by: str | None
) -> Moved:
    at = moment_given(state, None)
    entry = writing.add(new_entry(desk, state, None, at, by, (), fact, tank=tank.id))
    return Moved(None, tank, entry)
