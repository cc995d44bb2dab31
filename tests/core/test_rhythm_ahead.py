"""A rhythm, until a day to come on which another one takes its place."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.chores import (
    AfterLastDone,
    Chore,
    Condition,
    EarlierRhythm,
    Once,
    Rhythm,
    WhenWaterSays,
)
from tankkeeper.core.coming import projected_turns
from tankkeeper.core.history import History
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.logbook import Entry
from tankkeeper.core.rhythm_ahead import as_on, parted, rhythm_on
from tankkeeper.core.schedule import fold_chore
from tankkeeper.core.state import fold_household
from tankkeeper.core.turns import State
from tests.builders import a_chore, a_household, a_moment, an_entry, by_rule, day, days

SUNDAYS = by_rule("FREQ=WEEKLY;BYDAY=SU", "2026-12-05")
COUNTED = a_chore().rhythm


def changing(**more: object) -> Chore:
    """Return a chore counted in weeks whose first day is 29 November, Sundays from 5 December."""
    first = EarlierRhythm(day("2026-11-29"), a_chore().rhythm)
    known = {"first_due": day("2026-11-29"), "valid_from": day("2026-12-05"), "earlier": (first,)}
    return a_chore(SUNDAYS, **(known | more))


def coming(chore: Chore, today: str, last: str, *entries: Entry) -> list[date]:
    """Return the targets from today to a day: open work, and what is expected after it."""
    moment = a_moment(today)
    house = a_household(chores=(chore,))
    state = fold_household(house, History({chore.id: entries}), moment.now)
    one = state.chores[0]
    turns = projected_turns(state, one, moment.day.toordinal(), day(last).toordinal())
    return [turn.target for turn in one.open] + [date.fromordinal(turn.day) for _, turn in turns]


def test_what_is_counted_comes_until_the_calendar_begins() -> None:
    """A first turn on 29 November that nobody has done, and then the Sundays."""
    assert coming(changing(), "2026-11-26", "2026-12-14") == [
        day("2026-11-29"),
        day("2026-12-06"),
        day("2026-12-13"),
    ]


def test_what_was_done_is_followed_by_its_interval_only_before_the_calendar() -> None:
    """Done on 26 November: again on 3 December, and not on the 10th, but on Sundays."""
    done = an_entry(1, "2026-11-26", done="wipe")
    found = coming(changing(), "2026-11-27", "2026-12-14", done)
    assert found == [day("2026-12-03"), day("2026-12-06"), day("2026-12-13")]


def test_a_counted_turn_is_open_and_late_as_it_was_before_the_change() -> None:
    """The past stays; the rhythm in the state is the one that holds."""
    state = fold_chore(changing(), (), (), a_moment("2026-12-02"))
    assert [(one.target, one.state) for one in state.open] == [(day("2026-11-29"), State.OVERDUE)]
    assert state.chore.rhythm == COUNTED


def test_where_nothing_is_counted_any_more_the_calendar_stands_alone() -> None:
    """Done on 1 December: the next week ends after the calendar has begun."""
    done = an_entry(1, "2026-12-01", done="wipe")
    state = fold_chore(changing(), (done,), (), a_moment("2026-12-01"))
    assert state.later is None
    assert state.upcoming is not None
    assert state.upcoming.target == day("2026-12-06")


def test_from_its_day_on_only_the_calendar_counts() -> None:
    """What was not done before it does not come back."""
    state = fold_chore(changing(), (), (), a_moment("2026-12-05"))
    assert state.open == ()
    assert state.chore.rhythm == SUNDAYS


@pytest.mark.parametrize(
    "chore",
    [
        a_chore(),
        a_chore(valid_from=day("2026-12-20")),
        changing(valid_from=day("2026-11-20")),
        changing(earlier=(EarlierRhythm(day("2026-01-01"), by_rule("FREQ=DAILY", "2026-01-01")),)),
    ],
    ids=["never changed", "begins later", "changed already", "calendars"],
)
def test_other_chores_stay_whole(chore: Chore) -> None:
    """Two calendars are one series of rules."""
    assert parted(chore, day("2026-11-26")) == (chore, None)


def test_a_chore_that_ends_before_its_change_ends_then() -> None:
    """The earlier of the two days is the last one."""
    now, later = parted(changing(ended_on=day("2026-11-28")), day("2026-11-26"))
    assert now.ended_on == day("2026-11-28")
    assert later is not None
    assert days(7) == now.rhythm.interval  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("on", "rhythm"),
    [("2026-11-01", COUNTED), ("2026-11-30", COUNTED), ("2026-12-05", SUNDAYS)],
    ids=["before any", "the first one", "the one to come"],
)
def test_each_day_has_the_rhythm_that_holds_on_it(on: str, rhythm: object) -> None:
    """Words and counts about a day go by it, whatever is planned for later."""
    assert rhythm_on(changing(), day(on)) == rhythm
    assert as_on(changing(), day(on)).rhythm == rhythm


def counted_twice(first: int, then: int, begins: str = "2026-12-05") -> Chore:
    """Return a chore every `first` days after last done, every `then` days from a day on."""
    row = EarlierRhythm(day("2026-10-01"), AfterLastDone(days(first)))
    return a_chore(AfterLastDone(days(then)), valid_from=day(begins), earlier=(row,))


@pytest.mark.parametrize(
    ("first", "then", "found"),
    [
        # Done on 20 November: 27, 4; from the 5th on every 14 days after that, and so on.
        (7, 14, ["11-27", "12-04", "12-18", "01-01"]),
        # 4; then every 7 days after the 4th.
        (14, 7, ["12-04", "12-11", "12-18", "12-25", "01-01"]),
        # 10 December by the first; the second would have wanted it before it began.
        (20, 5, ["12-05", "12-10", "12-15", "12-20", "12-25", "12-30"]),
    ],
)
def test_what_is_counted_may_be_counted_otherwise_from_a_day_on(
    first: int, then: int, found: list[str]
) -> None:
    """The turns before the day keep to the first interval; after it the second one counts."""
    done = an_entry(1, "2026-11-20", done="wipe")
    told = coming(counted_twice(first, then), "2026-11-26", "2027-01-02", done)
    assert [f"{one:%m-%d}" for one in told] == found


def test_on_its_day_the_second_interval_counts_from_what_was_done() -> None:
    """Every 7 days, from 5 December every 14: late on the 4th, due on the 11th from the 5th on."""
    done = an_entry(1, "2026-11-27", done="wipe")
    chore = counted_twice(7, 14)
    before = fold_chore(chore, (done,), (), a_moment("2026-12-04"))
    after = fold_chore(chore, (done,), (), a_moment("2026-12-05"))
    assert [one.target for one in before.open] == [day("2026-12-04")]
    assert after.open == ()
    assert after.upcoming is not None
    assert after.upcoming.target == day("2026-12-11")


def test_a_single_day_that_replaces_a_rhythm_still_comes() -> None:
    """What was done before it by the interval does not settle it; what is done after it does."""
    row = EarlierRhythm(day("2026-10-01"), AfterLastDone(days(7)))
    chore = a_chore(Once(day("2026-12-20")), valid_from=day("2026-11-26"), earlier=(row,))
    done = an_entry(1, "2026-11-26", done="wipe")
    assert coming(chore, "2026-11-26", "2027-01-31", done) == [day("2026-12-20")]
    again = an_entry(2, "2026-12-18", done="wipe")
    assert coming(chore, "2026-12-19", "2027-01-31", done, again) == []


def test_what_the_water_will_say_begins_on_its_day() -> None:
    """Nothing is known of the water yet: only the longest interval brings it, from its day on."""
    row = EarlierRhythm(day("2026-10-01"), AfterLastDone(days(7)))
    water = WhenWaterSays(Condition.STOCK, of="salt", max_days=10)
    chore = a_chore(water, valid_from=day("2026-12-05"), earlier=(row,))
    done = an_entry(1, "2026-11-20", done="wipe")
    found = coming(chore, "2026-11-26", "2026-12-31", done)
    assert [f"{one:%m-%d}" for one in found] == ["11-27", "12-04", "12-14", "12-24"]


def as_lived(chore: Chore, entries: tuple[Entry, ...], first: date, last: date) -> list[date]:
    """Return the days on which a chore is done that somebody does on each day that asks for it."""
    written, found, on = list(entries), [], first
    while on <= last:
        state = fold_chore(chore, written, (), a_moment(on))
        if any(turn.target <= on for turn in state.open):
            found.append(on)
            written.append(an_entry(len(written) + 1, on, done=chore.id))
        on += timedelta(days=1)
    return found


RHYTHMS = st.one_of(
    st.integers(1, 20).map(lambda count: AfterLastDone(days(count))),
    st.just(AfterLastDone(Interval(1, IntervalUnit.MONTHS))),
    st.sampled_from(["MO", "SA", "TU,FR"]).map(
        lambda name: by_rule(f"FREQ=WEEKLY;BYDAY={name}", "2026-10-01")
    ),
    st.just(by_rule("FREQ=DAILY", "2026-10-01")),
)


@given(RHYTHMS, RHYTHMS, RHYTHMS, st.integers(1, 15), st.integers(1, 15), st.integers(0, 10))
def test_what_is_foreseen_is_what_comes(
    one: Rhythm, two: Rhythm, three: Rhythm, until_two: int, until_three: int, ago: int
) -> None:
    """Whoever does each turn on its day meets just the days that were foreseen at the start."""
    today, last = day("2026-11-26"), day("2027-01-25")
    second = today + timedelta(days=until_two)
    rows = (EarlierRhythm(day("2026-10-01"), one), EarlierRhythm(second, two))
    chore = a_chore(three, valid_from=second + timedelta(days=until_three), earlier=rows)
    done = an_entry(1, today - timedelta(days=ago), done="wipe")
    foreseen = [max(on, today) for on in coming(chore, str(today), str(last), done)]
    assert foreseen == as_lived(chore, (done,), today, last)
