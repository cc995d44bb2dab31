"""The file of one tank: written out of a household and added to another."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from tankkeeper.core.chores import AfterLastDone, AmountUnit, Chore, ChoreKind, Use
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household, Person, Room, Supply
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.logbook import Entry, Note, Revoke, Skip, TopOff, Turn
from tankkeeper.services.tank_file import (
    Problem,
    TankAddition,
    TankFile,
    is_tank_file,
    read_tank_addition,
    read_tank_file,
    write_household,
    write_tank,
)
from tests.services.tank_file_household import NOW, TODAY, WHOLE

OTHER = Household(
    name="Far House",
    zone="Asia/Tokyo",
    rooms=(Room("r-1", "hall"),),
    people=(Person("p-9", "Mira"),),
    supplies=(Supply("s-3", "salt mix", "g", 100.0),),
    chores=(
        Chore(
            "house.mix-salt-water",
            ChoreKind.MIX_SALT_WATER,
            "Mix salt water",
            AfterLastDone(Interval(9, IntervalUnit.DAYS)),
        ),
    ),
)


def whole() -> TankFile:
    return read_tank_file(WHOLE, now=NOW, today=TODAY)


def exported(tank: str) -> str:
    found = whole()
    return write_tank(found.household, tank, found.entries)


def added(text: str, to: Household = OTHER, taken: frozenset[str] = frozenset()) -> TankAddition:
    return read_tank_addition(text, to, now=NOW, today=TODAY, taken_entries=taken)


def refused(text: str, to: Household) -> tuple[Problem, ...]:
    with pytest.raises(UserFault) as fault:
        added(text, to)
    problems = fault.value.values["problems"]
    assert isinstance(problems, tuple)
    return problems


def test_a_tank_goes_out_with_what_it_needs_and_no_more() -> None:
    """Its room, chores, supplies, people, equipment, animals and log; nothing of other tanks."""
    text = exported("lagoon")
    found = read_tank_file(text, now=NOW, today=TODAY)
    assert is_tank_file(text)
    assert [tank.name for tank in found.household.tanks] == ["Lagoon"]
    assert [room.name for room in found.household.rooms] == ["hall"]
    assert {one.name for one in found.household.people} == {"Mira", "Tomás"}
    assert {one.name for one in found.household.supplies} == {"salt mix", "filter socks"}
    assert [one.name for one in found.household.equipment] == ["left heater"]
    assert "Mix salt water" in {chore.name for chore in found.household.chores}
    assert "Buy salt" not in {chore.name for chore in found.household.chores}
    assert "Cove" not in text
    assert "kitchen scale" not in text
    assert {one.id for one in found.entries} == {
        one.id for one in whole().entries if one.tank == "lagoon"
    }


def test_a_tank_comes_into_another_household_as_it_was() -> None:
    """Tank, chores and log are equal; only ids of what the household knows by name differ."""
    before = whole()
    found = added(exported("lagoon"))
    assert found.tanks == (replace(before.household.tanks[0], room="r-1"),)
    change = found.chores[0]
    assert change.who == ("p-9", "tomas")
    assert change.uses[0].supply == "s-3"
    assert [one.id for one in found.entries] == [
        one.id for one in before.entries if one.tank == "lagoon"
    ]
    old = {one.id: one for one in before.entries}
    for entry in found.entries:
        same = old[entry.id]
        assert (entry.at, entry.day, entry.zone) == (same.at, same.day, same.zone)
        assert (entry.fact, entry.completes) == (same.fact, same.completes)


def test_what_a_household_knows_by_name_stays_as_it_is_there() -> None:
    """An import never changes a row that was there: rooms, people, supplies, house chores."""
    found = added(exported("lagoon"))
    assert found.household.rooms == OTHER.rooms
    assert found.household.people[0] == OTHER.people[0]
    assert found.household.supplies[0] == OTHER.supplies[0]
    assert found.household.chores[0] == OTHER.chores[0]
    assert (found.household.name, found.household.zone) == ("Far House", "Asia/Tokyo")
    assert all(chore.name != "Mix salt water" for chore in found.chores)


def test_things_without_a_name_come_along_as_things_of_their_own() -> None:
    """One unnamed supply is not another one; the chore still takes from the one of its file."""
    found = whole()
    nameless = replace(
        found.household,
        supplies=tuple(
            replace(one, name="", id=new)
            for one, new in zip(found.household.supplies, ("supply", "socks"), strict=True)
        ),
        people=tuple(replace(one, name="") for one in found.household.people),
        rooms=tuple(replace(one, name="") for one in found.household.rooms),
        chores=tuple(
            replace(one, uses=(Use("supply", 5.0, AmountUnit.GRAMS), Use("socks")))
            for one in found.household.chores
            if one.kind is ChoreKind.WATER_CHANGE
        ),
    )
    mine = Household(
        name="Far House",
        zone="Asia/Tokyo",
        rooms=(Room("hall", ""),),
        people=(Person("mira", ""), Person("x", "Mira")),
        supplies=(Supply("supply", unit="g"), Supply("supply-2", "supply")),
        chores=(replace(OTHER.chores[0], name="Mix salt water"),),
    )

    both = added(write_tank(nameless, "lagoon", ()), mine).household

    assert both.supplies[:2] == mine.supplies
    assert [(one.id, one.name, one.unit) for one in both.supplies[2:]] == [
        ("supply-3", "", "g"),
        ("socks", "", "pieces"),
    ]
    assert both.chores[-1].uses == (Use("supply-3", 5.0, AmountUnit.GRAMS), Use("socks"))
    new_people = [one for one in both.people if one not in mine.people]
    assert both.chores[-1].who == tuple(one.id for one in new_people)
    assert len(new_people) == 2
    assert both.tanks[-1].room == both.rooms[-1].id != "hall"
    again = read_tank_file(write_household(both, ()), now=NOW, today=TODAY)
    assert again.household == both


def test_a_household_with_an_added_tank_can_be_written_and_read() -> None:
    """What was added is as good as what was there."""
    found = added(exported("lagoon"))
    text = write_household(found.household, found.entries)
    again = read_tank_file(text, now=NOW, today=TODAY)
    assert again.household == found.household
    assert again.entries == found.entries


def test_a_tank_whose_name_is_taken_is_refused() -> None:
    """Two tanks of one name could not be told apart."""
    (problem,) = refused(exported("cove"), whole().household)
    assert (problem.code, problem.place) == ("tank_exists", "tanks[1].name")


def test_a_tank_file_adds_nothing_to_a_tank_that_is_there() -> None:
    """Chores, equipment, animals and entries of a file belong to the tanks it brings."""
    text = (
        exported("cove").replace('"Cove"', '"Pool"').replace('"cove.', '"pool.')
        + '[[equipment]]\nkind = "heater"\ntank = "Lagoon"\n'
        + '[[log]]\nat = 2026-02-01T00:00:00Z\ntank = "Lagoon"\nnote = "x"\n'
    )
    found = refused(text, whole().household)
    assert [(problem.code, problem.values["value"]) for problem in found] == [
        ("unknown_reference", "Lagoon"),
        ("unknown_reference", "Lagoon"),
    ]


def test_a_renamed_tank_gets_ids_of_its_own_and_entries_new_ids() -> None:
    """Ids that are taken give way, and every mention of them follows."""
    before = whole()
    text = exported("lagoon").replace('"Lagoon"', '"Second"')
    taken = frozenset(one.id for one in before.entries)
    first, again = (added(text, before.household, taken) for _ in range(2))
    assert first == again
    assert first.tanks[0].id == "second"
    assert all(chore.id.startswith("second.") for chore in first.chores)
    assert not taken & {one.id for one in first.entries}
    skip = next(one.fact for one in first.entries if isinstance(one.fact, Skip))
    assert skip.turn.key == f"after:{first.entries[0].id}"


def test_a_part_of_a_mixing_is_called_after_the_new_id_of_its_entry() -> None:
    """Two parts may not be taken for one."""
    text = (
        exported("lagoon").replace('"Lagoon"', '"Second"')
        + '[[chores]]\ntank = "Second"\nkind = "mix-salt-water"\nname = "Mix for it"\n'
        + 'rhythm = { after_last_done = "7 days" }\namount = { litres = 40 }\n'
        + '[[log]]\nid = "m-1"\nat = 2026-02-01T00:00:00Z\ntank = "Second"\n'
        + 'done = "Mix for it"\nfor = { key = "part:m-1" }\nlitres = 15\n'
    )
    entry = added(text, whole().household, frozenset({"m-1"})).entries[-1]

    assert entry.id != "m-1"
    assert [one.key for one in entry.completes] == [f"part:{entry.id}"]


def test_a_whole_household_is_no_tank_to_be_added() -> None:
    """A household goes only into an empty one."""
    found = refused(WHOLE.replace('"Lagoon"', '"A"').replace('"Cove"', '"B"'), OTHER)
    assert {problem.place for problem in found} == {
        "household",
        "containers",
        "water_supply",
        "salt_mix",
    }
    assert {problem.code for problem in found} == {"only_in_household"}


def test_undos_go_along_with_what_they_undo() -> None:
    """An undo names no tank; it belongs to the tank of the entry it takes back."""
    before = whole()
    at = datetime(2026, 2, 1, 12, tzinfo=UTC)
    zone = before.household.zone
    undo = Entry("u-1", 30, at, at.date(), zone, fact=Revoke("a-07"))
    redo = Entry("u-2", 31, at, at.date(), zone, fact=Revoke("u-1"))
    entries = (*before.entries, undo, redo)
    text = write_tank(before.household, "cove", entries)
    found = read_tank_file(text, now=NOW, today=TODAY).entries
    assert [one.id for one in found] == ["a-05", "a-07", "a-09", "u-1", "u-2"]
    assert "u-1" not in write_tank(before.household, "lagoon", entries)


def test_a_correction_that_moves_an_entry_to_another_tank_is_an_undo_in_the_first() -> None:
    """Seen from one tank the entry was taken back, seen from the other it is new."""
    before = whole()
    at = datetime(2026, 2, 1, 12, tzinfo=UTC)
    moved = Entry(
        "m-1", 30, at, at.date(), before.household.zone, None, "lagoon", (), TopOff(1.0),
        replaces="a-07",
    )  # fmt: skip
    entries = (*before.entries, moved)
    cove = read_tank_file(
        write_tank(before.household, "cove", entries), now=NOW, today=TODAY
    ).entries
    lagoon = read_tank_file(
        write_tank(before.household, "lagoon", entries), now=NOW, today=TODAY
    ).entries
    assert cove[-1].fact == Revoke("a-07")
    assert (lagoon[-1].fact, lagoon[-1].replaces) == (TopOff(1.0), None)


def test_the_log_of_20000_entries_goes_out_and_comes_back_whole() -> None:
    """Years of log of several tanks are one file, far over what a household alone would need."""
    household = whole().household
    begin = datetime(2020, 1, 1, tzinfo=UTC)
    entries = []
    for number in range(20_000):
        at = begin + timedelta(minutes=150 * number)
        done = (Turn("lagoon.feed", at.date().isoformat()),) if number % 2 else ()
        fact = None if done else Note()
        day = (at - timedelta(hours=5)).date()
        entries.append(
            Entry(f"n-{number}", number + 1, at, day, "Europe/Lisbon", "mira", "lagoon", done, fact)
        )
    text = write_household(household, entries)
    found = read_tank_file(text, now=NOW, today=date(2026, 3, 2))
    assert len(text) > 1024 * 1024
    assert found.entries == tuple(entries)
