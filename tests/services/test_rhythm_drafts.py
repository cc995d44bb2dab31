"""Rhythms taken apart for the editor and put together again, and the days they give."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.chores import AfterLastDone, Calendar, Chore, ChoreKind, Rhythm
from tankkeeper.core.errors import UserFault
from tankkeeper.core.history import history_of
from tankkeeper.core.intervals import Interval, IntervalUnit, MonthDay, Season
from tankkeeper.core.state import fold_household
from tankkeeper.reports.rhythms import rhythm_words
from tankkeeper.services.ahead import ahead_of
from tankkeeper.services.rhythm_drafts import LAST, RhythmDraft, Way, draft_of, rhythm_of
from tankkeeper.services.settling_preview import next_days
from tests.builders import a_box, a_household, a_moment, by_rule

TODAY = date(2026, 3, 12)
slots = st.lists(
    st.times().map(lambda one: one.replace(second=0, microsecond=0)), max_size=3, unique=True
).map(lambda many: tuple(sorted(many)))
counts = st.integers(1, 12)
starts = st.dates(date(2025, 1, 1), date(2027, 12, 31))
calendars = st.fixed_dictionaries({"count": counts, "slots": slots, "start": starts})


@st.composite
def drafts(draw: st.DrawFn) -> RhythmDraft:
    """Any draft that the editor can show."""
    way = draw(st.sampled_from([one for one in Way if one is not Way.RULE]))
    if way is Way.AFTER_DONE:
        summer = Season(MonthDay(6, 1), MonthDay(9, 15), Interval(10, IntervalUnit.DAYS))
        unit = draw(st.sampled_from(IntervalUnit))
        has_days = unit in (IntervalUnit.DAYS, IntervalUnit.WEEKS)
        seasons = (summer,) if has_days and draw(st.booleans()) else ()
        count = draw(st.integers(1, 10))
        return RhythmDraft(way, count, unit, seasons)
    if way is Way.ONCE:
        return RhythmDraft(way, start=draw(starts))
    if way in (Way.WATER, Way.FORECAST, Way.STOCK):
        what = {Way.FORECAST: {"of": "nitrate"}, Way.STOCK: {"supply": "salt"}}.get(way, {})
        low, high = draw(st.none() | st.integers(0, 5)), draw(st.none() | st.integers(6, 60))
        return RhythmDraft(way, min_days=low, max_days=high, **what)
    base = RhythmDraft(way, **draw(calendars))
    if way is Way.WEEKDAYS:
        days = draw(st.sets(st.integers(0, 6), min_size=1))
        return replace(base, weekdays=tuple(sorted(days)))
    if way is Way.MONTH_WEEKDAY:
        place = draw(st.sampled_from([1, 2, 3, 4, LAST]))
        return replace(base, place=place, weekday=draw(st.integers(0, 6)))
    if way is Way.YEAR:
        return replace(base, month=draw(st.integers(1, 12)), day=draw(st.integers(1, 28)))
    if way is Way.MONTH_DAYS:
        some = draw(st.sets(st.integers(1, 28) | st.just(LAST), min_size=1))
        one = draw(st.integers(29, 31))
        days = draw(st.sampled_from([tuple(sorted(some, key=lambda d: d % 100)), (one,)]))
        return replace(base, month_days=days)
    return base


def words(rhythm: Rhythm) -> str:
    """Return a rhythm as it is read."""
    return rhythm_words(Chore("x", ChoreKind.OTHER, "x", rhythm))


@given(drafts())
def test_any_draft_becomes_a_rhythm_and_the_same_draft_again(draft: RhythmDraft) -> None:
    """Nothing that the editor can show is lost on the way to the rule, nor are the words."""
    rhythm = rhythm_of(draft, TODAY)
    again = draft_of(rhythm)

    assert again == draft
    assert words(rhythm_of(again, TODAY)) == words(rhythm)


RULES = [
    "FREQ=WEEKLY;BYDAY=SA",
    "FREQ=WEEKLY;INTERVAL=2;WKST=SU;BYDAY=MO,SA",
    "FREQ=MONTHLY;BYMONTHDAY=-1",
    "FREQ=MONTHLY;BYMONTHDAY=28,29,30,31;BYSETPOS=-1",
    "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1",
    "FREQ=DAILY;COUNT=5",
    "FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO",
    "FREQ=DAILY;UNTIL=20270101",
    "FREQ=WEEKLY",
    "FREQ=MONTHLY;BYMONTH=1,7;BYMONTHDAY=1",
]


@pytest.mark.parametrize("rule", RULES)
def test_a_rule_from_a_file_is_not_changed_by_looking_at_it(rule: str) -> None:
    """What no plain way can say stays as it is written, and means the same days."""
    rhythm = Calendar(rule, date(2026, 1, 3), (time(8),) if "COUNT" not in rule else ())

    again = rhythm_of(draft_of(rhythm), TODAY)

    assert draft_of(rhythm).way is not Way.RULE or words(again) == words(rhythm)
    assert _days(again) == _days(rhythm)


def _days(rhythm: Rhythm) -> tuple[date, ...]:
    return next_days(_state(rhythm), _chore(rhythm), 9)


def _chore(rhythm: Rhythm) -> Chore:
    return Chore("nook.wipe", ChoreKind.GLASS, "Wipe", rhythm, "nook")


def _state(rhythm: Rhythm):  # type: ignore[no-untyped-def]
    house = a_household(tanks=(a_box(),), chores=(_chore(rhythm),))
    return fold_household(house, history_of(()), a_moment(TODAY).now)


@given(drafts().filter(lambda one: one.way is not Way.STOCK))
def test_the_days_shown_are_those_of_the_schedule(draft: RhythmDraft) -> None:
    """The same days as the plan of the whole household gives for the chore."""
    rhythm = rhythm_of(draft, TODAY)
    state = _state(rhythm)
    last = TODAY + timedelta(days=400)

    shown = next_days(state, _chore(rhythm))

    planned = [item.open.target for item in ahead_of(state, TODAY, last).items if item.open]
    expected = sorted({max(one, TODAY) for one in planned})[:5]
    assert [one for one in shown if one <= last] == expected


@pytest.mark.parametrize(
    ("draft", "field"),
    [
        (RhythmDraft(Way.WEEKDAYS), "weekdays"),
        (RhythmDraft(Way.MONTH_DAYS), "month_days"),
        (RhythmDraft(Way.AFTER_DONE, None), "count"),
        (RhythmDraft(Way.STOCK), "supply"),
        (RhythmDraft(Way.FORECAST), "of"),
    ],
)
def test_what_a_way_needs_is_asked_for_at_its_field(draft: RhythmDraft, field: str) -> None:
    """The editor shows the refusal there."""
    with pytest.raises(UserFault) as refused:
        rhythm_of(draft, TODAY)

    assert refused.value.values["field"] == field


def test_the_words_of_plain_rhythms_are_plain() -> None:
    """The examples that people give."""
    fortnight = AfterLastDone(Interval(2, IntervalUnit.WEEKS))
    assert words(fortnight).replace("\u00a0", " ") == "2 weeks after it is done"
    assert words(rhythm_of(RhythmDraft(Way.WEEKDAYS, 1, weekdays=(5,)), TODAY)) == "every Saturday"
    assert "last day" in words(rhythm_of(RhythmDraft(Way.MONTH_DAYS, 1, month_days=(LAST,)), TODAY))
    twice = replace(draft_of(by_rule("FREQ=DAILY", "2026-01-01")), slots=(time(8), time(18)))
    assert words(rhythm_of(twice, TODAY)) == "every day at 08:00 and 18:00"
