"""A tank like another one, a tank by another name, a tank that is there no more."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tankkeeper.core.chores import AfterLastDone, Chore, ChoreKind, Once, Use
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Equipment, Person, Stage, Supply
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.turns import State
from tankkeeper.reports.settling_words import stage_sentence
from tankkeeper.reports.words import Words
from tankkeeper.services import (
    moving,
    settling_chores,
    settling_gear,
    settling_house,
    settling_tanks,
)
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling_preview import stage_outlook
from tankkeeper.services.taking_back import undo
from tankkeeper.services.ticking import Tick, tick
from tests.store.households import NOON, house_of


def test_the_chores_of_a_copied_tank_do_not_all_come_on_its_first_day(desk: Desk) -> None:
    """As those of a new tank: frequent tests at once, the rest later and spread."""
    for name, kind, days in (
        ("Test salinity", ChoreKind.TEST, 7),
        ("Swap the floss", ChoreKind.FILTER_MEDIA, 3),
        ("Clean the pump", ChoreKind.SERVICE, 90),
        ("Clean the skimmer", ChoreKind.SERVICE, 90),
    ):
        rhythm = AfterLastDone(Interval(days, IntervalUnit.DAYS))
        settling_chores.add_chore(desk, Chore("", kind, name, rhythm, "skerry"))

    settling_tanks.copy_tank(desk, "skerry", "Nook")

    today = NOON.date()
    first = {one.name: one.first_due for one in house_of(desk).chores if one.tank == "nook"}
    assert first["Test salinity"] == today
    assert first["Swap the floss"] == today + timedelta(days=3)
    later = [day for day in first.values() if day is not None and day > today]
    assert len(later) == 5
    assert first["Clean the pump"] != first["Clean the skimmer"]


def test_nothing_that_was_just_set_down_is_overdue(desk: Desk) -> None:
    """Copied, with a first day long past, or on a single day that is over: due today at most."""
    today = NOON.date()
    weekly = AfterLastDone(Interval(7, IntervalUnit.DAYS))
    first = Chore("", ChoreKind.OTHER, "Rinse", weekly, "skerry", first_due=date(2026, 1, 5))
    settling_chores.add_chore(desk, first)
    settling_chores.add_chore(
        desk, Chore("", ChoreKind.CHECK, "Look", Once(today - timedelta(days=3)), "skerry")
    )
    settling_tanks.copy_tank(desk, "skerry", "Nook")

    found = {one.chore.id: one for one in desk.state().chores}
    for name in ("skerry.rinse", "skerry.look"):
        (turn,) = found[name].open
        assert (turn.target, turn.state) == (today, State.DUE)
    assert "nook.look" not in found
    copied = [one for one in found.values() if one.chore.tank == "nook"]
    assert "nook.rinse" in {one.chore.id for one in copied}
    for one in copied:
        turns = [turn for turn in (*one.open, one.upcoming) if turn is not None]
        assert turns, one.chore.id
        assert all(turn.target is not None and turn.target >= today for turn in turns)
        assert all(turn.state is not State.OVERDUE for turn in turns)


def test_a_shorter_rhythm_makes_nothing_overdue_and_undo_brings_back_the_longer(
    desk: Desk,
) -> None:
    """Done ten days ago and every 14 days, from today on every 3: due today."""
    today = NOON.date()
    days = [AfterLastDone(Interval(count, IntervalUnit.DAYS)) for count in (14, 3)]
    settling_chores.add_chore(desk, Chore("", ChoreKind.OTHER, "Rinse", days[0], "skerry"))
    tick(desk, [Tick("skerry.rinse", at=NOON - timedelta(days=10))])
    rinse = next(one for one in house_of(desk).chores if one.name == "Rinse")
    settling_chores.change_chore(desk, replace(rinse, rhythm=days[1]))

    def target() -> date | None:
        state = next(one for one in desk.state().chores if one.chore.id == rinse.id)
        turns = (*state.open, *([state.upcoming] if state.upcoming else []))
        assert all(turn.state is not State.OVERDUE for turn in turns)
        return turns[0].target

    assert target() == today
    undo(desk)
    assert target() == today + timedelta(days=4)


@pytest.mark.parametrize("name", ["skerry", "SKERRY", " Skerry "])
def test_no_second_tank_has_the_name_of_another_whatever_its_capitals(
    desk: Desk, name: str
) -> None:
    """Nobody could tell them apart, on a command line least of all."""
    with pytest.raises(UserFault) as refused:
        settling_tanks.copy_tank(desk, "skerry", name)
    assert refused.value.code == "name_taken"

    settling_tanks.copy_tank(desk, "skerry", "Nook")
    nook = house_of(desk).tanks[1]
    with pytest.raises(UserFault) as refused:
        settling_tanks.change_tank(desk, replace(nook, name=name))
    assert refused.value.code == "name_taken"
    settling_tanks.change_tank(desk, replace(nook, name="NOOK"))
    assert house_of(desk).tanks[1].name == "NOOK"


def test_a_retired_tank_is_not_revived_by_ending_a_pause(desk: Desk) -> None:
    """It was retired for good; its stage says so, and only its stage lets it run again."""
    settling_tanks.set_stage(desk, "skerry", Stage.RETIRED)
    with pytest.raises(UserFault) as refused:
        moving.resume_tank(desk, house_of(desk).tanks[0])
    assert refused.value.code == "rests_by_stage"
    settling_tanks.set_stage(desk, "skerry", Stage.PAUSED)
    moving.resume_tank(desk, house_of(desk).tanks[0])


@pytest.mark.parametrize(
    ("kind", "name", "noun"),
    [
        ("return pump", "", "pump"),
        ("Heater", "the left one", "heater"),
        ("refractometer", "R2", "r2"),
        ("refractometer", "", "service"),
    ],
)
def test_the_short_word_of_a_service_names_what_is_serviced(
    desk: Desk, kind: str, name: str, noun: str
) -> None:
    """In a cell of the calendar stands one word, never the first of a longer name."""
    gear = Equipment(kind, name, "skerry")
    settling_gear.add_equipment(desk, gear, 12)
    assert house_of(desk).chores[-1].noun == noun


def test_a_chore_that_ends_later_counts_until_then(desk: Desk) -> None:
    """It still uses what it uses, is done by who does it, and services what it services."""
    day = NOON.date()
    gear = Equipment("return pump", "", "skerry")
    rhythm = AfterLastDone(Interval(1, IntervalUnit.DAYS))
    made = Chore("", ChoreKind.SERVICE, settling_gear.service_name(gear), rhythm, "skerry")
    work = replace(made, who=("ada",), uses=(Use("salt"),), ended_on=day)
    house = replace(
        house_of(desk), people=(Person("ada", "Ada"),), supplies=(Supply("salt", "Salt"),)
    )
    house = replace(house, chores=(work,))

    for thing in (*house.people, *house.supplies):
        assert settling_house.users_of(house, thing, day) == (work.name,)
        assert settling_house.users_of(house, thing, day + timedelta(days=1)) == ()
    assert settling_gear.is_serviced(gear, house, day)
    assert not settling_gear.is_serviced(gear, house, day + timedelta(days=1))


def test_a_tank_that_has_cycled_is_told_what_of_the_catalogue_would_fit_it_now(desk: Desk) -> None:
    """Nothing is fed or changed in its first weeks, so none of that was proposed for it then."""
    settling_tanks.set_stage(desk, "skerry", Stage.CYCLING)
    state = desk.state()
    tank = state.household.tanks[0]

    outlook = stage_outlook(state, tank, Stage.RUNNING)
    told = stage_sentence(tank, Stage.RUNNING, outlook, Words(state.household, state.moment))

    assert outlook.fitting > 5
    assert f"{outlook.fitting}\u00a0chores of the catalogue would fit it besides (F3)." in told
    assert stage_outlook(state, tank, Stage.RETIRED).fitting == 0


def test_what_rests_with_a_tank_counts_chores_that_end_only_later(desk: Desk) -> None:
    """A test for the weeks of a quarantine has a last day, and is work until then."""
    before = desk.state()
    tank, day = before.household.tanks[0], before.moment.day
    was = stage_outlook(before, tank, Stage.RETIRED)
    for name, last in (("Later", day + timedelta(days=9)), ("Over", day - timedelta(days=1))):
        rhythm = AfterLastDone(Interval(1, IntervalUnit.DAYS))
        one = Chore("", ChoreKind.CHECK, name, rhythm, tank.id, ended_on=last)
        settling_chores.add_chore(desk, one)

    found = stage_outlook(desk.state(), tank, Stage.RETIRED)

    assert (found.chores, found.open_now) == (was.chores + 1, was.open_now + 1)


def test_a_tank_says_since_when_it_has_been_in_its_stage(desk: Desk) -> None:
    """With the day where it is known, and without one where nobody said it."""
    settling_tanks.set_stage(desk, "skerry", Stage.CYCLING)
    state = desk.state()
    tank, words = state.household.tanks[0], Words(state.household, state.moment)
    outlook = stage_outlook(state, tank, Stage.CYCLING)

    assert stage_sentence(tank, Stage.CYCLING, outlook, words).startswith("It has been cycling sin")
    undated = replace(tank, since=None)
    assert stage_sentence(undated, Stage.CYCLING, outlook, words) == (
        "It is cycling; since when is not said (F2)."
    )
