"""Writes chores with their rhythms."""

from __future__ import annotations

from tankkeeper.core.chores import (
    AfterLastDone,
    AmountUnit,
    Calendar,
    Chore,
    Condition,
    Once,
    Rhythm,
    Use,
    WhenWaterSays,
)
from tankkeeper.core.intervals import Season
from tankkeeper.services.tank_file.layout import (
    Pair,
    day,
    inline,
    known_text,
    listed,
    number,
    slot,
    table,
    text,
    texts,
    word,
)
from tankkeeper.services.tank_file.read_chores import usual_if_missed
from tankkeeper.services.tank_file.words import Words


def chore(one: Chore, given_id: str | None, words: Words) -> list[str]:
    """Return one of [[chores]]."""
    return table(
        "[[chores]]",
        [
            ("tank", known_text(words.tank(one.tank))),
            ("kind", word(one.kind)),
            ("name", text(one.name)),
            ("id", known_text(given_id)),
            ("noun", known_text(one.noun)),
            ("first_due", day(one.first_due)),
            ("rhythm", rhythm(_without_seasons(one.rhythm), words)),
            ("seasons", _seasons(one.rhythm)),
            *_window(one),
            ("minutes", number(one.minutes)),
            ("who", texts(words.person(who) or who for who in one.who)),
            ("amount", _amount(one)),
            ("tests", texts(one.tests)),
            ("ready_before", texts(one.ready_before)),
            ("caution", known_text(one.caution)),
            ("uses", _uses(one, words)),
            ("from", day(one.valid_from)),
            ("ended", day(one.ended_on)),
            ("versions", _versions(one, words)),
        ],
    )


def _window(one: Chore) -> list[Pair]:
    is_usual = one.if_missed is usual_if_missed(one.rhythm)
    return [
        ("early_days", str(one.early_days) if one.early_days else None),
        ("late_days", str(one.late_days) if one.late_days else None),
        ("if_missed", None if is_usual else word(one.if_missed)),
    ]


def _amount(one: Chore) -> str | None:
    return None if one.amount is None else inline([_measure(one.amount.unit, one.amount.value)])


def _measure(unit: AmountUnit, value: float) -> Pair:
    return unit.value, number(value)


def _uses(one: Chore, words: Words) -> str | None:
    return listed(
        inline([("supply", known_text(words.supply(use.supply))), *_used(use)]) for use in one.uses
    )


def _used(use: Use) -> list[Pair]:
    if use.unit is None or use.amount is None:
        return []
    return [_measure(use.unit, use.amount)]


def _versions(one: Chore, words: Words) -> str | None:
    return listed(
        inline([("valid_from", day(old.valid_from)), ("rhythm", rhythm(old.rhythm, words))])
        for old in one.earlier
    )


def rhythm(one: Rhythm, words: Words) -> str:
    """Return a rhythm as an inline table."""
    if isinstance(one, Once):
        return inline([("once", day(one.on))])
    if isinstance(one, Calendar):
        slots = listed(map(slot, one.slots))
        return inline([("calendar", text(one.rule)), ("start", day(one.start)), ("slots", slots)])
    if isinstance(one, AfterLastDone):
        interval = text(str(one.interval))
        return inline([("after_last_done", interval), ("seasons", _seasons(one))])
    return _when(one, words)


def _without_seasons(one: Rhythm) -> Rhythm:
    """Return the rhythm that a chore shows: its seasons stand beside it, in the chore."""
    return AfterLastDone(one.interval) if isinstance(one, AfterLastDone) else one


def _seasons(one: Rhythm) -> str | None:
    return listed(map(_season, one.seasons)) if isinstance(one, AfterLastDone) else None


def _season(one: Season) -> str:
    return inline(
        [
            ("from", text(str(one.from_month_day))),
            ("to", text(str(one.to_month_day))),
            ("after_last_done", text(str(one.interval))),
        ]
    )


def _when(one: WhenWaterSays, words: Words) -> str:
    of = words.supply(one.of) if one.of and one.condition is Condition.STOCK else one.of
    return inline(
        [
            ("when", word(one.condition)),
            ("of", known_text(of)),
            ("min_days", number(one.min_days)),
            ("max_days", number(one.max_days)),
        ]
    )
