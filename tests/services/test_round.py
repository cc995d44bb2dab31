"""The round: what stands in it, in which order, what it adds up to, and what comes next."""

from __future__ import annotations

from datetime import time, timedelta

import pytest

from tankkeeper.core.chores import (
    AfterLastDone,
    Amount,
    AmountUnit,
    Calendar,
    Chore,
    ChoreKind,
    Condition,
    IfMissed,
    WhenWaterSays,
)
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Person, Stage, TopOffLimits
from tankkeeper.core.state import upcoming_item
from tankkeeper.core.turns import State
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import (
    find_item,
    find_person,
    find_supply,
    find_tank,
)
from tankkeeper.services.moving import pause_tank, skip
from tankkeeper.services.noting import log_top_off
from tankkeeper.services.round import (
    effective_stage,
    is_resting,
    next_change_at,
    round_view,
    walk,
)
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_chore, a_household, by_rule, day, days
from tests.fakes import FakeStore, SetClock, a_desk

TODAY = "2026-03-04"
FIRST = a_box("First", walk_order=1, top_off=TopOffLimits(allowed_drop_mm=60.0))
SECOND = a_box("Second", walk_order=2)
LAST = a_box("Last")
ILSE, JON = Person("ilse", "Ilse"), Person("jon", "Jon")


def chore(name: str, tank: str | None = "first", due: str = TODAY, **more: object) -> Chore:
    """Return a chore counted from the last time, due on a day."""
    rhythm = more.pop("rhythm", AfterLastDone(days(7)))
    return a_chore(rhythm, id=name, name=name, tank=tank, first_due=day(due), **more)  # type: ignore[arg-type]


def house(*chores: Chore, at: time = time(12)) -> tuple[Desk, FakeStore, SetClock]:
    """Return a desk on 4 March."""
    tanks, people = (LAST, SECOND, FIRST), (ILSE, JON)
    return a_desk(a_household(tanks=tanks, people=people, chores=chores), TODAY, at)


def test_tanks_stand_in_walking_order_and_the_house_comes_last() -> None:
    """A tank without a place in the walk comes after those that have one."""
    desk, _, _ = house(
        chore("salt", None), chore("c", "last"), chore("b", "second"), chore("a", "first")
    )
    view = round_view(desk)
    assert [one.name for one in walk(view.household)] == ["First", "Second", "Last"]
    assert [one.tank.name if one.tank else None for one in view.groups] == [
        "First",
        "Second",
        "Last",
        None,
    ]


def test_lines_stand_by_urgency_and_keep_their_place_when_ticked() -> None:
    """Overdue, due, may wait; a tick moves nothing under the hand."""
    desk, _, _ = house(
        chore("waits", due="2026-03-06", early_days=3),
        chore("due"),
        chore("over", due="2026-03-01"),
    )
    order = ["over", "due", "waits"]
    assert [one.chore.id for one in round_view(desk).items] == order
    tick(desk, [Tick("over"), Tick("due")])
    view = round_view(desk)
    assert [one.chore.id for one in view.items] == order
    assert (view.counts.done, view.counts.may_wait, view.counts.overdue) == (2, 1, 0)


def test_what_was_missed_stands_before_what_may_still_be_done_early() -> None:
    """Both may wait; the one whose own day went by comes first, whatever the order of the file."""
    desk, _, _ = house(
        chore("early", due="2026-03-06", early_days=3),
        chore("missed", due="2026-03-03", late_days=2),
    )
    assert [one.chore.id for one in round_view(desk).items] == ["missed", "early"]


def test_totals_count_what_is_overdue_or_due() -> None:
    """Minutes, and litres of fresh and salt water; what may wait or is done does not count."""
    ten = Amount(10.0, AmountUnit.LITRES)
    desk, _, _ = house(
        chore("mix", None, minutes=20, kind=ChoreKind.MIX_SALT_WATER, amount=ten),
        chore("change", minutes=30, kind=ChoreKind.WATER_CHANGE, amount=ten),
        chore("fill", minutes=3, kind=ChoreKind.TOP_OFF, amount=Amount(2.0, AmountUnit.LITRES)),
        chore("done", minutes=50),
        chore("waits", due="2026-03-06", early_days=3, minutes=50),
    )
    tick(desk, [Tick("done")])
    totals = round_view(desk).totals
    assert (totals.minutes, totals.fresh_water_to_mix_l) == (53, 10.0)
    assert (totals.fresh_water_l, totals.salt_water_l) == (2.0, 10.0)
    assert [group.minutes for group in round_view(desk).groups] == [33, 20]


def test_the_lines_of_a_paused_tank_are_counted() -> None:
    """Where only that tank is looked at; the round of the house leaves them out."""
    desk, _, _ = house(chore("one"), chore("other", "second"))
    pause_tank(desk, FIRST)
    assert round_view(desk).counts.paused == 0
    assert round_view(desk, FIRST).counts.paused == 1


def test_the_round_of_one_person_and_of_one_tank() -> None:
    """What nobody is named for is for everybody; the rail still counts all."""
    desk, _, _ = house(
        chore("ours"), chore("hers", who=("ilse",)), chore("his", "second", who=("jon",))
    )
    ids = [one.chore.id for one in round_view(desk, person=ILSE).items]
    assert ids == ["ours", "hers"]
    assert [one.chore.id for one in round_view(desk, tank=SECOND).items] == ["his"]
    counted = {one.tank.name: one.due for one in round_view(desk, tank=SECOND).tanks}
    assert counted == {"First": 2, "Second": 1, "Last": 0}


def test_a_paused_tank_is_shown_only_when_it_is_asked_for() -> None:
    """Its lines are paused then; what was done there today stays."""
    desk, _, _ = house(chore("a"), chore("b"), chore("c", "second"))
    tick(desk, [Tick("a")])
    pause_tank(desk, FIRST)
    view = round_view(desk)
    assert [(one.chore.id, one.state) for one in view.items] == [
        ("a", State.DONE),
        ("c", State.DUE),
    ]
    asked = round_view(desk, tank=FIRST)
    assert sorted((one.chore.id, one.state.value) for one in asked.items) == [
        ("a", "done"),
        ("a", "paused"),
        ("b", "paused"),
    ]
    assert is_resting(view.state, FIRST)
    assert effective_stage(view.state, FIRST) is Stage.PAUSED
    assert effective_stage(view.state, SECOND) is Stage.RUNNING
    assert asked.totals.minutes == 0


def test_done_and_skipped_lines_go_when_the_day_ends() -> None:
    """At four in the night, and not before."""
    desk, _, clock = house(chore("a"), chore("b"))
    tick(desk, [Tick("a")])
    skip(desk, ["b"])
    clock.set_to("2026-03-05", time(3, 59))
    counts = round_view(desk).counts
    assert (counts.done, counts.skipped) == (1, 1)
    clock.set_to("2026-03-05", time(4))
    assert round_view(desk).items == []


def test_the_next_work_is_a_slot_later_today_or_the_nearest_turn() -> None:
    """With the moment from which it is due."""
    feeding = by_rule("FREQ=DAILY", "2026-03-01", (time(8), time(18)))
    desk, _, clock = house(
        chore("feed", rhythm=feeding, if_missed=IfMissed.EXPIRE), chore("a", due="2026-03-05")
    )
    view = round_view(desk)
    assert view.following is not None
    assert (view.following.item.turn.slot, view.following.at.hour) == (time(18), 17)
    tick(desk, [Tick("feed"), Tick(view.following.item.id)])
    clock.set_to(TODAY, time(20))
    following = round_view(desk).following
    assert following is not None
    # The usual round is at seven in Berlin, an hour before the morning's slot.
    assert (following.item.chore.id, following.at.isoformat()) == ("a", "2026-03-05T06:00:00+00:00")


def test_what_is_due_since_the_day_began_does_not_come_once_more_at_the_hour_of_the_round() -> None:
    """At half past five a line says "today"; the foot tells of what is still to come."""
    desk, _, clock = house(chore("a"), chore("b", due="2026-03-06"))
    clock.set_to(TODAY, time(5, 30))
    view = round_view(desk)
    assert [(item.chore.id, item.state) for item in view.items] == [("a", State.DUE)]
    assert view.following is not None
    assert (view.following.item.chore.id, view.following.at.day) == ("b", 6)


def test_an_empty_house_has_nothing_to_come() -> None:
    """No lines, no totals, nothing that follows, and the day's end as the next change."""
    desk, _, _ = house()
    view = round_view(desk)
    assert (view.items, view.following, view.totals.minutes) == ([], None, 0)
    assert next_change_at(view.state).isoformat() == "2026-03-05T03:00:00+00:00"


@pytest.mark.parametrize(
    ("at", "changes"),
    [
        (time(7), "2026-03-04T07:00:00+00:00"),
        (time(12), "2026-03-04T17:00:00+00:00"),
        (time(19), "2026-03-05T03:00:00+00:00"),
    ],
)
def test_the_round_changes_by_itself_when_a_slot_or_a_day_begins(at: time, changes: str) -> None:
    """The next slot of today, else the beginning of the next day."""
    feeding = by_rule("FREQ=DAILY", "2026-03-01", (time(8), time(18)))
    desk, _, _ = house(chore("feed", rhythm=feeding, if_missed=IfMissed.EXPIRE), at=at)
    assert next_change_at(desk.state()).isoformat() == changes


def test_the_round_changes_when_a_limit_of_the_water_is_reached() -> None:
    """What was said to come is past from then on, wherever it is told."""
    desk, _, clock = house(chore("fill", rhythm=WhenWaterSays(Condition.EVAPORATION, max_days=7)))
    log_top_off(desk, FIRST, 1.0)
    reached = desk.state().waters["first"].limit.limit_at
    assert reached is not None
    clock.at = reached - timedelta(minutes=1)

    assert next_change_at(desk.state()) == reached


def test_a_slot_in_the_night_of_a_clock_change_is_kept() -> None:
    """02:30 on 29 March 2026 does not exist in Berlin: the animals are fed at 03:30 then."""
    feeding = Calendar("FREQ=DAILY", day("2026-03-01"), (time(2, 30),))
    desk, _, clock = house(chore("feed", rhythm=feeding, if_missed=IfMissed.EXPIRE))
    clock.set_to("2026-03-29", time(1, 45))
    # RFC 5545 (2009) section 3.3.5: a local time in a gap is read with the offset before it.
    item = find_item(desk.state(), "feed@2026-03-28T0230")
    assert item is not None
    assert item.open is not None
    assert item.open.due_at is not None
    assert item.open.due_at.isoformat() == "2026-03-29T01:30:00+00:00"
    (outcome,) = tick(desk, [Tick("feed")])
    assert outcome.entry.completes == (item.turn,)


def test_forty_days_away_are_one_line_for_each_chore() -> None:
    """Nothing was written meanwhile, and one tick each puts it right."""
    desk, store, clock = house(
        chore("a"),
        chore("b", rhythm=by_rule("FREQ=WEEKLY", "2026-03-04")),
        chore("c", rhythm=by_rule("FREQ=DAILY", "2026-03-04"), if_missed=IfMissed.EXPIRE),
        chore("d", rhythm=WhenWaterSays(Condition.EVAPORATION), kind=ChoreKind.TOP_OFF),
    )
    tick(desk, [Tick("d", litres=3.0)])
    clock.set_to("2026-04-13")
    items = round_view(desk).items
    assert sorted(one.chore.id for one in items) == ["a", "b", "c", "d"]
    states = {one.chore.id: one.state for one in items}
    assert states == {
        "a": State.OVERDUE,
        "b": State.OVERDUE,
        "c": State.DUE,
        "d": State.OVERDUE,
    }
    ticks = [Tick(name) for name in ("a", "b", "c")] + [Tick("d", litres=6.0)]
    tick(desk, ticks)
    assert not any(one.is_open for one in round_view(desk).items)
    assert len(store.entries) == 5


def test_names_are_found_with_the_nearest_told() -> None:
    """By id or by name in any case; a slip names what it comes nearest to."""
    desk, _, _ = house()
    household = desk.state().household
    assert find_tank(household, " fIRST ") is FIRST
    assert find_person(household, "jon") is JON
    with pytest.raises(UserFault) as fault:
        find_tank(household, "Frist")
    assert (fault.value.code, fault.value.values["nearest"]) == ("no_such_tank", "First")
    with pytest.raises(UserFault) as fault:
        find_supply(household, "salt")
    assert fault.value.values["nearest"] is None


def test_nothing_comes_of_a_chore_that_rests() -> None:
    """A paused chore has no line to come."""
    desk, _, _ = house(chore("a", due="2026-03-09"))
    pause_tank(desk, FIRST)
    state = desk.state()
    assert upcoming_item(state, state.chores[0]) is None
