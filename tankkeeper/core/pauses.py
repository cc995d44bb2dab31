"""Pauses of a chore, a tank or the household, as spans of days."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Final

from tankkeeper.core.chores import Chore
from tankkeeper.core.household import DRY_STAGES, Stage, Tank
from tankkeeper.core.logbook import Entry, How, Pause, PauseMode, Redefined, Resume
from tankkeeper.core.values import dataclass

OPEN_END: Final = date.max.toordinal()
SLEEPING_STAGES: Final = (Stage.PAUSED, *DRY_STAGES)

_LAYS_TO_REST: Final = (How.PAUSED, How.RETIRED)

Scope = tuple[str, str]
HOUSE: Final[Scope] = ("house", "")
# Of a chore: the days on which all rest that it makes something ready for.
SERVED: Final = "served"


@dataclass(frozen=True, slots=True)
class Span:
    """Days, as ordinals and both included, on which nothing counts."""

    first: int
    last: int
    mode: PauseMode

    @property
    def is_open(self) -> bool:
        """Whether it lasts until somebody resumes."""
        return self.last >= OPEN_END

    @property
    def until(self) -> date | None:
        """The last paused day, or None."""
        return None if self.is_open else date.fromordinal(self.last)


def scope_of(entry: Entry) -> Scope:
    """Return what a pause or a resume is about: a chore, a tank or the house."""
    fact = entry.fact
    if isinstance(fact, (Pause, Resume)) and fact.chore is not None:
        return ("chore", fact.chore)
    return ("tank", entry.tank) if entry.tank is not None else HOUSE


def pause_spans(pauses: Sequence[Entry], tanks: Iterable[Tank]) -> Mapping[Scope, list[Span]]:
    """Return the paused days of every scope; a later entry rules from its day on.

    Days on which a tank rested by its stage stay such once it runs again. No row from before it
    rests lets one go on, and of one that is planned or retired none at all.
    """
    asleep = {("tank", one.id): one for one in tanks if one.stage in SLEEPING_STAGES}
    spans = {scope: [_rest_of(tank)] for scope, tank in asleep.items()}
    # Which rest by a stage that the log tells of, and that no row let go on since.
    staged: set[Scope] = set()
    for entry in pauses:
        scope, day = scope_of(entry), entry.day.toordinal()
        rows = [_cut(span, day) for span in spans.get(scope, [])]
        kept = [span for span in rows if span.first <= span.last]
        spans[scope] = [*kept, *_told_by(entry, kept)]
        if isinstance(entry.fact, Redefined) and entry.fact.how in _LAYS_TO_REST:
            staged.add(scope)
        elif not isinstance(entry.fact, Pause):
            staged.discard(scope)
    for scope in staged - asleep.keys():
        # What runs by now went on in a way that no row tells.
        spans[scope] = [span for span in spans[scope] if not span.is_open]
    for scope, tank in asleep.items():
        rest = _rest_of(tank)
        if rest not in spans[scope] and not _may_be_woken(scope, tank, rest, pauses):
            spans[scope].append(rest)
    return spans


def _rest_of(tank: Tank) -> Span:
    """Return the days on which a tank rests by the stage that it is in."""
    since = tank.since.toordinal() if tank.since is not None else 1
    return Span(since, OPEN_END, PauseMode.FREEZE)


def _may_be_woken(scope: Scope, tank: Tank, rest: Span, pauses: Sequence[Entry]) -> bool:
    """Tell whether rows of the log rule over the stage: those since a tank is only paused."""
    return tank.stage not in DRY_STAGES and any(
        scope_of(one) == scope and one.day.toordinal() >= rest.first for one in pauses
    )


def _told_by(entry: Entry, before: Sequence[Span]) -> list[Span]:
    """Return the days on which something rests as an entry tells, after the spans before it."""
    fact, day = entry.fact, entry.day.toordinal()
    if isinstance(fact, Pause):
        last = fact.until.toordinal() if fact.until is not None else OPEN_END
        return [Span(day, last, fact.mode)] if last >= day else []
    if not isinstance(fact, Redefined):
        return []
    if fact.how in _LAYS_TO_REST:
        return [Span(day, OPEN_END, PauseMode.FREEZE)]
    # It goes on. No row may tell that the rest before began: it came so by a file, or planned.
    since = fact.rested_since
    if since is None or since.toordinal() >= day:
        return []
    rest = Span(since.toordinal(), day - 1, PauseMode.FREEZE)
    is_told = any(one.first <= rest.first and one.last >= rest.last for one in before)
    return [] if is_told else [rest]


def _cut(span: Span, day: int) -> Span:
    """Return the part of `span` before `day`."""
    return span if span.last < day else Span(span.first, day - 1, span.mode)


def spans_for(chore: Chore, spans: Mapping[Scope, list[Span]]) -> tuple[Span, ...]:
    """Return the spans in which `chore` is paused, in order of their first day."""
    if not spans:
        return ()
    found = spans.get(("chore", chore.id), []) + spans.get(HOUSE, [])
    found = found + spans.get((SERVED, chore.id), [])
    if chore.tank is not None:
        found = found + spans.get(("tank", chore.tank), [])
    return tuple(sorted(found, key=lambda span: (span.first, span.last)))


def pause_on(day: int, spans: Sequence[Span]) -> Span | None:
    """Return the span that lasts longest of those `day` lies in, or None."""
    inside = [span for span in spans if span.first <= day <= span.last]
    return max(inside, key=lambda span: span.last) if inside else None


def paused_around(day: int, spans: Sequence[Span]) -> tuple[int, int] | None:
    """Return the first and the last of the paused days without a gap that `day` is among."""
    here = pause_on(day, spans)
    if here is None:
        return None
    first, last = here.first, here.last
    reaches = True
    while reaches:
        met = [one for one in spans if one.first <= last + 1 and one.last >= first - 1]
        wide = min(one.first for one in met), max(one.last for one in met)
        reaches, (first, last) = wide != (first, last), wide
    return first, last


def window_begins(earliest: date, target: date, spans: Sequence[Span]) -> date:
    """Return the first day of a window: where that lies in a pause, the day after it."""
    first = earliest.toordinal()
    while (span := pause_on(first, spans)) is not None and not span.is_open:
        first = span.last + 1
    return min(date.fromordinal(first), target)


def last_freeze(spans: Sequence[Span], since: int) -> Span | None:
    """Return the freeze that ends last of those that reach `since` or a later day, or None."""
    frozen = [span for span in spans if span.mode is PauseMode.FREEZE and span.last >= since]
    return max(frozen, key=lambda span: span.last, default=None)


def moved_by_pauses(base: int, target: int, spans: Sequence[Span]) -> int | None:
    """Return where a target counted from `base` lands, or None while it cannot come.

    Frozen days after the base do not count; then a target inside a pause moves to the day after.
    """
    frozen_to = base
    for span in spans:
        if span.mode is not PauseMode.FREEZE or span.last <= frozen_to:
            continue
        first = max(span.first, frozen_to + 1)
        if first > target:
            break
        if span.is_open:
            return None
        target += span.last - first + 1
        frozen_to = span.last
    while (span_now := pause_on(target, spans)) is not None:
        if span_now.is_open:
            return None
        target = span_now.last + 1
    return target
