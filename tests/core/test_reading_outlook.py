"""Due days from measured trends: tests, changes and other work that wait for a reading."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.chores import Chore, ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.coming import projected_turns
from tankkeeper.core.communities import Community
from tankkeeper.core.fold_memory import Memory
from tankkeeper.core.history import history_of
from tankkeeper.core.household import OwnRange, Tank
from tankkeeper.core.logbook import (
    Entry,
    Pause,
    PauseMode,
    PutOff,
    Readings,
    Skip,
    Turn,
    WaterChange,
)
from tankkeeper.core.parameters import PARAMETERS, parse_reading
from tankkeeper.core.reading_outlook import (
    HABITS,
    LEAST_READINGS,
    MOST_READINGS,
    Ground,
    ReadingOutlook,
    reading_outlook,
)
from tankkeeper.core.state import HouseholdState, fold_household
from tankkeeper.core.turns import ChoreState, State
from tests.builders import a_box, a_chore, a_household, a_moment, an_entry

BEGUN = date(2026, 3, 1)
TANK = replace(a_box(), community=Community.LARGE_POLYP_STONY)


def on(days: float) -> date:
    return BEGUN + timedelta(days=int(days))


def read(of: str, *values: tuple[int, float], test: str | None = None) -> list[Entry]:
    """Readings of one parameter, each with its day."""
    return [
        an_entry(
            seq,
            on(day),
            Readings((parse_reading(of, str(value)),)),
            tank="nook",
            done=test,
            key="first" if test is not None else "",
            entry_id=f"r{of}{day}",
        )
        for seq, (day, value) in enumerate(values, start=1)
    ]


def outlook(
    of: str, entries: list[Entry], tank: Tank = TANK, net_l: float | None = 80.0
) -> ReadingOutlook:
    return reading_outlook(tank, of, entries, net_l)


def waiting(of: str, kind: ChoreKind = ChoreKind.TEST, **bounds: int) -> Chore:
    """A chore that waits for what the trend of a parameter says."""
    rhythm = WhenWaterSays(Condition.FORECAST, of, **bounds)
    return a_chore(rhythm, kind=kind, tank="nook")


def folded(chore: Chore, entries: list[Entry], day: int, tank: Tank = TANK) -> HouseholdState:
    home = a_household(tanks=(tank,), chores=(chore,))
    numbered = [replace(one, seq=seq) for seq, one in enumerate(entries, start=1)]
    return fold_household(home, history_of(numbered), a_moment(on(day)).now)


def target(state: HouseholdState) -> int | None:
    """The day of the open or coming turn, counted from the first."""
    one: ChoreState = state.chores[0]
    turn = one.open[0] if one.open else one.upcoming
    return None if turn is None else (turn.target - BEGUN).days


STEADY = read("alkalinity", *((3 * place, 8.6) for place in range(8)))
FALLING = read("alkalinity", *((3 * place, 9.6 - 0.21 * place) for place in range(8)))


# What the readings tell


@pytest.mark.parametrize(
    ("of", "entries", "ground"),
    [
        ("alkalinity", [], Ground.UNREAD),
        ("alkalinity", STEADY[:2], Ground.FEW),
        ("alkalinity", STEADY, Ground.TREND),
        ("alkalinity", [*STEADY, *read("alkalinity", (30, 7.0))], Ground.OUTSIDE),
        ("ammonia", read("ammonia", (0, 0.1), (3, 0.1), (6, 0.1)), Ground.UNTRENDED),
        ("ammonia", read("ammonia", (0, 0.5)), Ground.OUTSIDE),
    ],
)
def test_what_an_outlook_rests_on(of: str, entries: list[Entry], ground: Ground) -> None:
    assert outlook(of, entries).ground is ground


def test_without_a_range_nothing_can_be_left() -> None:
    """A tank of which nobody said what lives in it; an own range makes it known."""
    bare = replace(TANK, community=None)
    own = replace(bare, ranges=(OwnRange("alkalinity", 2.5, 3.5, "meq/L"),))
    assert outlook("alkalinity", STEADY, bare).ground is Ground.NO_RANGE
    assert outlook("alkalinity", STEADY, own).ground is Ground.TREND


def test_a_falling_value_leaves_its_range_a_steady_one_does_not() -> None:
    """8.13 dKH on day 21 that falls by 0.07 a day reaches 7.5 in nine days, by a plain line."""
    falling, steady = outlook("alkalinity", FALLING), outlook("alkalinity", STEADY)
    assert falling.trend is not None
    assert falling.trend.rate.value == pytest.approx(-0.07, abs=0.02)
    assert not falling.is_steady
    assert falling.inside_until is not None
    assert 2 <= (falling.inside_until - on(21)).days <= 8
    expected = falling.value_on(on(30))
    assert expected is not None
    assert expected.value == pytest.approx(7.5, abs=0.2)
    assert steady.is_steady
    assert steady.inside_until is None or steady.inside_until > on(21 + 14)


def test_a_water_change_is_part_of_the_trend() -> None:
    """A third of the water without nitrate takes a third of it, and the rate stays."""
    rising = read("nitrate", *((4 * place, 5.0 + place) for place in range(8)))
    change = an_entry(20, on(28), WaterChange(27.0), tank="nook", entry_id="c")
    before, after = outlook("nitrate", rising), outlook("nitrate", [*rising, change])
    # Both stand on day 28.
    was, now = before.value_on(on(28)), after.value_on(on(28))
    assert was is not None
    assert now is not None
    assert now.value == pytest.approx(was.value * (1 - 27.0 / 80.0), rel=1e-6)
    assert before.inside_until is not None
    assert after.inside_until is not None
    assert after.inside_until > before.inside_until


@pytest.mark.parametrize("net_l", [None, 0.0])
def test_a_change_of_unknown_share_widens_the_span(net_l: float | None) -> None:
    """Nobody knows how much it thinned."""
    rising = read("nitrate", *((4 * place, 5.0 + place) for place in range(8)))
    change = an_entry(20, on(28), WaterChange(12.0), tank="nook", entry_id="c")
    known = outlook("nitrate", [*rising, change]).value_on(on(28))
    unknown = outlook("nitrate", [*rising, change], net_l=net_l).value_on(on(28))
    assert known is not None
    assert unknown is not None
    assert unknown.high - unknown.low > known.high - known.low


def test_only_the_newest_readings_tell() -> None:
    """Thirty of the last two hundred days; a year before tells nothing of today."""
    daily = read("ph", *((day, 8.1) for day in range(60)))
    assert outlook("ph", daily).readings == MOST_READINGS
    old = read("alkalinity", (-400, 5.0), (-390, 5.0))
    assert outlook("alkalinity", [*old, *STEADY]) == outlook("alkalinity", STEADY)


# When a test is due


def test_a_test_never_made_is_due_and_counts_from_the_first_reading() -> None:
    test = waiting("alkalinity")
    assert folded(test, [], 5).chores[0].open[0].state is State.DUE
    # Fewer than three readings: the usual fewest days, two for alkalinity.
    assert target(folded(test, STEADY[:1], 1)) == 2
    assert target(folded(test, STEADY[:2], 4)) == 5


def test_a_steady_parameter_is_tested_seldom_a_falling_one_soon() -> None:
    """Within the usual bounds of alkalinity, 2 and 14 days."""
    test = waiting("alkalinity")
    steady, falling = target(folded(test, STEADY, 21)), target(folded(test, FALLING, 21))
    assert steady is not None
    assert falling is not None
    assert 21 + 5 < steady <= 21 + 14
    assert 21 + 2 <= falling < steady


def test_a_day_passing_moves_no_date() -> None:
    """Only an event does."""
    test = waiting("alkalinity")
    assert len({target(folded(test, STEADY, day)) for day in range(21, 40)}) == 1
    assert folded(test, STEADY, 60).chores[0].open[0].state is State.OVERDUE


@pytest.mark.parametrize(
    ("bounds", "entries", "due"),
    [
        ({"max_days": 4}, STEADY, 25),
        ({"min_days": 6}, FALLING, 27),
        ({"max_days": 1}, STEADY[:1], 1),
        ({"min_days": 20}, STEADY, 41),
        ({}, [*STEADY, *read("alkalinity", (22, 6.9))], 24),
        ({"min_days": 1}, [*STEADY, *read("alkalinity", (22, 6.9))], 23),
    ],
)
def test_the_bounds_of_the_keeper_win(
    bounds: dict[str, int], entries: list[Entry], due: int
) -> None:
    """Over the usual ones; a value outside its range is read again after the fewest days."""
    last = max((one.day - BEGUN).days for one in entries)
    assert target(folded(waiting("alkalinity", **bounds), entries, last)) == due


@pytest.mark.parametrize("of", ["ammonia", "nitrite", "temperature"])
def test_what_has_no_trend_comes_every_week(of: str) -> None:
    """Unless the rhythm says otherwise."""
    entries = read(of, (0, {"temperature": 25.0}.get(of, 0.0)))
    assert target(folded(waiting(of), entries, 0)) == 7
    assert target(folded(waiting(of, max_days=3), entries, 0)) == 3


def test_every_reading_counts_whoever_asked_for_it() -> None:
    """One that was written down without the chore, too; it shows as done that day."""
    test = waiting("alkalinity")
    state = folded(test, STEADY[:1], 0)
    assert [one.state for one in state.chores[0].closed] == [State.DONE]
    assert target(folded(test, [*STEADY, *read("calcium", (25, 420.0))], 25)) == target(
        folded(test, STEADY, 25)
    )


def test_a_skipped_test_comes_again_after_the_fewest_days() -> None:
    test = waiting("alkalinity")
    skip = an_entry(30, on(45), Skip(Turn("wipe", "after:ralkalinity21")))
    assert target(folded(test, [*STEADY, skip], 45)) == 47
    never = an_entry(1, on(5), Skip(Turn("wipe", "first")))
    assert target(folded(test, [never], 5)) == 7


def test_a_test_put_off_stands_where_it_was_put() -> None:
    test = waiting("alkalinity")
    moved = an_entry(30, on(22), PutOff(Turn("wipe", "after:ralkalinity21"), on(50)))
    assert target(folded(test, [*STEADY, moved], 22)) == 50


def test_after_the_tank_stood_still_it_is_read_first() -> None:
    test = waiting("alkalinity")
    still = an_entry(30, on(22), Pause(PauseMode.FREEZE, until=on(29)), tank="nook")
    assert target(folded(test, [*STEADY, still], 24)) == 30


def test_the_turns_ahead_keep_the_interval_of_today() -> None:
    """The trend of then is not known, so the present interval goes on."""
    state = folded(waiting("alkalinity"), STEADY, 21)
    first = target(state)
    assert first is not None
    ahead = projected_turns(state, state.chores[0], on(21).toordinal(), on(21 + 60).toordinal())
    days = [(date.fromordinal(one.day) - BEGUN).days for _, one in ahead]
    assert days[0] == first
    assert {later - sooner for sooner, later in pairwise(days)} == {first - 21}


def test_a_late_test_stays_late_when_the_water_is_changed() -> None:
    """Nobody has looked since; before its day a change moves it as the trend says."""
    test = waiting("alkalinity")
    due = target(folded(test, FALLING, 21))
    assert due is not None
    late, early = (
        an_entry(30, on(day), WaterChange(24.0), tank="nook", entry_id="c") for day in (due + 6, 22)
    )

    after = folded(test, [*FALLING, late], due + 6)
    assert target(after) == due
    assert after.chores[0].open[0].state is State.OVERDUE
    assert target(folded(test, [*FALLING, early], 22)) != due


# When other work is due


RISING = read("nitrate", *((4 * place, 8.0 + place) for place in range(6)))


def test_a_change_is_due_before_the_range_is_left() -> None:
    """14 mg/L may lie beyond 15 soon; done, the change itself moves the next one."""
    change = waiting("nitrate", ChoreKind.WATER_CHANGE)
    due = target(folded(change, RISING, 20))
    assert due is not None
    assert 20 <= due < 28
    done = an_entry(30, on(22), WaterChange(30.0), tank="nook", done="wipe", key="first")
    again = target(folded(change, [*RISING, done], 22))
    assert again is not None
    assert again > due


def test_a_change_that_nothing_calls_for_has_no_day() -> None:
    """No readings, or steady ones; a longest interval still brings it."""
    change = waiting("nitrate", ChoreKind.WATER_CHANGE)
    low = read("nitrate", *((4 * place, 7.0) for place in range(8)))
    assert target(folded(change, [], 3)) is None
    fish = replace(TANK, community=Community.FISH_ONLY)
    assert target(folded(change, low, 30, fish)) is None
    bounded = waiting("nitrate", ChoreKind.WATER_CHANGE, max_days=21)
    done = an_entry(30, on(30), WaterChange(8.0), tank="nook", done="wipe", key="first")
    assert target(folded(bounded, [], 3)) == 3
    assert target(folded(bounded, [*low, done], 30)) == 51


def test_other_work_waits_for_a_reading_after_it() -> None:
    """What fresh media did to the phosphate only a test tells."""
    media = waiting("phosphate", ChoreKind.FILTER_MEDIA, min_days=3)
    high = read("phosphate", *((4 * place, 0.06 + 0.01 * place) for place in range(6)))
    assert target(folded(media, high, 20)) == 20
    done = an_entry(30, on(21), done="wipe", key="first")
    assert target(folded(media, [*high, done], 21)) is None
    still_high = [*high, done, *read("phosphate", (23, 0.15))]
    assert target(folded(media, still_high, 23)) == 24


def test_a_change_left_out_comes_again_after_its_fewest_days() -> None:
    change = waiting("nitrate", ChoreKind.WATER_CHANGE, min_days=5)
    skip = an_entry(30, on(24), Skip(Turn("wipe", "first")))
    high = [*RISING, *read("nitrate", (24, 18.0))]
    assert target(folded(change, [*high, skip], 24)) == 29


# Laws


@given(
    st.sampled_from(sorted(HABITS)),
    st.lists(st.tuples(st.integers(0, 20), st.floats(0.0, 1.0)), min_size=1, max_size=12),
    st.integers(0, 40),
)
def test_a_test_always_has_a_day_within_its_bounds(
    of: str, steps: list[tuple[int, float]], later: int
) -> None:
    """From the newest reading, whatever was read; and remembering changes nothing."""
    day, values = 0, []
    limits = PARAMETERS[of].limits
    for gap, share in steps:
        day += gap
        values.append((day, round(limits.low + share * (limits.high - limits.low), 3)))
    test, habit = waiting(of), HABITS[of]
    entries = read(of, *values)
    state = folded(test, entries, day + later)
    due = target(state)
    assert due is not None
    assert day + habit.least_days <= due <= day + habit.most_days

    home, history, memory = state.household, state.history, Memory()
    now = state.moment.now
    fold_household(home, history_of(entries[:-1]), now, memory)
    assert fold_household(home, history, now, memory).chores == state.chores


# What is foretold of a trend that is still to be made known


@pytest.mark.parametrize("bounds", [{}, {"min_days": 1, "max_days": 9}, {"min_days": 4}])
@pytest.mark.parametrize("before", [0, 1, 2])
def test_what_is_foretold_of_a_begun_trend_is_what_comes(
    bounds: dict[str, int], before: int
) -> None:
    """Day after day with a reading on each turn: as foretold until the trend is known.

    After that it comes on the last day foretold at the latest.
    """
    chore = replace(waiting("alkalinity", **bounds), tests=("alkalinity",))
    entries = read("alkalinity", *((place, 8.6) for place in range(before)))
    start = max(0, before - 1)
    state = folded(chore, entries, start)
    first = target(state)
    assert first is not None
    coming = projected_turns(state, state.chores[0], on(0).toordinal(), on(60).toordinal())
    foretold = [turn.day - BEGUN.toordinal() for _, turn in coming]
    foretold = [first, *(day for day in foretold if day > first)]

    came = []
    for day in range(start, 40):
        turn = target(folded(chore, entries, day))
        if turn == day:
            came.append(day)
            entries += read("alkalinity", (day, 8.6))
    known = LEAST_READINGS - before

    assert foretold[:known] == came[:known]
    assert came[known] <= foretold[known]
