"""The rules that a calendar chore has had, one after another: edits and shifts of its series."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from tankkeeper.core.chore_ends import ends_with_its_turns
from tankkeeper.core.chores import Calendar, Chore
from tankkeeper.core.errors import UserFault
from tankkeeper.core.logbook import Entry, Shift
from tankkeeper.core.pauses import OPEN_END
from tankkeeper.core.recurrence import Rule, compile_rule
from tankkeeper.core.shifting import shift_rule
from tankkeeper.core.values import dataclass

LOOK_AHEAD_DAYS = 12 * 366


@dataclass(frozen=True, slots=True)
class RuleSpan:
    """A compiled rule and the ordinals between which it holds."""

    first: int
    last: int
    text: str
    start: date
    rule: Rule

    def until(self, last: int) -> RuleSpan:
        """Return the same rule, ended on `last` at the latest."""
        if last >= self.last:
            return self
        return RuleSpan(self.first, last, self.text, self.start, self.rule)


def rule_spans(chore: Chore, entries: Sequence[Entry]) -> list[RuleSpan]:
    """Return the rules of a chore in time order, earlier ones and shifts included."""
    spans = _versions(chore)
    for entry in entries:
        fact = entry.fact
        if isinstance(fact, Shift) and fact.turn.chore == chore.id and fact.turn.key[:1].isdigit():
            spans = _shifted(spans, date.fromisoformat(fact.turn.key), fact.to)
    # Where it ends with its turns, one that is moved to a later day is still one of them.
    if chore.ended_on is not None and not ends_with_its_turns(chore):
        ended = chore.ended_on.toordinal()
        spans = [span.until(ended) for span in spans]
    return spans if len(spans) == 1 else [span for span in spans if span.first <= span.last]


def _versions(chore: Chore) -> list[RuleSpan]:
    """Return the rules as they were set down, each ending where the next rhythm begins."""
    rhythm = chore.rhythm
    if not chore.earlier and isinstance(rhythm, Calendar):
        begins = chore.valid_from or rhythm.start
        return [_span(rhythm, begins.toordinal(), OPEN_END)]
    rows = sorted(((one.valid_from, one.rhythm) for one in chore.earlier), key=lambda row: row[0])
    if isinstance(rhythm, Calendar):
        rows.append((chore.valid_from or rhythm.start, rhythm))
    elif chore.valid_from is not None:
        rows.append((chore.valid_from, rhythm))
    ends = [begins.toordinal() - 1 for begins, _ in rows[1:]]
    return [
        _span(one, begins.toordinal(), end)
        for (begins, one), end in zip(rows, [*ends, OPEN_END], strict=True)
        if isinstance(one, Calendar)
    ]


def _span(rhythm: Calendar, first: int, last: int) -> RuleSpan:
    return RuleSpan(first, last, rhythm.rule, rhythm.start, compile_rule(rhythm.rule, rhythm.start))


def span_on(spans: Sequence[RuleSpan], day: date) -> RuleSpan | None:
    """Return the rule that yields `day`, or None."""
    ordinal = day.toordinal()
    for span in spans:
        if span.first <= ordinal <= span.last and span.rule.has(ordinal):
            return span
    return None


def _shifted(spans: Sequence[RuleSpan], was: date, to: date) -> list[RuleSpan]:
    """Return the rules with the series moved from `was` on, as long as its version lasts.

    A shift of a day that no rule yields any more, since the rule was edited in its place, moves
    nothing.
    """
    moved = span_on(spans, was)
    if moved is None:
        return list(spans)
    try:
        text, start = shift_rule(moved.text, moved.start, was, to)
    except UserFault:
        return list(spans)
    first = min(was, to).toordinal()
    shifted = RuleSpan(first, moved.last, text, start, compile_rule(text, start))
    before = [span.until(first - 1) for span in spans if span.first <= moved.first]
    return [*before, shifted, *(span for span in spans if span.first > moved.first)]


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


def later_nominal(chore: Chore, entries: Sequence[Entry], after: date) -> date | None:
    """Return the first nominal day after `after` within the next twelve years, or None."""
    first = (after + timedelta(days=1)).toordinal()
    found = next_nominal(rule_spans(chore, entries), first)
    return None if found is None or found > first + LOOK_AHEAD_DAYS else date.fromordinal(found)
