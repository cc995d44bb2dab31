"""Pauses as spans of days, and what they do to targets."""

from __future__ import annotations

from datetime import date

import pytest

from tankkeeper.core.chores import AfterLastDone, Chore
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Stage
from tankkeeper.core.intervals import parse_interval
from tankkeeper.core.logbook import Entry, Pause, PauseMode, PutOff, Resume, Revoke, Turn
from tankkeeper.core.pauses import Span, last_freeze, moved_by_pauses, pause_spans, spans_for
from tankkeeper.core.schedule import fold_chore
from tankkeeper.core.turns import ChoreState, State
from tests.builders import a_box, a_chore, a_moment, an_entry, by_rule, day, days, target_of

HOLD, FREEZE = PauseMode.HOLD, PauseMode.FREEZE
WEEKLY = AfterLastDone(days(7))
SATURDAYS = by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-03-07")


def fold(chore: Chore, entries: list[Entry], today: str) -> ChoreState:
    """Return the state of a chore on the tank "nook" at noon."""
    history = history_of(entries)
    spans = spans_for(chore, pause_spans(history.pauses, (a_box(),)))
    return fold_chore(chore, history.of_chore("wipe"), spans, a_moment(today))


def pause(seq: int, on: str, mode: PauseMode, until: str | None = None, **more: object) -> Entry:
    """Return a pause from a day on."""
    fact = Pause(mode, until=None if until is None else day(until))
    return an_entry(seq, on, fact, **more)  # type: ignore[arg-type]


def test_pauses_of_chore_tank_and_house_are_all_heeded() -> None:
    """Each scope has its own spans; a chore is paused in any of them."""
    entries = [
        pause(1, "2026-03-02", HOLD, "2026-03-04"),
        pause(2, "2026-03-06", FREEZE, "2026-03-08", tank="nook"),
        an_entry(3, "2026-03-10", Pause(HOLD, "wipe", day("2026-03-11"))),
        an_entry(4, "2026-03-12", Pause(HOLD, "other", day("2026-03-13"))),
    ]
    spans = pause_spans(entries, ())
    assert [span.until for span in spans_for(a_chore(tank="nook"), spans)] == [
        day("2026-03-04"),
        day("2026-03-08"),
        day("2026-03-11"),
    ]
    assert len(spans_for(a_chore(), spans)) == 2


def test_the_day_of_the_resume_counts_again() -> None:
    """A pause from 2 to 10 March that is resumed on the 5th ends on the 4th."""
    entries = [pause(1, "2026-03-02", HOLD, "2026-03-10"), an_entry(2, "2026-03-05", Resume())]
    (span,) = pause_spans(entries, ())[("house", "")]
    assert (span.first, span.until) == (day("2026-03-02").toordinal(), day("2026-03-04"))


def test_a_later_pause_rules_from_its_day_on() -> None:
    """Longer or shorter than before: what was said last holds."""
    entries = [
        pause(1, "2026-03-02", HOLD),
        pause(2, "2026-03-05", HOLD, "2026-03-06"),
    ]
    spans = pause_spans(entries, ())[("house", "")]
    assert [span.until for span in spans] == [day("2026-03-04"), day("2026-03-06")]


@pytest.mark.parametrize("stage", [Stage.PAUSED, Stage.PLANNED, Stage.RETIRED])
def test_a_tank_that_rests_is_paused_from_its_day_on(stage: Stage) -> None:
    """The stage of a tank is a freeze without an end, until somebody resumes."""
    tank = a_box(stage=stage, since=day("2026-03-03"))
    (span,) = pause_spans((), (tank,))[("tank", "nook")]
    assert (span.first, span.is_open, span.mode) == (day("2026-03-03").toordinal(), True, FREEZE)


def test_only_a_paused_tank_is_let_go_on_by_a_row_of_the_log() -> None:
    """A tank that is planned or retired rests until its stage becomes another."""
    resumed = [an_entry(1, "2026-03-09", Resume(), tank="nook")]

    def is_open(stage: Stage) -> bool:
        tank = a_box(stage=stage, since=day("2026-03-03"))
        return any(one.is_open for one in pause_spans(resumed, (tank,))[("tank", "nook")])

    assert [is_open(one) for one in (Stage.PAUSED, Stage.PLANNED, Stage.RETIRED)] == [
        False,
        True,
        True,
    ]


def test_what_was_paused_before_a_tank_rests_by_its_stage_does_not_wake_it() -> None:
    """Paused and resumed in March, at rest since April: it rests."""
    entries = [
        pause(1, "2026-03-02", FREEZE, tank="nook"),
        an_entry(2, "2026-03-09", Resume(), tank="nook"),
    ]
    for stage in (Stage.PAUSED, Stage.PLANNED, Stage.RETIRED):
        tank = a_box(stage=stage, since=day("2026-04-01"))
        march, april = pause_spans(entries, (tank,))[("tank", "nook")]
        assert march.until == day("2026-03-08")
        assert (april.first, april.is_open) == (day("2026-04-01").toordinal(), True)


@pytest.mark.parametrize(
    ("base", "target", "spans", "lands"),
    [
        (0, 10, [Span(12, 20, FREEZE)], 10),
        (0, 10, [Span(5, 8, FREEZE)], 14),
        (6, 10, [Span(5, 8, FREEZE)], 12),
        (0, 10, [Span(5, 8, FREEZE), Span(7, 9, FREEZE)], 15),
        (0, 10, [Span(10, 12, HOLD)], 13),
        (0, 10, [Span(5, 9, HOLD)], 10),
        (0, 10, [Span(10, 12, HOLD), Span(13, 14, HOLD)], 15),
        (0, 10, [Span(5, 8, FREEZE), Span(12, 30, HOLD)], 31),
        (0, 10, [Span(5, date.max.toordinal(), FREEZE)], None),
        (0, 10, [Span(5, date.max.toordinal(), HOLD)], None),
    ],
)
def test_where_a_target_lands(base: int, target: int, spans: list[Span], lands: int | None) -> None:
    """Frozen days after the base do not count, each of them once; then no target in a pause."""
    assert moved_by_pauses(base, target, spans) == lands


def test_the_last_freeze_is_the_one_that_reaches_furthest() -> None:
    """Holds do not count, nor a freeze that ended before."""
    spans = [Span(1, 5, FREEZE), Span(3, 9, FREEZE), Span(4, 30, HOLD)]
    assert last_freeze(spans, 6) == spans[1]
    assert last_freeze(spans, 10) is None


def test_who_puts_off_after_a_freeze_names_a_day_of_the_calendar() -> None:
    """Frozen from 5 to 14 March, put off on the 15th to the 20th: it stands on the 20th."""
    entries = [
        an_entry(1, "2026-03-02", done="wipe"),
        pause(2, "2026-03-05", FREEZE, "2026-03-14", tank="nook"),
        an_entry(3, "2026-03-15", PutOff(Turn("wipe", "after:e1"), day("2026-03-20"))),
    ]
    assert target_of(fold(a_chore(WEEKLY, tank="nook"), entries, "2026-03-16")) == day("2026-03-20")


def test_a_freeze_that_begins_after_it_was_put_off_moves_it() -> None:
    """Put off on 3 March to the 12th, then five days frozen: 17 March."""
    entries = [
        an_entry(1, "2026-03-02", done="wipe"),
        an_entry(2, "2026-03-03", PutOff(Turn("wipe", "after:e1"), day("2026-03-12"))),
        pause(3, "2026-03-05", FREEZE, "2026-03-09", tank="nook"),
    ]
    assert target_of(fold(a_chore(WEEKLY, tank="nook"), entries, "2026-03-10")) == day("2026-03-17")


def test_a_turn_put_off_into_a_later_pause_is_due_after_it() -> None:
    """Saturday the 7th, open and put off to the 12th, then a holiday from the 10th to the 20th."""
    entries = [
        an_entry(1, "2026-03-08", PutOff(Turn("wipe", "2026-03-07"), day("2026-03-12"))),
        pause(2, "2026-03-10", HOLD, "2026-03-20"),
    ]
    state = fold(a_chore(SATURDAYS), entries, "2026-03-21")
    assert target_of(state) == day("2026-03-21")
    assert [turn.turn.key for turn in state.open] == ["2026-03-07"]


def test_a_turn_whose_both_days_lie_in_a_pause_leaves_no_debt() -> None:
    """Saturday the 14th, put off to the 16th before the holiday began."""
    entries = [
        an_entry(1, "2026-03-07", done="wipe"),
        an_entry(2, "2026-03-09", PutOff(Turn("wipe", "2026-03-14"), day("2026-03-16"))),
        pause(3, "2026-03-10", HOLD, "2026-03-20"),
    ]
    assert target_of(fold(a_chore(SATURDAYS), entries, "2026-03-21")) == day("2026-03-21")


def test_a_turn_brought_forward_out_of_a_pause_stays_open() -> None:
    """Saturday the 14th, brought forward to the 9th, not done before the holiday of the 10th."""
    entries = [
        an_entry(1, "2026-03-07", done="wipe"),
        an_entry(2, "2026-03-08", PutOff(Turn("wipe", "2026-03-14"), day("2026-03-09"))),
        pause(3, "2026-03-10", HOLD, "2026-03-20"),
    ]
    (turn,) = fold(a_chore(SATURDAYS), entries, "2026-03-22").open
    assert (turn.turn.key, turn.target) == ("2026-03-14", day("2026-03-09"))


def test_what_is_done_in_a_pause_is_done() -> None:
    """A turn put off into the pause and ticked during it does not come back after it."""
    entries = [
        an_entry(1, "2026-03-08", PutOff(Turn("wipe", "2026-03-07"), day("2026-03-12"))),
        pause(2, "2026-03-10", HOLD, "2026-03-20"),
        an_entry(3, "2026-03-15", done="wipe"),
    ]
    assert fold(a_chore(SATURDAYS), entries, "2026-03-21").open[0].turn.key == "2026-03-21"


def test_nothing_comes_in_a_pause_without_an_end() -> None:
    """There is no next Saturday as long as nobody resumes."""
    state = fold(a_chore(SATURDAYS), [pause(1, "2026-03-01", HOLD)], "2026-03-20")
    assert (state.open, state.upcoming) == ((), None)
    assert state.paused is not None


@pytest.mark.parametrize(
    ("mode", "until", "window"),
    [
        (HOLD, "2026-03-10", ("2026-03-11", "2026-03-11", "2026-03-13")),
        (HOLD, "2026-03-08", ("2026-03-09", "2026-03-09", "2026-03-11")),
        (HOLD, "2026-03-07", ("2026-03-08", "2026-03-09", "2026-03-11")),
        (HOLD, "2026-03-05", ("2026-03-06", "2026-03-09", "2026-03-11")),
        (FREEZE, "2026-03-04", ("2026-03-08", "2026-03-11", "2026-03-13")),
    ],
)
def test_no_window_begins_on_a_paused_day(
    mode: PauseMode, until: str, window: tuple[str, str, str]
) -> None:
    """Weekly since 2 March, three days early and two late: by itself 6 to 11 March."""
    chore = a_chore(WEEKLY, tank="nook", early_days=3, late_days=2)
    entries = [an_entry(1, "2026-03-02", done="wipe"), pause(2, "2026-03-03", mode, until)]
    for today in ("2026-03-03", until, "2026-03-11"):
        state = fold(chore, entries, today)
        turn = state.open[0] if state.open else state.upcoming
        assert turn is not None
        assert (turn.earliest, turn.target, turn.latest) == tuple(day(one) for one in window)


def test_hours_are_held_to_the_day_after() -> None:
    """Every eight hours, and away from the 3rd to the 5th: due on the 6th, at no stated hour."""
    chore = a_chore(AfterLastDone(parse_interval("8 hours")))
    entries = [an_entry(1, "2026-03-02", done="wipe"), pause(2, "2026-03-02", HOLD, "2026-03-05")]
    (turn,) = fold(chore, entries, "2026-03-06").open
    assert (turn.target, turn.due_at, turn.state) == (day("2026-03-06"), None, State.DUE)


def test_an_undone_pause_never_was() -> None:
    """Taken back, its days are days like any other."""
    taken_back = [
        an_entry(1, "2026-03-02", done="wipe"),
        pause(2, "2026-03-05", FREEZE),
        an_entry(3, "2026-03-06", Revoke("e2")),
    ]
    chore = a_chore(WEEKLY)
    assert fold(chore, taken_back, "2026-03-20") == fold(chore, taken_back[:1], "2026-03-20")
