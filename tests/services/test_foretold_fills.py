"""What is foretold of fills is what the round asks for, at whatever hour they are done."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest

from tankkeeper.core.chores import ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.household import TopOffLimits
from tankkeeper.core.state import Item
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.words import Words
from tankkeeper.services.ahead import ABOUT, ahead
from tankkeeper.services.calendar import calendar_view
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import find_item
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_chore, a_household, day
from tests.fakes import SetClock, a_desk

TOP_OFF = a_chore(
    WhenWaterSays(Condition.EVAPORATION),
    id="top",
    kind=ChoreKind.TOP_OFF,
    tank="nook",
    name="Top off",
)
FIRST = day("2026-03-02")
# What the fills have taught by then moves no day any more.
LEARNED, UNTIL = 40, 60


def a_home() -> tuple[Desk, SetClock]:
    """Return a desk with a small tank that is topped off by hand, whose salinity decides."""
    tank = a_box(top_off=TopOffLimits(allowed_drop_mm=14.0))
    desk, _, clock = a_desk(a_household(tanks=(tank,), chores=(TOP_OFF,)), FIRST.isoformat())
    return desk, clock


def fills_ahead(desk: Desk) -> list[Item]:
    """Return the fills that are expected after today; the month has its first on the same day."""
    tomorrow = desk.state().moment.day + timedelta(days=1)
    until = tomorrow + timedelta(days=8)
    listed = [one for one in ahead(desk, tomorrow, until).items if one.chore.id == "top"]
    shown = [
        each.day
        for each in calendar_view(desk, tomorrow, until).days
        if any(one.chore.id == "top" for one in (*each.items, *each.folded))
    ]
    assert [one.open.target for one in listed if one.open is not None] == shown
    return listed


def next_fill(desk: Desk) -> date:
    """Return the next day after today on which a fill is expected."""
    turn = fills_ahead(desk)[0].open
    assert turn is not None
    return turn.target


@pytest.mark.parametrize("hour", [7, 9])
@pytest.mark.parametrize("loss_l_per_day", [0.34, 0.52, 0.8])
def test_the_round_asks_for_the_fill_that_was_foretold(loss_l_per_day: float, hour: int) -> None:
    """Each fill is measured without noise. At 0.52 L a day a full tank lasts 1.93 to 1.97 days.

    Filled at seven that is one whole round; filled at nine it holds to the second.
    """
    desk, clock = a_home()
    filled_on = FIRST
    foretold: date | None = None
    for count in range(UNTIL):
        on = FIRST + timedelta(days=count)
        clock.set_to(on, time(hour))
        item = find_item(desk.state(), "top")
        assert item is not None
        assert item.open is not None
        asks = item.open.target <= on
        if count > LEARNED:
            assert asks is (on == foretold)
        foretold = next_fill(desk)
        if asks:
            gone = loss_l_per_day * (on - filled_on).days
            tick(desk, [Tick(item.id, litres=gone or 1.0)])
            filled_on = on
            assert count <= LEARNED or next_fill(desk) == foretold


def test_a_fill_that_is_foretold_says_at_which_hour_those_before_it_are_done() -> None:
    """It is reckoned by the round; who fills later has the next one up to a day later."""
    desk, clock = a_home()
    clock.set_to(FIRST, time(9))
    tick(desk, [Tick("top", litres=1.0)])
    first, second = fills_ahead(desk)[:2]
    words = Words(desk.state().household, desk.state().moment)

    assert first.open is not None
    assert not first.open.turn.key.startswith(ABOUT)
    told = (
        "Fills of days to come are reckoned at 07:00, the hour of the round: "
        "a later one can move it by a day."
    )
    assert told in plain(reason(second, words))
    assert told not in plain(reason(first, words))
