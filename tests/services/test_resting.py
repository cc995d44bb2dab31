"""A chore that makes water ready rests with the tanks that would take it."""

from __future__ import annotations

from dataclasses import replace
from datetime import time

import pytest

from tankkeeper.core.chores import Amount, AmountUnit, Chore, ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Stage, Tank
from tankkeeper.core.state import Item
from tankkeeper.core.turns import State
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.rows import state_words
from tankkeeper.reports.words import Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.moving import pause_tank, resume_chore, resume_tank
from tankkeeper.services.round import round_of
from tests.builders import a_box, a_chore, a_household, by_rule, day
from tests.fakes import a_desk

TODAY = "2026-03-13"  # a Friday
FRIDAYS = by_rule("FREQ=WEEKLY;BYDAY=FR", "2026-03-13")
SATURDAYS = by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-03-07")


def change(tank: str) -> Chore:
    made = a_chore(SATURDAYS, id=f"{tank}.change", name="Change water", tank=tank)
    twenty = Amount(20.0, AmountUnit.LITRES)
    return replace(made, kind=ChoreKind.WATER_CHANGE, amount=twenty, ready_before=("Mix",))


def making(kind: ChoreKind = ChoreKind.MIX_SALT_WATER, **more: object) -> Chore:
    return a_chore(FRIDAYS, id="mix", name="Mix", kind=kind, minutes=10, **more)


def topping(tank: str) -> Chore:
    return a_chore(id=f"{tank}.top", name="Top off", kind=ChoreKind.TOP_OFF, tank=tank)


def house(tanks: tuple[Tank, ...], *chores: Chore) -> Desk:
    desk, _, _ = a_desk(a_household(tanks=tanks, chores=chores), TODAY, time(12))
    return desk


def words_of(desk: Desk) -> Words:
    state = desk.state()
    return Words(state.household, state.moment)


def mix_line(desk: Desk) -> tuple[Item, bool]:
    """Return the line of the mixing, and whether it stands among what rests."""
    view = round_of(desk.state())
    resting = [one for one in view.paused_alone if one.chore.id == "mix"]
    if resting:
        return resting[0], True
    return next(one for one in view.items if one.chore.id == "mix"), False


@pytest.mark.parametrize("stage", [Stage.PLANNED, Stage.PAUSED, Stage.RETIRED])
def test_mixing_rests_while_all_tanks_that_take_the_water_rest(stage: Stage) -> None:
    """It is not overdue for nobody, and its line tells why it rests."""
    reef, nook = a_box("Reef", stage=stage), a_box("Nook")
    desk = house((reef, nook), making(), change("reef"))

    line, rests = mix_line(desk)
    words = words_of(desk)

    assert rests
    assert line.state is State.PAUSED
    assert state_words(line, words) == stage.value
    how = "only planned" if stage is Stage.PLANNED else stage.value
    told = f"It makes water ready for Reef, which is {how}, so nothing is due here."
    assert reason(line, words) == told
    assert round_of(desk.state()).totals.minutes == 0


def test_mixing_goes_on_as_soon_as_one_of_its_tanks_runs() -> None:
    """Two tanks take it; one of them is enough."""
    desk = house(
        (a_box("Reef", stage=Stage.PLANNED), a_box()), making(), change("reef"), change("nook")
    )
    assert mix_line(desk)[0].state is State.DUE

    pause_tank(desk, a_box(), day("2026-03-20"))
    line, rests = mix_line(desk)
    assert rests
    told = reason(line, words_of(desk))
    assert told.startswith("It makes water ready for Reef and Nook, which are not running, so ")
    assert "It rests until 20\N{NO-BREAK SPACE}March, that day included." in told
    assert state_words(line, words_of(desk)) == "paused to 20\N{NO-BREAK SPACE}March"

    resume_tank(desk, a_box())
    assert mix_line(desk)[0].state is State.DUE


def test_what_serves_nothing_in_particular_stays() -> None:
    """Nobody changes water; and fresh water is also what the running tank is topped off with."""
    planned = a_box("Reef", stage=Stage.PLANNED)
    assert mix_line(house((planned,), making()))[0].state is State.DUE

    fresh = making(ChoreKind.MAKE_FRESH_WATER)
    tanks = (planned, a_box())
    assert mix_line(house(tanks, fresh, change("reef"), topping("nook")))[0].state is State.DUE
    assert mix_line(house(tanks, fresh, change("reef"), topping("reef")))[1]


def test_it_is_not_let_go_on_by_itself() -> None:
    """The refusal names the tank with which it rests."""
    desk = house((a_box("Reef", stage=Stage.PLANNED),), making(), change("reef"))

    with pytest.raises(UserFault) as refused:
        resume_chore(desk, "mix")

    assert (
        fault_words(refused.value) == "Mix rests with Reef. It goes on as soon as that tank runs."
    )
