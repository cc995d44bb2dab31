"""Turns by the calendar: rules, slots, and what becomes of missed ones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, time

from tankkeeper.core.chores import Chore, IfMissed
from tankkeeper.core.early_days import early_days
from tankkeeper.core.logbook import Entry, Turn
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import Span, pause_on
from tankkeeper.core.rule_versions import RuleSpan, next_nominal, rule_spans
from tankkeeper.core.slot_log import SlotLog, is_closed, read_log, unresolved, waiting_with
from tankkeeper.core.turns import OpenTurn, State, state_on
from tankkeeper.core.values import dataclass


@dataclass(frozen=True, slots=True)
class _Slot:
    """One slot of a chore with all that its turns follow from."""

    chore: Chore
    at: time | None
    spans: Sequence[RuleSpan]
    log: SlotLog
    pauses: Sequence[Span]
    moment: Moment

    @property
    def today(self) -> int:
        """The household's day as an ordinal."""
        return self.moment.day.toordinal()


def calendar_turns(
    chore: Chore, entries: Sequence[Entry], pauses: Sequence[Span], moment: Moment
) -> Iterator[OpenTurn]:
    """Yield the open turns of a calendar chore, and for each slot the next one to come."""
    spans = rule_spans(chore, entries)
    if not spans:
        return
    logs = read_log(chore, entries, moment, spans, pauses)
    for at in chore.slots or (None,):
        slot = _Slot(chore, at, spans, logs[at], pauses, moment)
        yield from _open_turns(slot, _ready_days(slot))
        coming = _coming_day(slot)
        if coming is not None:
            yield _turn(slot, coming)


def lapsed_today(
    chore: Chore, entries: Sequence[Entry], pauses: Sequence[Span], moment: Moment
) -> tuple[Turn, ...]:
    """Return the turns of today that lapsed at the next hour of the day, and nobody settled."""
    lapses = chore.if_missed is IfMissed.EXPIRE and len(chore.slots) > 1
    spans = rule_spans(chore, entries) if lapses and not chore.has_ended(moment.day) else ()
    if not spans:
        return ()
    logs = read_log(chore, entries, moment, spans, pauses)
    today, found = moment.day.toordinal(), []
    for at in chore.slots:
        slot = _Slot(chore, at, spans, logs[at], pauses, moment)
        for day in unresolved(chore, spans, slot.log, pauses, today, today):
            if slot.log.target(day) == today and _has_lapsed(slot, day):
                found.append(Turn(chore.id, date.fromordinal(day).isoformat(), at))
    return tuple(found)


def _ready_days(slot: _Slot) -> list[int]:
    """Return the unresolved nominal days whose window has begun and that have not lapsed."""
    chore, log, today = slot.chore, slot.log, slot.today
    first, last = slot.spans[0].first, today + early_days(chore)
    expires = chore.if_missed is IfMissed.EXPIRE
    if expires:
        first = max(first, today - (chore.late_days if slot.at is None else 0))
    days = unresolved(chore, slot.spans, log, slot.pauses, first, last)
    if log.moved:
        days = [day for day in days if log.target(day) <= last]
    return [day for day in days if not _has_lapsed(slot, day)] if expires else days


def _has_lapsed(slot: _Slot, nominal: int) -> bool:
    """Tell whether an expiring turn is past its latest day, or its slot past the next one."""
    chore, moment = slot.chore, slot.moment
    target, today = slot.log.target(nominal), slot.today
    if slot.at is None:
        return target + chore.late_days < today
    if target != today:
        return target < today
    begins = moment.day_begins
    place = (slot.at < begins, slot.at)
    later = [other for other in chore.slots if (other < begins, other) > place]
    return any(moment.at(moment.day, other) <= moment.now for other in later)


def _open_turns(slot: _Slot, ready: list[int]) -> Iterator[OpenTurn]:
    """Yield what stands in the round for one slot, by the chore's policy for missed turns."""
    if not ready:
        return
    log, policy = slot.log, slot.chore.if_missed
    if policy is IfMissed.EACH:
        yield from (_turn(slot, day) for day in ready)
        return
    reached = [day for day in ready if log.target(day) <= slot.today]
    if policy is IfMissed.EXPIRE:
        yield _turn(slot, reached[-1] if reached else ready[0])
        return
    oldest = min(ready, key=lambda day: (log.target(day), day)) if log.moved else ready[0]
    yield _turn(slot, oldest, reached or [oldest])


def _coming_day(slot: _Slot) -> int | None:
    """Return the next nominal day whose window has not begun, or None."""
    chore, log, pauses = slot.chore, slot.log, slot.pauses
    begun = slot.today + early_days(chore)
    after = max(begun, log.skipped_through)
    if chore.if_missed is not IfMissed.EACH:
        after = max(after, log.completed + early_days(chore))
    day = next_nominal(slot.spans, after + 1)
    while day is not None:
        if day in log.moved or is_closed(log, day, chore):
            day = next_nominal(slot.spans, day + 1)
            continue
        pause = pause_on(day, pauses) if pauses else None
        if pause is None:
            break
        day = None if pause.is_open else next_nominal(slot.spans, pause.last + 1)
    if not log.moved:
        return day
    moved = [
        nominal
        for nominal, target in log.moved.items()
        if target > begun and not is_closed(log, nominal, chore)
    ]
    return min((*moved, *([] if day is None else [day])), key=log.target, default=None)


def _turn(slot: _Slot, nominal: int, closes: Sequence[int] = ()) -> OpenTurn:
    """Return the turn of a nominal day; `closes` are the days that it settles with itself."""
    chore, log = slot.chore, slot.log
    target = log.target(nominal)
    day = date.fromordinal
    earliest, latest = target - early_days(chore), _latest(slot, nominal, target)
    if log.gathered:
        waiting = waiting_with(chore, slot.spans, log, slot.pauses, nominal)
        closes = sorted({nominal, *closes, *waiting}) if waiting else closes
    return OpenTurn(
        turn=Turn(chore.id, day(nominal).isoformat(), slot.at),
        earliest=day(max(1, earliest)),
        target=day(target),
        latest=day(latest),
        state=state_on(slot.today, earliest, target, latest),
        missed=max(0, len(closes) - 1),
        due_at=due_moment(day(target), slot.at, slot.moment),
        is_put_off=log.is_put_off(nominal),
        closes_through=day(max(closes)) if closes else None,
    )


def _latest(slot: _Slot, nominal: int, target: int) -> int:
    """Return the last day that a turn can wait until: one that lapses no longer than it stands.

    One that was put off waits no longer than until the next one. With a time of day it lapses on
    its own day, else at the latest as the next one comes.
    """
    chore = slot.chore
    latest = target + chore.late_days
    if nominal in slot.log.moved and nominal not in slot.log.gathered:
        # A pause gives no more time than it takes.
        return max(nominal + chore.late_days, target)
    if nominal in slot.log.moved and latest > target:
        # As far as it could be put off: the day on which the next one comes takes its place.
        after = max(nominal, slot.log.gathered[nominal])
        following = next_nominal(slot.spans, after + 1)
        latest = latest if following is None else min(latest, max(target, following - 1))
    if chore.if_missed is not IfMissed.EXPIRE or not chore.late_days:
        return latest
    stands = target
    if slot.at is None:
        following = next_nominal(slot.spans, nominal + 1)
        stands = latest if following is None else max(target, following - 1)
    # Where the next one was left out, it stands on.
    return min(latest, max(stands, slot.today))


def due_moment(target: date, slot: time | None, moment: Moment) -> datetime | None:
    """Return the instant a slot means on its target day, or None without a slot."""
    return None if slot is None else moment.at(target, slot)


def is_ready(turn: OpenTurn) -> bool:
    """Tell whether a turn stands in the round, rather than ahead."""
    return turn.state is not State.PROJECTED
