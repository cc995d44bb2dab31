"""Skip, put off, shift, pause and resume: what is refused, and whether what is offered works."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from tankkeeper.core.chores import (
    AfterLastDone,
    Calendar,
    Chore,
    ChoreKind,
    Condition,
    IfMissed,
    Once,
    WhenWaterSays,
)
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import TopOffLimits
from tankkeeper.core.intervals import parse_interval
from tankkeeper.core.logbook import Pause, PauseMode, PutOff, Resume, Shift, Skip, Turn
from tankkeeper.core.state import Item
from tankkeeper.core.turns import State
from tankkeeper.core.water_turns import Limit
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.limit_words import skipped_limit_words
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.numbers_used import numbers_used
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.window_words import day_words
from tankkeeper.reports.words import Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import find_item, find_tank
from tankkeeper.services.moving import (
    pause_chore,
    pause_tank,
    put_off,
    put_off_all,
    resume_chore,
    resume_tank,
    settled_with,
    shift,
    skip,
    window_end,
)
from tankkeeper.services.round import round_of
from tankkeeper.services.skipped_limits import limits_passed
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_chore, a_household, by_rule, day, days
from tests.fakes import FakeStore, SetClock, a_desk

TANK = a_box(top_off=TopOffLimits(allowed_drop_mm=60.0, allowed_salinity_rise=6.0))
SATURDAYS = by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-03-07")


def desk_of(chore: Chore, on: str, at: time = time(12)) -> tuple[Desk, FakeStore, SetClock]:
    """Return a desk with one chore on the tank "nook"."""
    return a_desk(a_household(tanks=(TANK,), chores=(chore,)), on, at)


def saturdays(**more: object) -> Chore:
    """Return the chore of every Saturday from 7 March on."""
    return a_chore(SATURDAYS, tank="nook", **more)


def weekly(**more: object) -> Chore:
    """Return the chore counted from the last time, first due on 2 March."""
    return a_chore(AfterLastDone(days(7)), tank="nook", first_due=day("2026-03-02"), **more)


def item_of(desk: Desk) -> Item:
    """Return the foremost line of the chore."""
    item = find_item(desk.state(), "wipe")
    assert item is not None
    return item


def target_of(desk: Desk) -> date | None:
    """Return the target of the foremost line."""
    turn = item_of(desk).open
    return None if turn is None else turn.target


def refused(code: str, desk: Desk, to: str) -> UserFault:
    """Return the fault with which a put-off is refused."""
    with pytest.raises(UserFault) as fault:
        put_off(desk, "wipe", day(to))
    assert fault.value.code == code
    return fault.value


# Skip


@pytest.mark.parametrize(
    ("today", "following"),
    [("2026-03-01", "2026-03-09"), ("2026-03-02", "2026-03-09"), ("2026-03-12", "2026-03-19")],
    ids=["ahead", "on the day", "overdue"],
)
def test_a_skip_goes_on_from_the_target_or_from_today(today: str, following: str) -> None:
    """Counted from the later of both, so the rhythm is kept and nothing is overdue tomorrow."""
    desk, store, _ = desk_of(weekly(), today)
    skip(desk, ["wipe"], why="no time", by=None)
    assert store.entries[0].note == "no time"
    coming = find_item(desk.state(), "wipe@after:n1")
    assert coming is not None
    assert coming.open is not None
    assert coming.open.target == day(following)


def test_a_completion_after_a_skip_counts_from_its_own_day() -> None:
    """Skipped ahead on the 1st, done on the 3rd all the same, due on the 10th."""
    desk, _, clock = desk_of(weekly(), "2026-03-01")
    skip(desk, ["wipe"])
    clock.set_to("2026-03-03")
    tick(desk, [Tick("wipe")])
    coming = find_item(desk.state(), "wipe@after:n2")
    assert coming is not None
    assert coming.open is not None
    assert coming.open.target == day("2026-03-10")
    clock.set_to("2026-03-10")
    (outcome,) = tick(desk, [Tick("wipe")])
    assert not outcome.was_done_already


def test_a_skip_of_hours_ahead_keeps_the_rhythm() -> None:
    """Every eight hours, done at noon, skipped at one: due at four in the night."""
    chore = a_chore(AfterLastDone(parse_interval("8 hours")), first_due=day("2026-03-02"))
    desk, _, clock = desk_of(chore, "2026-03-02")
    tick(desk, [Tick("wipe")])
    clock.set_to("2026-03-02", time(13))
    skip(desk, ["wipe@after:n1"])
    coming = find_item(desk.state(), "wipe@after:n2")
    assert coming is not None
    assert coming.open is not None
    assert coming.open.due_at is not None
    assert coming.open.due_at.isoformat() == "2026-03-03T03:00:00+00:00"


def test_a_skip_of_several_missed_turns_leaves_out_all_of_them() -> None:
    """Four Saturdays wait as one; left out, the next one comes."""
    desk, store, _ = desk_of(saturdays(), "2026-04-02")
    skip(desk, ["wipe"])
    assert store.entries[0].fact == Skip(Turn("wipe", "2026-03-07"), day("2026-03-28"))
    coming = find_item(desk.state(), "wipe@2026-04-04")
    assert coming is not None
    assert coming.state is State.PROJECTED


def test_skips_are_all_or_none_and_never_twice() -> None:
    """A second skip of the same turn is refused, and the turn to come is not done in its place."""
    desk, store, _ = desk_of(saturdays(), "2026-03-07")
    with pytest.raises(UserFault, match="no_such_item"):
        skip(desk, ["wipe", "nothing"])
    assert store.entries == []
    skip(desk, ["wipe"])
    with pytest.raises(UserFault, match="skipped_already"):
        skip(desk, ["wipe@2026-03-07"])
    with pytest.raises(UserFault, match="before_window"):
        tick(desk, [Tick("wipe@2026-03-14")])
    assert len(store.entries) == 1


# Put off


@pytest.mark.parametrize(
    ("chore", "today", "beyond", "works"),
    [
        (saturdays(), "2026-03-07", "2026-03-14", "2026-03-13"),
        (saturdays(), "2026-03-05", "2026-03-20", "2026-03-13"),
        (saturdays(), "2026-03-12", "2026-03-14", "2026-03-13"),
        (saturdays(early_days=3), "2026-03-12", "2026-03-19", "2026-03-13"),
        (saturdays(), "2026-04-02", "2026-04-04", "2026-04-03"),
        (saturdays(if_missed=IfMissed.EACH), "2026-04-02", "2026-04-30", "2026-04-03"),
    ],
    ids=["due", "coming", "overdue", "the next one may be done", "several missed", "each"],
)
def test_a_turn_cannot_pass_the_next_one_and_the_day_offered_works(
    chore: Chore, today: str, beyond: str, works: str
) -> None:
    """The refusal names the last day before the next turn; on that day it does stand then."""
    desk, store, clock = desk_of(chore, today)
    key = item_of(desk).turn.key
    fault = refused("beyond_next_turn", desk, beyond)
    assert fault.values["works"] == day(works)
    assert store.entries == []
    put_off(desk, "wipe", day(works))
    clock.set_to(works)
    item = find_item(desk.state(), f"wipe@{key}")
    assert item is not None
    assert item.open is not None
    assert (item.open.target, item.state) == (day(works), State.DUE)


def test_several_missed_turns_are_put_off_together() -> None:
    """One item before, one after, still saying how many wait; one tick settles them."""
    desk, _, clock = desk_of(saturdays(), "2026-04-02")
    put_off(desk, "wipe", day("2026-04-03"))
    assert item_of(desk).state is State.PROJECTED
    clock.set_to("2026-04-03")
    turn = item_of(desk).open
    assert turn is not None
    assert (turn.turn.key, turn.missed) == ("2026-03-07", 3)
    tick(desk, [Tick("wipe")])
    following = find_item(desk.state(), "wipe@2026-04-04")
    assert following is not None
    assert [one.state for one in desk.state().chores[0].open] == []


def test_a_turn_brought_forward_is_one_with_what_is_open() -> None:
    """Overdue since the 7th and the 14th brought forward to today: one line, not two."""
    desk, _, clock = desk_of(saturdays(), "2026-03-07")
    put_off(desk, "wipe@2026-03-14", day("2026-03-09"))
    clock.set_to("2026-03-09")
    (turn,) = desk.state().chores[0].open
    assert (turn.turn.key, turn.missed) == ("2026-03-07", 1)


def test_a_day_that_is_past_or_too_far_is_refused() -> None:
    """Today is the first day that works for what is still to come."""
    desk, _, _ = desk_of(weekly(), "2026-03-01")
    assert refused("day_is_past", desk, "2026-02-28").values["works"] == day("2026-03-01")
    refused("day_too_far", desk, "2037-01-01")
    put_off(desk, "wipe", day("2026-03-01"))
    assert target_of(desk) == day("2026-03-01")


@pytest.mark.parametrize(
    ("chore", "today"),
    [
        (weekly(), "2026-03-02"),
        (weekly(), "2026-03-09"),
        (weekly(early_days=3), "2026-03-01"),
        (saturdays(), "2026-03-12"),
        (a_chore(Once(day("2026-03-02")), tank="nook"), "2026-03-04"),
    ],
    ids=["due", "overdue", "may wait", "of the calendar", "once"],
)
def test_what_is_open_today_is_not_put_off_to_today(chore: Chore, today: str) -> None:
    """It would say that something was moved that stands where it stood; nor is today offered."""
    desk, store, _ = desk_of(chore, today)
    assert item_of(desk).is_open
    refused("open_today", desk, today)
    yesterday = day(today) - timedelta(days=1)
    assert refused("day_is_past", desk, yesterday.isoformat()).values["works"] is None
    if not isinstance(chore.rhythm, Calendar):
        with pytest.raises(UserFault, match="open_today"):
            shift(desk, "wipe", day(today))
    assert store.entries == []


@pytest.mark.parametrize(
    "chore", [weekly(late_days=2), saturdays(late_days=2)], ids=["counted", "of the calendar"]
)
def test_what_was_put_off_can_come_back_to_today(chore: Chore) -> None:
    """It waits for its day no longer; once it stands today there is nothing to bring back."""
    desk, _, _ = desk_of(chore, "2026-03-07")
    put_off(desk, "wipe", day("2026-03-10"))
    assert item_of(desk).state is not State.DUE

    put_off(desk, "wipe", day("2026-03-07"))

    assert (target_of(desk), item_of(desk).state) == (day("2026-03-07"), State.DUE)
    refused("open_today", desk, "2026-03-07")


@pytest.mark.parametrize(
    "chore",
    [weekly(late_days=2), saturdays(late_days=2), a_chore(Once(day("2026-03-07")), tank="nook")],
    ids=["counted", "of the calendar", "once"],
)
def test_what_stands_on_a_day_is_not_put_off_to_it(chore: Chore) -> None:
    """Said of the day to which it was put off before: nothing is written a second time."""
    desk, store, _ = desk_of(chore, "2026-03-07")
    put_off(desk, "wipe", day("2026-03-10"))

    fault = refused("stands_there", desk, "2026-03-10")

    words = Words(desk.state().household, desk.state().moment)
    assert plain(fault_words(fault, words)) == "Wipe stands on Tuesday 10 already."
    if not isinstance(chore.rhythm, Calendar):
        with pytest.raises(UserFault, match="stands_there"):
            shift(desk, "wipe", day("2026-03-10"))
    assert len(store.entries) == 1


def test_a_turn_on_its_last_possible_day_is_offered_no_day_when_it_is_refused() -> None:
    """Of the 7th put off to the 13th, the last before the next one: it stands there already."""
    desk, store, _ = desk_of(saturdays(), "2026-03-07")
    put_off(desk, "wipe", day("2026-03-13"))

    fault = refused("beyond_next_turn", desk, "2026-03-14")

    words = Words(desk.state().household, desk.state().moment)
    assert fault.values["works"] is None
    assert fault_words(fault, words).startswith("Cannot be put off any further: the next turn")
    assert len(store.entries) == 1


def test_of_several_only_those_that_stand_elsewhere_are_put_off() -> None:
    """One stands on the 10th already; said of both again, nothing is left to move."""
    household = a_household(tanks=(TANK,), chores=(weekly(), saturdays(id="glass", name="Glass")))
    desk, store, _ = a_desk(household, "2026-03-07")
    put_off(desk, "wipe", day("2026-03-10"))

    moved = put_off_all(desk, ["wipe", "glass"], day("2026-03-10"))

    assert [one.chore.id for one in moved if one.chore is not None] == ["glass"]
    with pytest.raises(UserFault, match="stands_there"):
        put_off_all(desk, ["wipe", "glass"], day("2026-03-10"))
    assert len(store.entries) == 2


def test_the_window_moves_with_what_is_put_off() -> None:
    """What stands in the round is overdue only past the window of its new day."""
    desk, _, clock = desk_of(weekly(late_days=2), "2026-03-02")
    put_off(desk, "wipe", day("2026-03-06"))
    clock.set_to("2026-03-09")
    turn = item_of(desk).open
    assert turn is not None
    assert turn.days_overdue(day("2026-03-09")) == 1


@pytest.mark.parametrize(
    ("chore", "own"),
    [
        (weekly(late_days=2), "2026-03-04"),
        (saturdays(late_days=2), "2026-03-09"),
        (a_chore(Once(day("2026-03-03")), tank="nook", late_days=2), "2026-03-05"),
    ],
    ids=["counted", "of the calendar", "once"],
)
def test_what_is_put_off_in_steps_is_as_far_past_its_own_window_as_at_once(
    chore: Chore, own: str
) -> None:
    """Counted from the turn's own last day, 2 days after 2, 7 and 3 March."""
    desk, _, _ = desk_of(chore, "2026-03-02")
    for to in (None, "2026-03-10", "2026-03-11"):
        if to is not None:
            put_off(desk, item_of(desk).id, day(to))
        state, item = desk.state(), item_of(desk)
        assert window_end(state, item) == day(own)
        words = Words(state.household, state.moment)
        days = (day("2026-03-13") - day(own)).days
        told = plain(day_words(state, item, day("2026-03-13"), words))
        assert f"{days} days past its own window, which ends " in told
    # What is told of the window before is what stands after.
    put_off(desk, item_of(desk).id, day("2026-03-13"))
    latest = item_of(desk).open.latest
    moves = f"; its window moves with it, to {latest:%a} {latest.day}."
    assert told.endswith(moves) is (latest > day("2026-03-13"))


@pytest.mark.parametrize(
    ("more", "to", "settled"),
    [
        ({"early_days": 2}, "2026-03-11", None),
        ({"early_days": 2}, "2026-03-12", "2026-03-14"),
        ({}, "2026-03-13", None),
        ({"early_days": 2, "if_missed": IfMissed.EACH}, "2026-03-13", None),
    ],
    ids=["before its window", "in its window", "no window", "each for itself"],
)
def test_a_turn_put_off_into_the_window_of_the_next_settles_it(
    more: dict[str, object], to: str, settled: str | None
) -> None:
    """One tick closes every turn whose window has begun, and that is foretold."""
    desk, _, clock = desk_of(saturdays(**more), "2026-03-07")
    foretold = settled_with(desk.state(), item_of(desk), day(to))
    assert foretold == (None if settled is None else day(settled))

    put_off(desk, "wipe", day(to))
    clock.set_to(to)
    tick(desk, [Tick("wipe")])
    clock.set_to("2026-03-14")
    open_on = {one.target for state in desk.state().chores for one in state.open}
    assert (day("2026-03-14") in open_on) is (settled is None)


def test_where_only_today_is_left_no_day_is_offered() -> None:
    """What comes every day cannot be put off at all."""
    desk, store, _ = desk_of(
        a_chore(by_rule("FREQ=DAILY", "2026-03-02"), tank="nook"), "2026-03-04"
    )
    assert refused("beyond_next_turn", desk, "2026-03-05").values["works"] is None
    assert store.entries == []


@pytest.mark.parametrize(
    ("at", "said"),
    [
        (time(7, 19), "Cannot be put off: the next turn comes today at 18:00."),
        (time(18, 30), "Cannot be put off: the next turn comes tomorrow at 07:00."),
    ],
    ids=["the evening is still to come", "the evening itself"],
)
def test_the_next_turn_of_several_hours_a_day_is_the_nearest_of_all_hours(
    at: time, said: str
) -> None:
    """What cannot wait until tomorrow is refused with the turn that truly comes next."""
    chore = a_chore(
        by_rule("FREQ=DAILY", "2026-03-02", (time(7), time(18))),
        tank="nook",
        if_missed=IfMissed.EXPIRE,
    )
    desk, store, _ = desk_of(chore, "2026-03-04", at)
    fault = refused("beyond_next_turn", desk, "2026-03-05")

    assert fault_words(fault, Words(desk.state().household, desk.state().moment)) == said
    assert store.entries == []


def test_a_series_can_begin_anew_today() -> None:
    """Overdue since Saturday and moved to this Monday: every Monday from now on."""
    desk, _, _ = desk_of(saturdays(), "2026-03-09")
    shift(desk, "wipe", day("2026-03-09"))
    assert target_of(desk) == day("2026-03-09")


def test_counted_and_single_chores_have_no_next_turn_to_pass() -> None:
    """They may be put off as far as anybody plans."""
    for chore in (weekly(), a_chore(Once(day("2026-03-04")), tank="nook")):
        desk, _, _ = desk_of(chore, "2026-03-04")
        put_off(desk, "wipe", day("2027-03-04"))
        assert target_of(desk) == day("2027-03-04")


def test_all_put_off_or_none() -> None:
    """One that cannot stand there holds the others back."""
    household = a_household(tanks=(TANK,), chores=(weekly(), saturdays(id="glass", name="Glass")))
    desk, store, _ = a_desk(household, "2026-03-07")
    with pytest.raises(UserFault, match="beyond_next_turn"):
        put_off_all(desk, ["wipe", "glass"], day("2026-03-20"))
    assert store.entries == []
    put_off_all(desk, ["wipe", "glass"], day("2026-03-10"))
    assert [one.fact for one in store.entries] == [
        PutOff(Turn("wipe", "first"), day("2026-03-10"), day("2026-03-02")),
        PutOff(Turn("glass", "2026-03-07"), day("2026-03-10"), day("2026-03-07")),
    ]


def test_the_water_cannot_wait_beyond_its_limit() -> None:
    """The last round that is not late is offered, and it works; by a guess the expected one."""
    rhythm = WhenWaterSays(Condition.EVAPORATION, max_days=1)
    chore = a_chore(rhythm, tank="nook", kind=ChoreKind.TOP_OFF)
    desk, _, clock = desk_of(chore, "2026-03-04", time(7))
    tick(desk, [Tick("wipe", litres=3.0)])
    clock.set_to("2026-03-05", time(7))
    item = item_of(desk)
    safe = item.limit.waits_until
    assert safe is not None
    assert safe > day("2026-03-05")
    fault = refused("limit_before", desk, (safe + timedelta(days=1)).isoformat())
    assert (fault.values["works"], fault.values["limit"]) == (safe, item.limit.limit)
    put_off(desk, "wipe", safe)
    assert target_of(desk) == safe


def test_at_its_limit_the_water_offers_no_day() -> None:
    """On the last day that is not late, and after it, there is nothing to put off to."""
    rhythm = WhenWaterSays(Condition.EVAPORATION)
    chore = a_chore(rhythm, tank="nook", kind=ChoreKind.TOP_OFF)
    desk, _, clock = desk_of(chore, "2026-03-04", time(7))
    tick(desk, [Tick("wipe", litres=3.0)])
    clock.set_to("2026-03-05", time(7))
    safe = item_of(desk).limit.waits_until
    assert safe is not None
    for later in (0, 3):
        today = safe + timedelta(days=later)
        clock.set_to(today, time(7))
        assert item_of(desk).is_open
        tomorrow = (today + timedelta(days=1)).isoformat()
        assert refused("limit_before", desk, tomorrow).values["works"] is None
        refused("open_today", desk, today.isoformat())


def test_a_skipped_top_off_leaves_the_limit_told() -> None:
    """What putting it off would be refused for is told of the skip, in the line and at once."""
    rhythm = WhenWaterSays(Condition.EVAPORATION)
    chore = a_chore(rhythm, tank="nook", kind=ChoreKind.TOP_OFF)
    desk, store, clock = desk_of(chore, "2026-03-04", time(7))
    tick(desk, [Tick("wipe", litres=3.0)])
    clock.set_to("2026-03-05", time(7))
    safe, limit = item_of(desk).limit.waits_until, item_of(desk).limit
    assert safe is not None
    clock.set_to(safe, time(7))
    refused("limit_before", desk, (safe + timedelta(days=1)).isoformat())

    skip(desk, ["wipe"])

    state = desk.state()
    words = Words(state.household, state.moment)
    (passed,) = limits_passed(state, store.entries[-1:])
    assert (passed.tank.id, passed.limit, passed.by) == ("nook", limit.limit, limit.limit_at)
    told = plain(skipped_limit_words([passed], words))
    assert told.startswith("The salinity may reach its top-off limit of 41.0 PSU ")
    skipped = next(one for one in round_of(state).items if one.state is State.SKIPPED)
    assert skipped.limit.latest_on == limit.latest_on
    assert "for sure, " in reason(skipped, words)
    assert "Last safe round" in dict(numbers_used(skipped, words))


def test_a_skip_before_the_limit_says_nothing_of_it() -> None:
    """The next turn is the day after, and the water can wait for that."""
    rhythm = WhenWaterSays(Condition.EVAPORATION, max_days=1)
    chore = a_chore(rhythm, tank="nook", kind=ChoreKind.TOP_OFF)
    desk, store, clock = desk_of(chore, "2026-03-04", time(7))
    tick(desk, [Tick("wipe", litres=3.0)])
    clock.set_to("2026-03-05", time(7))

    skip(desk, ["wipe"])

    assert limits_passed(desk.state(), store.entries[-1:]) == []


def test_at_its_reserve_a_reservoir_is_said_to_bind_by_that() -> None:
    """Full with 16 L and losing about 4.5 L a day, it reaches its reserve before it is empty."""
    rhythm = WhenWaterSays(Condition.EVAPORATION)
    chore = a_chore(rhythm, tank="nook", kind=ChoreKind.RESERVOIR)
    limits = TopOffLimits(reservoir_l=16.0, reserve_l=4.0)
    desk, _, clock = a_desk(
        a_household(tanks=(replace(TANK, top_off=limits),), chores=(chore,)), "2026-03-01", time(7)
    )
    for on in ("2026-03-01", "2026-03-03", "2026-03-05"):
        clock.set_to(on, time(7))
        tick(desk, [Tick("wipe", litres=9.0)])
    clock.set_to("2026-03-07", time(7))
    fault = refused("limit_before", desk, "2026-03-12")
    assert (fault.values["limit"], fault.values["reserve_l"]) == (Limit.RESERVOIR, 4.0)


def test_a_day_in_a_pause_is_refused_with_the_day_after_it() -> None:
    """A stage of the tank planned ahead or a pause that runs; the day after works."""
    desk, _, clock = desk_of(weekly(), "2026-03-02")
    pause_tank(desk, TANK, day("2026-03-06"))
    with pytest.raises(UserFault, match="is_paused"):
        put_off(desk, "wipe", day("2026-03-08"))
    clock.set_to("2026-03-07")
    put_off(desk, "wipe", day("2026-03-09"))
    assert target_of(desk) == day("2026-03-09")


# Shift


@pytest.mark.parametrize(
    ("today", "to", "days_after"),
    [
        ("2026-03-07", "2026-03-09", ["2026-03-09", "2026-03-16"]),
        ("2026-03-05", "2026-03-06", ["2026-03-06", "2026-03-13"]),
        ("2026-03-05", "2026-03-25", ["2026-03-25", "2026-04-01"]),
    ],
    ids=["later", "earlier", "beyond the next turn"],
)
def test_the_very_first_turn_takes_the_whole_series_with_it(
    today: str, to: str, days_after: list[str]
) -> None:
    """The rule as it was has no day left, and the new one begins at the new day."""
    desk, store, clock = desk_of(saturdays(), today)
    shift(desk, "wipe", day(to))
    assert store.entries[0].fact == Shift(Turn("wipe", "2026-03-07"), day(to))
    for expected in days_after:
        clock.set_to(expected)
        assert [one.target for one in desk.state().chores[0].open] == [day(expected)]
        tick(desk, [Tick("wipe")])


def test_a_shift_holds_for_years() -> None:
    """However long ago it was said, the series stays on its new day."""
    desk, _, clock = desk_of(saturdays(), "2026-03-07")
    shift(desk, "wipe", day("2026-03-09"))
    clock.set_to("2029-06-04")
    tick(desk, [Tick("wipe")])
    coming = desk.state().chores[0].upcoming
    assert coming is not None
    assert coming.target == day("2029-06-11")


def test_a_series_shifted_twice_and_put_off() -> None:
    """Each shift goes on from the one before; a put-off moves one turn of it."""
    desk, _, clock = desk_of(saturdays(), "2026-03-07")
    shift(desk, "wipe", day("2026-03-09"))
    clock.set_to("2026-03-16")
    tick(desk, [Tick("wipe")])
    shift(desk, "wipe@2026-03-23", day("2026-03-25"))
    put_off(desk, "wipe@2026-03-25", day("2026-03-27"))
    clock.set_to("2026-03-27")
    assert target_of(desk) == day("2026-03-27")
    tick(desk, [Tick("wipe")])
    coming = desk.state().chores[0].upcoming
    assert coming is not None
    assert coming.target == day("2026-04-01")


def test_several_weekdays_need_the_editor() -> None:
    """It is not clear which of them moves."""
    chore = a_chore(by_rule("FREQ=WEEKLY;BYDAY=TU,SA", "2026-03-07"), tank="nook")
    desk, store, _ = desk_of(chore, "2026-03-07")
    with pytest.raises(UserFault, match="shift_needs_editor"):
        shift(desk, "wipe", day("2026-03-08"))
    assert store.entries == []


def test_a_shift_of_a_counted_chore_is_a_put_off() -> None:
    """Its next turns count from when it is done anyway."""
    desk, _, clock = desk_of(weekly(), "2026-03-02")
    shift(desk, "wipe", day("2026-03-05"))
    assert target_of(desk) == day("2026-03-05")
    clock.set_to("2026-03-05")
    tick(desk, [Tick("wipe")])
    coming = desk.state().chores[0].upcoming
    assert coming is not None
    assert coming.target == day("2026-03-12")


def test_a_rule_edited_after_a_shift_is_not_in_its_way() -> None:
    """The shift moved the old version; the new one goes its own way from its first day."""
    desk, store, clock = desk_of(saturdays(), "2026-03-07")
    shift(desk, "wipe", day("2026-03-09"))
    edited = a_chore(by_rule("FREQ=WEEKLY;BYDAY=WE", "2026-04-01"), tank="nook")
    with store.writing() as writing:
        writing.save_household(a_household(tanks=(TANK,), chores=(edited,)))
    clock.set_to("2026-04-01")
    assert target_of(desk) == day("2026-04-01")


# Pause and resume


def test_a_chore_is_paused_and_resumed() -> None:
    """While it lasts nothing is due; the day of the resume counts again."""
    desk, store, clock = desk_of(weekly(), "2026-03-02")
    pause_chore(desk, "wipe")
    assert store.entries[0].fact == Pause(PauseMode.HOLD, "wipe", None)
    assert item_of(desk).state is State.PAUSED
    clock.set_to("2026-03-20")
    resume_chore(desk, "wipe")
    assert store.entries[1].fact == Resume("wipe")
    item = item_of(desk)
    assert item.state is State.DUE
    assert target_of(desk) == day("2026-03-20")


def test_a_tank_stands_still() -> None:
    """Its paused days do not count, and its chores are paused with it."""
    desk, store, clock = desk_of(weekly(), "2026-03-02")
    tick(desk, [Tick("wipe")])
    clock.set_to("2026-03-04")
    pause_tank(desk, find_tank(desk.state().household, "nook"), day("2026-03-10"))
    assert store.entries[1].fact == Pause(PauseMode.FREEZE, None, day("2026-03-10"))
    clock.set_to("2026-03-06")
    resume_tank(desk, TANK)
    coming = desk.state().chores[0].upcoming
    assert coming is not None
    # Two of seven days stood still, the 4th and the 5th.
    assert coming.target == day("2026-03-11")


def test_pauses_that_change_nothing_are_refused() -> None:
    """The same pause again, a resume of what runs, and of a chore whose tank is paused."""
    desk, store, _ = desk_of(weekly(), "2026-03-02")
    with pytest.raises(UserFault, match="not_paused"):
        resume_chore(desk, "wipe")
    with pytest.raises(UserFault, match="not_paused"):
        resume_tank(desk, TANK)
    pause_tank(desk, TANK)
    with pytest.raises(UserFault, match="paused_already"):
        pause_tank(desk, TANK)
    with pytest.raises(UserFault, match="not_paused") as fault:
        resume_chore(desk, "wipe")
    assert fault.value.values["paused_tank"] == "Nook"
    with pytest.raises(UserFault, match="day_is_past"):
        pause_chore(desk, "wipe", day("2026-03-01"))
    assert len(store.entries) == 1
    pause_tank(desk, TANK, day("2026-03-09"))
    assert len(store.entries) == 2
