"""What comes, against living it: what is past its day done today and the rest on its target."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.chores import AfterLastDone, Chore, Condition, IfMissed, Once, WhenWaterSays
from tankkeeper.core.coming import projected_turns
from tankkeeper.core.history import history_of
from tankkeeper.core.household import TopOffLimits
from tankkeeper.core.intervals import MonthDay, Season, parse_interval
from tankkeeper.core.logbook import Entry, Pause, PauseMode, PutOff, Shift, Skip, TopOff, Turn
from tankkeeper.core.pauses import Span, pause_spans, spans_for
from tankkeeper.core.projection import Projected, project
from tankkeeper.core.schedule import fold_chore
from tankkeeper.core.state import fold_household
from tankkeeper.core.turns import ChoreState, OpenTurn
from tankkeeper.core.water_turns import LimitForecast, Steps, turn_steps
from tests.builders import (
    BERLIN,
    a_box,
    a_chore,
    a_household,
    a_moment,
    an_entry,
    by_rule,
    day,
    days,
)

TODAY = day("2026-03-04")
AHEAD = 75
SUMMER = Season(MonthDay(4, 10), MonthDay(9, 1), days(3))

RHYTHMS: dict[str, Chore] = {
    "every 5 days": a_chore(AfterLastDone(days(5)), early_days=1, late_days=1, first_due=TODAY),
    "every month": a_chore(AfterLastDone(parse_interval("1 month")), first_due=day("2026-01-31")),
    "by season": a_chore(AfterLastDone(days(9), (SUMMER,)), first_due=TODAY),
    "once": a_chore(Once(day("2026-03-21"))),
    "Tuesdays and Fridays": a_chore(by_rule("FREQ=WEEKLY;BYDAY=TU,FR", "2026-02-03")),
    "with a window": a_chore(by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-02-03"), early_days=2),
    "a window as long as the gap": a_chore(by_rule("FREQ=DAILY", "2026-02-03"), early_days=1),
    "month end": a_chore(
        by_rule("FREQ=MONTHLY;BYMONTHDAY=28,29,30,31;BYSETPOS=-1", "2026-01-31"), late_days=3
    ),
    "each": a_chore(
        by_rule("FREQ=WEEKLY;BYDAY=WE", "2026-02-03"), early_days=3, if_missed=IfMissed.EACH
    ),
    "slots": a_chore(
        by_rule("FREQ=DAILY;INTERVAL=2", "2026-02-03", (time(8), time(18))),
        if_missed=IfMissed.EXPIRE,
    ),
    "to an end": a_chore(AfterLastDone(days(6)), first_due=TODAY, ended_on=day("2026-04-01")),
    "rule to an end": a_chore(
        by_rule("FREQ=WEEKLY;BYDAY=MO", "2026-02-03"), ended_on=day("2026-04-01")
    ),
}


def spans_of(chore: Chore, entries: list[Entry]) -> tuple[Span, ...]:
    """Return the pauses of the chore."""
    return spans_for(chore, pause_spans(history_of(entries).pauses, ()))


def state_on(chore: Chore, entries: list[Entry], on: date, at: time = time(7)) -> ChoreState:
    """Return the state of the chore at the usual round of a day."""
    rows = history_of(entries).of_chore("wipe")
    return fold_chore(chore, rows, spans_of(chore, entries), a_moment(on, at))


def done(turn: OpenTurn, on: date, entries: list[Entry]) -> Entry:
    """Return the completion of a turn at seven o'clock."""
    key, slot = turn.turn.key, turn.turn.slot
    return an_entry(1000 + len(entries), on, done="wipe", key=key, slot=slot, at=time(7))


def lived(chore: Chore, entries: list[Entry]) -> list[tuple[date, time | None]]:
    """Return when the chore is done if all is done on its target, day by day from tomorrow on.

    Without what is open today: that stands as open work, on whichever day it is done.
    """
    log, found = list(entries), []
    now = state_on(chore, entries, TODAY)
    stands = {(one.turn.key, one.turn.slot) for one in now.open if now.paused is None}
    for after in range(AHEAD + 1):
        on = TODAY + timedelta(days=after)
        while (state := state_on(chore, log, on)).paused is None:
            reached = [turn for turn in state.open if turn.target <= on]
            if not reached:
                break
            log.append(done(reached[0], on, log))
            if after and (reached[0].turn.key, reached[0].turn.slot) not in stands:
                found.append((on, reached[0].turn.slot))
    return found


def expected(chore: Chore, entries: list[Entry]) -> list[tuple[date, time | None]]:
    """Return what the projection says of the same days."""
    turns = projected(chore, entries, 1, AHEAD)
    return [(date.fromordinal(turn.day), turn.slot) for turn in turns]


def projected(chore: Chore, entries: list[Entry], first: int, last: int) -> list[Projected]:
    """Return the turns expected from so many to so many days after today."""
    today = TODAY.toordinal()
    return project(
        state_on(chore, entries, TODAY),
        history_of(entries).of_chore("wipe"),
        spans_of(chore, entries),
        a_moment(TODAY, time(7)),
        today + first,
        today + last,
    )


@st.composite
def logs(draw: st.DrawFn) -> list[Entry]:
    """Draw a short log up to today: completions, and perhaps a pause of some days."""
    before = draw(st.lists(st.integers(0, 40), max_size=4, unique=True))
    entries = [
        an_entry(seq, TODAY - timedelta(days=ago), done="wipe", at=time(6))
        for seq, ago in enumerate(sorted(before, reverse=True), start=1)
    ]
    if draw(st.booleans()):
        mode = draw(st.sampled_from(PauseMode))
        first = TODAY - timedelta(days=draw(st.integers(0, 9)))
        until = TODAY + timedelta(days=draw(st.integers(-2, 12)))
        if until >= first:
            entries.append(an_entry(50, first, Pause(mode, until=until)))
    return entries


@st.composite
def logs_with_a_put_off(draw: st.DrawFn, chore: Chore) -> list[Entry]:
    """Draw a log without a pause, and perhaps put one open turn off to a day near by."""
    entries = [one for one in draw(logs()) if not isinstance(one.fact, Pause)]
    turns = state_on(chore, entries, TODAY).open
    if turns:
        to = TODAY + timedelta(days=draw(st.integers(1, 2)))
        entries.append(an_entry(60, TODAY, PutOff(turns[0].turn, to)))
    return entries


@pytest.mark.parametrize("name", RHYTHMS)
@given(entries=logs())
def test_what_is_projected_is_what_comes(name: str, entries: list[Entry]) -> None:
    """Day by day, with everything done on its target, the same turns come as were projected."""
    chore = RHYTHMS[name]
    assert sorted(expected(chore, entries), key=str) == sorted(lived(chore, entries), key=str)


@pytest.mark.parametrize("name", ["every 5 days", "every month", "by season", "with a window"])
@given(data=st.data())
def test_what_was_put_off_is_done_on_its_day(name: str, data: st.DataObject) -> None:
    """The turns after one that was put off follow from its new day, not from today."""
    chore = RHYTHMS[name]
    entries = data.draw(logs_with_a_put_off(chore))
    assert sorted(expected(chore, entries), key=str) == sorted(lived(chore, entries), key=str)


def test_a_turn_put_off_to_saturday_is_followed_a_week_later() -> None:
    """Every 7 days, due on Wednesday 4 March and put off to Saturday 7: the next is on the 14th."""
    chore = a_chore(AfterLastDone(days(7)), first_due=TODAY, early_days=3, late_days=3)
    entries = [an_entry(1, "2026-03-04", PutOff(Turn("wipe", "first"), day("2026-03-07")))]
    assert state_on(chore, entries, TODAY).open
    found = projected(chore, entries, 1, 20)
    assert [date.fromordinal(turn.day).day for turn in found] == [14, 21]


def test_what_may_be_done_early_is_expected_on_its_target() -> None:
    """Its window is open since today, its target is Friday: the next comes a week after that."""
    chore = a_chore(AfterLastDone(days(7)), first_due=day("2026-03-06"), early_days=2)
    found = projected(chore, [], 1, 15)
    assert [date.fromordinal(turn.day).day for turn in found] == [13]


def test_an_hour_that_lies_on_another_day_is_waited_for() -> None:
    """Done on Monday at 06:00, every 72 hours and open a day early: Thursday 06:00 comes first."""
    chore = a_chore(AfterLastDone(parse_interval("72 hours")), first_due=TODAY, early_days=1)
    done = datetime(2026, 3, 2, 6, tzinfo=BERLIN).astimezone(UTC)
    entries = [replace(an_entry(1, "2026-03-02", done="wipe"), at=done)]
    assert state_on(chore, entries, TODAY).open
    found = projected(chore, entries, 0, 8)
    assert [turn.due_at for turn in found] == [done + timedelta(hours=n) for n in (144, 216)]


@pytest.mark.parametrize("name", RHYTHMS)
@given(cut=st.integers(1, AHEAD - 1))
def test_two_spans_give_what_one_gives(name: str, cut: int) -> None:
    """A span cut in two shows each turn once."""
    chore, entries = RHYTHMS[name], [an_entry(1, "2026-02-20", done="wipe")]
    whole = projected(chore, entries, 1, AHEAD)
    parts = projected(chore, entries, 1, cut) + projected(chore, entries, cut + 1, AHEAD)
    assert parts == whole


def test_moved_turns_are_projected_where_they_stand() -> None:
    """Put off, skipped and shifted Tuesdays."""
    chore = a_chore(by_rule("FREQ=WEEKLY;BYDAY=TU", "2026-02-03"))
    entries = [
        an_entry(1, "2026-03-03", done="wipe"),
        an_entry(2, "2026-03-04", PutOff(Turn("wipe", "2026-03-10"), day("2026-03-12"))),
        an_entry(3, "2026-03-04", Skip(Turn("wipe", "2026-03-17"))),
        an_entry(4, "2026-03-04", Shift(Turn("wipe", "2026-03-31"), day("2026-04-01"))),
    ]
    found = projected(chore, entries, 1, 40)
    assert [date.fromordinal(turn.day).isoformat() for turn in found] == [
        "2026-03-12",
        "2026-03-24",
        "2026-04-01",
        "2026-04-08",
    ]
    assert [turn.key for turn in found[:2]] == ["2026-03-10", ""]
    assert [turn.is_put_off for turn in found[:2]] == [True, False]


def test_hours_follow_from_the_moment_it_is_done() -> None:
    """Every ten hours, open now at seven: 17:00 today, then 03:00, which still is today's day."""
    chore = a_chore(AfterLastDone(parse_interval("10 hours")), first_due=TODAY)
    found = projected(chore, [], 0, 2)
    first = datetime(2026, 3, 4, 7, tzinfo=BERLIN).astimezone(UTC)
    assert [turn.due_at for turn in found] == [
        first + timedelta(hours=10 * number) for number in (1, 2, 3, 4, 5, 6)
    ]
    assert [date.fromordinal(turn.day).day for turn in found] == [4, 4, 5, 5, 6, 6]


def test_an_hour_still_to_come_is_waited_for() -> None:
    """Done at 06:00, open for 16:00: the next ones count from then, not from now."""
    chore = a_chore(AfterLastDone(parse_interval("10 hours")), first_due=TODAY)
    done = datetime(2026, 3, 4, 6, tzinfo=BERLIN).astimezone(UTC)
    entries = [replace(an_entry(1, "2026-03-04", done="wipe"), at=done)]
    found = projected(chore, entries, 0, 1)
    assert [turn.due_at for turn in found] == [
        done + timedelta(hours=10 * number) for number in (2, 3, 4)
    ]


def test_a_day_of_the_clock_change_has_its_hours() -> None:
    """Every 24 hours over 29 March 2026: after the change it is an hour later on the wall."""
    chore = a_chore(AfterLastDone(parse_interval("24 hours")), first_due=TODAY)
    found = projected(chore, [], 24, 26)
    walls = [turn.due_at.astimezone(BERLIN).time() for turn in found if turn.due_at is not None]
    assert walls == [time(7), time(8), time(8)]


def test_what_waits_for_the_end_of_a_pause_comes_first_after_it() -> None:
    """Overdue and paused to the 9th: done on the 10th, then every five days."""
    entries = [
        an_entry(1, "2026-02-20", done="wipe"),
        an_entry(2, "2026-03-04", Pause(PauseMode.HOLD, until=day("2026-03-09"))),
    ]
    found = projected(RHYTHMS["every 5 days"], entries, 1, 20)
    assert [date.fromordinal(turn.day).day for turn in found] == [10, 15, 20]


def test_nothing_is_projected_in_a_pause_without_end() -> None:
    """Nobody knows when it goes on."""
    entries = [an_entry(2, "2026-03-04", Pause(PauseMode.HOLD))]
    assert all(projected(chore, entries, 1, AHEAD) == [] for chore in RHYTHMS.values())


def test_fills_come_as_often_as_the_water_lasts() -> None:
    """The longest interval bounds them, and the day after a freeze is one of them."""
    tank = a_box(top_off=TopOffLimits(allowed_drop_mm=200.0, allowed_salinity_rise=6.0))
    rhythm = WhenWaterSays(Condition.EVAPORATION, max_days=2)
    chore = a_chore(rhythm, tank="nook")
    household = a_household(tanks=(tank,), chores=(chore,))
    entries = [
        an_entry(1, "2026-03-02", TopOff(3.0), done="wipe", key="first", tank="nook"),
        an_entry(2, "2026-03-04", TopOff(3.0), done="wipe", key="after:e1", tank="nook"),
    ]
    state = fold_household(household, history_of(entries), a_moment(TODAY).now)
    turns = projected_turns(state, state.chores[0], TODAY.toordinal(), TODAY.toordinal() + 7)
    assert [date.fromordinal(turn.day).day for _, turn in turns] == [6, 8, 10]
    assert turns[0][1].key == "after:e2"


def test_how_long_the_water_lasts_says_nothing_of_a_forecast() -> None:
    """A change that a trend decides does not come as often as the tank is topped off."""
    chore = a_chore(WhenWaterSays(Condition.FORECAST, "nitrate"))
    assert turn_steps(chore, LimitForecast(None), 2) == Steps()
    bound = replace(chore, rhythm=WhenWaterSays(Condition.FORECAST, "nitrate", None, 9))
    assert turn_steps(bound, LimitForecast(None), 2) == Steps(9, (), 9)


def test_without_any_limit_only_the_next_fill_is_known() -> None:
    """A tank never filled is due today; nothing says when the fill after that comes."""
    chore = a_chore(WhenWaterSays(Condition.STOCK), tank=None)
    assert projected(chore, [], 1, AHEAD) == []
