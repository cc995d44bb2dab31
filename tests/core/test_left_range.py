"""A test comes once sooner after a reading that left its range, and moves by no more than that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, time

import pytest

from tankkeeper.core.chores import AfterLastDone, Chore, ChoreKind, EarlierRhythm
from tankkeeper.core.communities import Community
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Animal, OwnRange, Stage
from tankkeeper.core.intervals import parse_interval
from tankkeeper.core.logbook import (
    Entry,
    Fact,
    Pause,
    PauseMode,
    PutOff,
    Readings,
    Revoke,
    Skip,
    TopOff,
    Turn,
)
from tankkeeper.core.own_window import own_latest
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.state import fold_household
from tankkeeper.core.turns import ChoreState, OpenTurn, State
from tests.builders import a_box, a_chore, a_household, a_moment, an_entry, by_rule, day

# Nitrate 2 to 20 mg/L, phosphate 0.03 to 0.15 mg/L, alkalinity 7 to 11 dKH, nitrite up to
# 0.1 mg/L (soft corals; common practice, no source).
TANK = a_box(community=Community.SOFT_CORAL)


def read(**values: float) -> Readings:
    units = {"alkalinity": "dKH", "temperature": "degC", "salinity": "PSU", "ph": ""}
    return Readings(
        tuple(
            ReadingValue(name, value, units.get(name, "mg/L"), value)
            for name, value in values.items()
        )
    )


def tick(seq: int, on: str, **values: float) -> Entry:
    """Return a test that is done, with what was read."""
    return an_entry(seq, on, read(**values), done="wipe", key=f"k{seq}", tank="nook")


def logged(seq: int, on: str, at: time = time(9), **values: float) -> Entry:
    """Return readings that tick nothing."""
    return an_entry(seq, on, read(**values), tank="nook", at=at)


def a_test(every: str = "7 days", tests: tuple[str, ...] = ("nitrate",), **more: object) -> Chore:
    made = a_chore(
        AfterLastDone(parse_interval(every)),
        kind=ChoreKind.TEST,
        tank="nook",
        tests=tests,
        early_days=2,
        late_days=2,
    )
    return replace(made, **more)  # type: ignore[arg-type]


def folded(
    on: str, entries: Sequence[Entry], one: Chore | None = None, **more: object
) -> ChoreState:
    home = a_household(tanks=(TANK,), chores=(one or a_test(),))
    home = replace(home, **more)  # type: ignore[arg-type]
    return fold_household(home, history_of(entries), a_moment(on).now).chores[0]


def turn_on(
    on: str, entries: Sequence[Entry], one: Chore | None = None, **more: object
) -> OpenTurn:
    """Return the open or coming turn of the test on a day."""
    found = folded(on, entries, one, **more)
    turn = found.open[0] if found.open else found.upcoming
    assert turn is not None
    return turn


INSIDE = tick(1, "2026-03-03", nitrate=9)
LEFT = tick(2, "2026-03-10", nitrate=31)


@pytest.mark.parametrize(
    ("today", "state"),
    [
        ("2026-03-10", State.PROJECTED),
        ("2026-03-13", State.PROJECTED),
        ("2026-03-14", State.DUE),
        ("2026-03-15", State.MAY_WAIT),
        ("2026-03-16", State.DUE),
        ("2026-03-17", State.OVERDUE),
    ],
)
def test_a_test_comes_sooner_once_a_reading_has_left_its_range(today: str, state: State) -> None:
    """Every 7 days it would come on the 17th; half of them are 4 days, and its window goes along.

    Never below half of it (engineering judgement, no source); rounding up is a choice of
    this project.
    """
    turn = turn_on(today, (INSIDE, LEFT))
    assert (turn.earliest, turn.target, turn.latest) == (
        day("2026-03-14"),
        day("2026-03-14"),
        day("2026-03-16"),
    )
    assert turn.state is state
    assert turn.left is not None
    assert (turn.left.entry, turn.left.value.value) == (LEFT, 31)


@pytest.mark.parametrize(
    ("every", "parameter", "values", "after"),
    [
        # The usual least days: 3 of nitrate and phosphate, 2 of alkalinity, 7 of magnesium
        # (common practice, no source); 1 of what has no trend. Halves are rounded up.
        ("7 days", "nitrate", (9, 31), 4),
        ("7 days", "phosphate", (0.03, 0.02), 4),
        ("10 days", "nitrate", (9, 31), 5),
        ("5 days", "nitrate", (9, 31), 3),
        ("4 days", "nitrate", (9, 31), 3),
        ("4 days", "alkalinity", (8, 12), 2),
        ("3 days", "alkalinity", (8, 12), 2),
        ("14 days", "magnesium", (1300, 1600), 7),
        ("8 days", "magnesium", (1300, 1600), 7),
        ("2 weeks", "calcium", (420, 500), 7),
        ("3 days", "temperature", (25, 28), 2),
        # From 10 March to 10 April are 31 days.
        ("1 month", "magnesium", (1300, 1600), 16),
    ],
)
def test_it_comes_after_half_of_its_interval_and_no_sooner_than_is_usual(
    every: str, parameter: str, values: tuple[float, float], after: int
) -> None:
    log = [
        tick(n, f"2026-03-{d}", **{parameter: v})
        for n, (d, v) in enumerate(zip(("03", "10"), values, strict=True), 1)
    ]
    turn = turn_on("2026-03-10", log, a_test(every, (parameter,)))
    assert (turn.target - day("2026-03-10")).days == after


def _fact(seq: int, on: str, fact: Fact) -> Entry:
    return an_entry(seq, on, fact, at=time(13))


OPEN = Turn("wipe", "after:e2")


@pytest.mark.parametrize(
    ("entries", "target"),
    [
        ([tick(1, "2026-03-03", nitrate=31), LEFT], "2026-03-17"),
        ([tick(1, "2026-03-03", nitrate=25), LEFT], "2026-03-17"),
        ([logged(1, "2026-03-09", nitrate=25), LEFT], "2026-03-17"),
        ([INSIDE, tick(2, "2026-03-10", nitrate=20)], "2026-03-17"),
        ([INSIDE, LEFT, logged(3, "2026-03-11", nitrate=15)], "2026-03-17"),
        ([INSIDE, LEFT, logged(3, "2026-03-11", nitrate=30)], "2026-03-17"),
        ([INSIDE, LEFT, _fact(3, "2026-03-10", PutOff(OPEN, day("2026-03-15")))], "2026-03-15"),
        ([INSIDE, LEFT, _fact(3, "2026-03-10", Skip(OPEN, day("2026-03-17")))], "2026-03-24"),
        ([INSIDE, LEFT, an_entry(3, "2026-03-12", Revoke("e2"))], "2026-03-10"),
        ([INSIDE, LEFT, replace(tick(3, "2026-03-10", nitrate=13), replaces="e2")], "2026-03-17"),
    ],
    ids=[
        "outside before",
        "outside before by less",
        "outside before by another entry",
        "at its end",
        "inside since",
        "outside since, too",
        "put off",
        "left out",
        "taken back",
        "corrected",
    ],
)
def test_what_was_outside_before_or_was_decided_otherwise_keeps_its_day(
    entries: list[Entry], target: str
) -> None:
    """Steadily high nitrate is not tested twice as often for ever, and a person decides."""
    assert turn_on("2026-03-12", entries).target == day(target)


@pytest.mark.parametrize(
    ("entries", "target"),
    [
        ([LEFT], "2026-03-14"),
        ([tick(1, "2026-03-03", nitrate=1), LEFT], "2026-03-14"),
        ([tick(1, "2025-08-22", nitrate=31), LEFT], "2026-03-17"),
        ([tick(1, "2025-08-21", nitrate=31), LEFT], "2026-03-14"),
        (
            [INSIDE, tick(2, "2026-03-10", nitrate=15), logged(3, "2026-03-12", nitrate=31)],
            "2026-03-16",
        ),
    ],
    ids=["first", "on the other side", "200 days before", "201 days before", "read beside"],
)
def test_what_left_its_range_may_be_the_first_or_come_from_the_other_side(
    entries: list[Entry], target: str
) -> None:
    """Readings older than 200 days tell of no trend either; a choice of this project."""
    assert turn_on("2026-03-12", entries).target == day(target)


def test_reading_it_again_on_the_same_day_takes_nothing_back() -> None:
    """Who does not believe a reading reads it once more; that is no news of another kind."""
    again = logged(3, "2026-03-10", time(18), nitrate=30)
    turn = turn_on("2026-03-10", (INSIDE, LEFT, again))
    assert turn.target == day("2026-03-14")
    assert turn.left is not None
    assert turn.left.entry == again


def test_it_comes_sooner_only_once() -> None:
    """What is read outside at the sooner turn, too, leaves the one after it at its interval."""
    second = tick(3, "2026-03-14", nitrate=28)
    assert turn_on("2026-03-14", (INSIDE, LEFT, second)).target == day("2026-03-21")


def test_what_is_done_without_that_reading_is_done() -> None:
    """A test of two of which one is read at the sooner turn does not stand open for the other."""
    both = a_test(tests=("nitrate", "phosphate"))
    log = [
        tick(1, "2026-03-03", nitrate=9, phosphate=0.1),
        tick(2, "2026-03-10", nitrate=31, phosphate=0.1),
        tick(3, "2026-03-14", phosphate=0.1),
    ]
    assert turn_on("2026-03-14", log, both).target == day("2026-03-21")


def test_of_two_that_left_their_range_the_sooner_day_holds() -> None:
    """Alkalinity after 2 days at the least and nitrate after 3; half of 4 days is 2."""
    both = a_test("4 days", ("alkalinity", "nitrate"))
    log = [
        tick(1, "2026-03-06", alkalinity=8, nitrate=9),
        tick(2, "2026-03-10", alkalinity=12, nitrate=31),
    ]
    turn = turn_on("2026-03-10", log, both)
    assert turn.target == day("2026-03-12")
    assert turn.left is not None
    assert turn.left.value.parameter == "alkalinity"


@pytest.mark.parametrize(
    "more",
    [
        {"tanks": (a_box(community=None),)},
        {"tanks": (replace(TANK, ranges=(OwnRange("nitrate", 1.0, 40.0, "mg/L"),)),)},
        {"chores": (a_test(tests=("phosphate",)),)},
        {"chores": (a_test(rhythm=by_rule("FREQ=WEEKLY;BYDAY=TU", "2026-03-03")),)},
    ],
    ids=["no range", "inside the range of its own", "another test", "by the calendar"],
)
def test_nothing_comes_sooner_of_what_has_no_range_or_is_no_such_test(
    more: dict[str, object],
) -> None:
    turn = turn_on("2026-03-10", (INSIDE, LEFT), **more)
    assert (turn.target, turn.left) == (day("2026-03-17"), None)


def test_nitrite_of_a_tank_that_cycles_is_expected_and_nitrate_is_not() -> None:
    """As no warning tells of nitrite there either, until animals live in it."""
    tank = replace(TANK, stage=Stage.CYCLING)
    log = [tick(1, "2026-03-03", nitrite=0), tick(2, "2026-03-10", nitrite=2)]
    one = a_test(tests=("nitrite",))
    assert turn_on("2026-03-10", log, one, tanks=(tank,)).target == day("2026-03-17")
    stocked = turn_on("2026-03-10", log, one, tanks=(tank,), animals=(Animal("nook", "clown"),))
    assert stocked.target == day("2026-03-11")
    assert turn_on("2026-03-10", (INSIDE, LEFT), tanks=(tank,)).target == day("2026-03-14")


def test_what_harms_comes_the_next_day_whatever_else_left_its_range() -> None:
    """Ammonia is read again within a day, without a window."""
    both = a_test(tests=("ammonia", "nitrate"))
    log = [
        tick(1, "2026-03-03", ammonia=0, nitrate=9),
        tick(2, "2026-03-10", ammonia=1, nitrate=31),
    ]
    turn = turn_on("2026-03-10", log, both)
    assert (turn.target, turn.latest) == (day("2026-03-11"), day("2026-03-11"))
    assert (turn.brought_by, turn.left) == (log[1], None)


def test_what_is_never_done_keeps_its_first_day() -> None:
    """It is counted from no last time yet; readings that were logged tick nothing."""
    one = a_test(first_due=day("2026-03-20"))
    log = [logged(1, "2026-03-03", nitrate=9), logged(2, "2026-03-10", nitrate=31)]
    assert turn_on("2026-03-10", log, one).target == day("2026-03-20")


@pytest.mark.parametrize("today", ["2026-03-10", "2026-03-12", "2026-03-13", "2026-03-17"])
@pytest.mark.parametrize(
    ("mode", "target"),
    # The 12th to the 15th: what would fall into them comes on the 16th, or four days later.
    [(PauseMode.HOLD, "2026-03-16"), (PauseMode.FREEZE, "2026-03-18")],
)
def test_a_pause_moves_it_as_any_other_turn_and_its_end_moves_nothing(
    today: str, mode: PauseMode, target: str
) -> None:
    """The day is the same before, in and after the pause."""
    pause = an_entry(3, "2026-03-12", Pause(mode, "wipe", day("2026-03-15")))
    log = (INSIDE, LEFT, pause)
    assert turn_on(today, log).target == day(target)


def test_no_day_of_what_evaporates_moves_it() -> None:
    """A salinity below its range climbs inside by itself; its test stays where the reading put it.

    33 to 35.5 of soft corals; 4 days after the reading.
    """
    one = a_test(tests=("salinity",))
    fill = an_entry(1, "2026-03-02", TopOff(2.0, to_mark=True), tank="nook")
    log = [
        fill,
        tick(2, "2026-03-03", salinity=34),
        an_entry(3, "2026-03-09", TopOff(4.0, to_mark=True), tank="nook"),
        tick(4, "2026-03-10", salinity=32.9),
    ]
    targets = {turn_on(f"2026-03-{on}", log, one).target for on in range(10, 20)}
    assert targets == {day("2026-03-14")}


def test_a_rhythm_asks_for_nothing_before_it_begins() -> None:
    """Every 14 days until the 15th, then every 8, half of which would be the 14th."""
    earlier = EarlierRhythm(day("2026-03-01"), AfterLastDone(parse_interval("14 days")))
    one = a_test("8 days", valid_from=day("2026-03-16"), earlier=(earlier,))
    days = {turn_on(f"2026-03-{on}", (INSIDE, LEFT), one).target for on in range(10, 20)}
    assert days == {day("2026-03-16")}


def test_what_was_read_while_it_came_by_the_calendar_brings_nothing() -> None:
    """Its days were the keeper's then, and no day appears where the rhythm changes."""
    earlier = EarlierRhythm(day("2026-03-01"), by_rule("FREQ=WEEKLY;BYDAY=TU", "2026-03-03"))
    one = a_test(valid_from=day("2026-03-12"), earlier=(earlier,))
    assert turn_on("2026-03-12", (INSIDE, LEFT), one).target == day("2026-03-17")


def test_a_turn_that_was_put_off_says_where_it_would_have_been() -> None:
    """Its own window ends two days after the 14th, not after the 17th."""
    moved = _fact(3, "2026-03-10", PutOff(OPEN, day("2026-03-20")))
    home = a_household(tanks=(TANK,), chores=(a_test(),))
    state = fold_household(home, history_of((INSIDE, LEFT, moved)), a_moment("2026-03-10").now)
    turn = state.chores[0].upcoming
    assert turn is not None
    assert turn.left is not None
    assert own_latest(state, state.chores[0].chore, turn) == date(2026, 3, 16)
