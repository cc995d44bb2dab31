"""The turns of a chore that are expected, by the rhythm of today and by those that replace it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple

from tankkeeper.core.chores import Calendar, Chore, WhenWaterSays
from tankkeeper.core.counted_turns import Base, base_of, raw_target, windowed
from tankkeeper.core.pauses import moved_by_pauses, spans_for
from tankkeeper.core.projection import Projected, done_on, project
from tankkeeper.core.rhythm_ahead import parted
from tankkeeper.core.turns import ChoreState, OpenTurn
from tankkeeper.core.water_lost import last_round_before
from tankkeeper.core.water_turns import LimitForecast, Steps, turn_steps

if TYPE_CHECKING:
    from tankkeeper.core.state import HouseholdState

_DAY = timedelta(days=1)


class Part(NamedTuple):
    """A chore by one of its rhythms, what the water says of it, and the days between its turns."""

    chore: ChoreState
    limit: LimitForecast
    steps: Steps = Steps()


def projected_turns(
    state: HouseholdState, one: ChoreState, first: int, last: int, *, waits: bool = False
) -> list[tuple[Part, Projected]]:
    """Return the turns of a chore expected from `first` to `last` (ordinals), after today.

    Each comes with the rhythm that brings it: a chore may change its rhythm on a day to come. What
    is open since a past day is done today before them, or `waits` for its last day where it can.
    """
    return [
        (part, turn)
        for part in _parts_of(state, one, waits=waits)
        for turn in _of(state, part, first, last, waits=waits)
    ]


def _of(
    state: HouseholdState, part: Part, first: int, last: int, *, waits: bool
) -> list[Projected]:
    chore, moment = part.chore.chore, state.moment
    entries, pauses = state.history.of_chore(chore.id), spans_for(chore, state.spans)
    return project(part.chore, entries, pauses, moment, first, last, part.steps, waits=waits)


def _parts_of(state: HouseholdState, one: ChoreState, *, waits: bool) -> Iterator[Part]:
    """Yield a chore by the rhythm of today, then by each that takes its place."""
    limit = state.limit_of(one.chore)
    part = Part(one, limit, _steps(state, one.chore, limit))
    yield part
    base = base_of(one.chore, state.history.of_chore(one.chore.id), state.moment)
    while part.chore.later is not None and part.chore.chore.ended_on is not None:
        begins = part.chore.chore.ended_on + _DAY
        base = _base(state, part, begins, base, waits=waits)
        part = _next(state, part, begins, base)
        if part.chore.chore.has_ended(begins):
            return
        yield part


def _next(state: HouseholdState, before: Part, begins: date, base: Base) -> Part:
    """Return the part that begins on a day, with its first turn where the rhythm does not say it.

    Until then every turn counts as done on its day, as in all that is expected.
    """
    assert before.chore.later is not None
    chore, later = parted(before.chore.later, begins)
    limit = state.later_limits.get(chore.id, state.limit_of(chore))
    steps = _steps(state, chore, limit)
    upcoming = _first_of(state, chore, base, begins, steps.next)
    last_done = before.chore.last_done
    return Part(
        ChoreState(chore, upcoming=upcoming, last_done=last_done, later=later), limit, steps
    )


def _steps(state: HouseholdState, chore: Chore, limit: LimitForecast) -> Steps:
    """Return the days between the turns of a chore that the water decides."""
    if not isinstance(chore.rhythm, WhenWaterSays):
        return Steps()
    water = state.water_of(chore)
    if water is None or water.full_lasts_days is None:
        return turn_steps(chore, limit, None)
    moment = state.moment
    until = last_round_before(moment.now + timedelta(days=water.full_lasts_days), moment)
    return turn_steps(chore, limit, water.full_interval_days, (until - moment.day).days)


def _first_of(
    state: HouseholdState, chore: Chore, base: Base, begins: date, step: int | None
) -> OpenTurn | None:
    """Return the first turn of a rhythm that counts, after the last one of the rhythm before it."""
    if isinstance(chore.rhythm, Calendar):
        return None
    moment, pauses = state.moment, spans_for(chore, state.spans)
    if isinstance(chore.rhythm, WhenWaterSays):
        target = None if step is None or base.day is None else base.day + timedelta(days=step)
    else:
        target = raw_target(chore, base, moment)
    if target is None:
        return None
    goal = max(target, begins).toordinal()
    counted_from = goal - 1 if base.day is None else base.day.toordinal()
    moved = moved_by_pauses(counted_from, goal, pauses) if pauses else goal
    if moved is None or chore.has_ended(date.fromordinal(moved)):
        return None
    return windowed(chore, "", date.fromordinal(moved), moment, counted_from=base.day)


def _base(state: HouseholdState, before: Part, begins: date, base: Base, *, waits: bool) -> Base:
    """Return what the rhythm that begins on a day counts from: the last turn before that day.

    `base` is what the rhythm before it counted from.
    """
    moment, one = state.moment, before.chore
    pauses = spans_for(one.chore, state.spans)
    first, end = moment.day.toordinal(), begins.toordinal() - 1
    days = [turn.day for turn in _of(state, before, first, end, waits=waits)]
    if one.paused is None:
        done = (done_on(turn, pauses, moment, waits=waits) for turn in one.open)
        days += [day for day in done if day is not None and day <= end]
    if not days:
        return base
    last = date.fromordinal(max(days))
    return Base(last, moment.round_on(last))
