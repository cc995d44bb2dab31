"""The last days off are found in the logbook, whatever was written since they ended."""

from __future__ import annotations

from datetime import time

from tankkeeper.core.chores import ChoreKind, IfMissed
from tankkeeper.services.days_off import last_days_off
from tankkeeper.services.taking_back import undo
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_chore, a_household, by_rule
from tests.fakes import a_desk

FEED = a_chore(
    by_rule("FREQ=DAILY", "2026-03-01", (time(8),)),
    id="feed",
    tank="nook",
    kind=ChoreKind.FEEDING,
    if_missed=IfMissed.EXPIRE,
)
LOOK = a_chore(by_rule("FREQ=DAILY", "2026-03-01"), id="look", tank="nook")


def test_a_tick_of_today_leaves_what_lapsed_before_it() -> None:
    """Away from Wednesday noon to Saturday noon; what was fed since then is not asked about.

    Ticked twice, the state alone holds no day before Friday of that chore.
    """
    desk, _, clock = a_desk(a_household(tanks=(a_box(),), chores=(FEED, LOOK)), "2026-03-04")
    tick(desk, [Tick("feed"), Tick("look")])
    assert last_days_off(desk, desk.state()) is None
    clock.set_to("2026-03-07")
    tick(desk, [Tick("feed")])

    found = last_days_off(desk, desk.state())

    assert found is not None
    assert not found.is_fresh, "who works is there"
    assert [one.day.day for lost in found.lost for one in lost.turns] == [5, 6]
    clock.set_to("2026-03-08")
    tick(desk, [Tick("feed"), Tick("look")])
    later = last_days_off(desk, desk.state())
    assert later is not None
    assert (later.since, later.is_fresh) == (found.since, False)
    assert [one.day.day for lost in later.lost for one in lost.turns] == [5, 6]


def test_an_undo_of_today_ends_no_days_off() -> None:
    """The look of today was taken back; it has been open since Thursday."""
    desk, _, clock = a_desk(a_household(tanks=(a_box(),), chores=(LOOK,)), "2026-03-04")
    tick(desk, [Tick("look")])
    clock.set_to("2026-03-07")
    tick(desk, [Tick("look")])
    assert last_days_off(desk, desk.state()) is None

    undo(desk)

    found = last_days_off(desk, desk.state())
    assert found is not None
    assert (found.lost, found.is_fresh) == ((), True)


def test_days_off_of_long_ago_are_asked_about_no_more() -> None:
    """Away in the first days of March, and there on every day of the fifteen since then."""
    desk, _, clock = a_desk(a_household(tanks=(a_box(),), chores=(FEED,)), "2026-03-01")
    tick(desk, [Tick("feed")])
    for day in range(4, 20):
        clock.set_to(f"2026-03-{day:02d}")
        tick(desk, [Tick("feed")])
        found = last_days_off(desk, desk.state())
        assert (found is None) is (day > 18)
