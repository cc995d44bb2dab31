"""What is set down is changed through the services, taken back and done again, to the row."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import date, time
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.chores import AfterLastDone, Calendar, Chore, ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import (
    Animal,
    Container,
    Equipment,
    Household,
    Loss,
    Person,
    Room,
    SaltMix,
    Stage,
    Tank,
    WaterSupply,
)
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.logbook import How, Redefined, Revoke, Thing
from tankkeeper.services import (
    settling_chores,
    settling_house,
    settling_in,
    settling_tanks,
    taking_back,
)
from tankkeeper.services.desk import Desk
from tankkeeper.services.exchange import export_household, household_in, import_text
from tankkeeper.services.noting import Stamp, log_note, log_top_off
from tankkeeper.services.ports import LogQuery
from tankkeeper.services.round import walk
from tankkeeper.services.settling import SetDown
from tankkeeper.services.ticking import Tick, tick
from tankkeeper.store.file_store import FileStore
from tankkeeper.store.opening import create, open_household
from tests.fakes import CountingIds
from tests.store.households import NOON, box, full, house_of, small, tank

Deed = Callable[[Desk], object]


def a_desk(store: FileStore) -> Desk:
    return Desk(store, FixedClock(NOON), CountingIds())


def add_tank(desk: Desk, like: Tank) -> SetDown:
    """Add a tank of the same shape, without chores."""
    zone = house_of(desk).zone
    answers = settling_in.Answers(zone, like.name, like.shape, like.community)
    return settling_in.add_tank(desk, answers, ())


def _rename(desk: Desk) -> object:
    first = house_of(desk).tanks[0]
    return settling_tanks.change_tank(desk, replace(first, name=f"{first.name}s", jumpers=True))


def _weekly(desk: Desk) -> object:
    house = house_of(desk)
    one = house.chores[0]
    weeks = 1 if not isinstance(one.rhythm, Calendar) else None
    rhythm = Calendar("FREQ=WEEKLY;BYDAY=SA", date(2026, 3, 20)) if weeks else _days(9)
    return settling_chores.change_chore(desk, replace(one, rhythm=rhythm))


def _days(count: int) -> AfterLastDone:
    return AfterLastDone(Interval(count, IntervalUnit.DAYS))


def _lose(desk: Desk) -> object:
    animals = house_of(desk).animals
    if not animals:
        return settling_house.add(desk, Animal("skerry", "goby", 2))
    lost = replace(animals[0], lost=(*animals[0].lost, Loss(date(2026, 3, 1), 1, "age")))
    return settling_house.change(desk, animals[0], lost)


def _out(desk: Desk) -> object:
    people = house_of(desk).people
    return settling_house.remove(desk, people[0]) if people else None


def _settings(desk: Desk) -> object:
    house = house_of(desk)
    later = replace(house, name=house.name + "a", day_begins=time(3), first_weekday=6)
    return settling_house.set_basics(desk, later)


COVE = """\
format = "tankkeeper"
version = 1
[[people]]
name = "Ada"
[[tanks]]
name = "Cove {number}"
shape = {{ litres = 30 }}
[[chores]]
tank = "Cove {number}"
kind = "glass"
name = "Scrape the glass"
rhythm = {{ after_last_done = "7 days" }}
[[log]]
id = "a{number}"
at = 2026-03-01T09:00:00+01:00
by = "Ada"
tank = "Cove {number}"
done = "Scrape the glass"
[[log]]
id = "b{number}"
at = 2026-03-08T09:00:00+01:00
tank = "Cove {number}"
top_off = {{ litres = 2 }}
[[log]]
id = "c{number}"
at = 2026-03-09T09:00:00+01:00
revokes = "b{number}"
[[log]]
id = "d{number}"
at = 2026-03-09T10:00:00+01:00
note = "Brought along."
"""


def _import(desk: Desk) -> object:
    return import_text(desk, COVE.format(number=len(_log(desk))))


DEEDS: list[Deed] = [
    _import,
    lambda desk: add_tank(desk, replace(tank("x"), name="Nook")),
    _rename,
    lambda desk: settling_tanks.copy_tank(desk, "skerry", f"Copy {len(house_of(desk).tanks)}"),
    lambda desk: settling_tanks.set_stage(desk, "skerry", Stage.PAUSED),
    lambda desk: settling_tanks.set_stage(desk, "skerry", Stage.RUNNING),
    lambda desk: settling_tanks.reorder(desk, [one.id for one in house_of(desk).tanks][::-1]),
    lambda desk: settling_chores.add_chore(
        desk, Chore("", ChoreKind.GLASS, f"Wipe {len(house_of(desk).chores)}", _days(3), "skerry")
    ),
    _weekly,
    lambda desk: settling_chores.end_chore(desk, "glass"),
    _lose,
    _out,
    lambda desk: settling_house.add(desk, Person("", f"Ilse {len(house_of(desk).people)}")),
    lambda desk: settling_house.add(desk, Room("", f"hall {len(house_of(desk).rooms)}", 0.1)),
    lambda desk: settling_house.add(desk, Container("bucket", 10.0, 2)),
    lambda desk: settling_house.add(desk, Equipment("heater", "", "skerry", date(2026, 1, 1), 36)),
    lambda desk: settling_house.set_water_supply(desk, WaterSupply(store_litres=60.0)),
    lambda desk: settling_house.set_salt_mix(desk, SaltMix(38.2, 24.0)),
    _settings,
    lambda desk: log_note(desk, "Looked in."),
    lambda desk: log_top_off(desk, house_of(desk).tanks[-1], 1.0),
    lambda desk: tick(desk, [Tick(house_of(desk).chores[-1].id)]),
]


def _try(desk: Desk, deed: Deed) -> None:
    """Do it; that a name stands twice, or a chore has ended, is not what is looked at here."""
    with suppress(UserFault):
        deed(desk)


@given(st.lists(st.integers(0, len(DEEDS) - 1), min_size=1, max_size=9))
def test_whatever_was_changed_undo_puts_back_and_redo_puts_in_again(numbers: list[int]) -> None:
    """Undo in order of the log gives each household before, ticks between or not; redo each after.

    The file is whole all the while, and what it exports can be read in again.
    """
    with TemporaryDirectory() as folder:
        store = create(Path(folder) / "pier" / "pier.tankkeeper", small(), FixedClock(NOON))
        try:
            desk = a_desk(store)
            stages = [house_of(desk)]
            for number in numbers:
                before = len(_log(desk))
                _try(desk, DEEDS[number])
                if len(_log(desk)) > before:
                    stages.append(house_of(desk))
            for stage in stages[-2::-1]:
                taking_back.undo(desk)
                assert house_of(desk) == stage
            for stage in stages[1:]:
                taking_back.redo(desk)
                assert house_of(desk) == stage
            assert store.check().problems == ()
            read = household_in(desk, export_household(desk)).household
            assert read.tanks == stages[-1].tanks
            assert read.chores == stages[-1].chores
        finally:
            store.close()


def test_an_import_goes_with_all_that_it_brought_and_comes_again(desk: Desk) -> None:
    """One row of the logbook stands for it; what it had taken back stays so when it comes again."""
    before = house_of(desk), export_household(desk)
    _import(desk)
    after = house_of(desk), export_household(desk)

    gone = taking_back.undo(desk)
    without = house_of(desk), export_household(desk), _standing(desk)
    taking_back.redo(desk)

    assert gone.target.fact == Redefined(How.IMPORTED, Thing.TANK, "Cove 0", brought=4)
    assert without == (*before, ["undo"])
    assert (house_of(desk), export_household(desk)) == after
    assert "b0" not in _standing(desk)
    assert {"a0", "c0", "d0"} < set(_standing(desk))
    assert desk.store.check().problems == ()


def test_an_imported_tank_comes_last_in_the_walk_as_a_copy_does(desk: Desk) -> None:
    """Its place counts in the household that it came from."""
    settling_tanks.copy_tank(desk, "skerry", "Copy")
    settling_tanks.reorder(desk, [one.id for one in house_of(desk).tanks])

    import_text(desk, COVE.format(number=1).replace("shape", "walk_order = 1\nshape"))

    assert [one.name for one in walk(house_of(desk))] == ["Skerry", "Copy", "Cove 1"]
    settling_tanks.copy_tank(desk, "skerry", "Second copy")
    assert walk(house_of(desk))[-1].name == "Second copy"


def test_an_import_on_which_somebody_worked_since_is_not_taken_back(desk: Desk) -> None:
    """The work would be lost; once it is taken back the import can be as well."""
    _import(desk)
    done = tick(desk, [Tick(house_of(desk).chores[-1].id)])[0].entry
    row = _log(desk)[1]

    with pytest.raises(UserFault) as refused:
        taking_back.undo(desk, row)
    kept = house_of(desk)
    taking_back.undo(desk, done.id)
    taking_back.undo(desk, row)

    assert refused.value.code == "has_history"
    assert len(kept.tanks) == 2
    assert len(house_of(desk).tanks) == 1
    assert desk.store.check().problems == ()


def test_a_household_that_begins_with_a_file_has_no_row_for_it_unless_somebody_looks_on(
    path: Path, clock: FixedClock
) -> None:
    """From the window the empty household can be had again; its name and all come back."""
    store = create(path, Household("Mine", "Europe/Berlin"), clock)
    desk = a_desk(store)
    empty = house_of(desk)
    begun = import_text(desk, COVE.format(number=7), looks_on=True)
    assert begun.row is not None
    taking_back.undo(desk)
    assert (house_of(desk), _standing(desk)) == (empty, ["undo"])
    store.close()

    other = create(path.with_name("other.tankkeeper"), Household("Mine", "Europe/Berlin"), clock)
    assert import_text(a_desk(other), COVE.format(number=7)).row is None
    assert sorted(_log(a_desk(other))) == ["a7", "b7", "c7", "d7"]
    other.close()


def _standing(desk: Desk) -> list[str]:
    """Return the rows that hold, an undo by that word, since its id is new each time."""
    with desk.store.reading() as reading:
        rows = reading.entries(LogQuery(only_valid=True))
    return [
        "undo" if isinstance(one.entry.fact, Revoke) and one.entry.id[0] != "c" else one.entry.id
        for one in rows
    ]


def _log(desk: Desk) -> list[str]:
    with desk.store.reading() as reading:
        return [row.entry.id for row in reading.entries(LogQuery())]


def test_a_full_household_is_changed_without_touching_what_nobody_changed(
    path: Path, clock: FixedClock
) -> None:
    """One field of one tank: everything else is equal, and one row says what was before."""
    store = create(path, full(), clock)
    desk = Desk(store, clock, CountingIds())
    # Not all of it could stand in a tank file; what nobody touches stays as it is all the same.
    house = full()
    wanted = replace(house.tanks[1], since=date(2026, 1, 1))

    done = settling_tanks.change_tank(desk, wanted, by="jonas")

    assert done.household.tanks[1] == wanted
    assert replace(done.household, tanks=house.tanks) == house
    assert done.entry is not None
    assert (done.entry.by, done.entry.tank) == ("jonas", "office")
    store.close()


def test_changes_of_different_things_are_taken_back_in_any_order(desk: Desk) -> None:
    """An older change of one thing goes, a newer one of another stays."""
    first = settling_house.add(desk, Room("", "hall"))
    settling_house.set_salt_mix(desk, SaltMix(38.2))
    assert first.entry is not None

    taking_back.undo(desk, first.entry.id)

    assert house_of(desk).rooms == ()
    assert house_of(desk).salt_mix == SaltMix(38.2)


def test_what_was_changed_again_since_is_not_taken_back_past_the_later_change(desk: Desk) -> None:
    """The later change would be lost without a word; it is named instead."""
    first = settling_tanks.set_stage(desk, "skerry", Stage.PAUSED)
    settling_tanks.set_stage(desk, "skerry", Stage.RUNNING)
    assert first.entry is not None

    with pytest.raises(UserFault) as refused:
        taking_back.undo(desk, first.entry.id)

    assert refused.value.code == "changed_since"
    assert house_of(desk).tanks[0].stage is Stage.RUNNING


def test_a_tank_with_history_is_not_undone_from_under_it(desk: Desk) -> None:
    """A top-off that holds tells of the tank, so the tank stays until that is taken back too."""
    added = add_tank(desk, replace(tank("x"), name="Nook"))
    nook = house_of(desk).tanks[-1]
    log_top_off(desk, nook, 1.0, stamp=Stamp())
    assert added.entry is not None

    with pytest.raises(UserFault) as refused:
        taking_back.undo(desk, added.entry.id)
    taking_back.undo(desk)
    taking_back.undo(desk)

    assert refused.value.code == "has_history"
    assert [one.id for one in house_of(desk).tanks] == ["skerry"]


def test_the_name_of_a_tank_that_was_undone_is_free_again(desk: Desk) -> None:
    """Added, used, all taken back, added anew: one tank of that name, with nothing done on it."""
    add_tank(desk, replace(tank("x"), name="Nook"))
    log_top_off(desk, house_of(desk).tanks[-1], 1.0)
    taking_back.undo(desk)
    taking_back.undo(desk)

    small = replace(tank("x").shape, length_cm=31.0)
    add_tank(desk, replace(tank("x"), name="Nook", shape=small))

    assert [one.id for one in house_of(desk).tanks] == ["skerry", "nook"]
    assert house_of(desk).tanks[-1].shape.length_cm == 31.0
    assert not desk.state().history.of_water("nook")


def test_a_change_of_nothing_writes_no_row(desk: Desk) -> None:
    """Keeping a form in which nothing was changed leaves nothing to undo."""
    done = settling_tanks.change_tank(desk, house_of(desk).tanks[0])

    assert done.entry is None
    assert _log(desk) == []


def test_a_rhythm_holds_from_a_day_and_the_past_stays(desk: Desk) -> None:
    """Two changes make two versions behind the present one, each from its first day."""
    first = Calendar("FREQ=WEEKLY;BYDAY=SA", date(2026, 1, 3))
    added = settling_chores.add_chore(
        desk, Chore("", ChoreKind.GLASS, "Wipe", first, "skerry", valid_from=date(2026, 1, 3))
    )
    one = added.household.chores[-1]
    second = replace(one, rhythm=Calendar("FREQ=WEEKLY;BYDAY=SU", date(2026, 3, 20)))

    done = settling_chores.change_chore(desk, second, date(2026, 4, 1))

    changed = done.household.chores[-1]
    assert changed.valid_from == date(2026, 4, 1)
    assert [(old.valid_from, old.rhythm) for old in changed.earlier] == [(date(2026, 1, 3), first)]
    with pytest.raises(UserFault) as refused:
        settling_chores.change_chore(desk, replace(changed, rhythm=first), date(2026, 3, 1))
    assert refused.value.code == "day_is_past"


def test_a_rhythm_that_never_began_leaves_no_past(desk: Desk) -> None:
    """Planned for April, replaced today, planned anew: each day has the rhythm said last for it."""
    added = settling_chores.add_chore(
        desk,
        Chore("", ChoreKind.GLASS, "Wipe", _days(4), "skerry", first_due=date(2026, 3, 25)),
    )
    one = added.household.chores[-1]
    today = one.valid_from
    assert today is not None

    def change(rule: str, begins: date | None) -> Chore:
        rhythm = Calendar(rule, begins or today)
        done = settling_chores.change_chore(
            desk, replace(house_of(desk).chores[-1], rhythm=rhythm), begins
        )
        return done.household.chores[-1]

    planned = change("FREQ=WEEKLY;BYDAY=SU", date(2026, 4, 1))
    assert [(old.valid_from, old.rhythm) for old in planned.earlier] == [(today, _days(4))]
    replaced = change("FREQ=WEEKLY;BYDAY=FR", None)
    assert (replaced.valid_from, replaced.earlier) == (today, ())
    again = change("FREQ=WEEKLY;BYDAY=SU", date(2026, 4, 1))
    assert [(old.valid_from, old.rhythm) for old in again.earlier] == [(today, replaced.rhythm)]


def test_a_chore_that_is_renamed_is_still_waited_for(desk: Desk) -> None:
    """What has to be ready before goes by name; the name follows."""
    one, other = house_of(desk).chores
    settling_chores.change_chore(desk, replace(other, ready_before=("glass",)))

    done = settling_chores.change_chore(desk, replace(one, name="Wipe the panes"))

    assert done.household.chores[1].ready_before == ("Wipe the panes",)


HOSTILE = ["", " ", "\0", "a\nb", "x" * 10_000, "\ud800", "\u2028"]


@pytest.mark.parametrize("name", HOSTILE, ids=repr)
def test_a_hostile_name_is_refused_and_nothing_changes(desk: Desk, name: str) -> None:
    """What no tank file may hold no form can keep: the same reader refuses both."""
    before = house_of(desk)

    with pytest.raises(UserFault):
        settling_tanks.change_tank(desk, replace(before.tanks[0], name=name))

    assert house_of(desk) == before
    assert _log(desk) == []


@pytest.mark.parametrize("size", [float("nan"), float("inf"), -1.0, 0.0, 1e9])
def test_an_impossible_size_is_refused_at_its_field(desk: Desk, size: float) -> None:
    """The fault names the field as the form calls it."""
    one = house_of(desk).tanks[0]

    with pytest.raises(UserFault) as refused:
        settling_tanks.change_tank(desk, replace(one, shape=replace(box(), length_cm=size)))

    assert refused.value.values["field"] == "length_cm"


def test_a_name_is_kept_in_one_spelling_without_spaces_around_it(desk: Desk) -> None:
    """The reader's rule for names holds for what is typed as well."""
    done = settling_house.add(desk, Room("", "  cafe\u0301 "))

    assert done.household.rooms[0].name == "caf\u00e9"


def test_a_change_is_there_when_the_file_is_opened_again(
    path: Path, store: FileStore, clock: FixedClock
) -> None:
    """Undo reaches back over a restart of the program."""
    before = house_of(a_desk(store))
    settling_tanks.set_stage(a_desk(store), "skerry", Stage.RETIRED)
    store.close()

    again = open_household(path, clock)
    later = Desk(again, clock, CountingIds(1))
    assert house_of(later).tanks[0].stage is Stage.RETIRED
    taking_back.undo(later)

    assert house_of(later) == before
    again.close()


def test_two_people_who_change_different_fields_keep_both_changes(desk: Desk) -> None:
    """Who opened the page before the other kept theirs does not put back what was there then."""
    was = house_of(desk).tanks[0]
    settling_tanks.change_tank(desk, replace(was, jumpers=True), was=was)

    settling_tanks.change_tank(desk, replace(was, target_salinity=34.0), was=was)

    now = house_of(desk).tanks[0]
    assert (now.jumpers, now.target_salinity) == (True, 34.0)
