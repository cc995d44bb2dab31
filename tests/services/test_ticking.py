"""Ticking: what must be said, what is written down, and what is refused as a whole."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time, timedelta

import pytest

from tankkeeper.core.amounts import AmountDue
from tankkeeper.core.chores import (
    AfterLastDone,
    Amount,
    AmountUnit,
    Chore,
    ChoreKind,
    Condition,
    IfMissed,
    Use,
    WhenWaterSays,
)
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household, Person, Supply, TopOffLimits
from tankkeeper.core.logbook import Dose, Readings, ReservoirCheck, TopOff, Turn, WaterChange, Work
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.state import Item
from tankkeeper.core.turns import State
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import find_item
from tankkeeper.services.fresh_fills import Extent
from tankkeeper.services.moving import skip
from tankkeeper.services.noting import Stamp, log_reading, log_top_off
from tankkeeper.services.ticking import Tick, tick
from tests.builders import BERLIN, a_box, a_chore, a_household, by_rule, day, days
from tests.fakes import FakeStore, SetClock, a_desk

TODAY = "2026-03-04"
BY_WATER = WhenWaterSays(Condition.EVAPORATION)
# 60 x 40 x 36 cm are 86.4 L.
NOOK = a_box(top_off=TopOffLimits(allowed_drop_mm=20.0))
DEEP = a_box("Deep", top_off=TopOffLimits(allowed_drop_mm=150.0, allowed_salinity_rise=6.0))
AUTO = a_box("Auto", top_off=TopOffLimits(reservoir_l=20.0))


def chore(
    name: str, kind: ChoreKind = ChoreKind.GLASS, tank: str = "nook", **more: object
) -> Chore:
    """Return a chore that is due today."""
    rhythm = more.pop("rhythm", AfterLastDone(days(7)))
    return a_chore(rhythm, id=name, name=name, kind=kind, tank=tank, first_due=day(TODAY), **more)  # type: ignore[arg-type]


HOUSE = a_household(
    tanks=(NOOK, DEEP, AUTO),
    people=(Person("ilse", "Ilse"), Person("jon", "Jon")),
    chores=(
        chore("wipe"),
        chore("floss"),
        chore("fill", ChoreKind.TOP_OFF, rhythm=BY_WATER),
        chore("fill-deep", ChoreKind.TOP_OFF, "deep", rhythm=BY_WATER),
        chore("refill", ChoreKind.RESERVOIR, "auto", rhythm=BY_WATER),
        chore("change", ChoreKind.WATER_CHANGE, amount=Amount(10.0, AmountUnit.PERCENT)),
        chore("test", ChoreKind.TEST, tests=("nitrate", "ph")),
        chore("feed", rhythm=by_rule("FREQ=DAILY", "2026-03-01", (time(8), time(18)))),
        chore("look", rhythm=by_rule("FREQ=DAILY", "2026-03-01"), if_missed=IfMissed.EXPIRE),
    ),
)


def house(at: time = time(12), household: Household = HOUSE) -> tuple[Desk, FakeStore, SetClock]:
    """Return a desk on 4 March."""
    return a_desk(household, TODAY, at)


def value(name: str, number: float) -> ReadingValue:
    """Return a measured value in its stored unit."""
    return ReadingValue(name, number, "", number)


def refused(code: str, desk: Desk, *ticks: Tick) -> UserFault:
    """Return the fault with which a tick is refused, having checked that nothing was written."""
    with pytest.raises(UserFault) as fault:
        tick(desk, ticks)
    assert fault.value.code == code
    store = desk.store
    assert isinstance(store, FakeStore)
    assert store.commits == len(store.entries)
    return fault.value


def test_a_tick_writes_who_and_when_and_tells_it() -> None:
    """One entry, of the turn that was open, at the moment of the clock."""
    desk, store, clock = house()
    told: list[object] = []
    desk.listeners.append(told.append)
    (outcome,) = tick(desk, [Tick("wipe", by="ilse", note="  easy ")])
    (entry,) = store.entries
    assert entry == outcome.entry
    assert (entry.by, entry.at, entry.day, entry.note) == ("ilse", clock.at, day(TODAY), "easy")
    assert (entry.completes, entry.tank) == ((Turn("wipe", "first"),), "nook")
    assert len(told) == 1


def test_all_or_none() -> None:
    """One item that cannot be ticked holds the others back."""
    desk, store, _ = house()
    refused("needs_litres", desk, Tick("wipe"), Tick("floss"), Tick("fill"))
    assert store.entries == []
    assert [one.entry.seq for one in tick(desk, [Tick("wipe"), Tick("floss")])] == [1, 2]


@pytest.mark.parametrize("by_id", [True, False], ids=["by the item", "by the chore"])
def test_done_already_is_no_new_row(by_id: bool) -> None:
    """The second of two people is told who did it."""
    desk, store, _ = house()
    wanted = "wipe@first" if by_id else "wipe"
    tick(desk, [Tick(wanted, by="ilse")])
    (again,) = tick(desk, [Tick(wanted, by="jon")])
    assert again.was_done_already
    assert again.entry.by == "ilse"
    assert len(store.entries) == 1


def test_done_already_days_ago_is_still_known() -> None:
    """The item of a turn that stands in no list any more names who did it."""
    desk, store, clock = house()
    tick(desk, [Tick("look")])
    clock.set_to("2026-03-09")
    (again,) = tick(desk, [Tick("look@2026-03-04")])
    assert again.was_done_already
    assert len(store.entries) == 1


def test_the_same_item_twice_at_once_is_done_once() -> None:
    """A double click in one call."""
    desk, store, _ = house()
    first, second = tick(desk, [Tick("wipe"), Tick("wipe")])
    assert (first.was_done_already, second.was_done_already) == (False, True)
    assert len(store.entries) == 1


def test_what_was_skipped_is_not_ticked() -> None:
    """A skipped turn is refused; its id stays the same."""
    desk, store, _ = house()
    skip(desk, ["wipe"])
    with pytest.raises(UserFault, match="skipped_already"):
        tick(desk, [Tick("wipe@first")])
    assert len(store.entries) == 1


def test_names_that_mean_nothing_are_refused_with_the_nearest() -> None:
    """A slip of the pen finds the chore it meant."""
    desk, _, _ = house()
    assert refused("no_such_item", desk, Tick("wpie")).values["nearest"] == "wipe"
    refused("no_such_turn", desk, Tick("wipe@after:nothing"))
    refused("no_such_turn", desk, Tick("look@2025-01-01"))


def test_only_what_has_happened_is_written_down() -> None:
    """A moment after now is refused."""
    desk, _, clock = house()
    refused("in_the_future", desk, Tick("wipe", at=clock.at + timedelta(seconds=1)))


def test_a_clock_that_fell_behind_is_asked_for_the_day() -> None:
    """More than a day before the newest entry; with a moment given it is taken."""
    desk, store, clock = house()
    tick(desk, [Tick("wipe")])
    clock.set_to("2026-03-02")
    with pytest.raises(UserFault, match="clock_behind"):
        tick(desk, [Tick("floss")])
    tick(desk, [Tick("floss", at=clock.at)])
    assert [one.day for one in store.entries] == [day(TODAY), day("2026-03-02")]
    clock.set_to("2026-03-03", time(13))
    tick(desk, [Tick("test", values=(value("nitrate", 5.0), value("ph", 8.1)))])
    assert len(store.entries) == 3


def test_done_yesterday_counts_from_yesterday() -> None:
    """A counted chore goes on from the day on which it was done."""
    desk, store, clock = house()
    tick(desk, [Tick("wipe", at=clock.at - timedelta(days=1))])
    assert store.entries[0].day == day("2026-03-03")
    coming = find_item(desk.state(), "wipe")
    assert coming is not None
    assert coming.open is not None
    assert coming.open.target == day("2026-03-10")


def test_done_yesterday_settles_the_turn_of_yesterday() -> None:
    """The daily look of today stays open; yesterday's is what was done."""
    desk, store, clock = house()
    (outcome,) = tick(desk, [Tick("look", at=clock.at - timedelta(days=1))])
    assert store.entries[0].completes == (Turn("look", "2026-03-03"),)
    assert not outcome.is_extra
    item = find_item(desk.state(), "look")
    assert item is not None
    assert item.state is State.DUE
    (again,) = tick(desk, [Tick("look", at=clock.at - timedelta(days=1))])
    assert again.was_done_already
    (more,) = tick(desk, [Tick("look", at=clock.at - timedelta(days=1), may_be_extra=True)])
    assert more.is_extra
    assert store.entries[1].completes == (Turn("look", ""),)


def test_done_yesterday_said_again_takes_the_hour_that_is_left() -> None:
    """The second time means the evening's turn; the third writes nothing, for all is done."""
    desk, store, clock = house()
    yesterday = clock.at - timedelta(days=1)
    came = [tick(desk, [Tick("feed", at=yesterday)])[0] for _ in range(3)]

    turns = [one.completes for one in store.entries]
    assert turns == [
        (Turn("feed", "2026-03-03", time(8)),),
        (Turn("feed", "2026-03-03", time(18)),),
    ]
    assert f"{store.entries[1].at.astimezone(BERLIN):%d %H:%M}" == "03 18:00"
    assert [one.was_done_already for one in came] == [False, False, True]


def test_a_counted_chore_of_yesterday_is_not_done_twice_unless_more_is_told() -> None:
    """A bare tick says no more than the entry there; one with a note is work of its own."""
    desk, store, clock = house()
    yesterday = clock.at - timedelta(days=1)
    tick(desk, [Tick("wipe", at=yesterday)])
    (again,) = tick(desk, [Tick("wipe", at=yesterday)])
    assert again.was_done_already
    assert again.entry == store.entries[0]
    (noted,) = tick(desk, [Tick("wipe", at=yesterday, note="both sides")])
    assert not noted.was_done_already
    assert len(store.entries) == 2


def test_late_in_the_evening_still_is_the_day_before() -> None:
    """At one o'clock in the night the day is that of the evening."""
    desk, store, clock = house()
    clock.set_to("2026-03-05", time(1))
    tick(desk, [Tick("look")])
    assert store.entries[0].completes == (Turn("look", "2026-03-04"),)
    assert store.entries[0].day == day("2026-03-04")


def test_a_slot_is_the_one_that_is_due_now() -> None:
    """At noon the morning's feeding is meant, although the evening's stands there too."""
    desk, store, clock = house()
    tick(desk, [Tick("feed")])
    assert store.entries[0].completes[0].slot == time(8)
    clock.set_to(TODAY, time(19))
    tick(desk, [Tick("feed")])
    assert store.entries[1].completes[0].slot == time(18)


# What must be written down


def test_a_top_off_asks_for_litres() -> None:
    """Without litres and without taking the proposal it is refused; with them it is full."""
    desk, store, _ = house()
    refused("needs_litres", desk, Tick("fill"))
    tick(desk, [Tick("fill", litres=3.5)])
    assert store.entries[0].fact == TopOff(3.5, to_mark=True)


def test_nothing_is_proposed_before_the_first_fill() -> None:
    """Nobody knows how much is missing."""
    desk, _, _ = house()
    refused("nothing_proposed", desk, Tick("fill", as_proposed=True))


def test_as_proposed_is_stored_as_estimated() -> None:
    """The litres that the level suggests, and no observation for the loss."""
    desk, store, clock = house()
    tick(desk, [Tick("fill", litres=3.5)])
    clock.set_to("2026-03-06")
    item = find_item(desk.state(), "fill")
    assert item is not None
    assert item.amount is not None
    tick(desk, [Tick("fill", as_proposed=True)])
    fact = store.entries[1].fact
    assert isinstance(fact, TopOff)
    assert fact.litres == pytest.approx(item.amount.value)
    assert (fact.estimated, fact.to_mark) == (True, True)


def a_week_of_fills() -> tuple[Desk, FakeStore, SetClock]:
    """Return Nook filled to the mark every other day at noon, with 1 L a day, until 10 March."""
    desk, store, clock = house()
    for on in ("2026-03-04", "2026-03-06", "2026-03-08", "2026-03-10"):
        clock.set_to(on)
        tick(desk, [Tick("fill", litres=2.0)])
    return desk, store, clock


def noon(on: str) -> datetime:
    """Return noon of a day in Berlin."""
    return datetime.combine(day(on), time(12), BERLIN)


def test_what_is_proposed_for_an_earlier_moment_was_missing_then() -> None:
    """1 L a day since the 10th: 1 L on the 11th, though 3 L are missing on the 13th.

    What went in on the 12th was not in it on the 11th either.
    """
    for part in ((), (Tick("fill", at=noon("2026-03-12"), litres=1.0, extent=Extent.PART),)):
        desk, store, clock = a_week_of_fills()
        clock.set_to("2026-03-13")
        tick(desk, part)

        tick(desk, [Tick("fill", at=noon("2026-03-11"), as_proposed=True)])

        fact = store.entries[-1].fact
        assert isinstance(fact, TopOff)
        assert fact.litres == pytest.approx(1.0, abs=0.06)
        assert (fact.estimated, fact.to_mark) == (True, True)


def test_what_is_proposed_for_an_hour_that_is_over_was_missing_at_it() -> None:
    """A litre a day since the 10th at noon: 0.83 L at eight of the 11th, 1.4 L at nine at night.

    Litres are told to a tenth.
    """
    hours = by_rule("FREQ=DAILY", "2026-03-01", (time(8), time(20)))
    change = {"rhythm": hours, "if_missed": IfMissed.EXPIRE}
    others = tuple(one for one in HOUSE.chores if one.id != "fill")
    fill = chore("fill", ChoreKind.TOP_OFF, **change)
    desk, store, clock = house(household=replace(HOUSE, chores=(*others, fill)))
    for on in ("2026-03-04", "2026-03-06", "2026-03-08", "2026-03-10"):
        clock.set_to(on)
        tick(desk, [Tick("fill", litres=2.0)])
    clock.set_to("2026-03-11", time(21))
    at_eight = datetime.combine(day("2026-03-11"), time(8), BERLIN)

    tick(desk, [Tick("fill@2026-03-11T0800", at=at_eight, as_proposed=True)])

    fact = store.entries[-1].fact
    assert isinstance(fact, TopOff)
    assert fact.litres == pytest.approx(20 / 24, abs=0.1)


@pytest.mark.parametrize("on", ["2026-03-09", "2026-03-10"])
def test_nothing_is_proposed_for_a_moment_of_the_newest_fill_or_before_it(on: str) -> None:
    """It was filled up since: whoever put in more says how much."""
    desk, store, clock = a_week_of_fills()
    clock.set_to("2026-03-13")
    proposed = Tick("fill", at=noon(on), as_proposed=True, may_be_extra=True)
    fault = refused("nothing_missing", desk, proposed)
    assert fault.values["entry"] == store.entries[-1]
    tick(desk, [replace(proposed, as_proposed=False, litres=0.5)])
    assert store.entries[-1].fact == TopOff(0.5)


@pytest.mark.parametrize("litres", [0.0, -1.0, float("nan"), 21.7, 1e9])
def test_litres_that_cannot_be_are_refused(litres: float) -> None:
    """Nothing, less than nothing, and more than a quarter of the 86.4 L."""
    desk, _, _ = house()
    assert refused("out_of_range", desk, Tick("fill", litres=litres)).values["field"] == "litres"
    tick(desk, [Tick("fill", litres=21.5)])


def a_long_gap() -> tuple[Desk, FakeStore, SetClock, Item, AmountDue]:
    """A deep tank that nobody topped off for so long that one day cannot make up for it."""
    desk, store, clock = house()
    tick(desk, [Tick("fill-deep", litres=3.0)])
    clock.set_to("2026-03-14")
    item = find_item(desk.state(), "fill-deep")
    assert item is not None
    assert item.amount is not None
    return desk, store, clock, item, item.amount


def test_a_long_gap_is_filled_in_parts() -> None:
    """So much has gone that the salinity would fall too fast: a part today, the rest tomorrow."""
    desk, store, clock, item, amount = a_long_gap()
    assert amount.is_split
    tick(desk, [Tick(item.id, litres=amount.value)])
    fact = store.entries[1].fact
    assert isinstance(fact, TopOff)
    assert not fact.to_mark
    rest = find_item(desk.state(), "fill-deep@after:n2")
    assert rest is not None
    assert rest.open is not None
    assert (rest.state, rest.open.target) == (State.PROJECTED, day("2026-03-15"))
    clock.set_to("2026-03-15")
    due = find_item(desk.state(), "fill-deep")
    assert due is not None
    assert due.state is State.DUE
    assert due.amount is not None
    assert due.amount.whole is not None
    assert amount.whole is not None
    assert due.amount.whole < amount.whole


def test_who_fills_a_long_gap_to_the_mark_at_once_has_filled_to_the_mark() -> None:
    """The litres that were missing as a whole, not the part that was proposed."""
    desk, store, _, _, amount = a_long_gap()
    tick(desk, [Tick("fill-deep", litres=amount.whole)])
    fact = store.entries[1].fact
    assert isinstance(fact, TopOff)
    assert fact.to_mark


def test_a_reservoir_is_filled_until_full() -> None:
    """Litres added, never more than it holds while the tank cannot lack any."""
    desk, store, _ = house()
    refused("out_of_range", desk, Tick("refill", litres=20.5))
    tick(desk, [Tick("refill", litres=12.0)])
    assert store.entries[0].fact == ReservoirCheck(fill_l=12.0)


def test_after_a_reservoir_ran_dry_more_may_go_in_than_it_holds() -> None:
    """The pump puts part of it into the tank: at a safe pace in parts, until full at the end."""
    desk, store, clock = house()
    for on in ("2026-03-02", "2026-03-06", "2026-03-10", "2026-03-14", "2026-03-18"):
        clock.set_to(on)
        tick(desk, [Tick("refill", litres=12.0)])
    clock.set_to("2026-03-26")
    item = find_item(desk.state(), "refill")
    assert item is not None
    assert item.amount is not None
    assert item.amount.is_split

    tick(desk, [Tick("refill", litres=2.0)])
    after = desk.state().chores
    still_open = [one for chore in after if chore.chore.id == "refill" for one in chore.open]

    assert store.entries[-1].fact == TopOff(2.0, to_mark=False)
    assert still_open == []
    clock.set_to("2026-03-27")
    refused("out_of_range", desk, Tick("refill", litres=60.0))
    tick(desk, [Tick("refill", litres=25.0)])
    assert store.entries[-1].fact == ReservoirCheck(fill_l=25.0)


def test_a_part_completes_nothing_and_counts_with_what_fills_the_rest() -> None:
    """The turn stays open for the next bucket, and the loss is that of both."""
    desk, store, clock = house()
    tick(desk, [Tick("fill", litres=3.5)])
    clock.set_to("2026-03-06")
    before = find_item(desk.state(), "fill")
    assert before is not None

    (outcome,) = tick(desk, [Tick("fill", litres=0.5, extent=Extent.PART)])

    assert (outcome.stays_open, outcome.is_extra) == (True, False)
    assert (outcome.entry.completes, outcome.entry.tank) == ((), "nook")
    assert outcome.entry.fact == TopOff(0.5, to_mark=False)
    after = find_item(desk.state(), "fill")
    assert after is not None
    assert (after.id, after.state) == (before.id, before.state)
    assert before.water is not None
    assert before.water.evaporated is not None
    assert after.water is not None
    assert after.water.evaporated is not None
    missing_l = before.water.evaporated.value
    assert after.water.evaporated.value == pytest.approx(missing_l - 0.5)
    (done,) = tick(desk, [Tick(before.id, litres=1.0)])
    assert done.entry.completes == (before.turn,)
    assert store.entries[-1].fact == TopOff(1.0)


def test_todays_part_of_what_is_spread_over_days_completes_its_turn() -> None:
    """Said so or not: more of it would let the salinity fall too fast today."""
    desk, store, _, item, amount = a_long_gap()

    (outcome,) = tick(desk, [Tick(item.id, litres=amount.value, extent=Extent.PART)])

    assert outcome.entry.completes == (item.turn,)
    assert not outcome.stays_open
    assert store.entries[-1].fact == TopOff(amount.value, to_mark=False)


def test_who_says_the_mark_was_reached_is_believed() -> None:
    """However much of a long gap it was."""
    desk, store, _, item, amount = a_long_gap()

    tick(desk, [Tick(item.id, litres=amount.value, extent=Extent.FULL)])

    assert store.entries[-1].fact == TopOff(amount.value, to_mark=True)


def test_what_a_reservoir_holds_after_something_was_poured_in_teaches_no_loss() -> None:
    """Nobody knows how much was left before; what is in it now is known."""
    desk, store, clock = house()
    for on in ("2026-03-02", "2026-03-06", "2026-03-10", "2026-03-14"):
        clock.set_to(on)
        tick(desk, [Tick("refill", litres=8.0)])
    clock.set_to("2026-03-18")
    learned = desk.state().waters["auto"].learned.state
    assert learned is not None

    refused("out_of_range", desk, Tick("refill", litres=20.5, extent=Extent.HOLDS))
    (outcome,) = tick(desk, [Tick("refill", litres=15.0, extent=Extent.HOLDS)])

    assert outcome.stays_open
    assert store.entries[-1].fact == ReservoirCheck(left_l=15.0, estimated=True)
    water = desk.state().waters["auto"]
    assert water.reservoir_left is not None
    assert water.reservoir_left.value == pytest.approx(15.0)
    assert water.learned.state is not None
    assert water.learned.state.log_rate == learned.log_rate


def test_a_bucket_into_a_reservoir_that_was_looked_at_is_in_it() -> None:
    """What was seen and what was poured in, as far as it holds so much."""
    desk, _, clock = house()
    for on in ("2026-03-02", "2026-03-06"):
        clock.set_to(on)
        tick(desk, [Tick("refill", litres=8.0)])
    clock.set_to("2026-03-10")
    tick(desk, [Tick("refill", litres=5.0, extent=Extent.HOLDS)])
    tick(desk, [Tick("refill", litres=9.0, extent=Extent.PART)])

    left = desk.state().waters["auto"].reservoir_left

    assert left is not None
    assert left.value == pytest.approx(14.0)


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("nothing_to_keep_it", Tick("fill", litres=1.0, extent=Extent.HOLDS)),
        ("nothing_to_keep_it", Tick("wipe", extent=Extent.PART)),
        ("needs_litres", Tick("fill", as_proposed=True, extent=Extent.PART)),
        ("out_of_range", Tick("fill", litres=21.7, extent=Extent.PART)),
    ],
)
def test_a_part_that_cannot_be_is_refused(code: str, said: Tick) -> None:
    """Nothing is written."""
    desk, _, _ = house()
    refused(code, desk, said)


def test_a_water_change_asks_for_litres_and_salinity() -> None:
    """Or takes the litres as proposed, marked as estimated."""
    desk, store, clock = house()
    refused("needs_litres", desk, Tick("change"))
    refused("needs_salinity", desk, Tick("change", litres=9.0))
    refused("out_of_range", desk, Tick("change", litres=9.0, salinity=60.0))
    refused("out_of_range", desk, Tick("change", litres=90.0, salinity=35.0))
    tick(desk, [Tick("change", litres=9.0, salinity=35.0)])
    assert store.entries[0].fact == WaterChange(9.0, salinity=35.0)
    clock.set_to("2026-03-11")
    refused("needs_salinity", desk, Tick("change", as_proposed=True))
    tick(desk, [Tick("change", as_proposed=True, salinity=34.8)])
    fact = store.entries[1].fact
    assert isinstance(fact, WaterChange)
    assert fact.estimated
    # A tenth of 86.4 L, as it was shown.
    assert fact.litres == 8.6


def test_a_test_asks_for_every_value() -> None:
    """What is missing is named; more than asked for is kept."""
    desk, store, _ = house()
    fault = refused("needs_values", desk, Tick("test", values=(value("nitrate", 5.0),)))
    assert fault.values["missing"] == ("ph",)
    values = (value("nitrate", 5.0), value("ph", 8.1), value("salinity", 35.0))
    tick(desk, [Tick("test", values=values)])
    assert store.entries[0].fact == Readings(values)


def test_a_value_given_twice_is_refused() -> None:
    """Two values of one parameter in one entry could not be told apart, nor written as text."""
    desk, store, _ = house()
    values = (value("nitrate", 5.0), value("ph", 8.1), value("nitrate", 6.0))
    fault = refused("value_twice", desk, Tick("test", values=values))
    assert fault.values["parameter"] == "nitrate"
    refused("value_twice", desk, Tick("wipe", values=values))
    assert not store.entries


def test_what_a_work_has_no_place_for_is_refused() -> None:
    """Nothing that was said is dropped: it is refused, and the person can log it by itself."""
    desk, store, _ = house()
    nitrate = (value("nitrate", 5.0),)
    for one in (
        Tick("fill", litres=1.5, salinity=35.0),
        Tick("fill", litres=1.5, values=nitrate),
        Tick("wipe", salinity=35.0),
        Tick("test", litres=1.5, values=(*nitrate, value("ph", 8.1))),
    ):
        refused("nothing_to_keep_it", desk, one)
    assert not store.entries


def test_litres_of_other_work_are_kept() -> None:
    """Where a chore has no fact of its own, what was said is kept all the same."""
    desk, store, _ = house()
    tick(desk, [Tick("wipe", litres=2.0)])
    assert store.entries[0].fact == Work(litres=2.0)


def test_a_note_may_not_be_endless() -> None:
    """More than ten thousand signs are refused."""
    desk, _, _ = house()
    refused("note_too_long", desk, Tick("wipe", note="x" * 10_001))


# Several ways to do one thing


def test_a_logged_top_off_does_the_chore() -> None:
    """And the chore ticked after it is told so."""
    desk, store, _ = house()
    noted = log_top_off(desk, NOOK, 3.0, stamp=Stamp(by="jon"))
    assert [one.id for one in noted.completed] == ["fill"]
    (again,) = tick(desk, [Tick("fill", litres=3.0)])
    assert (again.was_done_already, again.entry.by) == (True, "jon")
    assert len(store.entries) == 1


def test_a_reading_of_the_night_before_leaves_the_later_tick_alone() -> None:
    """An older reading entered after the tick does no turn."""
    desk, store, clock = house()
    values = (value("nitrate", 5.0), value("ph", 8.1))
    tick(desk, [Tick("test", values=values)])
    noted = log_reading(desk, NOOK, values, Stamp(at=clock.at - timedelta(hours=20)))
    assert all(not turn.key for turn in noted.entry.completes)
    coming = find_item(desk.state(), "test@after:n1")
    assert coming is not None
    assert len(store.entries) == 2


GRAMS, LITRES = AmountUnit.GRAMS, AmountUnit.LITRES
SODA = Use("soda", 6.0, GRAMS)


def dosing(**more: object) -> tuple[Desk, FakeStore]:
    """Return a desk of a house with one dose chore."""
    one = chore("dose", ChoreKind.DOSE, **more)
    supplies = (Supply("soda", "sodium bicarbonate", "g"), Supply("cups", "cups", "pieces"))
    desk, store, _ = house(household=a_household(tanks=(NOOK,), chores=(one,), supplies=supplies))
    return desk, store


@pytest.mark.parametrize(
    ("more", "grams", "fact"),
    [
        ({"amount": Amount(6.0, GRAMS), "uses": (SODA,)}, None, Dose("sodium bicarbonate", 6.0)),
        ({"amount": Amount(6.0, GRAMS), "uses": (SODA,)}, 5.0, Dose("sodium bicarbonate", 5.0)),
        ({"uses": (SODA,)}, None, Dose("sodium bicarbonate", 6.0)),
        ({"uses": (Use("cups", 1.0, None), SODA)}, None, Dose("sodium bicarbonate", 6.0)),
        ({"uses": (Use("soda"),)}, 5.0, Dose("sodium bicarbonate", 5.0)),
        # What is dosed, or how much, is not known.
        ({"uses": (Use("soda"),)}, None, None),
        ({"amount": Amount(6.0, GRAMS)}, None, Work(grams=6.0)),
        ({"amount": Amount(6.0, GRAMS)}, 5.0, Work(grams=5.0)),
        ({"amount": Amount(0.1, LITRES), "uses": (SODA,)}, None, Work(litres=0.1)),
        ({}, None, None),
    ],
)
def test_a_ticked_dose_is_a_dose_of_its_supply(
    more: dict[str, object], grams: float | None, fact: object
) -> None:
    """With the grams that were told, else those that the chore states."""
    desk, store = dosing(**more)

    tick(desk, [Tick("dose", grams=grams)])

    assert store.entries[0].fact == fact
    assert [turn.chore for turn in store.entries[0].completes] == ["dose"]


@pytest.mark.parametrize("grams", [0.0, -1.0, 1e9])
def test_grams_that_cannot_be_are_refused(grams: float) -> None:
    """As where a dose is written down by itself."""
    desk, _ = dosing(amount=Amount(6.0, GRAMS), uses=(SODA,))
    assert refused("out_of_range", desk, Tick("dose", grams=grams)).values["field"] == "grams"


def test_grams_belong_to_doses_alone() -> None:
    """Other work, and a dose in litres, has no place for them."""
    desk, _, _ = house()
    refused("nothing_to_keep_it", desk, Tick("wipe", grams=5.0))
    desk, _ = dosing(amount=Amount(0.1, LITRES), uses=(SODA,))
    refused("nothing_to_keep_it", desk, Tick("dose", grams=5.0))


def test_a_turn_by_the_calendar_before_its_window_is_refused_by_its_id() -> None:
    """Named by the chore, work before the window counts as extra, and the turn stays."""
    rule = by_rule("FREQ=WEEKLY", "2026-03-07")
    sand = a_chore(rule, id="sand", name="Siphon the sand", tank="nook", early_days=2)
    desk, store, _ = house(household=a_household(tanks=(NOOK,), chores=(sand,)))

    fault = refused("before_window", desk, Tick("sand@2026-03-07"))

    assert fault.values["day"] == day("2026-03-07")
    assert fault.values["earliest"] == day("2026-03-05")
    assert store.entries == []
    (outcome,) = tick(desk, [Tick("sand")])
    assert outcome.is_extra
    assert outcome.entry.completes == (Turn("sand", "extra"),)
