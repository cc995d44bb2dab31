"""Turns that the water decides: the last safe round, bounds, pauses and parts."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from tankkeeper.core.chores import Chore, ChoreKind, Condition, EarlierRhythm, WhenWaterSays
from tankkeeper.core.logbook import Entry, PauseMode, PutOff, ReservoirCheck, Skip, TopOff, Turn
from tankkeeper.core.pauses import OPEN_END, Span
from tankkeeper.core.schedule import fold_chore
from tankkeeper.core.turns import ChoreState, State
from tankkeeper.core.water_lost import last_round_before
from tankkeeper.core.water_turns import Limit, LimitForecast
from tests.builders import a_chore, a_moment, an_entry, day, target_of

FILLED = an_entry(1, "2026-03-02", TopOff(4.0), done="wipe", tank="nook")


def chore(
    min_days: int | None = None,
    max_days: int | None = None,
    condition: Condition = Condition.EVAPORATION,
    **more: object,
) -> Chore:
    """Return a top-off chore of the tank "nook"."""
    rhythm = WhenWaterSays(condition, min_days=min_days, max_days=max_days)
    return a_chore(rhythm, kind=ChoreKind.TOP_OFF, tank="nook", **more)


def limit_on(
    on: str | None, base: Entry | None = FILLED, can_repeat: bool = False
) -> LimitForecast:
    """Return a forecast whose last safe round is on a day."""
    latest = None if on is None else day(on)
    return LimitForecast(base, Limit.LEVEL, latest, latest, None, can_repeat)


def fold(
    one: Chore,
    forecast: LimitForecast,
    today: str = "2026-03-03",
    entries: tuple[Entry, ...] = (FILLED,),
    pauses: tuple[Span, ...] = (),
) -> ChoreState:
    """Return the state of the chore at noon of a day."""
    return fold_chore(one, entries, pauses, a_moment(today), forecast)


@pytest.mark.parametrize(
    ("limit_at", "last"),
    [
        ("2026-03-05T06:00", "2026-03-05"),
        ("2026-03-05T05:59", "2026-03-04"),
        ("2026-03-05T18:00", "2026-03-05"),
        ("2026-03-06T02:00", "2026-03-05"),
    ],
    ids=["just at the round", "a minute before it", "in the evening", "at night, the day before"],
)
def test_the_last_round_before_a_limit(limit_at: str, last: str) -> None:
    """The usual round is at seven in Berlin, six in UTC; the day begins at four."""
    moment = datetime.fromisoformat(limit_at).replace(tzinfo=UTC)
    assert last_round_before(moment, a_moment("2026-03-02")) == day(last)


@pytest.mark.parametrize(
    ("bounds", "safe", "target"),
    [
        ((None, None), "2026-03-06", "2026-03-06"),
        ((None, 3), "2026-03-06", "2026-03-05"),
        ((None, 9), "2026-03-06", "2026-03-06"),
        ((6, None), "2026-03-06", "2026-03-06"),
        ((None, None), "2026-03-01", "2026-03-03"),
        ((None, 5), None, "2026-03-07"),
    ],
    ids=[
        "the last safe round",
        "at the longest every 3 days",
        "the limit comes before the longest interval",
        "the limit wins over the shortest interval",
        "a fill restores the mark, so never the same day",
        "no limit known, the longest interval alone",
    ],
)
def test_bounds(bounds: tuple[int | None, int | None], safe: str | None, target: str) -> None:
    """`max_days` bounds from above; the physical limit wins over `min_days`."""
    assert target_of(fold(chore(*bounds), limit_on(safe))) == day(target)


def test_never_filled_without_a_first_day_is_due_today_every_day() -> None:
    """Nobody knows the level, so filling to the mark is due."""
    unknown = limit_on(None, base=None)
    for today in ("2026-03-03", "2026-03-09"):
        (turn,) = fold(chore(), unknown, today, ()).open
        assert (turn.target, turn.state, turn.turn.key) == (day(today), State.DUE, "first")


@pytest.mark.parametrize("kind", [ChoreKind.TOP_OFF, ChoreKind.RESERVOIR])
@pytest.mark.parametrize(
    "begun",
    [
        {"first_due": day("2026-03-03"), "valid_from": day("2026-03-01")},
        {"valid_from": day("2026-03-03")},
        {
            "valid_from": day("2026-03-05"),
            "earlier": (EarlierRhythm(day("2026-03-03"), WhenWaterSays(Condition.STOCK)),),
        },
    ],
    ids=["a first day", "the first day of its rhythm", "the first day of its first rhythm"],
)
def test_never_filled_is_late_after_the_first_day(
    kind: ChoreKind, begun: dict[str, object]
) -> None:
    """The first fill waits since the chore first asked for it, like every other work."""
    one, unknown = replace(chore(**begun), kind=kind), limit_on(None, base=None)
    for today, state in (("2026-03-03", State.DUE), ("2026-03-09", State.OVERDUE)):
        (turn,) = fold(one, unknown, today, ()).open
        assert (turn.target, turn.state) == (day("2026-03-03"), state)


def test_never_filled_but_left_out_today_comes_again_tomorrow() -> None:
    """A skip holds for its day."""
    skipped = an_entry(1, "2026-03-03", Skip(Turn("wipe", "first")))
    state = fold(chore(), limit_on(None, base=None), "2026-03-03", (skipped,))
    assert (state.open, target_of(state)) == ((), day("2026-03-04"))


def test_a_stock_that_nothing_forecasts_does_not_nag_once_it_was_done() -> None:
    """Due until it was looked after once; then nothing says when it is due again."""
    buy = chore(condition=Condition.STOCK)
    nothing = LimitForecast(base=None)
    assert fold(buy, nothing, "2026-03-03", ()).open[0].state is State.DUE
    assert target_of(fold(buy, nothing, "2026-03-05", (FILLED,))) is None


def test_what_is_left_in_a_reservoir_may_be_due_the_same_day() -> None:
    """A look restores nothing, so the limit may lie on its own day."""
    look = an_entry(1, "2026-03-02", ReservoirCheck(left_l=2.0), tank="nook")
    state = fold(chore(), limit_on("2026-03-01", look, True), "2026-03-02", ())
    assert target_of(state) == day("2026-03-02")
    assert state.closed == ()


def test_a_part_is_followed_the_next_day() -> None:
    """After a part that was split off for the salinity the rest is due, whatever the limit."""
    part = an_entry(2, "2026-03-05", TopOff(2.0, to_mark=False), done="wipe", tank="nook")
    state = fold(chore(), limit_on("2026-03-20"), "2026-03-05", (FILLED, part))
    assert (state.open, target_of(state)) == ((), day("2026-03-06"))
    assert [one.state for one in state.closed] == [State.DONE]


def test_put_off_stands_where_it_was_put() -> None:
    """A put-off of the turn after the fill moves its target."""
    moved = an_entry(2, "2026-03-03", PutOff(Turn("wipe", "after:e1"), day("2026-03-05")))
    state = fold(chore(), limit_on("2026-03-04"), "2026-03-03", (FILLED, moved))
    assert target_of(state) == day("2026-03-05")
    assert state.upcoming is not None
    assert state.upcoming.is_put_off


def freeze(first: str, last: str | None) -> Span:
    """Return a pause of the tank."""
    end = OPEN_END if last is None else day(last).toordinal()
    return Span(day(first).toordinal(), end, PauseMode.FREEZE)


def test_the_first_day_after_a_freeze_is_due() -> None:
    """Nobody knows the level any more, wherever the forecast stood."""
    pauses = (freeze("2026-03-04", "2026-03-13"),)
    for safe in ("2026-03-03", "2026-03-08", "2026-03-30"):
        assert target_of(fold(chore(), limit_on(safe), "2026-03-15", pauses=pauses)) == day(
            "2026-03-14"
        )


def test_put_off_after_a_freeze_holds() -> None:
    """Due on the 14th after the pause, put off then to the 16th."""
    moved = an_entry(2, "2026-03-14", PutOff(Turn("wipe", "after:e1"), day("2026-03-16")))
    pauses = (freeze("2026-03-04", "2026-03-13"),)
    state = fold(chore(), limit_on(None), "2026-03-14", (FILLED, moved), pauses)
    assert target_of(state) == day("2026-03-16")


def test_no_turn_comes_in_a_freeze_without_an_end() -> None:
    """As long as nobody resumes there is nothing to fill."""
    state = fold(chore(), limit_on("2026-03-08"), pauses=(freeze("2026-03-03", None),))
    assert (state.open, state.upcoming) == ((), None)


def test_a_chore_that_ended_has_no_turns() -> None:
    """Neither open nor to come, once its last day is past or comes before the target."""
    ended = chore(ended_on=day("2026-03-05"))
    assert target_of(fold(ended, limit_on("2026-03-04"), "2026-03-05")) == day("2026-03-04")
    assert target_of(fold(ended, limit_on("2026-03-04"), "2026-03-06")) is None
    assert target_of(fold(ended, limit_on("2026-03-06"), "2026-03-03")) is None


def test_a_clock_set_back_keeps_the_target() -> None:
    """On a day before the fill the next turn still lies after it, and the rest is not lost."""
    state = fold(chore(), limit_on("2026-03-06"), "2026-02-27")
    assert target_of(state) == day("2026-03-06")


def test_what_was_filled_today_is_shown_as_done() -> None:
    """A fill that names no chore still settles the top-off of the day."""
    fill = an_entry(2, "2026-03-03", TopOff(3.0), tank="nook")
    state = fold(chore(), limit_on("2026-03-08", fill), "2026-03-03")
    assert [(one.state, one.entry.id) for one in state.closed] == [(State.DONE, "e2")]


def test_the_rest_of_a_part_is_not_open_before_the_next_day() -> None:
    """However early the work may be done: the rest is put in a day later, not at once."""
    part = an_entry(2, "2026-03-05", TopOff(2.0, to_mark=False), done="wipe", tank="nook")
    one = chore(early_days=2)

    today = fold(one, limit_on("2026-03-04"), "2026-03-05", (FILLED, part))
    tomorrow = fold(one, limit_on("2026-03-04"), "2026-03-06", (FILLED, part))

    assert today.open == ()
    assert target_of(today) == day("2026-03-06")
    assert [turn.state for turn in tomorrow.open] == [State.DUE]


def expected_from(safe: str, middle: str, base: Entry = FILLED) -> LimitForecast:
    """Return a forecast by a loss that nobody has measured yet."""
    return LimitForecast(base, Limit.RESERVOIR, day(safe), day(middle), is_expected=True)


@pytest.mark.parametrize(
    ("today", "state"),
    [
        ("2026-03-04", State.DUE),
        ("2026-03-05", State.MAY_WAIT),
        ("2026-03-12", State.DUE),
        ("2026-03-13", State.OVERDUE),
    ],
    ids=["its early end", "between", "the expected day", "after it"],
)
def test_what_a_guess_asks_for_is_late_only_after_the_expected_day(
    today: str, state: State
) -> None:
    """The target stays at the unfavourable end, and the window reaches to the middle."""
    (turn,) = fold(chore(), expected_from("2026-03-04", "2026-03-12"), today).open
    assert (turn.target, turn.latest) == (day("2026-03-04"), day("2026-03-12"))
    assert turn.state is state


@pytest.mark.parametrize(
    ("today", "state"), [("2026-03-04", State.DUE), ("2026-03-05", State.OVERDUE)]
)
def test_what_was_measured_is_late_the_day_after_its_unfavourable_end(
    today: str, state: State
) -> None:
    """However far the middle lies: only a guess may wait for it."""
    measured = replace(expected_from("2026-03-04", "2026-03-12"), is_expected=False)
    (turn,) = fold(chore(), measured, today).open
    assert (turn.target, turn.latest) == (day("2026-03-04"), day("2026-03-04"))
    assert turn.state is state


def test_a_reservoir_that_may_last_no_day_is_not_late_on_the_next_one() -> None:
    """The limit lies before the soonest day, which is therefore the target."""
    turn = fold(chore(), expected_from("2026-03-01", "2026-03-12"), "2026-03-04").open[0]
    assert (turn.target, turn.latest) == (day("2026-03-03"), day("2026-03-12"))
    assert turn.state is State.MAY_WAIT


def test_the_longest_interval_is_no_guess() -> None:
    """What the keeper wants at least so often is late the day after, whatever is expected."""
    turn = fold(chore(max_days=1), expected_from("2026-03-05", "2026-03-12"), "2026-03-04").open[0]
    assert turn.latest == day("2026-03-03")
    assert turn.state is State.OVERDUE


def test_put_off_past_a_guess_stands_on_its_own_day() -> None:
    """Who said a day knows better than the guess."""
    moved = an_entry(2, "2026-03-04", PutOff(Turn("wipe", "after:" + FILLED.id), day("2026-03-06")))
    turn = fold(
        chore(), expected_from("2026-03-04", "2026-03-12"), "2026-03-07", (FILLED, moved)
    ).open[0]
    assert (turn.target, turn.latest, turn.state) == (
        day("2026-03-06"),
        day("2026-03-06"),
        State.OVERDUE,
    )


def test_a_chore_that_has_ended_is_not_done_by_what_another_one_fills() -> None:
    """Of a tank whose reservoir is gone, a top-off by hand does no filling of it."""
    poured = an_entry(2, "2026-03-03", TopOff(2.0), done="other", tank="nook")
    going, ended = chore(), chore(ended_on=day("2026-03-02"))

    assert [one.entry for one in fold(going, limit_on(None, poured)).closed] == [poured]
    assert fold(ended, limit_on(None, poured)).closed == ()


@pytest.mark.parametrize("condition", list(Condition))
def test_no_chore_of_the_water_waits_past_its_last_safe_day(condition: Condition) -> None:
    """Its target is the last safe day, so that days after it are none of it, wherever they stood.

    Another rhythm has them.
    """
    one = chore(condition=condition, early_days=1, late_days=3)

    assert (one.early_days, one.late_days) == (1, 0)
    assert replace(one, rhythm=WhenWaterSays(condition), late_days=3).late_days == 0
    assert a_chore(late_days=3).late_days == 3
