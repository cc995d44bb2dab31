"""Work beside the plan stands in the calendar where it happened, as what was planned does."""

from __future__ import annotations

from dataclasses import replace

from tankkeeper.core.chores import AfterLastDone, Chore, ChoreKind
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import WaterChange
from tankkeeper.core.turns import State
from tankkeeper.services.calendar import CalendarView, calendar_view
from tankkeeper.services.desk import Desk
from tankkeeper.services.noting import log_dose, log_feeding, log_note, log_water_change
from tankkeeper.services.taking_back import take_back_all
from tests.builders import a_box, a_chore, a_household, day, days
from tests.fakes import SetClock, a_desk

NOOK, REEF = a_box(), a_box("Reef")
CHANGED = WaterChange(25.0, salinity=35.0)
FRIDAY, MONDAY = "2026-03-06", "2026-03-09"


def work(chore_id: str, kind: ChoreKind, tank: Tank = NOOK, **more: object) -> Chore:
    """Return work that comes in May."""
    values: dict[str, object] = {"id": chore_id, "tank": tank.id, "first_due": day("2026-05-01")}
    made = a_chore(AfterLastDone(days(30)), **(values | {"minutes": 5} | more))
    return replace(made, kind=kind)


def a_house() -> tuple[Desk, SetClock]:
    """Return two tanks, of which one has no chores of its own."""
    chores = (
        work("change", ChoreKind.WATER_CHANGE),
        work("buffer", ChoreKind.DOSE, name="Dose bicarbonate"),
        work("iodine", ChoreKind.DOSE, name="Dose iodine"),
    )
    desk, _, clock = a_desk(a_household(tanks=(NOOK, REEF), chores=chores), FRIDAY)
    return desk, clock


def done_on(desk: Desk, on: str) -> list[str]:
    """Return what is done on a day of the month of March."""
    view: CalendarView = calendar_view(desk, day("2026-03-01"), day("2026-03-31"))
    found = view.day(day(on))
    assert found is not None
    return [one.chore.id for one in (*found.items, *found.folded) if one.state is State.DONE]


def test_a_change_and_a_dose_beside_the_plan_stand_where_they_happened() -> None:
    """On their own day, and on the days after; each is of the chore that does such work."""
    desk, clock = a_house()
    log_water_change(desk, NOOK, CHANGED, which=None)
    log_dose(desk, NOOK, "sodium bicarbonate", 12.0, which=None)
    here = done_on(desk, FRIDAY)

    clock.set_to(MONDAY)

    assert sorted(here) == sorted(done_on(desk, FRIDAY)) == ["buffer", "change"]
    assert done_on(desk, MONDAY) == []


def test_they_are_told_as_extra_and_bring_no_minutes() -> None:
    """How long it took nobody said, and what was planned is no measure of it."""
    desk, clock = a_house()
    log_water_change(desk, NOOK, CHANGED, which=None)
    clock.set_to(MONDAY)

    (friday,) = calendar_view(desk, day(FRIDAY), day(FRIDAY)).days

    assert [one.is_extra for one in friday.items] == [True]
    assert friday.minutes == 0


def test_what_completes_a_turn_stands_once() -> None:
    """It is the turn that was done, not one beside it."""
    desk, clock = a_house()
    log_water_change(desk, NOOK, CHANGED, which="change")
    here = done_on(desk, FRIDAY)
    clock.set_to(MONDAY)

    assert here == done_on(desk, FRIDAY) == ["change"]


def test_what_no_chore_of_that_tank_does_stands_in_the_logbook_alone() -> None:
    """A tank without a change, a substance of no dose, and a remark."""
    desk, clock = a_house()
    log_water_change(desk, REEF, CHANGED, which=None)
    log_dose(desk, NOOK, "vitamins", 1.0, which=None)
    log_note(desk, "The pump is loud.", NOOK)
    clock.set_to(MONDAY)

    assert done_on(desk, FRIDAY) == []


def test_what_was_taken_back_is_gone() -> None:
    """The calendar tells what is valid by now."""
    desk, clock = a_house()
    noted = log_water_change(desk, NOOK, CHANGED, which=None)
    take_back_all(desk, [noted.entry.id])
    clock.set_to(MONDAY)

    assert done_on(desk, FRIDAY) == []


def test_a_feeding_beside_the_plan_stands_on_its_day() -> None:
    """One that ticks nothing is a note of the logbook, which does not begin so by itself."""
    chores = (work("feed", ChoreKind.FEEDING),)
    desk, _, clock = a_desk(a_household(tanks=(NOOK, REEF), chores=chores), FRIDAY)
    log_feeding(desk, NOOK, which=None)
    log_feeding(desk, REEF, which=None)
    log_note(desk, "fed too much", NOOK)
    clock.set_to(MONDAY)

    assert done_on(desk, FRIDAY) == ["feed"]
