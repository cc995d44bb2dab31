"""Rhythms of chores as plain JSON values and back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, time
from typing import Any

from tankkeeper.core.chores import (
    AfterLastDone,
    AmountUnit,
    Calendar,
    Condition,
    EarlierRhythm,
    Once,
    Rhythm,
    Use,
    WhenWaterSays,
)
from tankkeeper.core.intervals import Interval, IntervalUnit, MonthDay, Season

Plain = Mapping[str, Any]


def rhythm_to_plain(rhythm: Rhythm) -> Plain:
    """Return a rhythm as a mapping of JSON values."""
    if isinstance(rhythm, Calendar):
        slots = [slot.isoformat() for slot in rhythm.slots]
        return {"calendar": rhythm.rule, "start": rhythm.start.isoformat(), "slots": slots}
    if isinstance(rhythm, AfterLastDone):
        seasons = [_season_to_plain(season) for season in rhythm.seasons]
        return {"after_last_done": _interval_to_plain(rhythm.interval), "seasons": seasons}
    if isinstance(rhythm, WhenWaterSays):
        return {
            "when": rhythm.condition.value,
            "of": rhythm.of,
            "min_days": rhythm.min_days,
            "max_days": rhythm.max_days,
        }
    return {"once": rhythm.on.isoformat()}


def rhythm_from_plain(plain: Plain) -> Rhythm:
    """Return the rhythm that `rhythm_to_plain` wrote."""
    if "calendar" in plain:
        slots = tuple(time.fromisoformat(slot) for slot in plain["slots"])
        return Calendar(plain["calendar"], date.fromisoformat(plain["start"]), slots)
    if "after_last_done" in plain:
        seasons = tuple(_season_from_plain(season) for season in plain["seasons"])
        return AfterLastDone(_interval_from_plain(plain["after_last_done"]), seasons)
    if "when" in plain:
        return WhenWaterSays(
            Condition(plain["when"]), plain["of"], plain["min_days"], plain["max_days"]
        )
    return Once(date.fromisoformat(plain["once"]))


def earlier_to_plain(earlier: Sequence[EarlierRhythm]) -> list[Plain]:
    """Return the earlier rhythms of a chore as JSON values."""
    return [
        {"valid_from": one.valid_from.isoformat(), "rhythm": rhythm_to_plain(one.rhythm)}
        for one in earlier
    ]


def earlier_from_plain(plain: Sequence[Plain]) -> tuple[EarlierRhythm, ...]:
    """Return the earlier rhythms that `earlier_to_plain` wrote."""
    return tuple(
        EarlierRhythm(date.fromisoformat(one["valid_from"]), rhythm_from_plain(one["rhythm"]))
        for one in plain
    )


def uses_to_plain(uses: Sequence[Use]) -> list[Plain]:
    """Return what a chore takes from supplies as JSON values."""
    return [{"supply": u.supply, "amount": u.amount, "unit": u.unit and u.unit.value} for u in uses]


def uses_from_plain(plain: Sequence[Plain]) -> tuple[Use, ...]:
    """Return what `uses_to_plain` wrote."""
    return tuple(
        Use(u["supply"], u["amount"], AmountUnit(u["unit"]) if u["unit"] else None) for u in plain
    )


def _interval_to_plain(interval: Interval) -> list[Any]:
    return [interval.count, interval.unit.value]


def _interval_from_plain(plain: Sequence[Any]) -> Interval:
    return Interval(plain[0], IntervalUnit(plain[1]))


def _season_to_plain(season: Season) -> Plain:
    return {
        "from": list(season.from_month_day),
        "to": list(season.to_month_day),
        "after_last_done": _interval_to_plain(season.interval),
    }


def _season_from_plain(plain: Plain) -> Season:
    return Season(
        MonthDay(*plain["from"]),
        MonthDay(*plain["to"]),
        _interval_from_plain(plain["after_last_done"]),
    )
