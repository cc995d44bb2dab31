"""The calendar of a household: where each turn stands, what is folded, how long things waited."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import pytest

from tankkeeper.core.calendar_days import is_daily, month_after, weeks_of
from tankkeeper.core.chores import (
    AfterLastDone,
    Calendar,
    Chore,
    ChoreKind,
    Condition,
    EarlierRhythm,
    IfMissed,
    WhenWaterSays,
)
from tankkeeper.core.household import Household, Person, TopOffLimits
from tankkeeper.core.intervals import parse_interval
from tankkeeper.core.turns import State
from tankkeeper.services.ahead import ahead
from tankkeeper.services.board import board_of
from tankkeeper.services.calendar import (
    CalendarView,
    calendar_view,
    can_be_moved,
    daily_by_water,
)
from tankkeeper.services.desk import Desk
from tankkeeper.services.moving import pause_chore, put_off, skip
from tankkeeper.services.noting import Stamp, log_top_off
from tankkeeper.services.other_days import refusal_of
from tankkeeper.services.sample import make_sample
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_chore, a_household, by_rule, day, days
from tests.fakes import SetClock, a_desk

SAMPLE = Path(__file__).resolve().parents[2] / "sample_tanks" / "sample_household.toml"
DEFINITIONS = SAMPLE.read_text(encoding="utf-8")
TANK = a_box()
FIRST, LAST = day("2026-03-01"), day("2026-04-05")


def weekly(chore_id: str = "glass", first: str = "2026-03-02", **more: object) -> Chore:
    """Return a weekly chore counted from the last time."""
    values: dict[str, object] = {"tank": "nook", "minutes": 5, "first_due": day(first)}
    return a_chore(AfterLastDone(days(7)), **({"id": chore_id} | values | more))


def desk_with(*chores: Chore, on: str = "2026-03-12", **more: object) -> tuple[Desk, SetClock]:
    """Return a desk with these chores on the tank "nook"."""
    desk, _, clock = a_desk(a_household(tanks=(TANK,), chores=chores, **more), on)
    return desk, clock


def view_of(desk: Desk) -> CalendarView:
    """Return March of 2026 with the days around it."""
    return calendar_view(desk, FIRST, LAST)


def where(view: CalendarView, chore: str, state: State | None = None) -> list[str]:
    """Return the days on which a chore is drawn, in one state if given."""
    return [
        one.day.isoformat()
        for one in view.days
        for item in one.items
        if item.chore.id == chore and state in (None, item.state)
    ]


def test_an_overdue_turn_stands_on_its_latest_day_and_under_today() -> None:
    """Product rule: the length of the thread between the two is the number of days overdue."""
    desk, _ = desk_with(weekly(first="2026-03-06", late_days=2))

    view = view_of(desk)

    assert where(view, "glass", State.OVERDUE) == ["2026-03-08", "2026-03-12"]
    thread = view.threads[0]
    assert (thread.first, thread.last) == (day("2026-03-08"), day("2026-03-12"))
    assert thread.item.open is not None
    assert (thread.last - thread.first).days == thread.item.open.days_overdue(day("2026-03-12"))


def test_threads_are_ordered_by_how_long_they_waited() -> None:
    """The longest wait comes first, because not all of them are drawn."""
    desk, _ = desk_with(weekly("a", "2026-03-09"), weekly("b", "2026-03-03"), weekly("c"))

    assert [thread.item.chore.id for thread in view_of(desk).threads] == ["c", "b", "a"]


def test_a_thread_is_cut_where_the_days_end() -> None:
    """A month before that of today shows the thread without its head, a later one none of it."""
    desk, _ = desk_with(weekly(first="2026-02-20"))

    march = view_of(desk).threads[0]
    february = calendar_view(desk, day("2026-02-01"), day("2026-02-28")).threads[0]

    assert (march.first, march.begins_here, march.ends_here) == (FIRST, False, True)
    assert (february.last, february.begins_here, february.ends_here) == (
        day("2026-02-28"),
        True,
        False,
    )
    assert calendar_view(desk, day("2026-05-01"), day("2026-05-31")).threads == ()


def test_what_may_wait_stands_on_its_target_and_what_is_due_under_today() -> None:
    """Open turns that are not overdue stand on their target."""
    desk, _ = desk_with(
        weekly("wait", "2026-03-14", early_days=4), weekly("due", "2026-03-12"), on="2026-03-12"
    )

    view = view_of(desk)

    assert where(view, "wait", State.MAY_WAIT) == ["2026-03-14"]
    assert where(view, "due", State.DUE) == ["2026-03-12"]


def test_what_can_wait_past_its_target_stands_again_on_its_last_day() -> None:
    """Whoever looks at Sunday sees what must be done by then, in the day's list and its sums."""
    desk, _ = desk_with(weekly("wait", "2026-03-10", late_days=5), on="2026-03-12")

    view = view_of(desk)

    assert where(view, "wait", State.MAY_WAIT) == ["2026-03-10", "2026-03-15"]
    assert view.threads == ()


@pytest.mark.parametrize("rhythm", ["interval", "rule"])
def test_what_follows_moves_with_no_day_that_work_can_wait(rhythm: str) -> None:
    """It follows from the last day, where that work stands; `ahead` has it done today."""
    chore = weekly("wait", "2026-03-10", late_days=5)
    if rhythm == "rule":
        rule = by_rule("FREQ=WEEKLY;BYDAY=TU", "2026-03-10")
        chore = replace(chore, rhythm=rule, early_days=3)
    desk, clock = desk_with(chore, on="2026-03-11")
    told, listed = [], []
    for on in ("2026-03-11", "2026-03-12", "2026-03-15"):
        clock.set_to(on)
        told.append(where(view_of(desk), "wait", State.PROJECTED))
        coming = ahead(desk, day("2026-03-12"), LAST).items
        listed.append([f"{one.open.target}" for one in coming if one.open][-3:])

    following = {
        "interval": ["2026-03-22", "2026-03-29", "2026-04-05"],
        "rule": ["2026-03-24", "2026-03-31"],
    }[rhythm]
    assert told == [following] * 3
    if rhythm == "interval":
        assert listed[0] == ["2026-03-18", "2026-03-25", "2026-04-01"]
        assert listed[2] == following

    clock.set_to("2026-03-12")
    tick(desk, [Tick("wait")])
    assert (
        where(view_of(desk), "wait", State.PROJECTED)[0]
        == {
            "interval": "2026-03-19",
            "rule": "2026-03-17",
        }[rhythm]
    )


def test_what_follows_overdue_work_counts_from_today() -> None:
    """Its last day is over, so that it can be done on none before."""
    desk, _ = desk_with(weekly("late", "2026-03-08", late_days=2), on="2026-03-12")

    assert where(view_of(desk), "late", State.PROJECTED)[0] == "2026-03-19"


def test_done_and_skipped_turns_stand_where_they_happened() -> None:
    """The past is read from the log, not computed from the rule."""
    desk, clock = desk_with(weekly("glass", "2026-03-02"), weekly("sand", "2026-03-03"))
    clock.set_to("2026-03-04")
    tick(desk, [Tick("glass")])
    skip(desk, ["sand"])
    clock.set_to("2026-03-12")

    view = view_of(desk)

    assert where(view, "glass", State.DONE) == ["2026-03-04"]
    assert where(view, "sand", State.SKIPPED) == ["2026-03-04"]
    done = view.day(day("2026-03-04"))
    assert done is not None
    assert done.minutes == 5


def test_days_ahead_hold_the_projected_turns() -> None:
    """A turn every 7 days, done today: the 19th, the 26th and the 2nd of April follow."""
    desk, _ = desk_with(weekly(first="2026-03-12"))

    assert where(view_of(desk), "glass", State.PROJECTED) == [
        "2026-03-19",
        "2026-03-26",
        "2026-04-02",
    ]


def test_a_turn_put_off_leads_to_the_next_from_its_new_day() -> None:
    """Due on Thursday 12 and put off to Saturday 14: it stands there once, the next on the 21st."""
    desk, _ = desk_with(weekly(first="2026-03-12", early_days=3, late_days=3))
    put_off(desk, "glass", day("2026-03-14"))

    view = view_of(desk)

    assert where(view, "glass", State.MAY_WAIT) == ["2026-03-14"]
    assert where(view, "glass", State.PROJECTED) == ["2026-03-21", "2026-03-28", "2026-04-04"]


def test_what_is_done_every_day_is_folded_into_the_minutes() -> None:
    """Otherwise every cell would say "feed"; the minutes of a day hold it all the same."""
    daily = a_chore(by_rule("FREQ=DAILY", "2026-03-01"), id="feed", tank="nook", minutes=3)
    desk, _ = desk_with(replace_missed(daily), weekly(first="2026-03-14"))

    view = view_of(desk)

    assert where(view, "feed") == []
    saturday = view.day(day("2026-03-14"))
    assert saturday is not None
    assert saturday.minutes == 8
    assert [item.chore.id for item in saturday.folded] == ["feed"]


def replace_missed(chore: Chore) -> Chore:
    """Return a daily chore whose missed turns are gone with their day."""
    values = {name: getattr(chore, name) for name in chore.__dataclass_fields__}
    return Chore(**(values | {"if_missed": IfMissed.EXPIRE}))


def test_a_daily_chore_that_is_overdue_is_drawn() -> None:
    """What was missed is never hidden in a sum."""
    daily = a_chore(by_rule("FREQ=DAILY", "2026-03-01"), id="feed", tank="nook")
    desk, clock = desk_with(daily, on="2026-03-09")
    tick(desk, [Tick("feed")])
    clock.set_to("2026-03-12")

    assert "2026-03-12" in where(view_of(desk), "feed", State.OVERDUE)


def test_a_chore_paused_on_its_own_is_told_as_paused() -> None:
    """A pause is a state with a mark of its own, not a gap."""
    desk, _ = desk_with(weekly(first="2026-03-12"))
    pause_chore(desk, "glass", day("2026-03-20"))

    view = view_of(desk)

    # Its turn moves to the day after the pause, on which it is paused no more.
    assert where(view, "glass", State.PAUSED) == ["2026-03-12"]
    assert where(view, "glass", State.PROJECTED)[:2] == ["2026-03-21", "2026-03-28"]


def test_only_open_turns_and_the_next_one_can_be_moved() -> None:
    """Later turns follow from it; each one said to be movable is moved, and no other."""
    desk, _ = desk_with(weekly(first="2026-03-20"), weekly("due", "2026-03-12"))
    view = view_of(desk)
    items = {item.id: item for one in view.days for item in one.items}

    movable = [item.id for item in items.values() if can_be_moved(view.state, item)]

    assert movable == ["due@first", "glass@first"]
    for one in movable:
        put_off(desk, one, day("2026-03-25"))


@pytest.mark.parametrize("rule", ["FREQ=DAILY", "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR,SA,SU"])
def test_rules_that_name_every_day_are_daily(rule: str) -> None:
    """However it is written, what comes each day is daily."""
    assert is_daily(a_chore(by_rule(rule, "2026-03-01")), day("2026-03-12"))


@pytest.mark.parametrize(
    "rule",
    ["FREQ=DAILY;INTERVAL=2", "FREQ=DAILY;BYDAY=MO,TU", "FREQ=DAILY;BYMONTH=6", "FREQ=WEEKLY"],
)
def test_rules_that_leave_days_out_are_not_daily(rule: str) -> None:
    """A day left out is a day on which the chore must not be in the sum unseen."""
    assert not is_daily(a_chore(by_rule(rule, "2026-03-01")), day("2026-03-12"))


def test_an_interval_of_a_day_is_daily() -> None:
    """Counted from the last time, one day or up to 24 hours come to the same."""
    assert is_daily(a_chore(AfterLastDone(parse_interval("1 day"))), day("2026-03-12"))
    assert is_daily(a_chore(AfterLastDone(parse_interval("12 hours"))), day("2026-03-12"))
    assert not is_daily(a_chore(AfterLastDone(parse_interval("2 days"))), day("2026-03-12"))


@pytest.mark.parametrize("first_weekday", range(7))
@pytest.mark.parametrize("month", [date(2026, 2, 1), date(2026, 3, 1), date(2024, 2, 1)])
def test_weeks_hold_every_day_of_the_month_once(month: date, first_weekday: int) -> None:
    """Whole weeks that begin on the household's first weekday, without a gap."""
    weeks = weeks_of(month, first_weekday)
    shown = [one for week in weeks for one in week]

    assert all(week[0].weekday() == first_weekday for week in weeks)
    assert shown == [shown[0] + timedelta(days=at) for at in range(len(shown))]
    assert sum(one.month == month.month for one in shown) in (28, 29, 31)
    assert all(any(one.month == month.month for one in week) for week in weeks)


def test_months_stop_where_dates_end() -> None:
    """However often the key is pressed, no month is asked for that has no dates."""
    assert month_after(date(1, 2, 1), -1) == date(1, 2, 1)
    assert month_after(date(9999, 11, 1), 12) == date(9999, 11, 1)


def board_house(*chores: Chore) -> Household:
    """Return a household of two people with these chores."""
    people = (Person("ada", "Ada", (30, 30, 30, 10, 30, 60, 60)), Person("bo", "Bo"))
    return a_household(tanks=(TANK,), chores=chores, people=people)


def test_minutes_count_for_the_first_person_named() -> None:
    """A chore counts once; with nobody named it counts for the household's strip."""
    chores = (
        weekly("a", "2026-03-12", who=("ada", "bo"), minutes=12),
        weekly("b", "2026-03-12", who=("bo",), minutes=4),
        weekly("c", "2026-03-13", minutes=7),
    )
    desk, _, _ = a_desk(board_house(*chores), "2026-03-12")

    board = board_of(desk.state(), 7)

    ada, bo, nobody = board.strips
    assert (ada.minutes[0], bo.minutes[0], nobody.minutes[1]) == (12, 4, 7)
    assert nobody.person is None
    # 12 March 2026 is a Thursday, on which Ada gives 10 minutes.
    assert ada.gives is not None
    assert (ada.gives[0], ada.over(0), ada.over(1)) == (10, 2, 0)
    assert bo.gives is None


def test_a_weekday_whose_minutes_are_not_known_has_no_limit() -> None:
    """Not known is not nothing: however much is planned, such a day is never too full."""
    given = (30, 30, 30, None, 0, 60, 60)
    house = replace(
        board_house(
            weekly("a", "2026-03-12", who=("ada",), minutes=12),
            weekly("b", "2026-03-13", who=("ada",), minutes=5),
        ),
        people=(Person("ada", "Ada", given),),
    )
    desk, _, _ = a_desk(house, "2026-03-12")

    (ada,) = board_of(desk.state(), 7).strips

    # Thursday, then Friday on which Ada gives nothing.
    assert (ada.given(0), ada.over(0)) == (None, 0)
    assert (ada.given(1), ada.over(1)) == (0, 5)


def test_the_board_holds_open_work_under_today_and_each_turn_once() -> None:
    """An overdue turn has one place on the board, and so has what waits since a past day."""
    desk, _ = desk_with(
        weekly("late", "2026-03-04"), weekly("wait", "2026-03-10", late_days=5), on="2026-03-12"
    )

    band = next(one for one in board_of(desk.state(), 5).bands if one.tank is not None)

    placed = [(one.item.chore.id, one.day) for one in band.placed if one.item.is_open]

    assert sorted(placed) == [("late", day("2026-03-12")), ("wait", day("2026-03-15"))]


def test_a_refusal_on_the_board_offers_a_day_that_works() -> None:
    """The day that is offered is accepted when it is chosen."""
    saturdays = a_chore(by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-03-07"), id="sand", tank="nook")
    desk, _ = desk_with(saturdays, on="2026-03-14")
    state = desk.state()
    days_shown = calendar_view(desk, FIRST, LAST).days
    item = next(item for one in days_shown for item in one.items if item.is_open)

    fault = refusal_of(state, item, day("2026-03-23"))

    assert fault is not None
    works = fault.values["works"]
    assert isinstance(works, date)
    assert refusal_of(state, item, works) is None
    put_off(desk, item.id, works)


def reservoir(litres: float) -> tuple[Desk, SetClock]:
    """Return a desk whose tank is topped off from a reservoir of this size, filled today."""
    tank = replace(TANK, top_off=TopOffLimits(reservoir_l=litres))
    rhythm = WhenWaterSays(Condition.EVAPORATION)
    fill = a_chore(rhythm, id="fill", tank="nook", kind=ChoreKind.RESERVOIR, minutes=4)
    desk, _, clock = a_desk(a_household(tanks=(tank,), chores=(fill,)), "2026-03-12")
    tick(desk, [Tick("fill", litres=litres)])
    return desk, clock


def test_what_the_water_asks_for_every_day_is_folded_ahead_and_drawn_while_it_is_open() -> None:
    """A line on every day to come would say nothing; that of today is what is to be done."""
    desk, clock = reservoir(1.2)
    view = view_of(desk)
    assert where(view, "fill", State.PROJECTED) == []
    ahead = view.day(day("2026-03-20"))
    assert ahead is not None
    assert [item.chore.id for item in ahead.folded] == ["fill"]
    assert ahead.minutes == 4

    clock.set_to("2026-03-14")
    assert "2026-03-14" in where(view_of(desk), "fill")


def test_what_the_water_asks_for_now_and_then_is_drawn() -> None:
    """A larger reservoir lasts some days, and each of its days is worth a line."""
    desk, _ = reservoir(12.0)
    assert len(where(view_of(desk), "fill", State.PROJECTED)) > 1


def sample_on(on: str, *fills: tuple[str, str, float]) -> tuple[Desk, SetClock]:
    """Return the sample of a day at 07:05 with more fills of "Pebble", and its clock.

    Each fill tells the day on which it is written down, the day and hour of the fill, its litres.
    """
    house = make_sample(DEFINITIONS, datetime.fromisoformat(f"{on}T07:05+01:00").astimezone(UTC))
    desk, store, clock = a_desk(house.household, on, time(7, 5))
    store.entries.extend(house.entries)
    pebble = next(one for one in house.household.tanks if one.id == "pebble")
    for written, at, litres in fills:
        clock.set_to(written, time(7, 5))
        log_top_off(desk, pebble, litres, stamp=Stamp(at=datetime.fromisoformat(f"{at}+01:00")))
    return desk, clock


# The sample's own fills before these are on the 21st and the 23rd.
LATE = ("2026-11-27", "2026-11-24T07:00", 1.2)
FILLED = ("2026-11-26", "2026-11-26T07:00", 2.0)


def test_the_past_is_drawn_by_what_was_done_however_often_the_water_asks_today() -> None:
    """Two large fills in a row bring the next ones daily; those before came more rarely."""
    desk, _ = sample_on("2026-11-26", FILLED, LATE)
    view = calendar_view(desk, day("2026-11-16"), day("2026-12-06"))

    assert "pebble.top-off" in daily_by_water(view.state)
    assert where(view, "pebble.top-off", State.DONE) == [
        "2026-11-16",
        "2026-11-18",
        "2026-11-21",
        "2026-11-23",
        "2026-11-24",
        "2026-11-26",
    ]


@pytest.mark.parametrize(
    ("on", "fills"),
    [
        ("2026-11-27", (LATE,)),
        ("2026-11-29", (LATE,)),
        ("2026-11-27", (FILLED, LATE)),
        ("2026-11-30", (FILLED, LATE)),
        ("2026-11-27", (LATE, ("2026-11-27", "2026-11-27T07:00", 1.8))),
    ],
)
def test_what_comes_is_folded_only_where_it_comes_every_day(
    on: str, fills: tuple[tuple[str, str, float], ...]
) -> None:
    """Whether it was logged late, waits for days or was just done: each day foreseen is told."""
    desk, clock = sample_on("2026-11-26", *fills)
    clock.set_to(on, time(7, 5))
    first, last = day(on) + timedelta(days=1), day(on) + timedelta(days=14)

    view = calendar_view(desk, first, last)
    foreseen = [
        one.open.target.isoformat()
        for one in ahead(desk, first, last).items
        if one.chore.id == "pebble.top-off" and one.open is not None
    ]

    drawn = where(view, "pebble.top-off")
    every = [(first + timedelta(days=at)).isoformat() for at in range(14)]
    assert foreseen
    assert drawn == ([] if foreseen == every else foreseen)


def test_a_fill_of_today_is_drawn_as_one_of_yesterday_is() -> None:
    """What was done is told on its day, and does not appear only once that day is past."""
    desk, clock = reservoir(1.2)
    assert where(view_of(desk), "fill", State.DONE) == ["2026-03-12"]
    clock.set_to("2026-03-13")
    assert where(view_of(desk), "fill", State.DONE) == ["2026-03-12"]


def test_a_later_rule_is_drawn_although_the_water_asks_every_day_until_then() -> None:
    """From 22 March, a Sunday, the chore comes on Sundays only, and each is worth a line."""
    desk, _ = reservoir(1.2)
    chore = desk.state().household.chores[0]
    sundays = Calendar("FREQ=WEEKLY;BYDAY=SU", day("2026-03-22"))
    later = replace(
        chore,
        rhythm=sundays,
        valid_from=day("2026-03-22"),
        earlier=(EarlierRhythm(day("2026-03-01"), chore.rhythm),),
    )
    house = replace(desk.state().household, chores=(later,))
    desk, _, _ = a_desk(house, "2026-03-12")
    tick(desk, [Tick("fill", litres=1.2)])

    assert where(view_of(desk), "fill", State.PROJECTED) == [
        "2026-03-22",
        "2026-03-29",
        "2026-04-05",
    ]
