"""The last times of a test hold every reading of what it measures, of a change all that was."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from tankkeeper.app.bootstrap import TheHouses, desk_on
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.logbook import WaterChange
from tankkeeper.core.parameters import parse_reading
from tankkeeper.services.logbook import last_times
from tankkeeper.services.noting import log_reading, log_water_change
from tankkeeper.services.taking_back import take_back_all
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_chore, a_household, day

NOW = datetime(2026, 3, 12, 6, tzinfo=UTC)


def test_a_reading_that_was_logged_without_the_test_is_one_of_its_last_times(
    tmp_path: Path,
) -> None:
    """Newest first, each once; not those of another parameter, nor what was taken back."""
    test = a_chore(
        id="test", kind=ChoreKind.TEST, tests=("nitrate",), tank="nook", first_due=day("2026-03-12")
    )
    path = tmp_path / "own.tankkeeper"
    TheHouses(path, NOW.isoformat()).found(a_household(tanks=(a_box(),), chores=(test,)))
    clock = FixedClock(NOW)
    with desk_on(path, clock) as desk:
        tank = desk.state().household.tanks[0]
        done = tick(desk, [Tick("test", values=(parse_reading("nitrate", "8"),))])[0].entry
        clock.forward(timedelta(hours=2))
        free = log_reading(desk, tank, [parse_reading("nitrate", "9")]).entry
        log_reading(desk, tank, [parse_reading("phosphate", "0.1")])
        wrong = log_reading(desk, tank, [parse_reading("nitrate", "90")]).entry
        take_back_all(desk, [wrong.id], None)

        found = last_times(desk, "test")

    assert [one.id for one in found] == [free.id, done.id]


def test_water_that_was_changed_besides_is_one_of_the_last_times_of_a_change(
    tmp_path: Path,
) -> None:
    """Newest first, each once; not that of another tank, nor what was taken back."""
    change = a_chore(
        id="change", kind=ChoreKind.WATER_CHANGE, tank="nook", first_due=day("2026-03-12")
    )
    path = tmp_path / "own.tankkeeper"
    house = a_household(tanks=(a_box(), a_box(id="reef", name="Reef")), chores=(change,))
    TheHouses(path, NOW.isoformat()).found(house)
    clock = FixedClock(NOW)
    with desk_on(path, clock) as desk:
        nook, reef = desk.state().household.tanks
        ticked = Tick("change", litres=9.0, salinity=35.0)
        done = tick(desk, [ticked])[0].entry
        clock.forward(timedelta(hours=2))
        extra = log_water_change(desk, nook, WaterChange(5.0, salinity=35.0), which=None).entry
        log_water_change(desk, reef, WaterChange(5.0, salinity=35.0), which=None)
        wrong = log_water_change(desk, nook, WaterChange(8.0, salinity=35.0), which=None).entry
        take_back_all(desk, [wrong.id], None)

        found = last_times(desk, "change")

    assert [one.id for one in found] == [extra.id, done.id]
