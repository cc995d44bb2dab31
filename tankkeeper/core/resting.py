"""Chores that make water ready rest while every tank that takes it rests."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Final

from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.household import Household, Tank
from tankkeeper.core.logbook import PauseMode
from tankkeeper.core.making_ready import MAKING_READY, served
from tankkeeper.core.pauses import SERVED, Scope, Span, pause_on

_TOPPED_OFF: Final = frozenset({ChoreKind.TOP_OFF, ChoreKind.RESERVOIR})


def with_served(
    spans: Mapping[Scope, list[Span]], household: Household, on: date
) -> Mapping[Scope, list[Span]]:
    """Return the paused days with those on which nothing takes what a household chore makes."""
    found = dict(spans)
    for prep in household.chores:
        tanks = _takers(prep, household, on) if spans else ()
        shared = _shared([spans.get(("tank", one.id), []) for one in tanks])
        if shared:
            found[SERVED, prep.id] = shared
    return found


def rests_with(
    chore: Chore, household: Household, spans: Mapping[Scope, list[Span]], on: date
) -> tuple[Tank, ...]:
    """Return the tanks that would take what a chore makes and all rest, none where one runs."""
    resting = pause_on(on.toordinal(), spans.get((SERVED, chore.id), []))
    return _takers(chore, household, on) if resting is not None else ()


def _takers(prep: Chore, household: Household, on: date) -> tuple[Tank, ...]:
    """Return the tanks that take what a chore of the household makes; none where nobody can tell.

    Fresh water is taken by what is topped off, too.
    """
    if prep.kind not in MAKING_READY or prep.tank is not None:
        return ()
    changes = served(prep, household.chores, on)
    if not changes:
        return ()
    work = list(changes)
    if prep.kind is ChoreKind.MAKE_FRESH_WATER:
        work += [
            one for one in household.chores if one.kind in _TOPPED_OFF and not one.has_ended(on)
        ]
    ids = {one.tank for one in work}
    if None in ids:
        return ()
    return tuple(one for one in household.tanks if one.id in ids)


def _shared(found: Sequence[Sequence[Span]]) -> list[Span]:
    """Return the days that lie in a span of each; they count on where they do for one of them."""
    if not found:
        return []
    shared = list(found[0])
    for more in found[1:]:
        shared = [
            Span(first, last, mode)
            for one in shared
            for two in more
            if (first := max(one.first, two.first)) <= (last := min(one.last, two.last))
            for mode in [one.mode if one.mode is two.mode else PauseMode.HOLD]
        ]
    return shared
