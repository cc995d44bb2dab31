"""Definitions come back from the file as they went in."""

import dataclasses
from dataclasses import replace
from pathlib import Path

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household
from tankkeeper.store.file_store import FileStore
from tankkeeper.store.layout import HOUSEHOLD, SHEETS
from tankkeeper.store.opening import create, open_household
from tests.store.households import chore, full, made, small, tank, turn_of

ELSEWHERE = {
    "household": {
        "people",
        "rooms",
        "containers",
        "water_supply",
        "salt_mix",
        "tanks",
        "chores",
        "equipment",
        "animals",
        "supplies",
    },
    "room": {"climate"},
    "tank": {"ranges"},
}


def _household(store: FileStore) -> Household:
    with store.reading() as reading:
        return reading.household()


def _save(store: FileStore, household: Household) -> None:
    with store.writing() as writing:
        writing.save_household(household)


def test_a_household_in_which_everything_is_said_survives_closing(
    path: Path, clock: FixedClock
) -> None:
    """Every attribute of every definition is kept without loss."""
    create(path, full(), clock).close()

    opened = open_household(path, clock)
    found = _household(opened)
    opened.close()

    assert found == full()


@pytest.mark.parametrize("sheet", [HOUSEHOLD, *SHEETS], ids=lambda sheet: sheet.name)
def test_every_attribute_has_its_column(sheet) -> None:
    """A new attribute of the core cannot be forgotten in the store."""
    kept = {field.name for field in sheet.fields} | {part.attribute for part in sheet.parts}

    assert kept | ELSEWHERE.get(sheet.name, set()) == {f.name for f in dataclasses.fields(sheet.of)}
    for part in sheet.parts:
        inside = {part.attribute_of(field) for field in part.fields}
        assert inside == {f.name for f in dataclasses.fields(part.of)}


def test_the_full_household_leaves_no_attribute_unsaid() -> None:
    """The test above tells nothing of attributes that its household leaves at their default."""
    unsaid = list(_unsaid(full(), "household"))

    assert unsaid == []


def _unsaid(value: object, where: str):
    """Yield the attributes of a dataclass that no instance of it sets to anything."""
    classes: dict[type, list[object]] = {}
    _collect(value, classes)
    for of, instances in classes.items():
        for field in dataclasses.fields(of):
            if all(getattr(one, field.name) in (None, (), "") for one in instances):
                yield f"{of.__name__}.{field.name}"


def _collect(value: object, classes: dict[type, list[object]]) -> None:
    if isinstance(value, tuple):
        for one in value:
            _collect(one, classes)
    elif dataclasses.is_dataclass(value):
        classes.setdefault(type(value), []).append(value)
        for field in dataclasses.fields(value):
            _collect(getattr(value, field.name), classes)


def test_saving_replaces_adds_and_removes(store: FileStore) -> None:
    """After saving, the file says what was saved and nothing else; the order is kept."""
    _save(store, full())
    changed = replace(
        full(),
        tanks=(tank("third"), *reversed(full().tanks)),
        animals=(),
        rooms=(replace(full().rooms[0], climate=full().rooms[0].climate[1:]),),
        water_supply=None,
    )

    _save(store, changed)

    assert _household(store) == changed


def test_the_version_rises_with_every_save(store: FileStore) -> None:
    """Whoever keeps definitions sees by the number that they are stale."""
    with store.reading() as reading:
        before = reading.definitions_version()

    _save(store, full())

    with store.reading() as reading:
        assert reading.definitions_version() > before


def test_another_store_sees_what_was_saved(store: FileStore, path: Path, clock: FixedClock) -> None:
    """Remembered definitions are dropped when another program has saved others."""
    other = open_household(path, clock)
    assert _household(other) == small()

    _save(store, full())

    assert _household(other) == full()
    other.close()


def _save_and_fail(store: FileStore) -> None:
    with store.writing() as writing:
        writing.save_household(full())
        assert writing.household() == full()
        raise RuntimeError("plug pulled")


def test_a_save_that_is_undone_is_not_remembered(store: FileStore) -> None:
    """Definitions that were read inside a transaction that failed are forgotten with it."""
    with pytest.raises(RuntimeError, match="plug pulled"):
        _save_and_fail(store)
    _save(store, replace(small(), name="Pier 10"))

    assert _household(store).name == "Pier 10"


@pytest.mark.parametrize(
    ("gone", "what"),
    [
        ({"chores": (chore("change"),)}, "chore"),
        ({"tanks": (), "chores": (chore("glass", None), chore("change", None))}, "tank"),
    ],
)
def test_what_has_entries_cannot_disappear(store: FileStore, gone: dict, what: str) -> None:
    """A chore or tank of which the logbook tells is retired or ended, never removed."""
    with store.writing() as writing:
        writing.add(made(1, completes=(turn_of("glass"),)))

    with pytest.raises(UserFault) as fault:
        _save(store, replace(small(), **gone))

    assert (fault.value.code, fault.value.values["what"]) == ("has_history", what)
    assert _household(store) == small()


def test_what_has_no_entries_may_go(store: FileStore) -> None:
    """A chore that was never done leaves nothing behind."""
    _save(store, replace(small(), chores=()))

    assert _household(store).chores == ()


@pytest.mark.parametrize(
    ("wrong", "code"),
    [
        ({"tanks": (tank(), tank())}, "same_id_twice"),
        ({"chores": (chore("glass", "nowhere"),)}, "no_such_tank"),
        ({"tanks": (replace(tank(), room="nowhere"),)}, "no_such_room"),
        ({"name": "half \ud800"}, "text_not_storable"),
        ({"name": "nothing\0"}, "text_not_storable"),
        ({"tanks": (replace(tank(), name="\0"),)}, "text_not_storable"),
        ({"chores": (chore("c", ready_before=("a\0",)),)}, "text_not_storable"),
        ({"name": "n" * 1001}, "text_too_long"),
        ({"tanks": (replace(tank(), target_salinity=float("nan")),)}, "out_of_range"),
        ({"tanks": (replace(tank(), target_salinity=float("inf")),)}, "out_of_range"),
        ({"tanks": (replace(tank(), walk_order=2**63),)}, "out_of_range"),
    ],
)
def test_what_cannot_be_kept_is_refused_by_name(store: FileStore, wrong: dict, code: str) -> None:
    """Nothing is stored that would come back as something else."""
    with pytest.raises(UserFault) as fault:
        _save(store, replace(small(), **wrong))

    assert fault.value.code == code
    assert _household(store) == small()


@pytest.mark.parametrize(
    "name", ["'; DROP TABLE tank; --", "<img src=x>", "=1+1", "%s{}", "‮abc", "e\u0301", " ", "\n"]
)
def test_hostile_names_are_only_text(store: FileStore, name: str) -> None:
    """Text is bound, never built into a statement, and not changed on the way."""
    _save(store, replace(small(), name=name, tanks=(replace(tank(), name=name),)))

    assert (_household(store).name, _household(store).tanks[0].name) == (name, name)
