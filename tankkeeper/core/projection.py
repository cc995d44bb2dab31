"""What comes in a span of days: work whose day has come is done today, all else on its target.

A calendar has what can wait on the last day until which it can; there it `waits` until that day.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, time, timedelta
from itertools import chain, islice, repeat, takewhile
from operator import itemgetter
from typing import NamedTuple

from tankkeeper.core.chores import (
    AfterLastDone,
    Calendar,
    Chore,
    IfMissed,
    WhenWaterSays,
)
from tankkeeper.core.counted_turns import Base, counts_hours, raw_target
from tankkeeper.core.early_days import early_days
from tankkeeper.core.logbook import Entry
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import Span, last_freeze, moved_by_pauses
from tankkeeper.core.rule_versions import RuleSpan, rule_spans
from tankkeeper.core.slot_log import SlotLog, read_log, unresolved
from tankkeeper.core.turns import ChoreState, OpenTurn
from tankkeeper.core.water_turns import Steps

MOST_TURNS = 5000
NO_STEPS = Steps()


class Projected(NamedTuple):
    """One turn that is expected: the ordinal of its target, its slot, and the moment if known."""

    day: int
    slot: time | None = None
    due_at: datetime | None = None
    key: str = ""
    is_put_off: bool = False


def project(
    state: ChoreState,
    entries: Sequence[Entry],
    pauses: Sequence[Span],
    moment: Moment,
    first: int,
    last: int,
    by_water: Steps = NO_STEPS,
    *,
    waits: bool = False,
) -> list[Projected]:
    """Return the turns of one chore whose target lies from `first` to `last`, after today.

    What is open already is none of them, even where it waits for its target on one of these days;
    only while the chore is paused it is. Of a chore that comes several times a day by the hour,
    also those still to come today.

    `by_water` are the days from one turn to the next of a chore that the water decides; None leaves
    it without further turns. What is open since a past day is done today, or `waits`.
    """
    rhythm, today = state.chore.rhythm, moment.day.toordinal()
    if isinstance(rhythm, AfterLastDone) and counts_hours(state.chore):
        step = timedelta(hours=rhythm.interval.count)
        return _hours_within(state, pauses, moment, step, max(first, today), last, waits=waits)
    first = max(first, today + 1)
    if first > last:
        return []
    if isinstance(rhythm, Calendar):
        found_days = _calendar(state, entries, pauses, moment, first, last, waits=waits)
        return found_days[:MOST_TURNS]
    begin = _first_turn(state, pauses, moment, waits=waits)
    found: Iterator[Projected]
    if isinstance(rhythm, WhenWaterSays):
        is_now = _stands_already(state) and begin is not None and begin.day == today
        found = _by_water(begin, pauses, by_water, by_water.now if is_now else None)
    elif isinstance(rhythm, AfterLastDone):
        found = _counted(state.chore, pauses, moment, begin)
    else:
        found = iter(() if begin is None else (begin,))
    if _stands_already(state):
        next(found, None)
    within = takewhile(lambda one: one.day <= last, islice(found, MOST_TURNS))
    return [one for one in within if one.day >= first]


def _stands_already(state: ChoreState) -> bool:
    """Tell whether the first turn is told as open work, and so is none of the expected ones."""
    return bool(state.open) and state.paused is None


def _first_turn(
    state: ChoreState, pauses: Sequence[Span], moment: Moment, *, waits: bool
) -> Projected | None:
    """Return the turn done first, on the day on which it is: what is open, else the coming one."""
    if state.open:
        turn = state.open[0]
        day = done_on(turn, pauses, moment, waits=waits)
        if day is None:
            return None
        return Projected(day, turn.turn.slot, key=turn.turn.key, is_put_off=turn.is_put_off)
    coming = state.upcoming
    if coming is None:
        return None
    day = coming.target.toordinal()
    slot, key = coming.turn.slot, coming.turn.key
    return Projected(day, slot, coming.due_at, key, coming.is_put_off)


def done_on(
    turn: OpenTurn, pauses: Sequence[Span], moment: Moment, *, waits: bool = False
) -> int | None:
    """Return the day on which an open turn is done: today, unless its target still lies ahead.

    Who puts work off to a day does it then, and what may be done early waits for its day; while a
    pause lasts nothing is done. Where it `waits`, what can is done on its last day.
    """
    today = moment.day.toordinal()
    soonest = moved_by_pauses(today, today, pauses) if pauses else today
    goal = turn.latest if waits and turn.waits_past_target(moment.day) else turn.target
    return None if soonest is None else max(soonest, goal.toordinal())


def _calendar(
    state: ChoreState,
    entries: Sequence[Entry],
    pauses: Sequence[Span],
    moment: Moment,
    first: int,
    last: int,
    *,
    waits: bool,
) -> list[Projected]:
    """Return the turns of all slots in order of their days, each done on its target."""
    chore = state.chore
    spans = rule_spans(chore, entries)
    if not spans:
        return []
    logs = read_log(chore, entries, moment, spans, pauses)
    # A turn done within its window may take the next one with it, so those are gone through.
    low = moment.day.toordinal() + 1 if early_days(chore) else first
    found: list[Projected] = []
    for slot in chore.slots or (None,):
        done_first = _open_of(state, slot, pauses, moment, waits=waits)
        log = logs[slot]
        if not (log.moved or early_days(chore) or done_first):
            days = unresolved(chore, spans, log, pauses, first, last)
            found += [Projected(day, slot) for day in days]
            continue
        targets = _targets(chore, spans, log, pauses, low, last)
        turns = list(_of_slot(chore, log, targets, slot, done_first))
        if _stands_already(state):
            turns = turns[len(done_first) :]
        found += [one for one in turns if first <= one.day <= last]
    return sorted(found, key=itemgetter(0)) if len(chore.slots) > 1 else found


def _open_of(
    state: ChoreState, slot: time | None, pauses: Sequence[Span], moment: Moment, *, waits: bool
) -> list[Projected]:
    """Return the open turns of a slot, each on the day on which it is done."""
    return [
        Projected(day, slot, key=one.turn.key, is_put_off=one.is_put_off)
        for one in state.open
        if one.turn.slot == slot and (day := done_on(one, pauses, moment, waits=waits)) is not None
    ]


def _of_slot(
    chore: Chore,
    log: SlotLog,
    targets: Sequence[tuple[int, int]],
    slot: time | None,
    done_first: Sequence[Projected],
) -> Iterator[Projected]:
    """Yield the turns of one slot; one that is done takes with it what might be done by then."""
    yield from done_first
    done_to = done_first[0].day if done_first else 0
    is_each, early = chore.if_missed is IfMissed.EACH, early_days(chore)
    gone = {one.key for one in done_first} if is_each else ()
    for target, nominal in targets:
        if not is_each and target - early <= done_to:
            continue
        done_to = target
        key = date.fromordinal(nominal).isoformat() if nominal in log.moved or gone else ""
        if key in gone:
            continue
        shown = key if nominal in log.moved else ""
        yield Projected(target, slot, key=shown, is_put_off=log.is_put_off(nominal))


def _targets(
    chore: Chore,
    spans: Sequence[RuleSpan],
    log: SlotLog,
    pauses: Sequence[Span],
    low: int,
    high: int,
) -> list[tuple[int, int]]:
    """Return the unsettled turns whose target lies from `low` to `high`, with their own day."""
    days = unresolved(chore, spans, log, pauses, low, high)
    if not log.moved:
        return [(day, day) for day in days]
    return sorted((to, day) for day in days if low <= (to := log.target(day)) <= high)


def _counted(
    chore: Chore, pauses: Sequence[Span], moment: Moment, begin: Projected | None
) -> Iterator[Projected]:
    """Yield the turns that follow one another by the interval, each done on its target."""
    turn = begin
    while turn is not None:
        yield turn
        done_on = date.fromordinal(turn.day)
        target = raw_target(chore, Base(done_on, moment.round_on(done_on)), moment)
        day = None if target is None else _moved(turn.day, target.toordinal(), pauses)
        ended = chore.ended_on is not None and day is not None and day > chore.ended_on.toordinal()
        turn = None if day is None or ended else Projected(day)


def _moved(base: int, target: int, pauses: Sequence[Span]) -> int | None:
    return moved_by_pauses(base, target, pauses) if pauses else target


def _hours_within(
    state: ChoreState,
    pauses: Sequence[Span],
    moment: Moment,
    step: timedelta,
    first: int,
    last: int,
    *,
    waits: bool,
) -> list[Projected]:
    """Return the turns by the hour from `first` to `last`; what is open now is none of them."""
    found = _by_hours(state, pauses, moment, step, waits=waits)
    if _stands_already(state):
        next(found, None)
    within = takewhile(lambda one: one.day <= last, islice(found, MOST_TURNS))
    return [one for one in within if one.day >= first]


def _by_hours(
    state: ChoreState, pauses: Sequence[Span], moment: Moment, step: timedelta, *, waits: bool
) -> Iterator[Projected]:
    """Yield the turns that follow one another by elapsed hours, each done when it is due."""
    turn, ended = _first_turn(state, pauses, moment, waits=waits), state.chore.ended_on
    if turn is not None and turn.due_at is None:
        is_today = turn.day == moment.day.toordinal()
        at = moment.now if is_today else moment.round_on(date.fromordinal(turn.day))
        due_at = state.open[0].due_at if state.open else None
        if due_at is not None:
            is_its_day = moment.day_of(due_at).toordinal() == turn.day
            at = due_at if is_its_day and due_at > moment.now else max(at, due_at)
        turn = turn._replace(due_at=at)
    while turn is not None and turn.due_at is not None:
        yield turn
        at = turn.due_at + step
        day = _moved(turn.day, moment.day_of(at).toordinal(), pauses)
        if day is None or (ended is not None and day > ended.toordinal()):
            return
        if day != moment.day_of(at).toordinal():
            at = moment.round_on(date.fromordinal(day))
        turn = Projected(day, due_at=at)


def _by_water(
    begin: Projected | None, pauses: Sequence[Span], steps: Steps, first: int | None
) -> Iterator[Projected]:
    """Yield the fills that follow one another; the day after a freeze is one whatever the step.

    `first` is the step from one that is done at this moment, None where it is as any other.
    """
    turn = begin
    own = () if first is None else (first,)
    for step in chain(own, steps.until_known, repeat(steps.then)):
        if turn is None:
            return
        yield turn
        if step is None:
            return
        freeze = last_freeze(pauses, turn.day)
        due = turn.day + step if freeze is None else freeze.last + 1
        day = None if freeze is not None and freeze.is_open else _moved(due, due, pauses)
        turn = None if day is None else Projected(day)
