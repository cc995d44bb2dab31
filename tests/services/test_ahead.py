"""What comes in a span of days, as lines with their windows."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from tankkeeper.core.chores import (
    AfterLastDone,
    Amount,
    AmountUnit,
    Calendar,
    Chore,
    ChoreKind,
    IfMissed,
)
from tankkeeper.core.errors import UserFault
from tankkeeper.core.intervals import parse_interval
from tankkeeper.core.logbook import Work
from tankkeeper.core.projection import Projected
from tankkeeper.core.turns import State
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.numbers_used import numbers_used
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.words import Words
from tankkeeper.services.ahead import ABOUT, ahead, expected_turn
from tankkeeper.services.desk import Desk
from tankkeeper.services.logbook import last_times, logbook
from tankkeeper.services.moving import pause_tank, put_off, skip
from tankkeeper.services.noting import Stamp, log_note
from tankkeeper.services.ports import LogQuery
from tankkeeper.services.round import round_of
from tankkeeper.services.taking_back import undo
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_chore, a_household, an_entry, by_rule, day, days
from tests.fakes import FakeStore, SetClock, a_desk

TODAY = "2026-03-04"
NOOK, OTHER = a_box(), a_box("Other")
WEEKLY = a_chore(AfterLastDone(days(7)), tank="nook", first_due=day("2026-03-02"), late_days=1)
SATURDAYS = a_chore(
    by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-03-01"), id="glass", tank="other", early_days=1
)
FEEDING = a_chore(
    by_rule("FREQ=DAILY", "2026-03-01", (time(8), time(18))),
    id="feed",
    tank="nook",
    if_missed=IfMissed.EXPIRE,
)


def house(*chores: Chore) -> tuple[Desk, FakeStore, SetClock]:
    """Return a desk on Wednesday 4 March at noon."""
    return a_desk(a_household(tanks=(NOOK, OTHER), chores=chores), TODAY)


def days_of(desk: Desk, first: str, last: str) -> list[tuple[str, str, State]]:
    """Return chore, target and state of what comes."""
    view = ahead(desk, day(first), day(last))
    return [
        (one.chore.id, one.open.target.isoformat(), one.state)
        for one in view.items
        if one.open is not None
    ]


def test_open_work_stands_today_and_the_rest_on_its_day() -> None:
    """Overdue since the 3rd, it is as if done today; the next one comes seven days from now."""
    desk, _, _ = house(WEEKLY, SATURDAYS)
    assert days_of(desk, TODAY, "2026-03-18") == [
        ("wipe", "2026-03-02", State.OVERDUE),
        ("glass", "2026-03-07", State.PROJECTED),
        ("wipe", "2026-03-11", State.PROJECTED),
        ("glass", "2026-03-14", State.PROJECTED),
        ("wipe", "2026-03-18", State.PROJECTED),
    ]
    assert days_of(desk, "2026-03-05", "2026-03-07")[0][0] == "glass"


def test_what_was_put_off_stands_on_its_day_and_the_next_follows_from_there() -> None:
    """Open until the 9th and put off to Saturday the 7th: the next come on the 14th and the 21st.

    A span that begins after today holds it, too; an id names one turn.
    """
    desk, _, _ = house(replace(WEEKLY, early_days=3, late_days=3))
    put_off(desk, "wipe", day("2026-03-07"))
    assert days_of(desk, "2026-03-05", "2026-03-21") == [
        ("wipe", "2026-03-07", State.PROJECTED),
        ("wipe", "2026-03-14", State.PROJECTED),
        ("wipe", "2026-03-21", State.PROJECTED),
    ]
    assert days_of(desk, TODAY, TODAY) == [("wipe", "2026-03-07", State.MAY_WAIT)]
    assert days_of(desk, "2026-03-08", "2026-03-13") == []


def test_keys_are_those_that_turns_will_have_or_say_about_when() -> None:
    """A day of a rule is certain; what counts from a completion yet to come is not."""
    desk, _, _ = house(WEEKLY, SATURDAYS)
    tick(desk, [Tick("wipe")])
    keys = [one.turn.key for one in ahead(desk, day("2026-03-05"), day("2026-03-19")).items]
    assert keys == ["2026-03-07", "after:n1", "2026-03-14", f"{ABOUT}2026-03-18"]
    windows = [one.open for one in ahead(desk, day("2026-03-05"), day("2026-03-11")).items]
    assert [(one.earliest.day, one.latest.day) for one in windows if one is not None] == [
        (6, 7),
        (11, 12),
    ]


def test_slots_stand_by_the_hour() -> None:
    """Two feedings a day, and the one of this evening still to come."""
    desk, _, _ = house(FEEDING)
    view = ahead(desk, day(TODAY), day("2026-03-05"))
    assert [one.turn.slot for one in view.items] == [time(8), time(18), time(8), time(18)]


def test_several_turns_of_a_day_by_the_hour_have_ids_of_their_own() -> None:
    """An id is one turn's; three in a day are told apart by their minute."""
    desk, _, _ = house(a_chore(AfterLastDone(parse_interval("8 hours")), first_due=day(TODAY)))
    view = ahead(desk, day(TODAY), day("2026-03-06"))
    ids = [one.id for one in view.items]
    assert len(ids) == len(set(ids)) >= 6


def test_an_amount_that_is_always_the_same_is_told_ahead() -> None:
    """Twenty litres at every change, so the turns to come say so too."""
    weekly = replace(WEEKLY, amount=Amount(20.0, AmountUnit.LITRES))
    desk, _, _ = house(weekly)
    view = ahead(desk, day("2026-03-05"), day("2026-03-25"))
    assert [one.amount.value for one in view.items if one.amount is not None] == [20.0] * 3


def test_one_tank_alone() -> None:
    """Narrowed to a tank, nothing of the others is in it."""
    desk, _, _ = house(WEEKLY, SATURDAYS)
    view = ahead(desk, day(TODAY), day("2026-03-30"), OTHER)
    assert {one.chore.id for one in view.items} == {"glass"}


def test_moved_and_paused_turns_are_heeded() -> None:
    """Put off to Monday; and nothing of a tank that rests."""
    desk, _, _ = house(WEEKLY, SATURDAYS)
    put_off(desk, "glass", day("2026-03-09"))
    glass = [row for row in days_of(desk, TODAY, "2026-03-14") if row[0] == "glass"]
    assert [row[1] for row in glass] == ["2026-03-09", "2026-03-14"]
    pause_tank(desk, NOOK)
    assert [row for row in days_of(desk, TODAY, "2026-03-30") if row[0] == "wipe"] == []


@pytest.mark.parametrize(
    ("last", "code"), [("2026-03-03", "span_turned_round"), ("2037-03-04", "span_too_long")]
)
def test_a_span_that_cannot_be_is_refused(last: str, code: str) -> None:
    """Turned round, or longer than ten years."""
    desk, _, _ = house(WEEKLY)
    with pytest.raises(UserFault, match=code):
        ahead(desk, day(TODAY), day(last))


def test_a_span_of_the_past_is_empty() -> None:
    """What was is in the logbook."""
    desk, _, _ = house(WEEKLY, SATURDAYS)
    assert days_of(desk, "2026-02-01", "2026-03-03") == []


@pytest.mark.parametrize(
    ("today", "first", "last", "has_it"),
    [
        ("2026-03-02", "2026-03-02", "2026-03-08", False),
        ("2026-03-04", "2026-03-05", "2026-03-05", True),
        ("2026-03-04", "2026-03-04", "2026-03-08", True),
        ("2026-03-04", "2026-03-06", "2026-03-08", False),
        ("2026-03-05", "2026-03-05", "2026-03-08", False),
        ("2026-03-06", "2026-03-05", "2026-03-08", False),
    ],
)
def test_a_last_day_in_the_span_of_what_waits_past_its_target_is_known(
    today: str, first: str, last: str, has_it: bool
) -> None:
    """The glass of Monday 2 March may wait to Thursday 5: from Tuesday on, and until then only."""
    late = replace(WEEKLY, late_days=3)
    desk, _, clock = house(late)
    clock.set_to(today)
    span = day(first), day(last)

    assert ahead(desk, *span).has_last_days == has_it
    assert not ahead(desk, *span, OTHER).has_last_days
    pause_tank(desk, NOOK)
    assert not ahead(desk, *span).has_last_days


def test_looking_ahead_writes_nothing() -> None:
    """And says the same when asked again."""
    desk, store, _ = house(WEEKLY, SATURDAYS, FEEDING)
    first = ahead(desk, day(TODAY), day("2026-04-04"))
    assert ahead(desk, day(TODAY), day("2026-04-04")).items == first.items
    assert store.entries == []


def test_the_logbook_shows_the_newest_first_and_what_was_taken_back() -> None:
    """Undone rows stay, marked; the last times leave them out."""
    desk, _, clock = house(WEEKLY)
    for on in ("2026-03-04", "2026-03-11"):
        clock.set_to(on)
        tick(desk, [Tick("wipe")])
    undo(desk)
    skip(desk, ["wipe"])
    view = logbook(desk, LogQuery())
    assert [(row.entry.id, row.revoked) for row in view.entries] == [
        ("n4", False),
        ("n3", False),
        ("n2", True),
        ("n1", False),
    ]
    assert [one.id for one in last_times(desk, "wipe")] == ["n4", "n1"]
    only = logbook(desk, LogQuery(to_day=date(2026, 3, 4) + timedelta(days=6)))
    assert [row.entry.id for row in only.entries] == ["n1"]


def test_what_was_written_down_late_stands_where_it_happened() -> None:
    """The logbook is in the order of the times that it tells."""
    desk, _, clock = house(WEEKLY)
    clock.set_to("2026-03-11")
    tick(desk, [Tick("wipe")])
    log_note(desk, "The goby hid", None, Stamp(at=clock.now() - timedelta(days=6)))
    view = logbook(desk, LogQuery())
    assert [row.entry.id for row in view.entries] == ["n1", "n2"]


def test_the_last_times_leave_out_what_only_moved_or_paused_a_chore() -> None:
    """However often it was put off in between, the times it was done are found."""
    desk, _, clock = house(WEEKLY)
    tick(desk, [Tick("wipe")])
    for number in range(12):
        clock.set_to((date(2026, 3, 11) + timedelta(days=number)).isoformat())
        put_off(desk, "wipe", clock.now().date() + timedelta(days=1))
    assert [one.id for one in last_times(desk, "wipe")] == ["n1"]
    skip(desk, ["wipe"])
    assert [one.id for one in last_times(desk, "wipe")] == ["n14", "n1"]


FROZEN = a_chore(
    by_rule("FREQ=WEEKLY;BYDAY=TU,TH,SU", "2026-03-01"), id="frozen", tank="nook", late_days=1
)


def test_a_turn_put_off_to_the_day_before_the_next_one_waits_no_longer_than_it() -> None:
    """Sunday 8 March is put off to Monday; the next one comes on Tuesday, and late it is then.

    The panel, its figures, and what is counted on Thursday agree.
    """
    desk, _, clock = house(FROZEN)
    clock.set_to("2026-03-05")
    tick(desk, [Tick("frozen")])
    put_off(desk, "frozen@2026-03-08", day("2026-03-09"))
    view = ahead(desk, day("2026-03-05"), day("2026-03-09"))

    [one] = [item for item in view.items if item.open is not None and item.open.is_put_off]

    assert one.open is not None
    assert one.open.latest == day("2026-03-09")
    words = Words(view.household, view.moment)
    assert "wait" not in plain(reason(one, words))
    assert [value for name, value in numbers_used(one, words) if name == "Window"] == []
    clock.set_to("2026-03-12")
    overdue = desk.state().chores[0].open[0]
    assert overdue.days_overdue(day("2026-03-12")) == 3


def test_a_later_turn_that_was_put_off_waits_no_longer_than_until_the_next_one() -> None:
    """Of Sunday 15 March put off to Monday: Tuesday 17 is the next one's, so Monday is its last."""
    desk, _, _ = house(FROZEN)
    state = desk.state()
    monday = Projected(day("2026-03-16").toordinal(), key="2026-03-15", is_put_off=True)

    assert expected_turn(state, state.chores[0], monday).latest == day("2026-03-16")


MIX = replace(
    a_chore(by_rule("FREQ=WEEKLY;BYDAY=FR", "2026-03-06"), id="mix", name="Mix salt water"),
    kind=ChoreKind.MIX_SALT_WATER,
)


def change(tank: str, rhythm: Calendar | AfterLastDone, litres: float | None) -> Chore:
    amount = None if litres is None else Amount(litres, AmountUnit.LITRES)
    made = a_chore(rhythm, id=f"{tank}.change", tank=tank, first_due=day("2026-03-07"))
    return replace(made, name="Change water", kind=ChoreKind.WATER_CHANGE, amount=amount)


SATURDAY = by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-03-07")
EVERY_SECOND = by_rule("FREQ=WEEKLY;INTERVAL=2;BYDAY=SA", "2026-03-14")


def mixed_ahead(desk: Desk) -> list[float | None]:
    view = ahead(desk, day("2026-03-05"), day("2026-03-20"))
    return [
        None if one.amount is None else one.amount.value
        for one in view.items
        if one.chore.id == "mix"
    ]


@pytest.mark.parametrize(
    ("rhythm", "litres", "told"),
    [
        (AfterLastDone(days(7)), 6.0, [36.0, 36.0, 36.0]),
        (EVERY_SECOND, 6.0, [30.0, 36.0, 30.0]),
        (EVERY_SECOND, None, [30.0, None, 30.0]),
    ],
)
def test_a_mixing_to_come_is_for_the_changes_after_it(
    rhythm: Calendar | AfterLastDone, litres: float | None, told: list[float | None]
) -> None:
    """On the Fridays 6, 13 and 20 March, for 30 L of every Saturday and those of the other tank."""
    desk, _, _ = house(MIX, change("nook", SATURDAY, 30.0), change("other", rhythm, litres))
    assert mixed_ahead(desk) == told


@pytest.mark.parametrize(
    ("stands", "told"), [(0.0, [36.0, 36.0]), (20.0, [36.0, 36.0]), (40.0, [32.0, 36.0])]
)
def test_the_next_mixing_is_for_no_change_that_comes_before_it(
    stands: float, told: list[float]
) -> None:
    """From Friday the 13th on; the 30 L of the 7th and 6 L of the 12th are changed before.

    Of 40 L that stand there these take 36, so that 4 are left for the next.
    """
    later = replace(MIX, rhythm=by_rule("FREQ=WEEKLY;BYDAY=FR", "2026-03-13"))
    thursdays = by_rule("FREQ=WEEKLY;BYDAY=TH", "2026-03-12")
    desk, store, _ = house(later, change("nook", SATURDAY, 30.0), change("other", thursdays, 6.0))
    if stands:
        with store.writing() as writing:
            writing.add(an_entry(1, "2026-03-02", Work(stands), done="mix", key="extra"))
    assert mixed_ahead(desk) == told


def test_a_change_that_rests_is_not_mixed_for_ahead() -> None:
    """The other tank rests until the 8th: from the 13th on its 6 L are mixed again."""
    desk, _, _ = house(MIX, change("nook", SATURDAY, 30.0), change("other", SATURDAY, 6.0))
    pause_tank(desk, OTHER, until=day("2026-03-08"))
    assert mixed_ahead(desk) == [30.0, 36.0, 36.0]


def test_the_next_mixing_is_told_less_what_stands_there() -> None:
    """10 L stand there of the 30 L of Saturday; the mixings after that are for all 30 L."""
    desk, store, _ = house(MIX, change("nook", SATURDAY, 30.0))
    with store.writing() as writing:
        writing.add(an_entry(1, "2026-03-02", Work(10.0), done="mix", key="2026-02-27"))

    assert mixed_ahead(desk) == [20.0, 30.0, 30.0]
    (item, *_) = (
        one for one in ahead(desk, day("2026-03-05"), day("2026-03-08")).items if one.chore == MIX
    )
    told = plain(reason(item, Words(desk.state().household, desk.state().moment)))
    assert "The change of Nook (30 L) takes 30 L, and 10 L of it is mixed already." in told


@pytest.mark.parametrize("first", ["2026-03-05", "2026-03-13"])
def test_parts_are_taken_off_the_next_mixing_of_litres_that_the_chore_states(first: str) -> None:
    """By the last time, 40 L each: of the 13th 10 L are mixed, of the 20th none yet.

    The list of that day alone, the whole span, and the round once its day has come agree.
    """
    weekly = replace(MIX, rhythm=AfterLastDone(days(7)), amount=Amount(40.0, AmountUnit.LITRES))
    desk, store, clock = house(weekly)
    with store.writing() as writing:
        writing.add(an_entry(1, "2026-03-06", Work(40.0), done="mix", key="first"))
    clock.set_to("2026-03-07")
    (part,) = tick(desk, [Tick("mix", litres=10.0)])
    assert part.stays_open

    mixed = ahead(desk, day(first), day("2026-03-20")).items
    amounts = [one.amount.value for one in mixed if one.open and one.amount is not None]

    assert amounts == [30.0, 40.0]
    told = plain(reason(mixed[0], Words(desk.state().household, desk.state().moment)))
    assert "10 L of it is mixed already" in told
    clock.set_to("2026-03-13")
    assert [one.amount.value for one in round_of(desk.state()).items if one.amount] == [30.0]
