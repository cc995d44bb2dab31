"""Turns counted from the last completion, by days, months, hours or seasons, and single days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from tankkeeper.core.chores import AfterLastDone, Chore, Once
from tankkeeper.core.intervals import IntervalUnit, advance, advance_with_seasons
from tankkeeper.core.logbook import AFTER, FIRST, Entry, PutOff, Shift, Skip, Turn
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import Span, moved_by_pauses
from tankkeeper.core.turns import OpenTurn, state_on


@dataclass(frozen=True, slots=True)
class Base:
    """What a counted chore goes on from: the day, the moment, and the entry that set it."""

    day: date | None = None
    at: datetime | None = None
    entry: Entry | None = None

    @property
    def key(self) -> str:
        """The key of the turn that follows."""
        return FIRST if self.entry is None else AFTER + self.entry.id


def base_of(chore: Chore, entries: Sequence[Entry], moment: Moment) -> Base:
    """Return the base of the open turn: the latest completion, or what a skip set."""
    base = Base()
    for entry in entries:
        day = _base_day(chore, entry, base, moment)
        if day is not None and (base.day is None or (day, entry.at) >= (base.day, base.at)):
            base = Base(day, entry.at, entry)
    return base


def _base_day(chore: Chore, entry: Entry, base: Base, moment: Moment) -> date | None:
    """Return the day from which `entry` lets the chore go on, or None."""
    if entry.completes_chore(chore.id):
        return entry.day
    if isinstance(entry.fact, Skip) and entry.fact.turn.chore == chore.id:
        if entry.fact.counts_from is not None:
            return entry.fact.counts_from
        return max(entry.day, raw_target(chore, base, moment) or entry.day)
    return None


def put_off_to(chore: Chore, entries: Sequence[Entry], base: Base) -> date | None:
    """Return the day to which the open turn was put off or shifted, or None."""
    to: date | None = None
    since = base.entry.seq if base.entry is not None else -1
    for entry in entries:
        fact = entry.fact
        if isinstance(fact, (PutOff, Shift)) and fact.turn.chore == chore.id:
            named = fact.turn.key.startswith((AFTER, FIRST))
            if fact.turn.key == base.key or (not named and entry.seq > since):
                to = fact.to
    return to


def raw_target(chore: Chore, base: Base, moment: Moment) -> date | None:
    """Return the target before postponements and pauses, or None when nothing says it."""
    rhythm = chore.rhythm
    if isinstance(rhythm, Once):
        return rhythm.on if base.day is None else None
    if not isinstance(rhythm, AfterLastDone):
        return None
    if base.day is None or base.at is None:
        return chore.first_due or chore.valid_from
    if rhythm.seasons:
        return advance_with_seasons(base.day, rhythm.interval, rhythm.seasons)
    if rhythm.interval.unit is IntervalUnit.HOURS:
        return moment.day_of(base.at + timedelta(hours=rhythm.interval.count))
    return advance(base.day, rhythm.interval)


def counted_turn(
    chore: Chore, entries: Sequence[Entry], pauses: Sequence[Span], moment: Moment
) -> OpenTurn | None:
    """Return the open or coming turn of a counted or single chore, or None."""
    base = base_of(chore, entries, moment)
    postponed = put_off_to(chore, entries, base)
    target = raw_target(chore, base, moment)
    if target is None or (chore.ended_on is not None and target > chore.ended_on):
        return None
    due_at = None
    if postponed is not None:
        target = postponed
    elif _counts_hours(chore) and base.at is not None and isinstance(chore.rhythm, AfterLastDone):
        due_at = base.at + timedelta(hours=chore.rhythm.interval.count)
    if pauses:
        from_day = base.day.toordinal() if base.day is not None else target.toordinal() - 1
        moved = moved_by_pauses(from_day, target.toordinal(), pauses)
        if moved is None:
            return None
        due_at = due_at if moved == target.toordinal() else None
        target = date.fromordinal(moved)
    return windowed(chore, base.key, target, moment, postponed is not None, due_at, base.day)


def _counts_hours(chore: Chore) -> bool:
    rhythm = chore.rhythm
    return isinstance(rhythm, AfterLastDone) and rhythm.interval.unit is IntervalUnit.HOURS


def windowed(
    chore: Chore,
    key: str,
    target: date,
    moment: Moment,
    is_put_off: bool = False,
    due_at: datetime | None = None,
    counted_from: date | None = None,
) -> OpenTurn:
    """Return the turn `key` with the chore's window around `target`."""
    goal = target.toordinal()
    earliest, latest = goal - chore.early_days, goal + chore.late_days
    return OpenTurn(
        turn=Turn(chore.id, key),
        earliest=date.fromordinal(max(1, earliest)),
        target=target,
        latest=date.fromordinal(latest),
        state=state_on(moment.day.toordinal(), earliest, goal, latest),
        due_at=due_at,
        is_put_off=is_put_off,
        counted_from=counted_from,
    )
