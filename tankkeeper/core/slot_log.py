"""What the log says about each slot of a calendar chore, and which of its days that settles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time

from tankkeeper.core.chores import Chore, IfMissed
from tankkeeper.core.days import parse_zone, slot_instant
from tankkeeper.core.early_days import early_days
from tankkeeper.core.logbook import Entry, PutOff, Skip, Turn
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import OPEN_END, Span, moved_by_pauses, pause_on, paused_around
from tankkeeper.core.rule_versions import RuleSpan, next_nominal, nominal_days, span_on


@dataclass(slots=True)
class SlotLog:
    """What happened to one slot; all days are ordinals.

    `completed` is the latest day it was done, `unkeyed` the days of completions that name no turn,
    in order of the log. `moved` holds the target of each turn that was put off, or that stood open
    when a pause began; `gathered` the day on which one was put off: turns up to it wait with it.
    """

    completed: int = 0
    skipped_through: int = 0
    skipped: set[int] = field(default_factory=set)
    moved: dict[int, int] = field(default_factory=dict)
    gathered: dict[int, int] = field(default_factory=dict)
    keyed: set[int] = field(default_factory=set)
    unkeyed: list[int] = field(default_factory=list)

    def target(self, nominal: int) -> int:
        """Return the target of a nominal day, what moved it heeded."""
        return self.moved.get(nominal, nominal)

    def is_put_off(self, nominal: int) -> bool:
        """Tell whether somebody put a turn off, and not only a pause."""
        return nominal in self.gathered and self.moved[nominal] != nominal


def read_log(
    chore: Chore,
    entries: Sequence[Entry],
    moment: Moment,
    spans: Sequence[RuleSpan],
    pauses: Sequence[Span],
) -> dict[time | None, SlotLog]:
    """Return what happened to each slot of a calendar chore."""
    slots = chore.slots
    logs: dict[time | None, SlotLog] = {slot: SlotLog() for slot in slots or (None,)}
    for entry in entries:
        for turn in entry.completes:
            # Work beside the turns does none, whatever rhythm or window comes later.
            if turn.chore == chore.id and not turn.is_part and not turn.is_beside:
                _note_done(logs[_slot_of(entry, turn, slots, moment)], entry, turn)
        fact = entry.fact
        if isinstance(fact, (Skip, PutOff)) and fact.turn.chore == chore.id:
            slot = _slot_of(entry, fact.turn, slots, moment)
            _note_moved(logs[slot], fact, entry.day.toordinal())
    for log in logs.values():
        if log.moved:
            _settle_moved(chore, log, spans, pauses)
        if pauses and chore.if_missed is not IfMissed.EXPIRE:
            _hold_open(chore, log, spans, pauses)
    return logs


def _slot_of(entry: Entry, turn: Turn, slots: Sequence[time], moment: Moment) -> time | None:
    """Return the slot an entry is for: the one it names, else the latest begun by then.

    The hour is read in the zone in which the entry was written.
    """
    if not slots:
        return None
    if turn.slot in slots:
        return turn.slot
    zone = parse_zone(entry.zone)

    def instant(slot: time) -> datetime:
        return slot_instant(entry.day, slot, zone, moment.day_begins)

    begun = [slot for slot in slots if instant(slot) <= entry.at]
    return max(begun, key=instant) if begun else min(slots, key=instant)


def _note_done(log: SlotLog, entry: Entry, turn: Turn) -> None:
    day = entry.day.toordinal()
    log.completed = max(log.completed, day)
    if turn.key[:1].isdigit():
        log.keyed.add(date.fromisoformat(turn.key).toordinal())
    else:
        log.unkeyed.append(day)


def _note_moved(log: SlotLog, fact: Skip | PutOff, said_on: int) -> None:
    if not fact.turn.key[:1].isdigit():
        return
    nominal = date.fromisoformat(fact.turn.key).toordinal()
    if isinstance(fact, PutOff):
        log.moved[nominal] = fact.to.toordinal()
        log.gathered[nominal] = said_on
        return
    log.skipped.add(nominal)
    if fact.counts_from is not None:
        log.skipped_through = max(log.skipped_through, fact.counts_from.toordinal())


def _settle_moved(
    chore: Chore, log: SlotLog, spans: Sequence[RuleSpan], pauses: Sequence[Span]
) -> None:
    """Forget turns that no rule yields any more, and bring targets out of pauses.

    A turn whose own day and whose new day both lie in a pause leaves no debt; one that was open
    before the pause is open again after it, unless it was done all the same.
    """
    is_each = chore.if_missed is IfMissed.EACH
    for nominal, target in list(log.moved.items()):
        if span_on(spans, date.fromordinal(nominal)) is None:
            del log.moved[nominal], log.gathered[nominal]
            continue
        is_done = nominal in log.keyed or (
            target - early_days(chore) <= log.completed and not is_each
        )
        if pauses and not is_done and pause_on(target, pauses) is not None:
            around = paused_around(nominal, pauses)
            if around is not None and nominal - early_days(chore) > around[0]:
                log.skipped.add(nominal)
            after = moved_by_pauses(target, target, pauses)
            log.moved[nominal] = target if after is None else after


def _hold_open(
    chore: Chore, log: SlotLog, spans: Sequence[RuleSpan], pauses: Sequence[Span]
) -> None:
    """Let turns that stood open when a pause began stand again on the day after it.

    Unless the next one comes on that day, which takes its place. A day of the rule within the
    pause whose window had not begun leaves no debt.
    """
    early, is_each = early_days(chore), chore.if_missed is IfMissed.EACH
    recent = [span for span in pauses if is_each or span.last > log.completed]
    for first, last in sorted({_around(span, pauses) for span in recent}):
        after = last + 1
        if last >= OPEN_END or next_nominal(spans, after) == after:
            continue
        for nominal in nominal_days(spans, first, min(last, first + early)):
            is_done = not is_each and nominal - early <= log.completed
            if nominal not in log.moved and not is_done:
                log.moved[nominal] = after


def _around(span: Span, pauses: Sequence[Span]) -> tuple[int, int]:
    around = paused_around(span.first, pauses)
    assert around is not None
    return around


def is_closed(log: SlotLog, nominal: int, chore: Chore) -> bool:
    """Tell whether a completion or a skip has settled this nominal day."""
    if nominal <= log.skipped_through or nominal in log.skipped or nominal in log.keyed:
        return True
    if chore.if_missed is IfMissed.EACH:
        return False
    if log.target(nominal) - early_days(chore) <= log.completed:
        return True
    return chore.if_missed is IfMissed.COLLAPSE and any(
        older < nominal <= said for older, said in log.gathered.items()
    )


def unresolved(
    chore: Chore,
    spans: Sequence[RuleSpan],
    log: SlotLog,
    pauses: Sequence[Span],
    first: int,
    last: int,
) -> list[int]:
    """Return the nominal days that nobody has settled, oldest first.

    Those whose own day, or the target they were put off to, lies from `first` to `last`.
    """
    is_each = chore.if_missed is IfMissed.EACH
    if not is_each:
        first = max(first, log.completed + early_days(chore) + 1)
    days = nominal_days(spans, max(first, log.skipped_through + 1), last)
    if log.moved:
        reached = (one for one, to in log.moved.items() if one <= last or to <= last)
        days = sorted({*days, *reached})
    elif not (log.skipped or pauses or is_each or any(key >= first for key in log.keyed)):
        return days
    days = [
        day
        for day in days
        if not is_closed(log, day, chore)
        and (day in log.moved or not pauses or pause_on(day, pauses) is None)
    ]
    return _without_unkeyed(chore, log, days) if is_each and log.unkeyed else days


def _without_unkeyed(chore: Chore, log: SlotLog, days: list[int]) -> list[int]:
    """Return what is left once each completion that names no turn has taken the oldest open."""
    left = list(days)
    for done_on in log.unkeyed:
        taken = next((day for day in left if log.target(day) - early_days(chore) <= done_on), None)
        if taken is not None:
            left.remove(taken)
    return left


def waiting_with(
    chore: Chore, spans: Sequence[RuleSpan], log: SlotLog, pauses: Sequence[Span], nominal: int
) -> list[int]:
    """Return the days that were missed when this turn was put off, and so wait with it."""
    said = log.gathered.get(nominal)
    if said is None or chore.if_missed is not IfMissed.COLLAPSE:
        return []
    return [
        day
        for day in nominal_days(spans, max(nominal, log.skipped_through) + 1, said)
        if day not in log.skipped
        and day not in log.keyed
        and day not in log.moved
        and day - early_days(chore) > log.completed
        and not (pauses and pause_on(day, pauses))
    ]
