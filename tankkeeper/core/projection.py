"""What comes in a span of days when open work is done today and the rest on its target."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from tankkeeper.core.calendar_turns import nominal_days, read_log, rule_spans
from tankkeeper.core.chores import AfterLastDone, Calendar, WhenWaterSays
from tankkeeper.core.counted_turns import Base, raw_target
from tankkeeper.core.intervals import IntervalUnit
from tankkeeper.core.logbook import Entry
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import Span, moved_by_pauses, pause_on
from tankkeeper.core.turns import ChoreState

MOST_TURNS = 5000


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
    full_interval_days: int | None = None,
) -> list[Projected]:
    """Return the turns of one chore whose target lies from `first` to `last`, after today.

    `full_interval_days` is how long the water of its tank lasts from full, for chores that the
    water decides; None leaves those without further turns.
    """
    first = max(first, moment.day.toordinal() + 1)
    if first > last:
        return []
    rhythm = state.chore.rhythm
    if isinstance(rhythm, Calendar):
        return list(_calendar(state, entries, pauses, moment, first, last))
    if isinstance(rhythm, AfterLastDone):
        if rhythm.interval.unit is IntervalUnit.HOURS:
            return list(_by_hours(state, pauses, moment, first, last))
        return list(_counted(state, pauses, moment, first, last))
    if isinstance(rhythm, WhenWaterSays):
        step = _water_step(rhythm, full_interval_days)
        return list(_stepped(state, pauses, moment, first, last, step))
    upcoming = state.upcoming
    if upcoming is None or not first <= upcoming.target.toordinal() <= last:
        return []
    return [Projected(upcoming.target.toordinal(), key=upcoming.turn.key)]


def _calendar(
    state: ChoreState,
    entries: Sequence[Entry],
    pauses: Sequence[Span],
    moment: Moment,
    first: int,
    last: int,
) -> Iterator[Projected]:
    chore = state.chore
    spans = rule_spans(chore, entries)
    done_to = moment.day.toordinal() + chore.early_days if state.open else 0
    if not entries:
        for slot in chore.slots or (None,):
            for day in nominal_days(spans, max(first, done_to + 1), last):
                if not (pauses and pause_on(day, pauses)):
                    yield Projected(day, slot)
        return
    logs = read_log(chore, entries, moment)
    for slot in chore.slots or (None,):
        log = logs[slot]
        begin = max(first, done_to + 1, log.completed + chore.early_days + 1, log.skipped_through)
        days = nominal_days(spans, begin, last)
        if log.moved or log.skipped or pauses:
            gone = (log.skipped or set()) | set(log.moved or ())
            days = [day for day in days if day not in gone and not pause_on(day, pauses)]
            for nominal, target in (log.moved or {}).items():
                if first <= target <= last and target - chore.early_days > log.completed:
                    key = date.fromordinal(nominal).isoformat()
                    yield Projected(target, slot, key=key, is_put_off=True)
        for day in days:
            yield Projected(day, slot)


def _counted(
    state: ChoreState, pauses: Sequence[Span], moment: Moment, first: int, last: int
) -> Iterator[Projected]:
    """Yield the turns that follow one another by the interval, each done on its target."""
    chore = state.chore
    day, key = _start(state, moment)
    put_off = state.upcoming is not None and state.upcoming.is_put_off
    for _ in range(MOST_TURNS):
        if day is None or day > last:
            return
        if day >= first:
            yield Projected(day, key=key, is_put_off=put_off)
        key, put_off = "", False
        then = date.fromordinal(day)
        target = raw_target(chore, Base(then, moment.round_on(then)), moment)
        if target is None or (chore.ended_on is not None and target > chore.ended_on):
            return
        day = _moved(day, target.toordinal(), pauses)


def _start(state: ChoreState, moment: Moment) -> tuple[int | None, str]:
    """Return the day of the first turn to think of: today's open work, else the coming turn."""
    if state.open:
        return moment.day.toordinal(), ""
    if state.upcoming is not None:
        return state.upcoming.target.toordinal(), state.upcoming.turn.key
    return None, ""


def _moved(base: int, target: int, pauses: Sequence[Span]) -> int | None:
    return moved_by_pauses(base, target, pauses) if pauses else target


def _by_hours(
    state: ChoreState, pauses: Sequence[Span], moment: Moment, first: int, last: int
) -> Iterator[Projected]:
    rhythm = state.chore.rhythm
    assert isinstance(rhythm, AfterLastDone)
    step = timedelta(hours=rhythm.interval.count)
    at = moment.now + step if state.open else None
    if at is None and state.upcoming is not None:
        at = state.upcoming.due_at or moment.round_on(state.upcoming.target)
    for _ in range(MOST_TURNS):
        if at is None or (day := moment.day_of(at).toordinal()) > last:
            return
        if day >= first and not (pauses and pause_on(day, pauses)):
            yield Projected(day, due_at=at)
        at += step


def _water_step(rhythm: WhenWaterSays, full_interval_days: int | None) -> int | None:
    """Return the days from one fill to the next, the bounds of the rhythm heeded."""
    step = full_interval_days
    if rhythm.max_days is not None:
        step = rhythm.max_days if step is None else min(step, rhythm.max_days)
    return None if step is None else max(1, step)


def _stepped(
    state: ChoreState,
    pauses: Sequence[Span],
    moment: Moment,
    first: int,
    last: int,
    step: int | None,
) -> Iterator[Projected]:
    day, key = _start(state, moment)
    for _ in range(MOST_TURNS):
        if day is None or day > last:
            return
        if day >= first:
            yield Projected(day, key=key)
        if step is None:
            return
        key, day = "", _moved(day, day + step, pauses)
