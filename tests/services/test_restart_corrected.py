"""Whether pumps and heater may still be off, once entries about it are corrected."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.logbook import Entry, WaterChange
from tankkeeper.services.correcting import Correction, as_it_is, correct
from tankkeeper.services.desk import Desk
from tankkeeper.services.restarts import read_restarts, switch_on
from tankkeeper.services.ticking import Tick, tick
from tests.builders import BERLIN, a_box, a_chore, a_household
from tests.fakes import CountingIds, FakeStore, SetClock

NINE = datetime(2026, 3, 12, 9, 0, tzinfo=BERLIN)
MINUTE = timedelta(minutes=1)


def a_change() -> tuple[Desk, SetClock, Entry]:
    """Return a desk at which water was changed at nine."""
    change = a_chore(
        id="change",
        name="Change water",
        kind=ChoreKind.WATER_CHANGE,
        tank="nook",
        first_due=date(2026, 3, 12),
    )
    clock = SetClock(NINE)
    desk = Desk(FakeStore(a_household(tanks=(a_box(),), chores=(change,))), clock, CountingIds())
    row = desk.state().chores[0].open[0].turn.id
    (done,) = tick(desk, [Tick(row, litres=9.0, salinity=35.0)])
    return desk, clock, done.entry


def waiting(desk: Desk) -> list[datetime]:
    """Return when all the work was done that a tank waits for."""
    return [off.at for one in read_restarts(desk, desk.state()) for off in one.works]


def saltier(said: Correction) -> Correction:
    """Return the same change with new water of another salinity."""
    assert isinstance(said.fact, WaterChange)
    return replace(said, fact=replace(said.fact, salinity=36.0))


def noted(said: Correction) -> Correction:
    """Return the same change with a word about it."""
    return replace(said, note="both buckets")


@pytest.mark.parametrize("corrected", [saltier, noted])
def test_a_corrected_change_is_no_new_work(corrected: Callable[[Correction], Correction]) -> None:
    """What was said to be on again is on, however often the change before is corrected."""
    desk, clock, done = a_change()
    clock.at += 10 * MINUTE
    assert switch_on(desk, None) is not None
    for _ in range(2):
        clock.at += 10 * MINUTE
        done = correct(desk, done.id, corrected(as_it_is(done))).entry
        assert waiting(desk) == []
        corrected = {saltier: noted, noted: saltier}[corrected]


def test_a_corrected_change_still_waits_where_nobody_has_said_so() -> None:
    """The correction stands in its place, and waits as it did."""
    desk, clock, done = a_change()
    clock.at += 10 * MINUTE
    correct(desk, done.id, saltier(as_it_is(done)))
    assert waiting(desk) == [NINE]
    switch_on(desk, None)
    assert waiting(desk) == []


def test_a_change_moved_behind_the_answer_waits_again() -> None:
    """Done after all was on again, it had them off once more; moved back before, it had not."""
    desk, clock, done = a_change()
    clock.at += 10 * MINUTE
    switch_on(desk, None)
    clock.at += 20 * MINUTE

    moved = correct(desk, done.id, replace(as_it_is(done), at=NINE + 15 * MINUTE)).entry
    assert waiting(desk) == [NINE + 15 * MINUTE]

    clock.at += MINUTE
    correct(desk, moved.id, replace(as_it_is(moved), at=NINE + 5 * MINUTE))
    assert waiting(desk) == []


def test_a_corrected_answer_stays_where_it_was_said() -> None:
    """Who says only another person of it has said nothing about later work."""
    desk, clock, _ = a_change()
    clock.at += 10 * MINUTE
    said = switch_on(desk, None)
    assert said is not None
    clock.at += 10 * MINUTE
    state = desk.state()
    row = state.chores[0].upcoming
    assert row is not None
    tick(desk, [Tick(row.turn.id, litres=9.0, salinity=35.0)])
    assert waiting(desk) == [NINE + 20 * MINUTE]
    clock.at += 10 * MINUTE

    correct(desk, said.entry.id, replace(as_it_is(said.entry), by="ada"))
    assert waiting(desk) == [NINE + 20 * MINUTE]
