"""The fields of a chore in the groups a person would look for."""

from __future__ import annotations

from typing import Any

from tankkeeper.core.chores import (
    FRESH_KINDS,
    AmountUnit,
    ChoreKind,
    Condition,
    IfMissed,
    WhenWaterSays,
)
from tankkeeper.core.intervals import IntervalUnit
from tankkeeper.core.parameters import PARAMETERS
from tankkeeper.gui.forms.specs import Group, Kind, Spec
from tankkeeper.gui.models.chore_drafts import ChoreDraft
from tankkeeper.reports.amount_reasons import parameter_words
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.people_names import shown_people
from tankkeeper.reports.words import MONTHS, WEEKDAYS, Words
from tankkeeper.services.rhythm_drafts import LAST, Way, way_of

Rows = tuple[tuple[str, object], ...]
_MISSED = {
    IfMissed.COLLAPSE: "Count as one, overdue",
    IfMissed.EXPIRE: "Lapse",
    IfMissed.EACH: "Stay open one by one",
}
_PLACES = ((1, "First"), (2, "Second"), (3, "Third"), (4, "Fourth"), (LAST, "Last"))
_CALENDAR = (Way.DAYS, Way.WEEKDAYS, Way.MONTH_DAYS, Way.MONTH_WEEKDAY, Way.YEAR)
_EVERY = {
    Way.AFTER_DONE: "How many hours, days or longer.",
    Way.DAYS: "How many days.",
    Way.WEEKDAYS: "How many weeks.",
    Way.MONTH_DAYS: "How many months.",
    Way.MONTH_WEEKDAY: "How many months.",
    Way.YEAR: "How many years.",
}
_WATER = (Way.WATER, Way.FORECAST, Way.STOCK)
_ORDINALS = ("Supply", "Another supply", "A third supply")


def _rows(rows: Rows) -> Any:
    return lambda _words: rows


def _is(*ways: Way) -> Any:
    return lambda draft: draft.rhythm.way in ways


def _people(words: Words) -> Rows:
    return tuple((name, one_id) for one_id, name in shown_people(words.household).items())


def _supplies(words: Words) -> Rows:
    named = ((one.name or one.id, one.id) for one in words.household.supplies)
    return (("None", ""), *named)


def _stocks(words: Words) -> Rows:
    return (("Not said", None), *_supplies(words)[1:])


def _parameters(_words: Words) -> Rows:
    tests = ((capital(parameter_words(name)), name) for name in PARAMETERS)
    return (("What it tests", None), *tests)


def _ways(tank_id: str | None) -> Any:
    """Return what names the ways to choose from.

    The water of no tank can decide, and nothing counts supplies down yet, so that such a way is
    only there where a file brought one.
    """
    unusual = {Condition.STOCK}
    if tank_id is None:
        unusual |= {Condition.EVAPORATION, Condition.FORECAST}

    def ways(words: Words) -> Rows:
        brought = {
            one.rhythm.condition
            for one in words.household.chores
            if one.tank == tank_id and isinstance(one.rhythm, WhenWaterSays)
        }
        left_out = {way_of(one) for one in unusual - brought}
        return _words_of(way for way in Way if way not in left_out)

    return ways


def _not_by_kind(draft: ChoreDraft) -> tuple[Way, ...]:
    """Return the ways that the kind of a chore does not have: only filling is by evaporation."""
    return () if draft.kind in FRESH_KINDS else (Way.WATER,)


def _is_test(draft: ChoreDraft) -> bool:
    return draft.kind is ChoreKind.TEST


def has_times(draft: ChoreDraft) -> bool:
    return draft.rhythm.way in (*_CALENDAR, Way.RULE) and bool(draft.rhythm.slots)


def _usually_missed(draft: ChoreDraft) -> IfMissed:
    """Return what becomes of missed turns where nobody says otherwise."""
    return IfMissed.EXPIRE if has_times(draft) else IfMissed.COLLAPSE


def has_other_missed(draft: ChoreDraft) -> bool:
    """Tell whether times of day, come or gone, made another thing of missed turns."""
    is_changed = has_times(draft) != bool(draft.chore.slots)
    return (
        is_changed
        and draft.if_missed is not draft.chore.if_missed
        and draft.if_missed is _usually_missed(draft)
    )


def _why_missed(draft: ChoreDraft, _words: Words) -> str:
    """Return what changed here of itself, and why."""
    if not has_other_missed(draft):
        return ""
    if has_times(draft):
        return "With times of day, a missed turn lapses at the next one."
    return "Without times of day, missed turns count as one."


def _lapses(draft: ChoreDraft, _words: Words) -> str:
    """Return that a turn that lapses waits no longer than it stands, where more is written."""
    if draft.if_missed is not IfMissed.EXPIRE or not draft.late_days:
        return ""
    if draft.rhythm.slots:
        return "Missed turns lapse: one with a time of day waits until its day ends."
    return "Missed turns lapse: one waits no longer than until the next one comes."


def _words_of(values: Any) -> Rows:
    return tuple((capital(one.value.replace("-", " ")), one) for one in values)


def _amount_units(words: Words) -> Rows:
    """Return the units of an amount; litres are those of the household."""
    return tuple(
        (capital(words.volume_name), one) if one is AmountUnit.LITRES else (name, one)
        for name, one in _words_of(AmountUnit)
    )


def chore_groups(tank_id: str | None) -> tuple[Group, ...]:
    """Return the groups for a chore of a tank, or of the household."""

    def others(words: Words) -> Rows:
        chores = [one for one in words.household.chores if not one.has_ended(words.today)]
        names = [one.name for one in chores if one.tank in (None, tank_id)]
        return tuple((name, name) for name in dict.fromkeys(names))

    return (
        Group(
            "What it is",
            (
                Spec("name", "Name", Kind.TEXT),
                Spec("kind", "Kind", Kind.CHOICE, choices=_rows(_words_of(ChoreKind))),
                Spec("noun", "Short name", Kind.TEXT, note="At most 7 letters."),
            ),
        ),
        _rhythm_group(tank_id),
        Group(
            "How far it may move",
            (
                Spec("early_days", "May be done before", Kind.WHOLE, "days"),
                Spec(
                    "late_days",
                    "Can wait after",
                    Kind.WHOLE,
                    "days",
                    note_of=_lapses,
                    # What the water decides comes on its last safe day.
                    shown=lambda draft: draft.rhythm.way not in _WATER,
                ),
                Spec(
                    "if_missed",
                    "Missed turns",
                    Kind.CHOICE,
                    choices=_rows(tuple((text, one) for one, text in _MISSED.items())),
                    usual=_usually_missed,
                    note_of=_why_missed,
                ),
            ),
        ),
        Group(
            "Doing it",
            (
                Spec("minutes", "Takes", Kind.WHOLE, "min"),
                Spec("amount", "Amount", note="Empty: as the water asks."),
                Spec("amount_unit", "Amount in", Kind.CHOICE, choices=_amount_units),
                Spec("who", "Who does it", Kind.MANY, is_wide=True, choices=_people),
                Spec(
                    "tests",
                    "What is measured",
                    Kind.MANY,
                    is_wide=True,
                    choices=_rows(tuple((capital(parameter_words(n)), n) for n in PARAMETERS)),
                    shown=_is_test,
                ),
                Spec(
                    "ready_before",
                    "Ready before it",
                    Kind.MANY,
                    is_wide=True,
                    choices=others,
                    # No chore waits for itself.
                    apart=lambda draft: {draft.name},
                ),
                Spec("caution", "Caution", Kind.TEXT, is_wide=True),
            ),
        ),
        _use_group(),
    )


def _use_group() -> Group:
    def row(place: int) -> tuple[Spec, ...]:
        name = _ORDINALS[place] if place < len(_ORDINALS) else f"Supply {place + 1}"
        path, key = f"uses.{place}", f"uses[{place + 1}]"
        return (
            Spec(f"{path}.supply", name, Kind.CHOICE, choices=_supplies, keys=(f"{key}.supply",)),
            Spec(
                f"{path}.amount",
                f"{name}, each time",
                short=f"amount of {name[0].lower()}{name[1:]}",
                keys=(key,),
            ),
            Spec(f"{path}.unit", f"{name}, in", Kind.CHOICE, choices=_amount_units),
        )

    return Group("What it uses up", (), "One more row comes as the last one is filled.", row)


def _rhythm_group(tank_id: str | None) -> Group:
    return Group(
        "When it comes",
        (
            Spec(
                "rhythm.way",
                "It comes",
                Kind.CHOICE,
                choices=_ways(tank_id),
                apart=_not_by_kind,
                # Seven days become each week, and not every seventh.
                then=(("rhythm.count", 1),),
            ),
            Spec(
                "rhythm.count",
                "Every",
                Kind.WHOLE,
                note_of=lambda draft, _words: _EVERY.get(draft.rhythm.way, ""),
                shown=_is(Way.AFTER_DONE, *_CALENDAR),
            ),
            Spec(
                "rhythm.unit",
                "Counted in",
                Kind.CHOICE,
                choices=_rows(_words_of(IntervalUnit)),
                shown=_is(Way.AFTER_DONE),
            ),
            Spec(
                "rhythm.place",
                "Which one",
                Kind.CHOICE,
                choices=_rows(tuple((text, place) for place, text in _PLACES)),
                shown=_is(Way.MONTH_WEEKDAY),
            ),
            Spec(
                "rhythm.weekday",
                "Weekday",
                Kind.CHOICE,
                choices=_rows(tuple((name, n) for n, name in enumerate(WEEKDAYS))),
                shown=_is(Way.MONTH_WEEKDAY),
            ),
            Spec(
                "rhythm.month",
                "Month",
                Kind.CHOICE,
                choices=_rows(tuple((name, n) for n, name in enumerate(MONTHS, 1))),
                shown=_is(Way.YEAR),
            ),
            Spec("rhythm.day", "Day", Kind.WHOLE, shown=_is(Way.YEAR)),
            Spec(
                "rhythm.month_days",
                "Days of the month",
                Kind.MONTH_DAYS,
                note="Such as 1, 15, last.",
                shown=_is(Way.MONTH_DAYS),
            ),
            Spec(
                "rhythm.rule",
                "Rule",
                Kind.TEXT,
                is_wide=True,
                note="As in RFC 5545, such as FREQ=MONTHLY;BYDAY=1SA for each first Saturday.",
                shown=_is(Way.RULE),
                keys=("rhythm.calendar",),
            ),
            Spec(
                "rhythm.weekdays",
                "Weekdays",
                Kind.MANY,
                is_wide=True,
                choices=_rows(tuple((name, n) for n, name in enumerate(WEEKDAYS))),
                shown=_is(Way.WEEKDAYS),
            ),
            Spec(
                "rhythm.slots",
                "At",
                Kind.TIMES,
                note="Times of day, such as 8, 18:30. Empty: some time that day.",
                shown=_is(*_CALENDAR, Way.RULE),
            ),
            Spec(
                "rhythm.start",
                "Counted from",
                Kind.DAY,
                note="Such as 2 Mar 2026. Empty: today.",
                shown=_is(*_CALENDAR, Way.RULE, Way.ONCE),
            ),
            Spec(
                "rhythm.seasons",
                "Other rhythm in a season",
                Kind.SEASONS,
                is_wide=True,
                note="Such as 10 days from 1 June to 15 September; several with ; between.",
                shown=_is(Way.AFTER_DONE),
            ),
            Spec(
                "rhythm.of",
                "Of what",
                Kind.CHOICE,
                short="what it tests",
                choices=_parameters,
                note="Three readings make its trend known.",
                shown=_is(Way.FORECAST),
            ),
            Spec(
                "rhythm.supply",
                "Of which supply",
                Kind.CHOICE,
                choices=_stocks,
                note="Nothing counts it down yet: only the longest interval brings it.",
                shown=_is(Way.STOCK),
            ),
            Spec(
                "rhythm.min_days",
                "Not sooner than",
                Kind.WHOLE,
                "days",
                note="After the last time.",
                shown=_is(*_WATER),
            ),
            Spec("rhythm.max_days", "At least every", Kind.WHOLE, "days", shown=_is(*_WATER)),
            Spec(
                "from_day",
                "Changed rhythm holds from",
                Kind.DAY,
                note="Before it, all stays. Empty: today.",
                shown=lambda draft: bool(draft.chore.id),
            ),
            Spec(
                "first_due",
                "First day",
                Kind.DAY,
                note="While it was never done.",
                shown=_is(Way.AFTER_DONE, *_WATER),
            ),
            Spec(
                "ended_on",
                "Last day",
                Kind.DAY,
                note="Empty: it goes on.",
                shown=lambda draft: draft.rhythm.way is not Way.ONCE,
                keys=("ended",),
            ),
        ),
    )
