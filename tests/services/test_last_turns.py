"""The overdue last turn of a test after adding is told wherever overdue work is, until it ends."""

from __future__ import annotations

from datetime import date, timedelta

from tankkeeper.core.household import Animal
from tankkeeper.core.parameters import parse_reading
from tankkeeper.core.turns import State
from tankkeeper.services.away import piled_up
from tankkeeper.services.calendar import calendar_view
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling_animals import Brings, add_animal
from tankkeeper.services.settling_chores import end_chore
from tankkeeper.services.taking_back import undo
from tankkeeper.services.ticking import Tick, tick
from tests.builders import a_box, a_household, day
from tests.fakes import SetClock, a_desk

TANK = a_box()
ADDED = day("2026-11-27")
NOTHING = tuple(parse_reading(name, "0") for name in ("ammonia", "nitrite"))
# Five days after they came (common practice, no source), and a day for it to wait.
SECOND, LATEST = day("2026-12-02"), day("2026-12-03")


def _with_new_animals() -> tuple[Desk, SetClock, str]:
    """Return a desk on a tank to which animals came, the first of two tests done on its day."""
    desk, _, clock = a_desk(a_household(tanks=(TANK,)), "2026-11-27")
    add_animal(desk, Animal(TANK.id, "Goby", 2, ADDED), [Brings.AFTER])
    (chore,) = desk.state().household.chores
    clock.set_to("2026-11-29")
    tick(desk, [Tick(chore.id, values=NOTHING)])
    return desk, clock, chore.id


def _open_on(desk: Desk, clock: SetClock, on: date) -> list[State]:
    clock.set_to(on)
    return [turn.state for one in desk.state().chores for turn in one.open]


def test_it_is_overdue_in_the_calendar_and_asked_about_after_days_off() -> None:
    """Until it is done; nothing of it comes then."""
    desk, clock, chore_id = _with_new_animals()
    assert _open_on(desk, clock, LATEST) == [State.DUE]
    today = LATEST + timedelta(days=1)
    assert _open_on(desk, clock, today) == [State.OVERDUE]

    (thread,) = calendar_view(desk, ADDED, today).threads
    assert (thread.first, thread.last, thread.item.chore.id) == (LATEST, today, chore_id)
    (piled,) = piled_up(desk.state(), clock.now() - timedelta(days=4))
    assert piled.days == (SECOND, LATEST)

    tick(desk, [Tick(chore_id, values=NOTHING)])
    assert _open_on(desk, clock, today) == []
    (one,) = desk.state().chores
    assert one.is_over(today)


def test_it_can_be_ended_on_the_very_day_after_its_window() -> None:
    """Whoever lets it not come any more is asked for nothing; undo brings it back."""
    desk, clock, chore_id = _with_new_animals()
    today = LATEST + timedelta(days=1)
    assert _open_on(desk, clock, today) == [State.OVERDUE]

    said = end_chore(desk, chore_id)

    assert _open_on(desk, clock, today) == []
    assert said.entry is not None
    undo(desk, said.entry.id)
    assert _open_on(desk, clock, today) == [State.OVERDUE]
