"""Turns that the water decides: due when a computed limit is reached."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from tankkeeper.core.chores import Chore, WhenWaterSays
from tankkeeper.core.counted_turns import Base, put_off_to
from tankkeeper.core.logbook import Entry, PauseMode, Skip, Turn
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import Span, moved_by_pauses
from tankkeeper.core.turns import OpenTurn, state_on


class Limit(StrEnum):
    """What is reached first."""

    LEVEL = "level"
    SALINITY = "salinity"
    RESERVOIR = "reservoir"


@dataclass(frozen=True, slots=True)
class LimitForecast:
    """When a limit is reached if nobody acts; the mechanism for every water-driven chore.

    `base` is the entry that the forecast counts from, None when there is none yet. `latest_on` is
    the last day whose usual round still comes before the unfavourable 90 % moment `limit_at`;
    `median_on` the same for the expected moment. All three are None when the rate is not known.
    `can_repeat_on_base` tells that the base does not restore the state, so that the very same
    day may be due (litres left in a reservoir), unlike a fill to the mark.
    """

    base: Entry | None
    limit: Limit | None = None
    latest_on: date | None = None
    median_on: date | None = None
    limit_at: datetime | None = None
    can_repeat_on_base: bool = False


def water_turn(
    chore: Chore,
    entries: Sequence[Entry],
    pauses: Sequence[Span],
    moment: Moment,
    forecast: LimitForecast,
) -> OpenTurn | None:
    """Return the open or coming turn of a chore that the water decides, or None."""
    base = _base(chore, entries, forecast)
    target = _target(chore, base, forecast, moment)
    if target is None:
        return None
    postponed = put_off_to(chore, entries, base)
    if postponed is not None:
        target = postponed
    goal = _past_pauses(base, target, pauses)
    if goal is None:
        return None
    earliest = goal - chore.early_days
    return OpenTurn(
        turn=Turn(chore.id, base.key),
        earliest=date.fromordinal(max(1, earliest)),
        target=date.fromordinal(goal),
        latest=date.fromordinal(goal),
        state=state_on(moment.day.toordinal(), earliest, goal, goal),
        is_put_off=postponed is not None,
        counted_from=base.day,
    )


def _base(chore: Chore, entries: Sequence[Entry], forecast: LimitForecast) -> Base:
    """Return the newest of: what the forecast counts from, a completion, a skip."""
    base = Base()
    if forecast.base is not None:
        base = Base(forecast.base.day, forecast.base.at, forecast.base)
    for entry in entries:
        is_skip = isinstance(entry.fact, Skip) and entry.fact.turn.chore == chore.id
        if not (is_skip or entry.completes_chore(chore.id)):
            continue
        if (
            base.at is None
            or base.entry is None
            or (entry.at, entry.seq)
            > (
                base.at,
                base.entry.seq,
            )
        ):
            base = Base(entry.day, entry.at, entry)
    return base


def _target(
    chore: Chore,
    base: Base,
    forecast: LimitForecast,
    moment: Moment,
) -> date | None:
    """Return the day the limit and the bounds of the rhythm give."""
    if base.day is None:
        return max(moment.day, chore.first_due or moment.day)
    rhythm = chore.rhythm
    assert isinstance(rhythm, WhenWaterSays)
    target = forecast.latest_on
    if rhythm.max_days is not None:
        bound = base.day + timedelta(days=rhythm.max_days)
        target = bound if target is None else min(target, bound)
    if target is None:
        return moment.day if forecast.base is None else None
    if rhythm.min_days is not None:
        wished = base.day + timedelta(days=rhythm.min_days)
        target = max(target, min(wished, forecast.latest_on or wished))
    is_left_reading = forecast.can_repeat_on_base and base.entry is forecast.base
    return max(target, base.day if is_left_reading else base.day + timedelta(days=1))


def _past_pauses(base: Base, target: date, pauses: Sequence[Span]) -> int | None:
    """Return the target as an ordinal once pauses are over, or None while one has no end.

    A freeze means that nobody knows the level any more: the first day after it is due.
    """
    goal = target.toordinal()
    if not pauses:
        return goal
    since = base.day.toordinal() if base.day is not None else 0
    frozen = [
        span
        for span in pauses
        if span.mode is PauseMode.FREEZE and span.last >= since and span.first <= goal
    ]
    if frozen:
        last = max(frozen, key=lambda span: span.last)
        return None if last.is_open else last.last + 1
    return moved_by_pauses(since, goal, pauses)
