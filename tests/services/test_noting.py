"""Writing down water, readings, doses, stock and notes, and the chores that this completes."""

from __future__ import annotations

from dataclasses import replace
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
    Once,
    Use,
    WhenWaterSays,
)
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Supply, TopOffLimits
from tankkeeper.core.logbook import (
    Dose,
    Note,
    ReservoirCheck,
    StockChange,
    TopOff,
    Turn,
    WaterChange,
)
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.turns import State
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import find_item
from tankkeeper.services.noting import (
    BEGUN,
    Stamp,
    log_dose,
    log_feeding,
    log_note,
    log_reading,
    log_reservoir,
    log_stock,
    log_top_off,
    log_water_change,
)
from tankkeeper.services.outside_turns import USUAL
from tankkeeper.services.ticking import Tick, tick
from tankkeeper.services.turns_left import turns_left
from tests.builders import a_box, a_chore, a_household, day, days
from tests.fakes import FakeStore, SetClock, a_desk

TODAY = "2026-03-04"
NOOK = a_box(top_off=TopOffLimits(allowed_drop_mm=60.0, allowed_salinity_rise=6.0))
AUTO = a_box("Auto", top_off=TopOffLimits(reservoir_l=20.0, reserve_l=2.0))
SALT = Supply("salt", "Salt", "g")
BY_WATER = WhenWaterSays(Condition.EVAPORATION)


def chore(
    name: str, kind: ChoreKind, tank: str = "nook", due: str = TODAY, **more: object
) -> Chore:
    """Return a chore with its first day."""
    rhythm = more.pop("rhythm", AfterLastDone(days(7)))
    return a_chore(rhythm, id=name, name=name, kind=kind, tank=tank, first_due=day(due), **more)  # type: ignore[arg-type]


def house(*chores: Chore) -> tuple[Desk, FakeStore, SetClock]:
    """Return a desk on 4 March at noon."""
    supplies = (SALT, Supply("soda", "Sodium bicarbonate"))
    return a_desk(a_household(tanks=(NOOK, AUTO), supplies=supplies, chores=chores), TODAY)


def values(**numbers: float) -> tuple[ReadingValue, ...]:
    """Return measured values in their stored units."""
    return tuple(ReadingValue(name, number, "", number) for name, number in numbers.items())


def is_done(desk: Desk, wanted: str) -> bool:
    """Tell whether a chore was done today and is not open."""
    item = find_item(desk.state(), wanted)
    assert item is not None
    return item.state is State.DONE


def test_one_reading_completes_every_test_whose_values_are_all_given() -> None:
    """Two test chores are served, a third asks for more; none of another tank."""
    desk, store, _ = house(
        chore("salt", ChoreKind.TEST, tests=("salinity",)),
        chore("week", ChoreKind.TEST, tests=("nitrate", "ph")),
        chore("full", ChoreKind.TEST, tests=("nitrate", "calcium")),
        chore("other", ChoreKind.TEST, tank="auto", tests=("salinity",)),
        chore("later", ChoreKind.TEST, due="2026-03-09", tests=("ph",)),
    )
    noted = log_reading(desk, NOOK, values(salinity=35.0, nitrate=5.0, ph=8.1))
    assert [one.id for one in noted.completed] == ["salt", "week"]
    assert [is_done(desk, one) for one in ("salt", "week", "full", "other")] == [
        True,
        True,
        False,
        False,
    ]
    assert len(store.entries) == 1


def test_a_test_is_done_once_all_it_asks_for_is_given() -> None:
    """In one entry or in several of a day; the day before and what was used up do not count."""
    desk, _, clock = house(
        chore("week", ChoreKind.TEST, tests=("nitrate", "ph")),
        chore("full", ChoreKind.TEST, tests=("nitrate", "calcium")),
    )
    log_reading(desk, NOOK, values(ph=8.1))
    clock.set_to("2026-03-05")
    assert log_reading(desk, NOOK, values(nitrate=5.0)).completed == ()
    assert [one.id for one in log_reading(desk, NOOK, values(ph=8.0)).completed] == ["week"]
    assert [one.id for one in log_reading(desk, NOOK, values(calcium=420.0)).completed] == ["full"]
    assert log_reading(desk, NOOK, values(ph=8.0)).completed == ()


def test_a_reading_needs_values_each_once() -> None:
    """None at all and the same one twice are refused."""
    desk, store, _ = house()
    for given, code in (((), "no_values"), (values(ph=8.0) * 2, "value_twice")):
        with pytest.raises(UserFault, match=code):
            log_reading(desk, NOOK, given)
    assert store.entries == []


def test_a_top_off_to_the_mark_completes_the_open_one_and_a_part_does_not() -> None:
    """After a part the chore stays open with the rest to do."""
    desk, store, clock = house(chore("fill", ChoreKind.TOP_OFF, rhythm=BY_WATER))
    log_top_off(desk, NOOK, 3.0)
    assert is_done(desk, "fill")
    clock.set_to("2026-03-12")
    before = find_item(desk.state(), "fill")
    log_top_off(desk, NOOK, 2.0, is_part=True)
    after = find_item(desk.state(), "fill")
    assert before is not None
    assert after is not None
    assert before.is_open
    assert store.entries[1].completes == ()
    assert store.entries[1].fact == TopOff(2.0, to_mark=False)
    assert before.water is not None
    assert after.water is not None
    assert before.water.evaporated is not None
    assert after.water.evaporated is not None
    assert after.water.evaporated.value == pytest.approx(before.water.evaporated.value - 2.0)


def test_a_top_off_ahead_of_its_day_counts_too() -> None:
    """Where nothing is open yet the tank's only top-off goes on from it."""
    desk, store, clock = house(chore("fill", ChoreKind.TOP_OFF, rhythm=BY_WATER))
    log_top_off(desk, NOOK, 3.0)
    clock.at += timedelta(hours=1)
    log_top_off(desk, NOOK, 0.2)
    assert [turn.key for turn in store.entries[1].completes] == ["after:n1"]
    coming = find_item(desk.state(), "fill@after:n2")
    assert coming is not None
    assert coming.state is State.PROJECTED


@pytest.mark.parametrize("litres", [0.0, float("inf"), 22.0])
def test_litres_that_do_not_fit_are_refused(litres: float) -> None:
    """More than a quarter of the 86.4 L is asked about."""
    desk, store, _ = house()
    with pytest.raises(UserFault, match="out_of_range"):
        log_top_off(desk, NOOK, litres)
    assert store.entries == []


def test_a_backdated_fill_between_two_others_moves_no_date() -> None:
    """It is learned from, but the level counts from the newest fill."""
    desk, store, clock = house(chore("fill", ChoreKind.TOP_OFF, rhythm=BY_WATER))
    for on in ("2026-03-05", "2026-03-11"):
        clock.set_to(on)
        log_top_off(desk, NOOK, 3.0)
    target = desk.state().chores[0].upcoming
    noted = log_top_off(desk, NOOK, 3.0, stamp=Stamp(at=clock.at - timedelta(days=3)))
    coming = desk.state().chores[0].upcoming
    assert [turn.key for turn in noted.entry.completes] in ([], [""])
    assert coming is not None
    assert target is not None
    assert coming.turn == target.turn
    assert desk.state().waters["nook"].limit.base == store.entries[1]


def test_a_reservoir_is_looked_at_or_filled() -> None:
    """A look completes nothing; a fill does; neither may exceed what it holds."""
    desk, store, _ = house(chore("refill", ChoreKind.RESERVOIR, "auto", rhythm=BY_WATER))
    log_reservoir(desk, AUTO, left_l=2.0)
    assert store.entries[0].completes == ()
    item = find_item(desk.state(), "refill")
    assert item is not None
    # Two litres are the reserve, so it is due on the very day of the look.
    assert item.state is State.DUE
    with pytest.raises(UserFault, match="out_of_range"):
        log_reservoir(desk, AUTO, fill_l=20.5)
    log_reservoir(desk, AUTO, fill_l=18.0)
    assert store.entries[1].fact == ReservoirCheck(fill_l=18.0)
    assert is_done(desk, "refill")
    with pytest.raises(UserFault, match="no_reservoir"):
        log_reservoir(desk, NOOK, left_l=1.0)


def test_a_water_change_completes_the_change() -> None:
    """Litres, salinity and temperature have their ranges."""
    desk, store, _ = house(chore("change", ChoreKind.WATER_CHANGE))
    for change in (
        WaterChange(90.0, salinity=35.0),
        WaterChange(9.0, salinity=43.0),
        WaterChange(9.0, salinity=35.0, temperature_c=80.0),
        WaterChange(9.0, added_l=0.0, salinity=35.0),
    ):
        with pytest.raises(UserFault, match="out_of_range"):
            log_water_change(desk, NOOK, change)
    assert store.entries == []
    log_water_change(desk, NOOK, WaterChange(9.0, salinity=35.0))
    assert is_done(desk, "change")


def a_change(name: str, **more: object) -> Chore:
    """Return a water change of 8 L."""
    return chore(name, ChoreKind.WATER_CHANGE, amount=Amount(8.0, AmountUnit.LITRES), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("rhythm", [AfterLastDone(days(7)), Once(day("2026-03-13"))])
@pytest.mark.parametrize("litres", [1.0, 8.0])
def test_a_change_ahead_of_its_window_leaves_the_planned_one(
    rhythm: AfterLastDone | Once, litres: float
) -> None:
    """It may be done from 11 March on: on 4 March nothing is ticked, on 11 March it is."""
    desk, store, clock = house(a_change("change", due="2026-03-13", rhythm=rhythm, early_days=2))
    planned = desk.state().chores[0].upcoming

    noted = log_water_change(desk, NOOK, WaterChange(litres, salinity=35.0))

    assert (noted.completed, store.entries[0].completes) == ((), ())
    assert desk.state().chores[0].upcoming == planned
    clock.set_to("2026-03-11")
    log_water_change(desk, NOOK, WaterChange(8.0, salinity=35.0))
    assert is_done(desk, "change")


def test_a_change_ahead_of_a_day_of_the_calendar_is_extra_and_completes_nothing() -> None:
    """Nothing is told to be completed, and the turn of the 9th stays."""
    rule = Calendar("FREQ=WEEKLY", day("2026-03-02"))
    desk, _, clock = house(a_change("change", due="2026-03-02", rhythm=rule))
    log_water_change(desk, NOOK, WaterChange(8.0, salinity=35.0))
    clock.set_to("2026-03-05")

    noted = log_water_change(desk, NOOK, WaterChange(8.0, salinity=35.0))

    assert noted.completed == ()
    state = desk.state().chores[0]
    assert state.upcoming is not None
    assert state.upcoming.target == day("2026-03-09")
    assert state.closed == ()


@pytest.mark.parametrize("which", [USUAL, None])
def test_an_extra_change_counts_for_no_turn_of_another_rhythm_or_window(which: str | None) -> None:
    """Extra on Thursday the 5th; changed to every week with four days before, the 9th is open."""
    biweekly = Calendar("FREQ=WEEKLY;INTERVAL=2", day("2026-03-02"))
    desk, store, clock = house(a_change("change", due="2026-03-02", rhythm=biweekly))
    log_water_change(desk, NOOK, WaterChange(8.0, salinity=35.0))
    clock.set_to("2026-03-05")
    log_water_change(desk, NOOK, WaterChange(4.0, salinity=35.0), which=which)

    weekly = Calendar("FREQ=WEEKLY", day("2026-03-02"))
    chores = (replace(desk.state().household.chores[0], rhythm=weekly, early_days=4),)
    with store.writing() as writing:
        writing.save_household(replace(desk.state().household, chores=chores))

    (turn,) = desk.state().chores[0].open
    assert turn.target == day("2026-03-09")


@pytest.mark.parametrize(
    ("litres", "which", "is_ticked"),
    [
        (3.9, BEGUN, False),
        (4.0, BEGUN, True),
        (3.9, "change", True),
        (8.0, None, False),
    ],
)
def test_less_than_half_of_a_change_is_extra_unless_it_is_said(
    litres: float, which: str | None, is_ticked: bool
) -> None:
    """Half of 8 L is 4 L; what somebody says comes before that."""
    desk, store, _ = house(a_change("change"))

    log_water_change(desk, NOOK, WaterChange(litres, salinity=35.0), which=which)

    assert bool(store.entries[0].completes) is is_ticked
    assert is_done(desk, "change") is is_ticked


@pytest.mark.parametrize(
    ("grams", "which", "done"),
    [(5.0, BEGUN, []), (6.0, BEGUN, ["lime"]), (1.0, "buffer", ["buffer"]), (12.0, None, [])],
)
def test_less_than_half_of_a_dose_is_extra_unless_it_is_said(
    grams: float, which: str | None, done: list[str]
) -> None:
    """Half of 12 g is 6 g; a dose that is named is ticked whatever the substance."""
    takes = Amount(12.0, AmountUnit.GRAMS)
    lime = chore("lime", ChoreKind.DOSE, amount=takes)
    desk, store, _ = house(lime, chore("buffer", ChoreKind.DOSE, amount=takes))

    log_dose(desk, NOOK, "lime", grams, which=which)

    assert [turn.chore for turn in store.entries[0].completes] == done


def test_a_dose_of_another_substance_completes_nothing() -> None:
    """Also where only one dose is open; what is no dose is refused."""
    desk, store, _ = house(chore("buffer", ChoreKind.DOSE))
    log_dose(desk, NOOK, "  soda   ash ", 4.0)
    assert store.entries[0].fact == Dose("soda ash", 4.0)
    assert store.entries[0].completes == ()
    assert not is_done(desk, "buffer")
    for of, grams in (("soda", 0.0), ("soda", float("nan")), ("", 1.0)):
        with pytest.raises(UserFault):
            log_dose(desk, NOOK, of, grams)
    assert len(store.entries) == 1


@pytest.mark.parametrize(
    ("name", "of", "is_meant"),
    [
        ("Dose bicarbonate", "bicarbonate", True),
        ("Dose bicarbonate", "Bicarb", True),
        ("Dose kalk", "kalkwasser", True),
        ("Dose KH", "kh", True),
        ("Dose bicarbonate", "kalk", False),
        # The work itself is no substance.
        ("Dose bicarbonate", "dose kalk", False),
        ("Dose part of the buffer", "salt of lime", False),
        # Three letters begin many words.
        ("Dose calcium", "cal", False),
    ],
)
def test_the_only_dose_is_meant_by_a_word_of_its_name(name: str, of: str, is_meant: bool) -> None:
    """The beginning of a word is enough, and a name as short as the substance's own."""
    desk, store, _ = house(chore(name, ChoreKind.DOSE))
    log_dose(desk, NOOK, of, 4.0)
    assert bool(store.entries[0].completes) is is_meant


def test_a_dose_completes_the_chore_of_its_substance() -> None:
    """By a word that name or supply shares with it, whichever else is open or has waited longer."""
    lime = chore("lime", ChoreKind.DOSE)
    buffer = chore("buffer", ChoreKind.DOSE, due="2026-03-02", uses=(Use("soda"),))
    for of, done in (("Lime", ["lime"]), ("sodium  bicarbonate", ["buffer"]), ("iodide", [])):
        desk, store, _ = house(lime, buffer)
        log_dose(desk, NOOK, of, 4.0)
        assert [turn.chore for turn in store.entries[0].completes] == done


def test_stock_is_bought_or_counted() -> None:
    """Nothing may be bought in no amount; a count of nothing is a count."""
    desk, store, _ = house()
    log_stock(desk, SALT, add=2000.0, expires_on=day("2027-01-01"))
    log_stock(desk, SALT, count=0.0)
    assert [one.fact for one in store.entries] == [
        StockChange("salt", add=2000.0, expires_on=day("2027-01-01")),
        StockChange("salt", count=0.0),
    ]
    with pytest.raises(UserFault, match="out_of_range"):
        log_stock(desk, SALT, add=0.0)


def test_a_note_says_something() -> None:
    """Of a tank or of the house; an empty one is refused."""
    desk, store, _ = house()
    log_note(desk, " new lamp ", NOOK, Stamp(by="jon"))
    (entry,) = store.entries
    assert (entry.fact, entry.note, entry.tank, entry.by) == (Note(), "new lamp", "nook", "jon")
    with pytest.raises(UserFault, match="note_empty"):
        log_note(desk, "  ")


def test_only_what_has_happened_is_noted() -> None:
    """A moment ahead is refused whatever is noted."""
    desk, store, clock = house()
    ahead = Stamp(at=clock.at + timedelta(minutes=1))
    with pytest.raises(UserFault, match="in_the_future"):
        log_note(desk, "tomorrow", stamp=ahead)
    assert store.entries == []


@pytest.mark.parametrize(
    ("which", "slot"), [(BEGUN, time(12, 30)), ("buffer@2026-03-04T1800", time(18))]
)
def test_a_dose_is_that_of_this_hour_unless_another_of_today_is_said(
    which: str, slot: time
) -> None:
    """At noon the one of half past twelve is nearest; one still to come can be said as well."""
    rule = Calendar("FREQ=DAILY", day(TODAY), (time(8), time(12, 30), time(18)))
    each = IfMissed.EACH
    desk, store, _ = house(chore("buffer", ChoreKind.DOSE, rhythm=rule, if_missed=each))

    log_dose(desk, NOOK, "buffer", 4.0, which=which)

    assert [turn.slot for turn in store.entries[0].completes] == [slot]


SATURDAYS = Calendar("FREQ=WEEKLY;BYDAY=SA", day("2026-03-07"))


@pytest.mark.parametrize(
    ("rhythm", "key"), [(AfterLastDone(days(14)), "first"), (SATURDAYS, "extra")]
)
def test_work_of_an_earlier_day_is_of_a_chore_what_its_tick_would_be(
    rhythm: AfterLastDone | Calendar, key: str
) -> None:
    """Three days before it was open: counted it is done by it, by the calendar it is extra."""
    made = {}
    for way in ("log", "tick"):
        # Either way open on 4 March: due that day, or on Saturday 7 with four days to spare.
        change = chore("change", ChoreKind.WATER_CHANGE, rhythm=rhythm, early_days=3)
        desk, store, clock = house(change)
        line = find_item(desk.state(), "change")
        assert line is not None
        assert line.is_open
        at = clock.at - timedelta(days=3)
        if way == "log":
            fact = WaterChange(8.0, salinity=35.0)
            log_water_change(desk, NOOK, fact, Stamp(at=at), which=line.id)
        else:
            tick(desk, [Tick(line.id, at=at, litres=8.0, salinity=35.0)])
        made[way] = store.entries[0].completes
        left = [one.id for one in turns_left(desk.state(), [line.id], store.entries)]
        assert left == ([] if key == "first" else [line.id])

    assert made["log"] == made["tick"] == (Turn("change", key),)


def test_a_dose_and_a_feeding_of_an_earlier_day_do_what_counts_from_them() -> None:
    """Named by the chore, as the form does it for another time."""
    dose = chore("dose", ChoreKind.DOSE, rhythm=AfterLastDone(days(3)))
    feed = chore("feed", ChoreKind.FEEDING, rhythm=AfterLastDone(days(3)))
    desk, store, clock = house(dose, feed)
    stamp = Stamp(at=clock.at - timedelta(days=1))

    log_dose(desk, NOOK, "dose", 4.0, stamp, which="dose")
    log_feeding(desk, NOOK, stamp, which="feed")

    assert [one.completes for one in store.entries] == [
        (Turn("dose", "first"),),
        (Turn("feed", "first"),),
    ]
