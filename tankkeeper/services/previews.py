"""What an import or a restore would change, worked out before anything is changed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, replace
from pathlib import Path

from tankkeeper.core.household import Household
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Desk
from tankkeeper.services.exchange import planned_import
from tankkeeper.services.log_search import EVERYTHING, FoundEntry
from tankkeeper.services.ports import Reading
from tankkeeper.services.tank_file import Document
from tankkeeper.services.watching import Watch, unwatched

KINDS = (
    "tanks",
    "chores",
    "people",
    "rooms",
    "containers",
    "equipment",
    "animals",
    "supplies",
)
_PLAIN = ("name", "zone", "day_begins", "round_at", "first_weekday", "currency", "units")
_ONE_OF_A_KIND = ("water_supply", "salt_mix")


@dataclass(frozen=True, slots=True)
class Named:
    """A thing of a household: its kind, one of `KINDS`, its name, and the tank it belongs to.

    Of one that is altered also what it was and what it becomes.
    """

    kind: str
    name: str
    tank: str = ""
    was: object = None
    became: object = None


@dataclass(frozen=True, slots=True)
class Changed:
    """A field of the household itself that would change."""

    field: str
    before: object
    after: object


@dataclass(frozen=True, slots=True)
class Differences:
    """What is in the one household and not in the other."""

    added: tuple[Named, ...] = ()
    gone: tuple[Named, ...] = ()
    altered: tuple[Named, ...] = ()
    changed: tuple[Changed, ...] = ()


@dataclass(frozen=True, slots=True)
class ImportPreview:
    """What an import would do. `left_alone` stands in the file, but is there already.

    `household` is what there would be.
    """

    differences: Differences
    left_alone: tuple[Named, ...]
    entries: int
    is_backed_up: bool
    household: Household


@dataclass(frozen=True, slots=True)
class RestorePreview:
    """What a restore would do: entries that would be lost, and such as would be there again.

    `newest` and `entries` are those of the backup; `household` names its things.
    """

    source: Path
    household: Household
    differences: Differences
    lost: int
    again: int
    entries: int
    newest: FoundEntry | None


def preview_import(desk: Desk, text: str | Document, watch: Watch = unwatched) -> ImportPreview:
    """Return what importing a text would change; it is refused as the import would be."""
    text = Document.of(text)
    plan = planned_import(desk, text, watch)
    return ImportPreview(
        differences(plan.before, plan.after),
        tuple(_left_alone(text.tables, plan.before)),
        len(plan.entries),
        is_backed_up=not plan.onto_empty,
        household=plan.after,
    )


def preview_restore(desk: Desk, source: Path, watch: Watch = unwatched) -> RestorePreview:
    """Return what restoring a backup would change."""
    with desk.store.reading() as reading:
        present, ids = reading.household(), set(reading.entry_ids())
    with desk.store.looking_into(source, watch) as old:
        then, old_ids = old.household(), set(old.entry_ids())
        newest = _newest(old)
    return RestorePreview(
        source,
        then,
        differences(present, then),
        lost=len(ids - old_ids),
        again=len(old_ids - ids),
        entries=len(old_ids),
        newest=newest,
    )


def _newest(reading: Reading) -> FoundEntry | None:
    """Return the entry that stands first in the logbook, whatever it is of."""
    return next(iter(reading.search(EVERYTHING, None, 1, 1).found), None)


def differences(before: Household, after: Household) -> Differences:
    """Return what changes from one household to the other, in the order in which they stand."""
    old, new = dict(_things(before)), dict(_things(after))
    return Differences(
        added=tuple(_named(key, new[key], after) for key in new if key not in old),
        gone=tuple(_named(key, old[key], before) for key in old if key not in new),
        altered=tuple(
            replace(_named(key, new[key], after), was=old[key], became=new[key])
            for key in new
            if key in old and old[key] != new[key]
        ),
        changed=tuple(
            Changed(name, getattr(before, name), getattr(after, name))
            for name in (*_PLAIN, *_ONE_OF_A_KIND)
            if getattr(before, name) != getattr(after, name)
        ),
    )


_Key = tuple[str, str, int]


def _things(household: Household) -> Iterator[tuple[_Key, object]]:
    """Give each thing by what it is known by: its id, or its name where it has none."""
    for kind in KINDS:
        seen: Counter[str] = Counter()
        for thing in getattr(household, kind):
            known_by = str(
                getattr(thing, "id", "") or f"{getattr(thing, 'tank', '')}/{_called(thing)}"
            )
            yield (kind, known_by, seen[known_by]), thing
            seen[known_by] += 1


def _named(key: _Key, thing: object, household: Household) -> Named:
    tank = getattr(thing, "tank", None)
    of = next((one.name for one in household.tanks if one.id == tank), "")
    return Named(key[0], _called(thing), of)


def _called(thing: object) -> str:
    """Return by what a thing is called in every list, such as equipment by its kind."""
    return str(getattr(thing, "called", "") or getattr(thing, "name", ""))


def _left_alone(raw: Mapping[str, object], present: Household) -> Iterator[Named]:
    """Give what a file sets down that the household knows by that name already."""
    for kind in ("people", "rooms", "supplies", "chores"):
        known = {
            one.name.casefold(): one.name
            for one in getattr(present, kind)
            if kind != "chores" or one.tank is None
        }
        for row in _rows(raw.get(kind)):
            name = str(row.get("name", "")).casefold()
            if name in known and (kind != "chores" or "tank" not in row):
                yield Named(kind, known[name])


def _rows(found: object) -> Sequence[dict[str, object]]:
    rows = found if isinstance(found, list) else []
    return [one for one in rows if isinstance(one, dict)]


assert set(_PLAIN + _ONE_OF_A_KIND + KINDS) == {one.name for one in fields(Household)}
