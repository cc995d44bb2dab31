"""What holds for every schedule, whatever people do to it."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.chores import AfterLastDone, IfMissed
from tankkeeper.core.history import history_of
from tankkeeper.core.intervals import MonthDay, Season, advance_with_seasons, parse_interval
from tankkeeper.core.logbook import Entry, Pause, PauseMode, PutOff, Revoke, Turn
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import pause_spans, spans_for
from tankkeeper.core.schedule import fold_chore
from tankkeeper.core.turns import ChoreState, OpenTurn, State
from tests.builders import a_chore, a_moment, an_entry, by_rule, day, days
from tests.stories import RHYTHMS, Step, Story, a_story_chore, steps

KINDS = [name for name, _ in RHYTHMS]
DAY_ONE = day("2026-01-05")


def all_turns(state: ChoreState) -> list[OpenTurn]:
    """Return what is open and what comes."""
    return [*state.open, *((state.upcoming,) if state.upcoming is not None else ())]


@pytest.mark.parametrize("kind", KINDS)
@given(story=steps)
def test_the_part_of_the_log_that_is_kept_says_the_same_as_the_whole(
    kind: str, story: list[Step]
) -> None:
    """What a store may leave out changes nothing of what is due, or was before it was ticked."""
    told = Story.of(a_story_chore(kind))
    for step in story:
        told.do(step)
        assert told.state() == told.state(of_everything=True)
        assert told.states_before_closing() == told.states_before_closing(of_everything=True)


@pytest.mark.parametrize("kind", KINDS)
@given(story=steps)
def test_whatever_is_done_the_turns_stand_in_order(kind: str, story: list[Step]) -> None:
    """Windows hold their target, ids are single, one open turn a slot, none comes in a pause.

    Nobody is told that a turn is done already which still stands in the list; only a tick that
    comes back by a redo may find its turn done by another one.
    """
    chore = a_story_chore(kind)
    told = Story.of(chore)
    for step in story:
        refused = told.do(step)
        assert refused != "already_done" or step.what in ("redo", "undo_some")
        state = told.state()
        turns = all_turns(state)
        assert all(turn.earliest <= turn.target <= turn.latest for turn in turns)
        ids = [turn.turn.id for turn in turns] + [one.turn.id for one in state.closed]
        assert len(ids) == len(set(ids))
        slots = [turn.turn.slot for turn in state.open]
        assert chore.if_missed is IfMissed.EACH or len(slots) == len(set(slots))
        paused = state.paused
        coming = state.upcoming
        if paused is not None and coming is not None and not paused.is_open:
            assert not paused.first <= coming.target.toordinal() <= paused.last


@pytest.mark.parametrize("kind", KINDS)
@given(story=steps, last=steps.filter(bool))
def test_what_is_undone_never_was(kind: str, story: list[Step], last: list[Step]) -> None:
    """An undo restores every turn, and the undo of the undo what was before it."""
    told = Story.of(a_story_chore(kind))
    for step in story:
        told.do(step)
    still = [Step(0, 1, step.what, step.number) for step in last[:1]]
    told.do(Step(0, 23, "wait", 0))
    before = told.state()
    length = len(told.store.entries)
    if told.do(still[0]) is not None or len(told.store.entries) == length:
        return
    if still[0].what in ("undo", "undo_some", "redo"):
        return
    after = told.state()
    told.do(Step(0, 1, "undo", 0))
    assert all_turns(told.state()) == all_turns(before)
    assert told.state().last_done == before.last_done
    told.do(Step(0, 1, "redo", 0))
    assert all_turns(told.state()) == all_turns(after)


@pytest.mark.parametrize("kind", ["every 7 days", "every month", "every 8 hours"])
@given(story=steps)
def test_after_a_completion_the_next_turn_lies_later(kind: str, story: list[Step]) -> None:
    """A chore counted from its completion is never due again on the day before it was done."""
    told = Story.of(a_story_chore(kind))
    for step in story:
        told.do(step)
        state = told.state()
        done = state.last_done
        for turn in all_turns(state):
            if done is not None and turn.turn.key == f"after:{done.id}" and not turn.is_put_off:
                later = turn.due_at > done.at if turn.due_at is not None else False
                assert later or turn.target > done.day


@pytest.mark.parametrize("kind", KINDS)
@given(story=steps, waits=st.integers(1, 60))
def test_time_that_passes_leaves_no_trace(kind: str, story: list[Step], waits: int) -> None:
    """Folding at a first moment and then at a second gives what only the second gives."""
    told = Story.of(a_story_chore(kind))
    for step in story:
        told.do(step)
    told.state()
    told.do(Step(waits, 12, "wait", 0))
    fresh = Story.of(a_story_chore(kind))
    fresh.store.entries = told.store.entries
    fresh.clock.at = told.clock.at
    assert told.state() == fresh.state()


def fold(rhythm: object, entries: list[Entry], moment: Moment, **changes: object) -> ChoreState:
    """Return the state of a chore at a moment."""
    chore = a_chore(rhythm, first_due=DAY_ONE, **changes)  # type: ignore[arg-type]
    history = history_of(entries)
    spans = spans_for(chore, pause_spans(history.pauses, ()))
    return fold_chore(chore, history.of_chore(chore.id), spans, moment)


def target(state: ChoreState) -> date | None:
    """Return the target of what is open or comes."""
    turns = all_turns(state)
    return turns[0].target if turns else None


@given(order=st.permutations(range(6)))
def test_the_order_of_writing_does_not_matter(order: list[int]) -> None:
    """Completions of a counted chore count by the day they were done."""
    done_on = [DAY_ONE + timedelta(days=number * 3) for number in range(6)]
    entries = [
        an_entry(seq, done_on[number], done="wipe", entry_id=f"d{number}")
        for seq, number in enumerate(order, start=1)
    ]
    found = fold(AfterLastDone(days(5)), entries, a_moment("2026-02-20"))
    assert target(found) == done_on[-1] + timedelta(days=5)


@given(
    first=st.integers(0, 700),
    later=st.integers(0, 40),
    text=st.sampled_from(["9 days", "1 month", "3 weeks", "1 year"]),
    with_season=st.booleans(),
)
def test_done_later_is_never_due_sooner(
    first: int, later: int, text: str, with_season: bool
) -> None:
    """The target is monotone in the day of the completion, month ends and seasons included."""
    interval = parse_interval("9 days" if with_season else text)
    summer = Season(MonthDay(5, 20), MonthDay(9, 10), days(4))
    rhythm = AfterLastDone(interval, (summer,) if with_season else ())
    base = DAY_ONE + timedelta(days=first)
    soon, late = (
        target(fold(rhythm, [an_entry(1, one, done="wipe")], a_moment("2026-01-06")))
        for one in (base, base + timedelta(days=later))
    )
    assert soon is not None
    assert late is not None
    assert soon <= late


@given(base=st.integers(0, 800), length=st.integers(1, 60))
def test_seasons_of_the_same_length_are_no_seasons(base: int, length: int) -> None:
    """A season with the same interval changes nothing."""
    begins = DAY_ONE + timedelta(days=base)
    same = Season(MonthDay(11, 1), MonthDay(3, 15), days(length))
    assert advance_with_seasons(begins, days(length), [same]) == begins + timedelta(days=length)


@given(
    done=st.lists(st.integers(0, 60), max_size=8),
    early=st.integers(0, 3),
    today=st.integers(0, 70),
    put=st.tuples(st.integers(0, 8), st.integers(0, 6)),
)
def test_completions_never_move_the_days_of_a_rule(
    done: list[int], early: int, today: int, put: tuple[int, int]
) -> None:
    """Each open or coming turn is a day of the rule; putting one off changes no other key."""
    rhythm = by_rule("FREQ=WEEKLY;BYDAY=MO", DAY_ONE.isoformat())
    entries = [
        an_entry(seq, DAY_ONE + timedelta(days=number), done="wipe")
        for seq, number in enumerate(done, start=1)
    ]
    moment = a_moment(DAY_ONE + timedelta(days=today))
    plain = all_turns(fold(rhythm, entries, moment, early_days=early, if_missed=IfMissed.EACH))
    assert all(date.fromisoformat(turn.turn.key).weekday() == 0 for turn in plain)
    key = (DAY_ONE + timedelta(days=7 * put[0])).isoformat()
    to = date.fromisoformat(key) + timedelta(days=put[1])
    moved = [*entries, an_entry(99, DAY_ONE, PutOff(Turn("wipe", key), to))]
    after = all_turns(fold(rhythm, moved, moment, early_days=early, if_missed=IfMissed.EACH))
    others = {turn.turn.key: turn.target for turn in after if turn.turn.key != key}
    for turn in plain:
        if turn.turn.key in others:
            assert others[turn.turn.key] == turn.target


@given(today=st.integers(0, 60), early=st.integers(0, 5), late=st.integers(0, 5))
def test_the_states_divide_the_time(today: int, early: int, late: int) -> None:
    """Coming before the window, may wait or due inside it, overdue after it."""
    on = DAY_ONE + timedelta(days=today)
    found = fold(
        AfterLastDone(days(30)),
        [an_entry(1, DAY_ONE, done="wipe")],
        a_moment(on),
        early_days=early,
        late_days=late,
    )
    (turn,) = all_turns(found)
    if on > turn.latest:
        expected = State.OVERDUE
    elif on in (turn.target, turn.latest):
        expected = State.DUE
    else:
        expected = State.MAY_WAIT if on >= turn.earliest else State.PROJECTED
    assert turn.state is expected


@given(
    begins=st.integers(1, 25),
    length=st.integers(1, 20),
    mode=st.sampled_from(PauseMode),
    is_taken_back=st.booleans(),
)
def test_pauses_move_targets_out_of_themselves(
    begins: int, length: int, mode: PauseMode, is_taken_back: bool
) -> None:
    """Freeze moves a later target by just its days, hold only one inside; undone, none."""
    first = DAY_ONE + timedelta(days=begins)
    last = first + timedelta(days=length - 1)
    entries = [an_entry(1, DAY_ONE, done="wipe"), an_entry(2, first, Pause(mode, until=last))]
    if is_taken_back:
        entries.append(an_entry(3, first, Revoke("e2")))
    plain = DAY_ONE + timedelta(days=14)
    expected = plain
    if not is_taken_back and mode is PauseMode.FREEZE and first <= plain:
        expected = plain + timedelta(days=length)
    elif not is_taken_back and first <= plain <= last:
        expected = last + timedelta(days=1)
    assert target(fold(AfterLastDone(days(14)), entries, a_moment("2026-03-30"))) == expected


@given(
    done=st.lists(st.integers(0, 400), max_size=5),
    today=st.integers(0, 420),
    zone=st.sampled_from(["Pacific/Auckland", "America/New_York", "Asia/Kolkata", "UTC"]),
)
def test_moving_house_changes_hours_but_no_dates(done: list[int], today: int, zone: str) -> None:
    """Entries keep the day they belonged to; slots yet to come are read in the new zone."""
    rhythm = by_rule("FREQ=DAILY;INTERVAL=3", DAY_ONE.isoformat(), (time(8), time(18)))
    entries = [
        an_entry(seq, DAY_ONE + timedelta(days=number), done="wipe", at=time(9))
        for seq, number in enumerate(done, start=1)
    ]
    here = a_moment(DAY_ONE + timedelta(days=today), time(13))
    there = Moment(here.now, here.day, ZoneInfo(zone), time(4), time(7))
    ours, theirs = (all_turns(fold(rhythm, entries, one)) for one in (here, there))
    assert [turn.turn for turn in ours] == [turn.turn for turn in theirs]
    assert [turn.target for turn in ours] == [turn.target for turn in theirs]
    for turn in theirs:
        slot = turn.turn.slot
        assert slot is not None
        wall = datetime.combine(turn.target, slot, there.zone)
        assert turn.due_at == wall
