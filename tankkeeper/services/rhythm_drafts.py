"""Rhythms as a person sets them down: a few plain ways, and the rule each of them stands for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, time
from enum import StrEnum
from typing import TypeVar

from tankkeeper.core.chores import (
    AfterLastDone,
    Calendar,
    Condition,
    Once,
    Rhythm,
    WhenWaterSays,
)
from tankkeeper.core.errors import UserFault, check_within
from tankkeeper.core.intervals import Interval, IntervalUnit, Season, check_seasons
from tankkeeper.core.limits import EARLIEST_AT, PLANNED_AHEAD
from tankkeeper.core.monthend import month_day_rule
from tankkeeper.core.recurrence import compile_rule
from tankkeeper.core.rule_text import INTERVAL_LIMIT, WEEKDAYS, Freq, RuleParts, parse_rule
from tankkeeper.core.values import dataclass

T = TypeVar("T")

LAST = -1
_SHORTEST_MONTH = 28


class Way(StrEnum):
    """The ways in which a chore can recur, in the words of the editor."""

    AFTER_DONE = "after it was last done"
    DAYS = "every so many days"
    WEEKDAYS = "on days of the week"
    MONTH_DAYS = "on days of the month"
    MONTH_WEEKDAY = "on a weekday of the month"
    YEAR = "on a day of the year"
    WATER = "when enough water has evaporated"
    FORECAST = "before a reading leaves its range"
    STOCK = "when a supply runs low"
    ONCE = "once"
    RULE = "by a rule of its own"


@dataclass(frozen=True, slots=True)
class RhythmDraft:
    """A rhythm taken apart into what a person can set; what its way does not ask for is ignored.

    `count` is of `unit` for AFTER_DONE, else of days, weeks, months or years. `month_days` holds
    1 to 31, and -1 for the last. `place` is the 1st to 4th or the last weekday. `of` is the
    parameter that is foreseen, `supply` what runs low. `rule` stands for what no other way can say.
    """

    way: Way = Way.AFTER_DONE
    count: int | None = 7
    unit: IntervalUnit = IntervalUnit.DAYS
    seasons: tuple[Season, ...] = ()
    weekdays: tuple[int, ...] = ()
    month_days: tuple[int, ...] = ()
    place: int = 1
    weekday: int = 0
    month: int = 1
    day: int | None = 1
    slots: tuple[time, ...] = ()
    start: date | None = None
    of: str | None = None
    supply: str | None = None
    min_days: int | None = None
    max_days: int | None = None
    rule: str = ""


def rhythm_of(draft: RhythmDraft, today: date) -> Rhythm:
    """Return the rhythm that a draft stands for, or refuse what it lacks at its field."""
    way = draft.way
    if way is Way.AFTER_DONE:
        count = _needed("count", draft.count)
        interval = _at("count", lambda: Interval(count, draft.unit))
        _at("seasons", lambda: check_seasons(interval, draft.seasons))
        return AfterLastDone(interval, draft.seasons)
    if way not in _CONDITIONS:
        _check_start(draft.start, today)
    if way is Way.ONCE:
        return Once(draft.start or today)
    if way in _CONDITIONS:
        field = _OF_WHAT.get(way)
        of = None if field is None else getattr(draft, field)
        if field is not None and not of:
            raise UserFault("missing", field=field)
        return WhenWaterSays(_CONDITIONS[way], of, draft.min_days, draft.max_days)
    rule, start = _rule(draft), draft.start or today
    _at(_DECIDING.get(way, "count"), lambda: compile_rule(rule, start))
    return Calendar(rule, start, tuple(draft.slots))


# The field that makes a rule impossible, once its count is sound.
_DECIDING = {Way.RULE: "rule", Way.YEAR: "day", Way.MONTH_DAYS: "month_days"}


def _at(field: str, make: Callable[[], T]) -> T:
    """Return what `make` makes; what it refuses is about this field of the draft."""
    try:
        return make()
    except UserFault as refused:
        # A rule that was written out has parts with names of their own, which the sentence keeps.
        named = refused.values.get("field")
        if field == "rule" and isinstance(named, str):
            refused.labelled(named)
        refused.values["field"] = field
        raise


def _check_start(start: date | None, today: date) -> None:
    """Refuse a day that no tank file could hold, before a rule is counted from it."""
    low, high = EARLIEST_AT.date(), today + PLANNED_AHEAD
    if start is not None and not low <= start <= high:
        raise UserFault("out_of_range", field="start", value=start, low=low, high=high, hint="")


_CONDITIONS = {
    Way.WATER: Condition.EVAPORATION,
    Way.FORECAST: Condition.FORECAST,
    Way.STOCK: Condition.STOCK,
}
# Where it stands what is foreseen, or what runs low.
_OF_WHAT = {Way.FORECAST: "of", Way.STOCK: "supply"}
_WAYS = {condition: way for way, condition in _CONDITIONS.items()}


def way_of(condition: Condition) -> Way:
    """Return the way that stands for a condition of the water."""
    return _WAYS[condition]


def _needed(field: str, value: int | None) -> int:
    if value is None:
        raise UserFault("missing", field=field)
    return value


def _rule(draft: RhythmDraft) -> str:
    if draft.way is Way.RULE:
        return draft.rule
    count = _needed("count", draft.count)
    check_within("count", count, 1, INTERVAL_LIMIT)
    every = "" if count == 1 else f";INTERVAL={count}"
    if draft.way is Way.DAYS:
        return f"FREQ=DAILY{every}"
    if draft.way is Way.WEEKDAYS:
        if not draft.weekdays:
            raise UserFault("missing", field="weekdays")
        days = ",".join(WEEKDAYS[day] for day in sorted(set(draft.weekdays)))
        return f"FREQ=WEEKLY{every};BYDAY={days}"
    if draft.way is Way.MONTH_WEEKDAY:
        return f"FREQ=MONTHLY{every};BYDAY={draft.place}{WEEKDAYS[draft.weekday]}"
    if draft.way is Way.YEAR:
        day = _needed("day", draft.day)
        return f"FREQ=YEARLY{every};BYMONTH={draft.month};BYMONTHDAY={day}"
    return _month_rule(draft, count, every)


def _month_rule(draft: RhythmDraft, count: int, every: str) -> str:
    days = _in_order(draft.month_days)
    if not days:
        raise UserFault("missing", field="month_days")
    if len(days) == 1 and days[0] > _SHORTEST_MONTH:
        return month_day_rule(days[0], every_months=count)
    return f"FREQ=MONTHLY{every};BYMONTHDAY={','.join(map(str, days))}"


def _in_order(days: tuple[int, ...]) -> tuple[int, ...]:
    """Return days of the month in the order of the month, the last one at the end."""
    return tuple(sorted(set(days), key=lambda day: day if day > 0 else 100 + day))


def draft_of(rhythm: Rhythm) -> RhythmDraft:
    """Return a rhythm taken apart; what no plain way can say stays a rule of its own."""
    if isinstance(rhythm, AfterLastDone):
        one = rhythm.interval
        return RhythmDraft(Way.AFTER_DONE, one.count, one.unit, rhythm.seasons)
    if isinstance(rhythm, Once):
        return RhythmDraft(Way.ONCE, start=rhythm.on)
    if isinstance(rhythm, WhenWaterSays):
        way = way_of(rhythm.condition)
        return RhythmDraft(
            way,
            of=rhythm.of if way is Way.FORECAST else None,
            supply=rhythm.of if way is Way.STOCK else None,
            min_days=rhythm.min_days,
            max_days=rhythm.max_days,
        )
    parts = parse_rule(rhythm.rule)
    if parts.freq is Freq.WEEKLY and parts.is_pure:
        # Without a day the start says it (RFC 5545, 3.8.5.3).
        parts = replace(parts, weekdays=((0, rhythm.start.weekday()),))
    found = _plain(parts)
    if found is not None:
        found = replace(found, count=parts.interval, slots=rhythm.slots, start=rhythm.start)
        if _says_the_same(found, parts):
            return found
    return RhythmDraft(Way.RULE, slots=rhythm.slots, start=rhythm.start, rule=rhythm.rule)


def _says_the_same(draft: RhythmDraft, parts: RuleParts) -> bool:
    again = parse_rule(_rule(draft))
    return replace(again, week_begins=parts.week_begins) == parts and (
        not parts.week_begins or parts.interval == 1 or parts.freq is not Freq.WEEKLY
    )


def _plain(parts: RuleParts) -> RhythmDraft | None:
    """Return the plain way that may say a rule; the caller looks whether it really does."""
    if parts.freq is Freq.DAILY:
        return RhythmDraft(Way.DAYS)
    if parts.freq is Freq.WEEKLY:
        return RhythmDraft(Way.WEEKDAYS, weekdays=tuple(day for _, day in parts.weekdays))
    if parts.freq is Freq.YEARLY:
        if len(parts.months) == 1 and len(parts.month_days) == 1:
            return RhythmDraft(Way.YEAR, month=parts.months[0], day=parts.month_days[0])
        return None
    if len(parts.weekdays) == 1:
        place, weekday = parts.weekdays[0]
        return RhythmDraft(Way.MONTH_WEEKDAY, place=place, weekday=weekday) if place else None
    if not parts.month_days:
        return None
    days = (max(parts.month_days),) if parts.positions == (LAST,) else parts.month_days
    return RhythmDraft(Way.MONTH_DAYS, month_days=_in_order(days))
