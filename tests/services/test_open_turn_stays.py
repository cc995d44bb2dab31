"""What is open when the rhythm of its chore is changed stays open until somebody does it."""

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
    Once,
    Rhythm,
)
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.logbook import WaterChange
from tankkeeper.core.state import items_of
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.words import Words
from tankkeeper.services import settling_chores
from tankkeeper.services.exchange import export_household, household_in
from tankkeeper.services.moving import put_off, skip
from tankkeeper.services.noting import log_water_change
from tankkeeper.services.settling_preview import changed_like, next_days
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_household, day
from tests.fakes import a_desk

# A Saturday.
TODAY = day("2026-11-28")
FIRST = day("2026-11-07")


def weekly(rule: str = "FREQ=WEEKLY;BYDAY=SA", *slots: time) -> Calendar:
    return Calendar(rule, FIRST, slots)


def after(count: int, unit: IntervalUnit = IntervalUnit.DAYS) -> AfterLastDone:
    return AfterLastDone(Interval(count, unit))


class House:
    """A household with one chore or two, whose days go by."""

    def __init__(self) -> None:
        tanks = (a_box("Nook"),)
        self.desk, _, self.clock = a_desk(a_household(tanks=tanks), "2026-11-07")

    def add(self, rhythm: Rhythm, **more: object) -> Chore:
        values = {"kind": ChoreKind.GLASS, "name": "Wipe", "first_due": FIRST} | more
        chore = Chore("", rhythm=rhythm, tank="nook", **values)  # type: ignore[arg-type]
        return settling_chores.add_chore(self.desk, chore).household.chores[-1]

    def on(self, when: date) -> House:
        self.clock.set_to(when.isoformat())
        return self

    def done(self, name: str = "nook.wipe") -> None:
        tick(self.desk, [Tick(name)])

    def change(self, **more: object) -> Chore:
        chore = self.chore
        return settling_chores.change_chore(self.desk, replace(chore, **more)).household.chores[0]

    @property
    def chore(self) -> Chore:
        return self.desk.state().household.chores[0]

    def open(self, at: int = 0) -> list[date]:
        state = self.desk.state()
        return [one.target for one in state.chores[at].open if one.target <= state.moment.day]

    def next(self, count: int) -> list[date]:
        state = self.desk.state()
        return list(next_days(state, state.household.chores[0], count))


@pytest.fixture
def house() -> House:
    """A household of the 7th of November, a Saturday, with nothing to do yet."""
    return House()


def done_until_the_21st(house: House) -> None:
    for one in ("2026-11-07", "2026-11-14", "2026-11-21"):
        house.on(day(one)).done()


OTHERS: dict[str, Rhythm] = {
    "two weeks": weekly("FREQ=WEEKLY;INTERVAL=2;BYDAY=SA"),
    "two weeks from another first day": Calendar(
        "FREQ=WEEKLY;INTERVAL=2;BYDAY=SA", day("2026-12-05")
    ),
    "Sunday": weekly("FREQ=WEEKLY;BYDAY=SU"),
    "Monday and Thursday": weekly("FREQ=WEEKLY;BYDAY=MO,TH"),
    "five days": weekly("FREQ=DAILY;INTERVAL=5"),
    "the 3rd of the month": weekly("FREQ=MONTHLY;BYMONTHDAY=3"),
    "the last day of the month": weekly("FREQ=MONTHLY;BYMONTHDAY=-1"),
    "the first Sunday of the month": weekly("FREQ=MONTHLY;BYDAY=1SU"),
    "a day of the year": weekly("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=2"),
    "18:00 on Sunday": weekly("FREQ=WEEKLY;BYDAY=SU", time(18)),
    "14 days after it was done": after(14),
    "a month after it was done": after(1, IntervalUnit.MONTHS),
    "300 hours after it was done": after(300, IntervalUnit.HOURS),
}
BEFORE: dict[str, Rhythm] = {
    "Saturday": weekly(),
    "Saturday at 8": weekly("FREQ=WEEKLY;BYDAY=SA", time(8)),
    "seven days": weekly("FREQ=DAILY;INTERVAL=7"),
    "the 7th, 14th, 21st and 28th": weekly("FREQ=MONTHLY;BYMONTHDAY=7,14,21,28"),
    "7 days after it was done": after(7),
    "168 hours after it was done": after(168, IntervalUnit.HOURS),
}


@pytest.mark.parametrize("late", [0, 3])
@pytest.mark.parametrize("other", OTHERS)
@pytest.mark.parametrize("before", BEFORE)
def test_what_is_open_stays_open_whatever_the_rhythm_becomes(
    house: House, before: str, other: str, late: int
) -> None:
    """Due on Saturday the 28th, changed that day or up to Tuesday; done two days after that."""
    house.add(BEFORE[before])
    done_until_the_21st(house)
    house.on(TODAY + timedelta(days=late))
    assert house.open() == [TODAY]
    shown = changed_like(house.desk.state(), replace(house.chore, rhythm=OTHERS[other]))

    changed = house.change(rhythm=OTHERS[other])

    assert shown == changed
    for later in range(3):
        house.on(TODAY + timedelta(days=late + later))
        assert house.open()[0] == TODAY
    house.done()
    assert house.open() == []
    after_it = house.next(1)[0]
    assert after_it > TODAY + timedelta(days=late + 2)
    read = household_in(house.desk, export_household(house.desk)).household
    assert read.chores == house.desk.state().household.chores


@pytest.mark.parametrize("late", [0, 2])
def test_another_interval_counts_on_from_the_open_turn(house: House, late: int) -> None:
    """Every week made every two: 28 November, then 12 December, though counted from the 7th."""
    house.add(weekly())
    done_until_the_21st(house)
    house.on(TODAY + timedelta(days=late))

    house.change(rhythm=weekly("FREQ=WEEKLY;INTERVAL=2;BYDAY=SA"))

    house.done()
    assert house.next(2) == [day("2026-12-12"), day("2026-12-26")]


def test_where_another_first_day_is_said_that_holds(house: House) -> None:
    """Counted from the 5th of December; the turn of today stays besides."""
    house.add(weekly())
    done_until_the_21st(house)
    house.on(TODAY)

    house.change(rhythm=Calendar("FREQ=WEEKLY;INTERVAL=2;BYDAY=SA", day("2026-12-05")))

    assert house.next(3) == [TODAY, day("2026-12-05"), day("2026-12-19")]


def test_what_was_skipped_or_done_is_not_open_again(house: House) -> None:
    """Skipped on the 28th: fourteen days after the last time count from then."""
    house.add(weekly())
    done_until_the_21st(house)
    house.on(TODAY)
    house.change(rhythm=after(14))

    skip(house.desk, ["nook.wipe"])

    assert house.open() == []
    assert house.next(1) == [day("2026-12-12")]
    house.on(TODAY + timedelta(days=1))
    assert house.open() == []


def test_on_a_day_without_an_open_turn_the_change_holds_at_once(house: House) -> None:
    """Done in the morning and changed at noon: nothing of today is left, and no day is put in."""
    house.add(weekly())
    done_until_the_21st(house)
    house.on(TODAY).done()

    changed = house.change(rhythm=after(14))

    assert (changed.valid_from, changed.earlier[-1].rhythm) == (TODAY, weekly())
    assert house.next(1) == [day("2026-12-12")]


def test_a_change_of_a_change_keeps_the_turn_and_leaves_no_rhythm_that_never_held(
    house: House,
) -> None:
    """Two corrections on one day: the turn of that day, then the rhythm said last."""
    house.add(weekly())
    done_until_the_21st(house)
    house.on(TODAY)
    house.change(rhythm=after(14))
    house.change(rhythm=weekly("FREQ=WEEKLY;BYDAY=WE"))
    changed = house.change(rhythm=after(3))

    assert house.open() == [TODAY]
    assert weekly("FREQ=WEEKLY;BYDAY=WE") not in [one.rhythm for one in changed.earlier]
    house.on(TODAY + timedelta(days=2))
    assert house.open() == [TODAY]
    house.done()
    assert house.next(1) == [day("2026-12-03")]


def test_a_single_day_takes_the_place_of_the_open_turn(house: House) -> None:
    """Who says the one day says when it is to be done."""
    house.add(weekly())
    done_until_the_21st(house)
    house.on(TODAY)

    house.change(rhythm=Once(day("2026-12-20")))

    assert house.next(2) == [day("2026-12-20")]


def test_amount_and_person_hold_for_the_turn_that_stays(house: House) -> None:
    """Only the rhythm waits."""
    house.add(weekly(), kind=ChoreKind.WATER_CHANGE)
    house.on(FIRST)

    amount = Amount(9.0, AmountUnit.LITRES)
    house.change(rhythm=weekly("FREQ=WEEKLY;BYDAY=SU"), amount=amount, minutes=25)

    state = house.desk.state()
    (item,) = [one for one in items_of(state, state.chores[0]) if one.is_open]
    assert item.open is not None
    assert item.open.target == FIRST
    assert (item.chore.amount, item.chore.minutes) == (amount, 25)


@pytest.mark.parametrize("other", OTHERS)
@pytest.mark.parametrize("before", BEFORE)
def test_the_turn_that_stays_can_be_skipped_or_put_off(
    house: House, before: str, other: str
) -> None:
    """Put off by a day and skipped then: nothing of it is left, and the next one comes."""
    house.add(BEFORE[before])
    done_until_the_21st(house)
    house.on(TODAY)
    house.change(rhythm=OTHERS[other])
    tomorrow = TODAY + timedelta(days=1)
    may_move = house.next(2)[1] > tomorrow
    if may_move:
        put_off(house.desk, "nook.wipe", tomorrow)
        assert house.open() == []

    house.on(tomorrow)
    assert house.open()[0] == (tomorrow if may_move else TODAY)
    skip(house.desk, ["nook.wipe"])

    assert TODAY not in house.open()
    assert house.next(1)[0] >= tomorrow


def test_the_water_of_the_turn_that_stays_is_still_to_be_mixed(house: House) -> None:
    """Nothing was mixed on Friday: its 9 litres are told until they are, whatever comes then."""
    house.add(weekly(), kind=ChoreKind.WATER_CHANGE, amount=Amount(9.0, AmountUnit.LITRES))
    friday = Calendar("FREQ=WEEKLY;BYDAY=FR", FIRST)
    mix = Chore("", ChoreKind.MIX_SALT_WATER, "Mix", friday, "nook")
    settling_chores.add_chore(house.desk, mix)
    for one in (7, 14, 21):
        house.on(date(2026, 11, one))
        log_water_change(
            house.desk, house.desk.state().household.tanks[0], WaterChange(9.0, salinity=35.0)
        )
        if one < 21:
            house.on(date(2026, 11, one + 6)).done("nook.mix")
    house.on(TODAY)
    house.change(rhythm=weekly("FREQ=WEEKLY;INTERVAL=2;BYDAY=SA"))

    for later in range(4):
        house.on(TODAY + timedelta(days=later))
        state = house.desk.state()
        assert house.open() == [TODAY]
        assert house.open(1) == [TODAY - timedelta(days=1)]
        (item,) = [one for one in items_of(state, state.chores[1]) if one.is_open]
        assert item.amount is not None
        assert item.amount.value == 9.0


def test_a_missed_turn_lapses_where_the_change_says_so(house: House) -> None:
    """With an hour missed turns lapse: that of Saturday is over on Monday, and no day is put in."""
    house.add(after(7))
    done_until_the_21st(house)
    house.on(TODAY + timedelta(days=2))
    rhythm = weekly("FREQ=WEEKLY;BYDAY=SA", time(8))

    changed = house.change(rhythm=rhythm, if_missed=IfMissed.EXPIRE)

    assert house.open() == []
    assert [one.rhythm for one in changed.earlier] == [after(7)]


@pytest.mark.parametrize(
    ("before", "becomes", "told"),
    [
        (weekly(), after(14), "it comes 14 days after it is done."),
        (after(7), weekly("FREQ=WEEKLY;BYDAY=TU"), "it comes every Tuesday."),
        (weekly(), weekly("FREQ=WEEKLY;BYDAY=TU"), "it comes every Tuesday."),
    ],
)
def test_the_open_turn_tells_how_its_chore_comes_from_then_on(
    house: House, before: Rhythm, becomes: Rhythm, told: str
) -> None:
    """Its own day is by the rhythm before; alone, that would be taken for the end of the chore."""
    house.add(before)
    done_until_the_21st(house)
    house.on(TODAY).change(rhythm=becomes)

    state = house.desk.state()
    (item,) = [one for one in items_of(state, state.chores[0]) if one.is_open]
    sentences = plain(reason(item, Words(state.household, state.moment)))

    assert f"From tomorrow on {told}" in sentences
