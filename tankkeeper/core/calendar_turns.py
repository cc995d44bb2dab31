"""Turns by the calendar: rules, slots, and what becomes of missed ones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from tankkeeper.core.chores import Calendar, Chore, IfMissed
from tankkeeper.core.logbook import Entry, PutOff, Shift, Skip, Turn
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import OPEN_END, Span, pause_on
from tankkeeper.core.recurrence import Rule, compile_rule
from tankkeeper.core.shifting import shift_rule
from tankkeeper.core.turns import OpenTurn, State, state_on

LOOK_AHEAD_DAYS = 12 * 366


@dataclass(frozen=True, slots=True)
class RuleSpan:
    """A compiled rule and the ordinals between which it holds."""

    first: int
    last: int
    text: str
    start: date
    rule: Rule


def rule_spans(chore: Chore, entries: Sequence[Entry]) -> list[RuleSpan]:
    """Return the rules of a chore in time order, earlier ones and shifts included."""
    spans: list[RuleSpan] = []
    for earlier in chore.earlier:
        if isinstance(earlier.rhythm, Calendar):
            _follow(spans, earlier.rhythm.rule, earlier.rhythm.start, earlier.valid_from)
    if isinstance(chore.rhythm, Calendar):
        begins = max(chore.rhythm.start, chore.valid_from or chore.rhythm.start)
        _follow(spans, chore.rhythm.rule, chore.rhythm.start, begins)
    for entry in entries:
        if isinstance(entry.fact, Shift) and spans and entry.fact.turn.key[:1].isdigit():
            was = date.fromisoformat(entry.fact.turn.key)
            text, start = shift_rule(spans[-1].text, spans[-1].start, was, entry.fact.to)
            _follow(spans, text, start, min(was, entry.fact.to))
    if chore.ended_on is not None and spans:
        last = spans[-1]
        spans[-1] = RuleSpan(
            last.first, chore.ended_on.toordinal(), last.text, last.start, last.rule
        )
    return spans


def _follow(spans: list[RuleSpan], text: str, start: date, valid_from: date) -> None:
    """Let a rule begin on `valid_from`, ending the one before it on the day before."""
    first = valid_from.toordinal()
    if spans:
        prior = spans[-1]
        spans[-1] = RuleSpan(prior.first, first - 1, prior.text, prior.start, prior.rule)
    spans.append(RuleSpan(first, OPEN_END, text, start, compile_rule(text, start)))


def nominal_days(spans: Sequence[RuleSpan], first: int, last: int) -> list[int]:
    """Return the ordinals that the rules yield from `first` to `last`, both included."""
    if len(spans) == 1:
        span = spans[0]
        return span.rule.days(max(first, span.first), min(last, span.last))
    days: list[int] = []
    for span in spans:
        if span.last >= first and span.first <= last:
            days += span.rule.days(max(first, span.first), min(last, span.last))
    return days


def next_nominal(spans: Sequence[RuleSpan], first: int) -> int | None:
    """Return the first ordinal on or after `first` that the rules yield, or None."""
    for span in spans:
        if span.last >= first:
            found = span.rule.first_on_or_after(max(first, span.first))
            if found is not None and found <= span.last:
                return found
    return None


@dataclass(slots=True)
class SlotLog:
    """What the log says about one slot of a calendar chore."""

    completed: int = 0
    skipped_through: int = 0
    skipped: set[int] | None = None
    moved: dict[int, int] | None = None
    gathered: dict[int, int] | None = None
    keyed: set[int] | None = None

    def target(self, nominal: int) -> int:
        """Return the target of a nominal day, a postponement heeded."""
        return self.moved.get(nominal, nominal) if self.moved else nominal


def slot_of(entry: Entry, turn: Turn, slots: Sequence[time], moment: Moment) -> time | None:
    """Return the slot an entry is for: the one it names, else the latest begun by then."""
    if turn.slot is not None or not slots:
        return turn.slot
    begun = [slot for slot in slots if moment.at(entry.day, slot) <= entry.at]
    return begun[-1] if begun else slots[0]


def read_log(chore: Chore, entries: Sequence[Entry], moment: Moment) -> dict[time | None, SlotLog]:
    """Return what happened to each slot of a calendar chore."""
    slots = chore.slots
    logs: dict[time | None, SlotLog] = {slot: SlotLog() for slot in slots or (None,)}
    for entry in entries:
        for turn in entry.completes:
            if turn.chore == chore.id:
                _note_done(logs, entry, turn, slot_of(entry, turn, slots, moment))
        fact = entry.fact
        if isinstance(fact, (Skip, PutOff)) and fact.turn.chore == chore.id:
            _note_moved(logs, fact, slot_of(entry, fact.turn, slots, moment), entry.day.toordinal())
    return logs


def _note_done(
    logs: dict[time | None, SlotLog], entry: Entry, turn: Turn, slot: time | None
) -> None:
    log = logs.setdefault(slot, SlotLog())
    log.completed = max(log.completed, entry.day.toordinal())
    if turn.key[:1].isdigit():
        log.keyed = (log.keyed or set()) | {date.fromisoformat(turn.key).toordinal()}


def _note_moved(
    logs: dict[time | None, SlotLog], fact: Skip | PutOff, slot: time | None, said_on: int
) -> None:
    if not fact.turn.key[:1].isdigit():
        return
    log, nominal = logs.setdefault(slot, SlotLog()), date.fromisoformat(fact.turn.key).toordinal()
    if isinstance(fact, PutOff):
        log.moved = {**(log.moved or {}), nominal: fact.to.toordinal()}
        log.gathered = {**(log.gathered or {}), nominal: said_on}
        return
    log.skipped = (log.skipped or set()) | {nominal}
    if fact.counts_from is not None:
        log.skipped_through = max(log.skipped_through, fact.counts_from.toordinal())


def _is_closed(log: SlotLog, nominal: int, early: int, policy: IfMissed) -> bool:
    """Tell whether a completion or a skip has settled this nominal day."""
    if nominal <= log.skipped_through or (log.skipped and nominal in log.skipped):
        return True
    if policy is IfMissed.EACH:
        return bool(log.keyed and nominal in log.keyed)
    if log.target(nominal) - early <= log.completed:
        return True
    return policy is IfMissed.COLLAPSE and _is_gathered(log, nominal)


def _is_gathered(log: SlotLog, nominal: int) -> bool:
    """Tell whether this turn waits with an older one that was put off, as one item."""
    return any(older < nominal <= said for older, said in (log.gathered or {}).items())


def unresolved(
    chore: Chore, spans: Sequence[RuleSpan], log: SlotLog, pauses: Sequence[Span], last: int
) -> list[int]:
    """Return the nominal days up to `last` that nobody has settled, oldest first."""
    if not spans:
        return []
    early, policy = chore.early_days, chore.if_missed
    first = spans[0].first
    if policy is not IfMissed.EACH:
        first = max(first, log.completed + early + 1)
    first = max(first, log.skipped_through + 1)
    days = nominal_days(spans, first, last)
    if log.moved:
        days = sorted({*days, *(n for n in log.moved if n <= last)})
    elif not (log.skipped or pauses or policy is IfMissed.EACH):
        return days
    return [
        day
        for day in days
        if not _is_closed(log, day, early, policy) and not (pauses and pause_on(day, pauses))
    ]


def calendar_turns(
    chore: Chore, entries: Sequence[Entry], pauses: Sequence[Span], moment: Moment
) -> Iterator[OpenTurn]:
    """Yield the open turns of a calendar chore, and for each slot the next one to come."""
    spans = rule_spans(chore, entries)
    logs = read_log(chore, entries, moment)
    for slot in chore.slots or (None,):
        log = logs[slot]
        ready = _ready_days(chore, spans, log, pauses, moment)
        ready = [day for day in ready if not _has_lapsed(chore, log, day, slot, moment)]
        yield from _open_turns(chore, log, ready, slot, moment)
        coming = _coming_day(chore, spans, log, pauses, moment, ready)
        if coming is not None:
            yield _turn(chore, log, coming, slot, moment)


def _ready_days(
    chore: Chore,
    spans: Sequence[RuleSpan],
    log: SlotLog,
    pauses: Sequence[Span],
    moment: Moment,
) -> list[int]:
    """Return the unresolved nominal days whose window has begun."""
    last = moment.day.toordinal() + chore.early_days
    days = unresolved(chore, spans, log, pauses, last)
    return [day for day in days if log.target(day) <= last] if log.moved else days


def _has_lapsed(
    chore: Chore, log: SlotLog, nominal: int, slot: time | None, moment: Moment
) -> bool:
    """Tell whether an expiring turn is past its latest day, or its slot past the next one."""
    if chore.if_missed is not IfMissed.EXPIRE:
        return False
    target, today = log.target(nominal), moment.day.toordinal()
    if slot is None:
        return target + chore.late_days < today
    if target != today:
        return target < today
    later = [other for other in chore.slots if other > slot and other >= moment.day_begins]
    if slot >= moment.day_begins:
        later += [other for other in chore.slots if other < moment.day_begins]
    return any(moment.at(moment.day, other) <= moment.now for other in later)


def _open_turns(
    chore: Chore, log: SlotLog, ready: list[int], slot: time | None, moment: Moment
) -> Iterator[OpenTurn]:
    """Yield what stands in the round for one slot, by the chore's policy for missed turns."""
    if not ready:
        return
    today = moment.day.toordinal()
    if chore.if_missed is IfMissed.EACH:
        yield from (_turn(chore, log, day, slot, moment) for day in ready)
        return
    reached = [day for day in ready if log.target(day) <= today]
    if chore.if_missed is IfMissed.EXPIRE:
        yield _turn(chore, log, reached[-1] if reached else ready[0], slot, moment)
        return
    oldest = min(ready, key=lambda day: (log.target(day), day)) if log.moved else ready[0]
    missed = max(0, len(reached) - 1)
    yield _turn(chore, log, oldest, slot, moment, missed, max(reached, default=oldest))


def _coming_day(
    chore: Chore,
    spans: Sequence[RuleSpan],
    log: SlotLog,
    pauses: Sequence[Span],
    moment: Moment,
    ready: Sequence[int],
) -> int | None:
    """Return the next nominal day whose window has not begun, or None."""
    today = moment.day.toordinal()
    day = next_nominal(spans, max(today, log.completed) + chore.early_days + 1)
    for _ in range(64):
        if day is None:
            break
        pause = pause_on(day, pauses) if pauses else None
        if pause is None and not _is_closed(log, day, chore.early_days, chore.if_missed):
            break
        day = next_nominal(spans, (pause.last if pause and not pause.is_open else day) + 1)
    moved = [
        nominal
        for nominal, target in (log.moved or {}).items()
        if target > today + chore.early_days
        and nominal not in ready
        and not _is_closed(log, nominal, chore.early_days, chore.if_missed)
    ]
    return min((*moved, *([] if day is None else [day])), key=log.target, default=None)


def _turn(
    chore: Chore,
    log: SlotLog,
    nominal: int,
    slot: time | None,
    moment: Moment,
    missed: int = 0,
    through: int | None = None,
) -> OpenTurn:
    target = log.target(nominal)
    day = date.fromordinal
    earliest, latest = target - chore.early_days, target + chore.late_days
    return OpenTurn(
        turn=Turn(chore.id, day(nominal).isoformat(), slot),
        earliest=day(earliest),
        target=day(target),
        latest=day(latest),
        state=state_on(moment.day.toordinal(), earliest, target, latest),
        missed=missed,
        due_at=due_moment(day(target), slot, moment),
        is_put_off=target != nominal,
        closes_through=None if through is None else day(through),
    )


def due_moment(target: date, slot: time | None, moment: Moment) -> datetime | None:
    """Return the instant a slot means on its target day, or None without a slot."""
    return None if slot is None else moment.at(target, slot)


def later_nominal(chore: Chore, entries: Sequence[Entry], after: date) -> date | None:
    """Return the first nominal day after `after` within the next twelve years, or None."""
    first = (after + timedelta(days=1)).toordinal()
    found = next_nominal(rule_spans(chore, entries), first)
    return None if found is None or found > first + LOOK_AHEAD_DAYS else date.fromordinal(found)


def is_ready(turn: OpenTurn) -> bool:
    """Tell whether a turn stands in the round, rather than ahead."""
    return turn.state is not State.PROJECTED
