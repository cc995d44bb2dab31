"""What is due: worked sequences of events, one rule of the schedule each.

The expected days were counted on a calendar by hand (2026: 2 March is a Monday, 7 March a
Saturday); the rules themselves are choices of this project.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time

import pytest

from tankkeeper.core.chores import (
    AfterLastDone,
    Calendar,
    Chore,
    EarlierRhythm,
    IfMissed,
    Once,
    Rhythm,
)
from tankkeeper.core.early_days import early_days
from tankkeeper.core.history import history_of
from tankkeeper.core.intervals import Season, parse_interval, parse_month_day
from tankkeeper.core.logbook import (
    Entry,
    Pause,
    PauseMode,
    PutOff,
    Resume,
    Revoke,
    Shift,
    Skip,
    Turn,
)
from tankkeeper.core.pauses import pause_spans, spans_for
from tankkeeper.core.schedule import fold_chore
from tankkeeper.core.turns import ChoreState, State
from tests.builders import BERLIN, a_chore, a_moment, an_entry, by_rule, day, days, target_of

WEEKLY = a_chore(AfterLastDone(days(7)), first_due=day("2026-03-02"), early_days=1, late_days=2)
SATURDAYS = by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-03-07")


def fold(chore: Chore, entries: list[Entry], today: str, at: time = time(12)) -> ChoreState:
    """Return the state of a chore on a day at noon."""
    history = history_of(entries)
    spans = spans_for(chore, pause_spans(history.pauses, ()))
    return fold_chore(chore, history.of_chore(chore.id), spans, a_moment(today, at))


def done(seq: int, on: str) -> Entry:
    """Return a completion of the chore."""
    return an_entry(seq, on, done="wipe")


def test_a_chore_never_done_is_due_on_its_first_day() -> None:
    """Before any completion the first due date rules, with its window."""
    (turn,) = fold(WEEKLY, [], "2026-03-01").open
    assert (turn.earliest, turn.target, turn.latest) == (
        day("2026-03-01"),
        day("2026-03-02"),
        day("2026-03-04"),
    )
    assert turn.state is State.MAY_WAIT


@pytest.mark.parametrize(
    ("entries", "today", "target", "state"),
    [
        ([done(1, "2026-03-05")], "2026-03-05", "2026-03-12", None),
        ([done(1, "2026-03-02"), done(2, "2026-03-07")], "2026-03-08", "2026-03-14", None),
        ([done(1, "2026-03-02")], "2026-03-15", "2026-03-09", State.OVERDUE),
        ([done(1, "2026-03-10"), done(2, "2026-03-04")], "2026-03-10", "2026-03-17", None),
        (
            [done(1, "2026-03-02"), done(2, "2026-03-10"), an_entry(3, "2026-03-10", Revoke("e2"))],
            "2026-03-10",
            "2026-03-09",
            State.MAY_WAIT,
        ),
        (
            [done(1, "2026-03-02"), an_entry(2, "2026-03-06", Skip(Turn("wipe", "after:e1")))],
            "2026-03-06",
            "2026-03-16",
            None,
        ),
        (
            [done(1, "2026-03-02"), an_entry(2, "2026-03-15", Skip(Turn("wipe", "after:e1")))],
            "2026-03-15",
            "2026-03-22",
            None,
        ),
        (
            [
                done(1, "2026-03-02"),
                an_entry(2, "2026-03-08", PutOff(Turn("wipe", "after:e1"), day("2026-03-11"))),
                done(3, "2026-03-11"),
            ],
            "2026-03-11",
            "2026-03-18",
            None,
        ),
        (
            [
                done(1, "2026-03-02"),
                an_entry(2, "2026-03-05", Pause(PauseMode.FREEZE, until=day("2026-03-14"))),
            ],
            "2026-03-16",
            "2026-03-19",
            None,
        ),
    ],
    ids=[
        "three days late moves the series by three",
        "done early counts from the completion",
        "overdue keeps its target",
        "an older completion entered later does not move the date",
        "undo restores the state before the tick",
        "a skip ahead counts from the skipped target",
        "a skip when overdue counts from its own day",
        "put off once, then counted from the completion",
        "ten frozen days do not count",
    ],
)
def test_counted_chores(entries: list[Entry], today: str, target: str, state: State | None) -> None:
    """A counted chore goes on from its latest completion or skip."""
    found = fold(WEEKLY, entries, today)
    assert target_of(found) == day(target)
    assert [turn.state for turn in found.open] == ([] if state is None else [state])


@pytest.mark.parametrize(
    ("rhythm", "allowed", "counts"),
    [
        (Calendar("FREQ=DAILY", day("2026-03-02")), 1, 0),
        (Calendar("FREQ=DAILY;INTERVAL=3", day("2026-03-02")), 5, 2),
        (Calendar("FREQ=WEEKLY;BYDAY=MO,TH", day("2026-03-02")), 3, 2),
        (Calendar("FREQ=WEEKLY;BYDAY=SA", day("2026-03-07")), 2, 2),
        (Calendar("FREQ=MONTHLY;BYMONTHDAY=1,-1", day("2026-03-01")), 4, 0),
        (AfterLastDone(days(1)), 1, 0),
        (AfterLastDone(days(7)), 9, 6),
        (AfterLastDone(parse_interval("1 month")), 40, 27),
        (AfterLastDone(parse_interval("8 hours")), 2, 0),
        (Once(day("2026-03-02")), 20, 20),
    ],
)
def test_no_window_reaches_the_turn_before(rhythm: Rhythm, allowed: int, counts: int) -> None:
    """A tick would take two turns: as many days count as lie between those that stand closest."""
    assert early_days(a_chore(rhythm, early_days=allowed)) == counts


def test_every_day_comes_every_day_however_early_it_may_be_done() -> None:
    """Done on one day, it is due on the next; neither is it open again on the same day."""
    daily = a_chore(by_rule("FREQ=DAILY", "2026-03-02"), early_days=1, late_days=3)
    entries = [an_entry(1, "2026-03-02", done="wipe")]
    state = fold(daily, entries, "2026-03-02")
    assert (state.open, target_of(state)) == ((), day("2026-03-03"))
    counted = a_chore(AfterLastDone(days(1)), early_days=3)
    assert fold(counted, [done(1, "2026-03-02")], "2026-03-02").open == ()


@pytest.mark.parametrize(
    ("earlier", "entries", "target"),
    [
        # Done ten days ago, every 14 days, from today on every 3: due today, and not a week late.
        (
            (EarlierRhythm(day("2026-01-01"), AfterLastDone(days(14))),),
            ["2026-03-02"],
            "2026-03-12",
        ),
        # It was two days late by the rhythm before, and stays so.
        ((EarlierRhythm(day("2026-01-01"), AfterLastDone(days(8))),), ["2026-03-02"], "2026-03-10"),
        ((EarlierRhythm(day("2026-01-01"), SATURDAYS),), ["2026-03-02"], "2026-03-07"),
        # Set down today with a first day long past.
        ((), [], "2026-03-12"),
        # Never done, and late by the rhythm before.
        ((EarlierRhythm(day("2026-03-05"), AfterLastDone(days(14))),), [], "2026-03-05"),
        # Done on the day it began.
        ((), ["2026-03-12"], "2026-03-15"),
    ],
)
def test_a_rhythm_asks_for_nothing_before_it_begins(
    earlier: tuple[EarlierRhythm, ...], entries: list[str], target: str
) -> None:
    """What is made or changed today is due today at the earliest, unless it was late already."""
    chore = a_chore(
        AfterLastDone(days(3)),
        first_due=day("2026-02-01"),
        valid_from=day("2026-03-12"),
        earlier=earlier,
    )
    log = [done(seq, on) for seq, on in enumerate(entries, 1)]
    assert target_of(fold(chore, log, "2026-03-12")) == day(target)


@pytest.mark.parametrize(
    ("late", "target", "state"),
    [(0, "2026-03-12", State.DUE), (5, "2026-03-10", State.MAY_WAIT)],
)
def test_a_single_day_that_was_over_when_it_was_set_down_is_due_then(
    late: int, target: str, state: State
) -> None:
    """Where it may still wait, it keeps its day."""
    chore = a_chore(Once(day("2026-03-10")), valid_from=day("2026-03-12"), late_days=late)
    (turn,) = fold(chore, [], "2026-03-12").open
    assert (turn.target, turn.state) == (day(target), state)


def test_hours_that_would_have_passed_before_the_rhythm_begin_with_it() -> None:
    """No hour is meant on the day itself."""
    chore = a_chore(AfterLastDone(parse_interval("8 hours")), valid_from=day("2026-03-12"))
    (turn,) = fold(chore, [done(1, "2026-03-02")], "2026-03-12").open
    assert (turn.target, turn.due_at, turn.state) == (day("2026-03-12"), None, State.DUE)


def test_days_overdue_count_from_the_latest_day() -> None:
    """Done on 2 March: target 9, latest 11, so on 15 March four days overdue."""
    (turn,) = fold(WEEKLY, [done(1, "2026-03-02")], "2026-03-15").open
    assert turn.days_overdue(day("2026-03-15")) == 4


def test_a_target_inside_a_holiday_moves_to_the_day_after() -> None:
    """Hold: time goes on and nobody works."""
    pause = an_entry(2, "2026-03-07", Pause(PauseMode.HOLD, until=day("2026-03-14")))
    found = fold(WEEKLY, [done(1, "2026-03-02"), pause], "2026-03-10")
    assert target_of(found) == day("2026-03-15")
    assert found.paused is not None


def test_a_pause_resumed_the_same_day_changes_nothing() -> None:
    """The day of the resume is the first that counts again."""
    entries = [
        done(1, "2026-03-02"),
        an_entry(2, "2026-03-08", Pause(PauseMode.FREEZE)),
        an_entry(3, "2026-03-08", Resume()),
    ]
    assert fold(WEEKLY, entries, "2026-03-09") == fold(WEEKLY, entries[:1], "2026-03-09")


def test_a_pause_without_end_leaves_no_target() -> None:
    """Frozen days after the base do not count, so the target never comes."""
    entries = [done(1, "2026-03-02"), an_entry(2, "2026-03-05", Pause(PauseMode.FREEZE))]
    found = fold(WEEKLY, entries, "2026-03-20")
    assert target_of(found) is None
    assert found.paused is not None


def test_a_month_after_the_31st_is_the_last_day_of_february() -> None:
    """Months are clamped to their last day."""
    chore = a_chore(AfterLastDone(parse_interval("1 month")), first_due=day("2026-01-31"))
    assert target_of(fold(chore, [done(1, "2026-01-31")], "2026-02-01")) == day("2026-02-28")


def test_a_season_shortens_the_interval_from_its_first_day() -> None:
    """29-31 May are three days of 1/14, 1-5 June five of 1/7: 13/14; 6 June passes one."""
    summer = Season(parse_month_day("06-01"), parse_month_day("08-31"), days(7))
    chore = a_chore(AfterLastDone(days(14), (summer,)), first_due=day("2026-05-01"))
    assert target_of(fold(chore, [done(1, "2026-05-28")], "2026-05-29")) == day("2026-06-06")


def test_hours_are_elapsed_hours() -> None:
    """Eight hours after noon is twenty o'clock, on the same day."""
    chore = a_chore(AfterLastDone(parse_interval("8 hours")))
    (turn,) = fold(chore, [done(1, "2026-03-02")], "2026-03-02", time(13)).open
    assert turn.due_at is not None
    assert turn.due_at.isoformat() == "2026-03-02T19:00:00+00:00"


def test_four_missed_saturdays_are_one_overdue_item() -> None:
    """Collapse keeps the age of the oldest and says how many more there are."""
    found = fold(a_chore(SATURDAYS, late_days=1), [], "2026-04-02")
    (turn,) = found.open
    assert (turn.target, turn.state, turn.missed) == (day("2026-03-07"), State.OVERDUE, 3)
    assert found.upcoming is not None
    assert found.upcoming.target == day("2026-04-04")


@pytest.mark.parametrize(
    ("early", "events", "today", "target"),
    [
        (0, [done(1, "2026-04-02")], "2026-04-02", "2026-04-04"),
        (2, [done(1, "2026-03-05")], "2026-03-05", "2026-03-14"),
        (1, [done(1, "2026-03-04")], "2026-03-04", "2026-03-07"),
        (
            0,
            [
                an_entry(1, "2026-03-07", PutOff(Turn("wipe", "2026-03-07"), day("2026-03-09"))),
                done(2, "2026-03-09"),
            ],
            "2026-03-09",
            "2026-03-14",
        ),
    ],
    ids=[
        "one tick clears the backlog",
        "done inside the early window counts for the coming turn",
        "done before the window is extra",
        "putting one off leaves the series alone",
    ],
)
def test_calendar_chores(early: int, events: list[Entry], today: str, target: str) -> None:
    """Completions resolve turns; they never move the dates of the rule."""
    chore = a_chore(SATURDAYS, early_days=early, late_days=1)
    assert target_of(fold(chore, events, today)) == day(target)


def test_expired_days_lapse_and_only_today_is_open() -> None:
    """What was not fed on an earlier day is not fed twice today."""
    chore = a_chore(by_rule("FREQ=DAILY", "2026-03-01"), if_missed=IfMissed.EXPIRE)
    (turn,) = fold(chore, [done(1, "2026-03-01")], "2026-03-05").open
    assert (turn.target, turn.state, turn.missed) == (day("2026-03-05"), State.DUE, 0)


def test_each_leaves_every_turn_open_and_a_tick_takes_the_named_one() -> None:
    """With the policy `each` nothing collapses."""
    chore = a_chore(SATURDAYS, if_missed=IfMissed.EACH)
    entry = an_entry(1, "2026-03-22", done="wipe", key="2026-03-07")
    found = fold(chore, [entry], "2026-03-22")
    assert [turn.target.day for turn in found.open] == [14, 21]


def test_a_slot_lapses_when_the_next_one_begins() -> None:
    """Feeding at 8 and 18 o'clock: at 19 only the evening meal is open."""
    twice = by_rule("FREQ=DAILY", "2026-03-01", (time(8), time(18)))
    chore = a_chore(twice, if_missed=IfMissed.EXPIRE)
    assert [t.turn.slot for t in fold(chore, [], "2026-03-05", time(7)).open] == [
        time(8),
        time(18),
    ]
    evening = fold(chore, [], "2026-03-05", time(19))
    assert [t.turn.slot for t in evening.open] == [time(18)]
    assert [(t.key, t.slot) for t in evening.lapsed] == [("2026-03-05", time(8))]
    assert fold(chore, [], "2026-03-05", time(17)).lapsed == ()
    fed = an_entry(1, "2026-03-05", done="wipe", key="2026-03-05", slot=time(8), at=time(8, 5))
    assert fold(chore, [fed], "2026-03-05", time(19)).lapsed == ()


def test_ticking_one_slot_leaves_the_other_open() -> None:
    """Slots are ticked one by one."""
    twice = by_rule("FREQ=DAILY", "2026-03-01", (time(8), time(18)))
    chore = a_chore(twice, if_missed=IfMissed.EXPIRE)
    fed = an_entry(1, "2026-03-05", done="wipe", key="2026-03-05", slot=time(8), at=time(8, 5))
    found = fold(chore, [fed], "2026-03-05", time(9))
    assert [turn.turn.slot for turn in found.open] == [time(18)]
    assert [closed.turn.slot for closed in found.closed] == [time(8)]


@pytest.mark.parametrize(
    ("paused_on", "until", "target", "latest"),
    [
        # Its window began on Thursday 5 March; it can wait until Tuesday 10.
        ("2026-03-05", "2026-03-08", "2026-03-09", "2026-03-10"),
        ("2026-03-06", "2026-03-09", "2026-03-10", "2026-03-10"),
        # Past its window it is due on the day after the pause, until the next one comes.
        ("2026-03-07", "2026-03-12", "2026-03-13", "2026-03-13"),
        ("2026-03-06", "2026-03-20", "2026-03-21", "2026-03-24"),
        # On Wednesday nobody could have done it.
        ("2026-03-04", "2026-03-08", "2026-03-14", "2026-03-17"),
    ],
)
def test_a_turn_that_was_open_when_its_pause_began_is_due_after_it(
    paused_on: str, until: str, target: str, latest: str
) -> None:
    """The turn of Saturday 7 March lies in the pause, and stood in the round before it."""
    chore = a_chore(SATURDAYS, early_days=2, late_days=3)
    pause = an_entry(1, paused_on, Pause(PauseMode.HOLD, until=day(until)))

    found = fold(chore, [pause], target)

    (turn,) = found.open
    assert (turn.target, turn.latest) == (day(target), day(latest))
    assert not turn.is_put_off
    assert turn.earliest > day(until)
    on_last_day = fold(chore, [pause], until)
    assert on_last_day.paused is not None
    coming = [*on_last_day.open, on_last_day.upcoming]
    assert target in [str(one.target) for one in coming if one is not None]


def test_what_was_done_in_the_pause_all_the_same_is_not_due_after_it() -> None:
    """And a turn that was skipped before the pause stays so."""
    chore = a_chore(SATURDAYS, early_days=2, late_days=3)
    pause = an_entry(2, "2026-03-06", Pause(PauseMode.HOLD, until=day("2026-03-08")))
    in_it = an_entry(3, "2026-03-07", done="wipe", key="2026-03-07")
    skip = an_entry(1, "2026-03-05", Skip(Turn("wipe", "2026-03-07")))

    for entries in ([pause, in_it], [skip, pause]):
        found = fold(chore, entries, "2026-03-09")
        assert found.open == ()
        assert found.upcoming is not None
        assert found.upcoming.target == day("2026-03-14")


def test_turns_inside_a_pause_leave_no_debt_and_older_ones_keep_their_age() -> None:
    """The turn of 7 March stays open through a pause from 10 to 25 March."""
    pause = an_entry(1, "2026-03-10", Pause(PauseMode.HOLD, until=day("2026-03-25")))
    (turn,) = fold(a_chore(SATURDAYS), [pause], "2026-03-26").open
    assert (turn.target, turn.missed) == (day("2026-03-07"), 0)


def test_a_single_day_is_settled_for_good() -> None:
    """Once done it never comes back."""
    chore = a_chore(Once(day("2026-03-20")))
    assert target_of(fold(chore, [], "2026-03-10")) == day("2026-03-20")
    assert target_of(fold(chore, [done(1, "2026-03-12")], "2026-03-21")) is None


def test_a_turn_that_was_done_by_name_stays_done_wherever_it_is_moved() -> None:
    """Brought forward and done, and the put-off taken back after that: it does not come again."""
    entries = [
        an_entry(1, "2026-03-07", done="wipe", key="2026-03-07"),
        an_entry(2, "2026-03-08", PutOff(Turn("wipe", "2026-03-14"), day("2026-03-09"))),
        an_entry(3, "2026-03-09", done="wipe", key="2026-03-14"),
        an_entry(4, "2026-03-10", Revoke("e2")),
    ]
    found = fold(a_chore(SATURDAYS), entries, "2026-03-10")
    assert target_of(found) == day("2026-03-21")


def test_with_each_a_completion_without_a_turn_takes_the_oldest() -> None:
    """From another program's log: done on the 22nd, so the 7th is settled, and no other."""
    chore = a_chore(SATURDAYS, if_missed=IfMissed.EACH)
    found = fold(chore, [an_entry(1, "2026-03-22", done="wipe")], "2026-03-22")
    assert [turn.target.day for turn in found.open] == [14, 21]


def test_slots_lapse_in_the_order_of_the_day() -> None:
    """02:30 belongs to the day before, so it comes after 08:00 and lapses with the day."""
    chore = a_chore(
        by_rule("FREQ=DAILY", "2026-03-01", (time(2, 30), time(8))), if_missed=IfMissed.EXPIRE
    )
    slots = [turn.turn.slot for turn in fold(chore, [], "2026-03-06", time(3)).open]
    assert slots == [time(2, 30)]
    unnamed = an_entry(1, "2026-03-05", done="wipe", at=time(22))
    found = fold(chore, [unnamed], "2026-03-05", time(23))
    assert [one.turn.slot for one in found.open] == [time(2, 30)]


def test_a_completion_without_a_slot_is_for_the_latest_begun() -> None:
    """After midnight that is the slot of the night, whatever stands first in the list."""
    slots = (time(2, 30), time(8))
    chore = a_chore(by_rule("FREQ=DAILY", "2026-03-01", slots), if_missed=IfMissed.EXPIRE)
    instant = datetime.combine(day("2026-03-06"), time(3), BERLIN).astimezone(UTC)
    fed = replace(an_entry(1, "2026-03-05", done="wipe"), at=instant)
    found = fold(chore, [fed], "2026-03-06", time(3, 30))
    assert found.open == ()


def test_a_chore_that_ended_is_open_no_more() -> None:
    """Its missed turns are void after its last day."""
    for rhythm in (SATURDAYS, AfterLastDone(days(7)), Once(day("2026-03-10"))):
        chore = a_chore(rhythm, first_due=day("2026-03-07"), ended_on=day("2026-03-20"))
        assert fold(chore, [], "2026-03-20").open != ()
        assert fold(chore, [], "2026-03-21").open == ()


def test_a_chore_never_done_and_without_a_first_day_is_due() -> None:
    """Better today than never."""
    found = fold(a_chore(AfterLastDone(days(7))), [], "2026-03-20")
    assert target_of(found) == day("2026-03-20")


def test_a_new_version_of_a_rule_begins_on_its_day() -> None:
    """Saturdays to the end of March, then Wednesdays; past turns keep their keys."""
    chore = a_chore(
        by_rule("FREQ=WEEKLY;BYDAY=WE", "2026-04-06"),
        valid_from=day("2026-04-01"),
        earlier=(EarlierRhythm(day("2026-03-01"), SATURDAYS),),
        if_missed=IfMissed.EACH,
    )
    keys = [turn.turn.key for turn in fold(chore, [], "2026-04-16").open]
    assert keys == [
        "2026-03-07",
        "2026-03-14",
        "2026-03-21",
        "2026-03-28",
        "2026-04-08",
        "2026-04-15",
    ]


def test_what_was_put_off_is_forgotten_with_the_shift_it_followed() -> None:
    """Taking back the shift leaves no turn on a day that no rule yields."""
    entries = [
        an_entry(1, "2026-03-05", Shift(Turn("wipe", "2026-03-07"), day("2026-03-09"))),
        an_entry(2, "2026-03-05", PutOff(Turn("wipe", "2026-03-09"), day("2026-03-11"))),
        an_entry(3, "2026-03-06", Revoke("e1")),
    ]
    chore = a_chore(SATURDAYS, if_missed=IfMissed.EACH)
    keys = [turn.turn.key for turn in fold(chore, entries, "2026-03-14").open]
    assert keys == ["2026-03-07", "2026-03-14"]
    shifted = [turn.turn.key for turn in fold(chore, entries[:2], "2026-03-16").open]
    assert shifted == ["2026-03-09", "2026-03-16"]


def test_what_was_closed_today_is_shown_though_an_entry_lies_ahead() -> None:
    """A row written while the clock stood ahead hides nothing of today."""
    chore = a_chore(by_rule("FREQ=DAILY", "2026-03-01"))
    entries = [
        an_entry(1, "2026-03-05", done="wipe", key="2026-03-05"),
        an_entry(2, "2026-03-09", done="wipe", key="2026-03-09"),
    ]
    found = fold(chore, entries, "2026-03-05")
    assert [one.entry.id for one in found.closed] == ["e1"]


@pytest.mark.parametrize(
    ("rule", "slots", "late", "latest"),
    [
        ("FREQ=DAILY", (), 3, "2026-03-12"),
        ("FREQ=DAILY", (time(8),), 3, "2026-03-12"),
        # Thursday and Monday: it stands until Sunday.
        ("FREQ=WEEKLY;BYDAY=MO,TH", (), 7, "2026-03-15"),
        ("FREQ=WEEKLY;BYDAY=MO,TH", (), 1, "2026-03-13"),
        ("FREQ=WEEKLY;BYDAY=MO,TH", (time(8),), 7, "2026-03-12"),
    ],
)
def test_a_turn_that_lapses_waits_no_longer_than_it_stands(
    rule: str, slots: tuple[time, ...], late: int, latest: str
) -> None:
    """Whatever is written of its window; the next day it is gone, or the next one has come."""
    chore = a_chore(by_rule(rule, "2026-03-02", slots), if_missed=IfMissed.EXPIRE, late_days=late)

    turn = fold(chore, [], "2026-03-12", time(7)).open[0]
    assert (turn.target, turn.latest) == (day("2026-03-12"), day(latest))
    after = day(latest).toordinal() + 1
    later = fold(chore, [], date.fromordinal(after).isoformat(), time(7)).open
    assert all(one.target > turn.target for one in later)


@pytest.mark.parametrize("policy", list(IfMissed))
def test_what_was_put_off_waits_no_longer_than_until_the_next_turn(policy: IfMissed) -> None:
    """Of Sunday 1 March to Friday 6 March: its window of 3 days would reach over Sunday 8 March."""
    chore = a_chore(by_rule("FREQ=WEEKLY", "2026-03-01"), if_missed=policy, late_days=3)
    put_off = an_entry(1, "2026-03-01", fact=PutOff(Turn("wipe", "2026-03-01"), day("2026-03-06")))

    turn = fold(chore, [put_off], "2026-03-06").open[0]
    sooner = fold(chore, [], "2026-03-01").open[0]

    assert (turn.target, turn.latest) == (day("2026-03-06"), day("2026-03-07"))
    assert (sooner.target, sooner.latest) == (day("2026-03-01"), day("2026-03-04"))
