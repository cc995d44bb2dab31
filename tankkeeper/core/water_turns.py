"""Turns that the water decides: due when a computed limit is reached."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import NamedTuple

from tankkeeper.core.chores import Chore, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.counted_turns import Base, Postponed, is_skip_of, put_off_to
from tankkeeper.core.logbook import Entry, TopOff, Turn
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import Span, last_freeze, moved_by_pauses
from tankkeeper.core.reading_outlook import LEAST_READINGS, Ground, ReadingOutlook
from tankkeeper.core.turns import OpenTurn, state_on
from tankkeeper.core.values import dataclass


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
    `median_on` the same for the expected moment `likely_at`. By the favourable 90 % moment
    `surely_at` it is passed, None where the loss alone does not tell that. All of them are None
    when the rate is not known.
    `can_repeat_on_base` tells that the base does not restore the state, so that the very same
    day may be due (litres left in a reservoir), unlike a fill to the mark. `outlook` is what a
    reading's trend says, where that decides; `latest_on` is then the last day that suits the chore.
    `is_expected` tells that the rate is a guess so far, which no entry has measured.
    """

    base: Entry | None
    limit: Limit | None = None
    latest_on: date | None = None
    median_on: date | None = None
    limit_at: datetime | None = None
    can_repeat_on_base: bool = False
    outlook: ReadingOutlook | None = None
    is_expected: bool = False
    likely_at: datetime | None = None
    surely_at: datetime | None = None

    def is_likely_passed(self, now: datetime) -> bool:
        """Tell whether the limit is passed by what is expected."""
        return self.likely_at is not None and self.likely_at <= now

    def is_surely_passed(self, now: datetime) -> bool:
        """Tell whether the limit is passed for certain."""
        return self.surely_at is not None and self.surely_at <= now

    @property
    def waits_until(self) -> date | None:
        """The last day on which it is not late; of a reservoir by a guess, the expected day.

        The span of a guess is wide: a refill is asked for early, at its unfavourable end, but to
        call it late would be wrong most of the time before the middle (a choice of this project).
        What the animals can stand is not put at risk by a guess: there the unfavourable end holds.
        """
        if self.latest_on is None or self.median_on is None:
            return self.latest_on
        if not self.is_expected or self.limit is not Limit.RESERVOIR:
            return self.latest_on
        return max(self.latest_on, self.median_on)


def water_turn(
    chore: Chore,
    entries: Sequence[Entry],
    pauses: Sequence[Span],
    moment: Moment,
    forecast: LimitForecast,
) -> OpenTurn | None:
    """Return the open or coming turn of a chore that the water decides, or None."""
    base = _base(chore, entries, forecast)
    postponed = put_off_to(chore, entries, base)
    goal = _goal(chore, base, postponed, pauses, moment, forecast)
    is_put_off = postponed is not None and goal == postponed.to.toordinal()
    if goal is None or (chore.ended_on is not None and goal > chore.ended_on.toordinal()):
        return None
    # The rest of what was put in only in part follows the day after, not the same day.
    earliest = goal if is_part(base.entry) else goal - chore.early_days
    if base.day is not None and not (forecast.can_repeat_on_base and base.entry is forecast.base):
        # What was done today may not be done again at once, however wide the window.
        earliest = min(goal, max(earliest, base.day.toordinal() + 1))
    latest = goal if is_put_off else _latest(goal, base, pauses, forecast)
    return OpenTurn(
        turn=Turn(chore.id, base.key),
        earliest=date.fromordinal(max(1, earliest)),
        target=date.fromordinal(goal),
        latest=date.fromordinal(latest),
        state=state_on(moment.day.toordinal(), earliest, goal, latest),
        is_put_off=is_put_off,
        counted_from=base.day,
    )


def _latest(goal: int, base: Base, pauses: Sequence[Span], forecast: LimitForecast) -> int:
    """Return the last day on which a turn is not late: its target, unless a guess set that."""
    safe, waits = forecast.latest_on, forecast.waits_until
    if safe is None or waits is None or is_part(base.entry) or goal < safe.toordinal():
        return goal
    until = waits.toordinal()
    moved = moved_by_pauses(goal, until, pauses) if pauses else until
    return goal if moved is None else max(goal, moved)


def _base(chore: Chore, entries: Sequence[Entry], forecast: LimitForecast) -> Base:
    """Return the newest of: what the forecast counts from, a completion, a skip."""
    found = [
        entry for entry in entries if entry.completes_chore(chore.id) or is_skip_of(entry, chore.id)
    ]
    if forecast.base is not None:
        found.append(forecast.base)
    newest = max(found, key=lambda entry: (entry.at, entry.seq), default=None)
    return Base() if newest is None else Base(newest.day, newest.at, newest)


def _goal(
    chore: Chore,
    base: Base,
    postponed: Postponed | None,
    pauses: Sequence[Span],
    moment: Moment,
    forecast: LimitForecast,
) -> int | None:
    """Return the target as an ordinal, or None where nothing says it or a pause has no end.

    After a freeze nobody knows the level any more: the first day after it is due, until somebody
    puts that off.
    """
    since = base.day.toordinal() if base.day is not None else 0
    frozen = last_freeze(pauses, since) if _lasts_only_while_watched(chore) else None
    if frozen is not None and frozen.is_open:
        return None
    if postponed is not None and (frozen is None or postponed.said_on.toordinal() > frozen.last):
        goal = postponed.to.toordinal()
    elif frozen is not None:
        goal = frozen.last + 1
    else:
        target = _target(chore, base, forecast, moment)
        if target is None:
            return None
        goal = target.toordinal()
    return moved_by_pauses(goal, goal, pauses) if pauses else goal


def _target(
    chore: Chore,
    base: Base,
    forecast: LimitForecast,
    moment: Moment,
) -> date | None:
    """Return the day the limit and the bounds of the rhythm give."""
    if forecast.outlook is not None:
        return _by_outlook(chore, base, forecast, forecast.outlook, moment)
    rhythm = chore.rhythm
    assert isinstance(rhythm, WhenWaterSays)
    if base.day is None or base.entry is None:
        if chore.by_evaporation:
            # Never done yet, so it waits since the chore first asked for it, and is late then.
            return chore.first_due or chore.begun_on or moment.day
        return max(moment.day, chore.first_due or moment.day)
    day_after = base.day + timedelta(days=1)
    if is_part(base.entry):
        # Only a part went in, so that the salinity falls slowly; the rest follows.
        return day_after
    target = forecast.latest_on
    if rhythm.max_days is not None:
        bound = base.day + timedelta(days=rhythm.max_days)
        target = bound if target is None else min(target, bound)
    if target is None:
        return _while_unknown(chore, forecast, max(moment.day, day_after))
    if rhythm.min_days is not None:
        wished = base.day + timedelta(days=rhythm.min_days)
        target = max(target, min(wished, forecast.latest_on or wished))
    is_left_reading = forecast.can_repeat_on_base and base.entry is forecast.base
    return max(target, base.day if is_left_reading else day_after)


def _by_outlook(
    chore: Chore,
    base: Base,
    forecast: LimitForecast,
    outlook: ReadingOutlook,
    moment: Moment,
) -> date | None:
    """Return the day a reading's trend and the bounds give; those of a test are usual ones else.

    The least interval wins over the trend: a test or a change does not come sooner for being urgent
    than what the keeper thinks useful.
    """
    rhythm = chore.rhythm
    assert isinstance(rhythm, WhenWaterSays)
    least, most = days_between(chore, outlook)
    if base.day is None:
        if is_test(chore) or rhythm.max_days is not None:
            return max(moment.day, chore.first_due or moment.day)
        return forecast.latest_on
    bound = None if most is None else base.day + timedelta(days=most)
    target = forecast.latest_on
    if is_test(chore) and outlook.ground is Ground.UNREAD:
        target = base.day
    if target is None or (bound is not None and bound < target):
        target = bound
    return None if target is None else max(target, base.day + timedelta(days=least))


def is_test(chore: Chore) -> bool:
    """Tell whether doing the chore is itself the reading that its forecast waits for."""
    return chore.kind is ChoreKind.TEST


def days_between(chore: Chore, outlook: ReadingOutlook) -> tuple[int, int | None]:
    """Return the fewest and the most days from one turn to the next, None without a bound.

    A bound that the rhythm gives wins over the usual one of the parameter.
    """
    rhythm = chore.rhythm
    assert isinstance(rhythm, WhenWaterSays)
    least, most = rhythm.min_days, rhythm.max_days
    if not is_test(chore):
        return max(1, least or 1), most
    if least is None:
        least = outlook.least_days if most is None else min(outlook.least_days, most)
    if most is None:
        most = max(least, outlook.most_days)
    return max(1, least), most


def forecast_of(chore: Chore, outlook: ReadingOutlook, entries: Sequence[Entry]) -> LimitForecast:
    """Return the forecast for a chore that the trend of a reading decides.

    A test counts from the newest reading, and comes before the trend is told too coarsely; one that
    was late when the water was changed stays so. Other
    work counts from when it was done; a water change is part of the trend, but of what other work
    did to the water only a later reading tells.
    """
    if is_test(chore):
        outlook = outlook.before or outlook
        return LimitForecast(outlook.newest, latest_on=outlook.test_by, outlook=outlook)
    inside = outlook.inside_until
    if chore.kind is not ChoreKind.WATER_CHANGE and outlook.newest is not None:
        done = [(one.at, one.seq) for one in entries if one.completes_chore(chore.id)]
        if done and max(done) > (outlook.newest.at, outlook.newest.seq):
            inside = None
    return LimitForecast(None, latest_on=inside, outlook=outlook)


def limit_by_filling(
    chore: Chore, entries: Sequence[Entry], limit: LimitForecast, full_interval_days: int | None
) -> LimitForecast:
    """Return the forecast for a chore that evaporation decides, `limit` being that of its tank.

    Only fresh water moves that. Other work is none the more done for it: it counts from its own
    last time, by as many days as the water of the tank lasts from full.
    """
    if chore.is_done_by_filling:
        return limit
    own = LimitForecast(base=None)
    done = _base(chore, entries, own).day
    if done is None or full_interval_days is None:
        return own
    return LimitForecast(base=None, latest_on=done + timedelta(days=full_interval_days))


class Steps(NamedTuple):
    """The days from one turn to the next, None where nothing says them.

    `next` is from the last turn to the one to come, `until_known` those after it one by one, as
    long as a trend needs more readings, and `then` all that follow. `now` is from a turn that is
    open and done at this moment, None where that is as from any other.
    """

    next: int | None = None
    until_known: tuple[int, ...] = ()
    then: int | None = None
    now: int | None = None


def turn_steps(
    chore: Chore,
    forecast: LimitForecast,
    full_interval_days: int | None,
    days_from_now: int | None = None,
) -> Steps:
    """Return the days between the turns of a chore that the water decides.

    `full_interval_days` is how long the water of the tank lasts from full, `days_from_now` how many
    days that is to the last usual round where it is filled at this moment. While too few readings
    are there a test comes as soon as it may; what its trend will say is not known then, only that
    the longest interval brings it.
    """
    rhythm, outlook = chore.rhythm, forecast.outlook
    assert isinstance(rhythm, WhenWaterSays)
    if outlook is None:
        step = full_interval_days if chore.by_evaporation else None
        even = _bounded(step, 1, rhythm.max_days)
        now = _bounded(days_from_now, 1, rhythm.max_days) if chore.is_done_by_filling else None
        return Steps(even, (), even, None if step is None else now)
    least, most = days_between(chore, outlook)
    if not is_test(chore):
        even = _bounded(None, least, most)
        return Steps(even, (), even)
    if outlook.is_begun:
        # The turn to come is a reading, too.
        more = max(0, LEAST_READINGS - outlook.readings - 1)
        return Steps(least, (least,) * more, most)
    step = None
    if forecast.base is not None and forecast.latest_on is not None:
        step = (forecast.latest_on - forecast.base.day).days
    even = _bounded(step, least, most)
    return Steps(even, (), even)


def _bounded(step: int | None, least: int, most: int | None) -> int | None:
    step = most if step is None else step if most is None else min(step, most)
    return None if step is None else max(least, step)


def _lasts_only_while_watched(chore: Chore) -> bool:
    """Tell whether nobody knows any more where things stand once the tank stood still."""
    rhythm = chore.rhythm
    assert isinstance(rhythm, WhenWaterSays)
    return rhythm.condition is not Condition.FORECAST or is_test(chore)


def is_part(entry: Entry | None) -> bool:
    """Tell whether fresh water went in that did not reach the mark."""
    return entry is not None and isinstance(entry.fact, TopOff) and not entry.fact.to_mark


def _while_unknown(chore: Chore, forecast: LimitForecast, soonest: date) -> date | None:
    """Return the day while no limit is known: a tank never filled to its mark must be."""
    is_unfilled = chore.is_done_by_filling and forecast.base is None
    return soonest if is_unfilled else None
