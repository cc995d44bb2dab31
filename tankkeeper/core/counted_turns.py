"""Turns counted from the last completion, by days, months, hours or seasons, and single days."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from tankkeeper.core.chores import AfterLastDone, Calendar, Chore, Once, Rhythm
from tankkeeper.core.early_days import early_days
from tankkeeper.core.intervals import IntervalUnit, advance, advance_with_seasons
from tankkeeper.core.logbook import AFTER, FIRST, Entry, PutOff, Shift, Skip, Turn
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import Span, moved_by_pauses
from tankkeeper.core.recurrence import compile_rule
from tankkeeper.core.turns import OpenTurn, state_on
from tankkeeper.core.values import dataclass

_DAY = timedelta(days=1)


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


class Postponed(NamedTuple):
    """The day to which a turn was put off, and the day on which that was said."""

    to: date
    said_on: date


def _when(entry: Entry) -> tuple[date, datetime, int]:
    return entry.day, entry.at, entry.seq


def is_skip_of(entry: Entry, chore: str) -> bool:
    """Tell whether `entry` leaves out a turn of `chore`."""
    return isinstance(entry.fact, Skip) and entry.fact.turn.chore == chore


def base_of(chore: Chore, entries: Sequence[Entry], moment: Moment) -> Base:
    """Return the base of the open turn: the latest completion, or what a later skip set.

    What happened decides, not the order in which it was written down.
    """
    done = [one for one in entries if one.completes_chore(chore.id)]
    newest = max(done, key=_when, default=None)
    base = Base() if newest is None else Base(newest.day, newest.at, newest)
    skips = [one for one in entries if is_skip_of(one, chore.id)]
    for skip in sorted(skips, key=_when):
        if newest is None or _when(skip) > _when(newest):
            base = _skipped(chore, entries, base, skip, moment)
    return base


def _skipped(
    chore: Chore, entries: Sequence[Entry], base: Base, skip: Entry, moment: Moment
) -> Base:
    """Return what a chore goes on from after a skip: its target, or the skip if that is later."""
    assert isinstance(skip.fact, Skip)
    postponed = put_off_to(chore, entries, base)
    target = raw_target(chore, base, moment) if postponed is None else postponed.to
    day = skip.fact.counts_from or max(skip.day, target or skip.day)
    if not counts_hours(chore):
        return Base(day, skip.at, skip)
    due_at = due_after(chore, base) if postponed is None else None
    at = max(skip.at, due_at or moment.round_on(day))
    return Base(moment.day_of(at), at, skip)


def put_off_to(chore: Chore, entries: Sequence[Entry], base: Base) -> Postponed | None:
    """Return the day to which the open turn was put off or shifted, or None."""
    to: Postponed | None = None
    since = base.entry.seq if base.entry is not None else -1
    for entry in entries:
        fact = entry.fact
        if isinstance(fact, (PutOff, Shift)) and fact.turn.chore == chore.id:
            named = fact.turn.key.startswith((AFTER, FIRST))
            if fact.turn.key == base.key or (not named and entry.seq > since):
                to = Postponed(fact.to, entry.day)
    return to


def raw_target(chore: Chore, base: Base, moment: Moment) -> date | None:
    """Return the target before postponements and pauses, or None once a single day is settled.

    Never done and without a first day, it is due today. A rhythm asks for nothing before the day
    on which it begins; what was late by the rhythm before it stays as late, and a single day that
    was open before it stays open.
    """
    target = _target_by(chore.rhythm, chore, base, moment)
    begins = chore.valid_from
    kept = _single_day_before(chore, base)
    if kept is not None:
        return kept
    if target is None or begins is None or target >= begins:
        return target
    if isinstance(chore.rhythm, Once) and target + timedelta(days=chore.late_days) >= begins:
        # It may still wait, and is known by its day.
        return target
    if base.day is None and not chore.earlier:
        return begins
    before = _due_before(chore, base, moment)
    return begins if before is None else max(target, min(begins, before))


def _single_day_before(chore: Chore, base: Base) -> date | None:
    """Return the single day that went before a counted rhythm and is not done, None for others."""
    begins = chore.valid_from
    if not chore.earlier or begins is None or not isinstance(chore.rhythm, AfterLastDone):
        return None
    last = max(chore.earlier, key=lambda one: one.valid_from).rhythm
    if not isinstance(last, Once) or last.on >= begins or _is_settled(last, chore, base):
        return None
    return last.on


def _due_before(chore: Chore, base: Base, moment: Moment) -> date | None:
    """Return the target by the rhythm before the present one, None where there is none."""
    if not chore.earlier:
        return None
    last = max(chore.earlier, key=lambda one: one.valid_from)
    if not isinstance(last.rhythm, Calendar):
        target = _target_by(last.rhythm, chore, base, moment)
        return target if target is None else max(target, last.valid_from)
    first = last.valid_from if base.day is None else max(last.valid_from, base.day + _DAY)
    found = compile_rule(last.rhythm.rule, last.rhythm.start).first_on_or_after(first.toordinal())
    return None if found is None else date.fromordinal(found)


def _target_by(rhythm: Rhythm, chore: Chore, base: Base, moment: Moment) -> date | None:
    """Return the target by a rhythm that is or was the chore's."""
    if isinstance(rhythm, Once):
        return None if _is_settled(rhythm, chore, base) else rhythm.on
    if not isinstance(rhythm, AfterLastDone):
        return None
    if base.day is None or base.at is None:
        return chore.first_due or chore.valid_from or moment.day
    if rhythm.seasons:
        return advance_with_seasons(base.day, rhythm.interval, rhythm.seasons)
    if rhythm.interval.unit is IntervalUnit.HOURS:
        return moment.day_of(base.at + timedelta(hours=rhythm.interval.count))
    return advance(base.day, rhythm.interval)


def _is_settled(rhythm: Once, chore: Chore, base: Base) -> bool:
    """Tell whether a single day is done or left out for good.

    What was done while the chore still came by another rhythm is none of it, unless that was
    within the window of the day.
    """
    if base.day is None:
        return False
    if not chore.earlier or chore.valid_from is None or base.day > chore.valid_from:
        return True
    return base.day >= rhythm.on - timedelta(days=early_days(chore))


def counts_hours(chore: Chore) -> bool:
    """Tell whether a chore counts elapsed hours instead of days."""
    rhythm = chore.rhythm
    return isinstance(rhythm, AfterLastDone) and rhythm.interval.unit is IntervalUnit.HOURS


def due_after(chore: Chore, base: Base) -> datetime | None:
    """Return the moment at which a chore that counts hours is due after its base, else None."""
    rhythm = chore.rhythm
    if base.at is None or not isinstance(rhythm, AfterLastDone) or not counts_hours(chore):
        return None
    return base.at + timedelta(hours=rhythm.interval.count)


def counted_turn(
    chore: Chore, entries: Sequence[Entry], pauses: Sequence[Span], moment: Moment
) -> OpenTurn | None:
    """Return the open or coming turn of a counted or single chore, or None."""
    base = base_of(chore, entries, moment)
    target = raw_target(chore, base, moment)
    if target is None:
        return None
    postponed = put_off_to(chore, entries, base)
    due_at = due_after(chore, base) if postponed is None else None
    if due_at is not None and moment.day_of(due_at) != target:
        due_at = None
    if postponed is not None:
        target = postponed.to
    if pauses:
        counted_from = _pauses_count_from(base, target, postponed)
        moved = moved_by_pauses(counted_from, target.toordinal(), pauses)
        if moved is None:
            return None
        due_at = due_at if moved == target.toordinal() else None
        target = date.fromordinal(moved)
    if chore.has_ended(target):
        return None
    return windowed(chore, base.key, target, moment, postponed is not None, due_at, base.day)


def _pauses_count_from(base: Base, target: date, postponed: Postponed | None) -> int:
    """Return the day after which frozen days move the target.

    Who puts a turn off names a day on the calendar, so only pauses begun since then move it.
    """
    if postponed is not None:
        said = postponed.said_on.toordinal() - 1
        return said if base.day is None else max(said, base.day.toordinal())
    return target.toordinal() - 1 if base.day is None else base.day.toordinal()


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
    earliest, latest = goal - early_days(chore), goal + chore.late_days
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
