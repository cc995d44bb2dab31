"""Puts the tables of a tank file together: first all names, then what refers to them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import field, replace
from datetime import time
from typing import Protocol, TypeVar

from tankkeeper.core.chores import Chore
from tankkeeper.core.household import Household, Tank
from tankkeeper.core.ids import chore_slug
from tankkeeper.core.logbook import Entry
from tankkeeper.core.values import dataclass
from tankkeeper.services.tank_file.document import MOST_CHORES
from tankkeeper.services.tank_file.naming import (
    ChoreNames,
    Names,
    derived_ids,
    id_maker,
    read_id,
)
from tankkeeper.services.tank_file.problems import Findings
from tankkeeper.services.tank_file.read_chores import Around, read_chore
from tankkeeper.services.tank_file.read_house import (
    UNKNOWN_ZONE,
    read_basics,
    read_container,
    read_person,
    read_room,
    read_salt_mix,
    read_supply,
    read_water_supply,
    read_zone,
)
from tankkeeper.services.tank_file.read_log import LogReader
from tankkeeper.services.tank_file.read_tanks import read_animal, read_equipment, read_tank
from tankkeeper.services.tank_file.table import Table

FORMAT = "tankkeeper"
VERSION = 1
MOST_ROWS = 10_000
T = TypeVar("T")
_ONLY_IN_HOUSEHOLD = ("household", "containers", "water_supply", "salt_mix")


class _HasName(Protocol):
    """Anything of a household that others name."""

    @property
    def id(self) -> str:
        """The id others keep."""

    @property
    def name(self) -> str:
        """The name people use."""


@dataclass(frozen=True, slots=True)
class Gathered:
    """A household as read, and what of it the file brought."""

    household: Household
    entries: tuple[Entry, ...]
    is_whole: bool
    new_tanks: tuple[Tank, ...]
    new_chores: tuple[Chore, ...]


@dataclass(slots=True)
class _Rows:
    """The rows of one kind with their ids; an id of None: the household has the thing already."""

    tables: list[Table] = field(default_factory=list)
    ids: list[str | None] = field(default_factory=list)

    def read(self, make: Callable[[Table, str], T | None]) -> tuple[T, ...]:
        """Return what the rows say; those the household has already are checked, then left."""
        found: list[T] = []
        for table, one_id in zip(self.tables, self.ids, strict=True):
            made = make(_again(table), one_id or "")
            if made is not None and one_id is not None:
                found.append(made)
        return tuple(found)


@dataclass(frozen=True, slots=True)
class _Origin:
    """Where a file of one tank comes from: the zone and the begin of the day of its log."""

    zone: str | None = None
    day_begins: time | None = None


def gather(
    top: Table, base: Household | None, *, onto_empty: bool = False, usual_zone: str = UNKNOWN_ZONE
) -> Gathered:
    """Return the household of a file, or `base` with the tanks of the file.

    Onto an empty household a file may bring what only a household has. `usual_zone` is that of a
    household that names none.
    """
    _read_head(top)
    if base is not None and not onto_empty:
        for key in _ONLY_IN_HOUSEHOLD:
            if key in top.raw:
                top.fault(key, "only_in_household")
    origin = _origin(top.inner("origin"))
    basics = top.inner("household")
    start = read_basics(basics, usual_zone) if base is None else base
    if base is None and basics is None:
        start = replace(
            start,
            zone=origin.zone or start.zone,
            day_begins=start.day_begins if origin.day_begins is None else origin.day_begins,
        )
    names = _Gathering(top, start)
    household = names.household()
    entries = names.log(household, origin)
    top.close()
    return Gathered(household, entries, basics is not None, names.new_tanks, names.new_chores)


def _read_head(top: Table) -> None:
    for key in ("format", "version"):
        top.require(key)
    written = top.name("format")
    if written is not None and written != FORMAT:
        top.fault("format", "other_format", value=written, expected=FORMAT)
    version = top.whole("version", 1, 1_000_000)
    if version is not None and version > VERSION:
        top.fault("version", "newer_version", value=version, newest=VERSION)


def _origin(table: Table | None) -> _Origin:
    if table is None:
        return _Origin()
    found = _Origin(read_zone(table, "zone"), table.clock("day_begins"))
    table.close()
    return found


class _Gathering:
    """One file being read onto what a household holds already."""

    def __init__(self, top: Table, start: Household) -> None:
        self._top = top
        self._start = start
        self._names = {kind: Names(kind) for kind in ("person", "room", "supply", "tank")}
        self._people = self._named("people", "person", start.people)
        self._rooms = self._named("rooms", "room", start.rooms)
        self._supplies = self._named("supplies", "supply", start.supplies)
        self._tanks = self._named("tanks", "tank", start.tanks)
        self.new_tanks: tuple[Tank, ...] = ()
        self.new_chores: tuple[Chore, ...] = ()
        self.chore_names = ChoreNames(())

    def household(self) -> Household:
        """Return everything but the log."""
        top, start, rooms = self._top, self._start, self._names["room"]
        tank_names = self._names["tank"]
        self.new_tanks = self._tanks.read(lambda row, one_id: read_tank(row, one_id, rooms))
        self.new_chores = self._chores()
        equipment = _present(
            read_equipment(row, tank_names) for row in top.rows("equipment", MOST_ROWS)
        )
        animals = _present(read_animal(row, tank_names) for row in top.rows("animals", MOST_ROWS))
        return replace(
            start,
            people=(*start.people, *self._people.read(read_person)),
            rooms=(*start.rooms, *self._rooms.read(read_room)),
            containers=(
                *start.containers,
                *_present(map(read_container, top.rows("containers", MOST_ROWS))),
            ),
            water_supply=read_water_supply(top.inner("water_supply")) or start.water_supply,
            salt_mix=read_salt_mix(top.inner("salt_mix")) or start.salt_mix,
            tanks=(*start.tanks, *self.new_tanks),
            chores=(*start.chores, *self.new_chores),
            equipment=(*start.equipment, *equipment),
            animals=(*start.animals, *animals),
            supplies=(*start.supplies, *self._supplies.read(read_supply)),
        )

    def log(self, household: Household, origin: _Origin) -> tuple[Entry, ...]:
        """Return the entries of the log; nothing of it is read while the rest is at fault."""
        reader = LogReader(
            chores=self.chore_names,
            people=self._names["person"],
            tanks=self._names["tank"],
            supplies=self._names["supply"],
            zone=origin.zone or household.zone,
            day_begins=household.day_begins if origin.day_begins is None else origin.day_begins,
            findings=self._top.findings,
        )
        return reader.read(self._top.rows("log"))

    def _named(self, key: str, kind: str, present: Iterable[_HasName]) -> _Rows:
        """Return the rows of one kind, with the ids by which others will find them."""
        names = self._names[kind]
        there = {one.name: one.id for one in present if one.name}
        taken = {one.id for one in present}
        if kind != "tank":
            # A file of one tank may name what a household has, but never add to another tank.
            for one in present:
                names.add(one.name, one.id)
        tables = list(self._top.rows(key, MOST_CHORES))
        titles = [_quiet(table, "name") or "" for table in tables]
        said = self._given_ids(tables)
        given = [None if one_id in taken else one_id for one_id in said]
        seen: set[str] = set()
        for table, title in zip(tables, titles, strict=True):
            if title and title in seen:
                table.fault("name", "doubled_name", value=title)
            elif kind == "tank" and title in there:
                table.fault("name", "tank_exists", value=title)
                names.add(title, there[title])
            seen.add(title)
        fresh = [place for place, title in enumerate(titles) if title not in there]
        ids: list[str | None] = [None] * len(tables)
        make = id_maker(kind, [titles[place] for place in fresh])
        made = derived_ids([given[place] for place in fresh], make, taken)
        for place, one_id in zip(fresh, made, strict=True):
            ids[place] = one_id
            names.add(titles[place], one_id)
        # The rest of the file calls a thing without a name by the id it has when the file stands
        # alone, whatever the household has of that name.
        alone = derived_ids(said, id_maker(kind, titles))
        for title, word, now in zip(titles, alone, ids, strict=True):
            if not title and now and word not in titles and names.find(word) != now:
                names.by_name[word] = now
        return _Rows(tables, ids)

    def _given_ids(self, tables: list[Table]) -> list[str | None]:
        """Return the ids that rows give themselves, noting doubled ones."""
        found: list[str | None] = []
        for table in tables:
            one_id = read_id(_again(table, Findings()))
            if one_id is not None and one_id in found:
                table.fault("id", "doubled_id", value=one_id)
            found.append(one_id)
        return found

    def _chores(self) -> tuple[Chore, ...]:
        """Return the chores of the file; those the household has by name are left."""
        tables = list(self._top.rows("chores", MOST_CHORES))
        titles = [_quiet(table, "name") or "" for table in tables]
        tanks = self._names["tank"]
        owners = [tanks.find(_quiet(table, "tank") or "") for table in tables]
        taken = {chore.id for chore in self._start.chores}
        there = {chore.name for chore in self._start.chores if chore.tank is None}
        said = self._given_ids(tables)
        # An id that the household has gives way.
        given = [None if one_id in taken else one_id for one_id in said]
        ids: list[str | None] = list(
            derived_ids(
                given, lambda place, held: chore_slug(owners[place], titles[place], held), taken
            )
        )
        self._refuse_doubled(tables, titles, owners)
        for place, table in enumerate(tables):
            if "tank" not in table.raw and titles[place] in there:
                ids[place] = None
        around = Around(tanks, self._names["person"], self._names["supply"])
        rows = _Rows(tables, ids)
        found = rows.read(lambda row, one_id: read_chore(row, one_id, around))
        self.chore_names = ChoreNames((*self._start.chores, *found), titles, tanks.ids)
        self._refuse_unknown_chores(tables, owners)
        return found

    def _refuse_doubled(
        self, tables: list[Table], titles: list[str], owners: list[str | None]
    ) -> None:
        """Note two chores of one name on a tank, unless all but one have ended."""
        seen: set[tuple[str | None, str]] = set()
        for table, title, owner in zip(tables, titles, owners, strict=True):
            if not title or "ended" in table.raw:
                continue
            if (owner, title) in seen:
                table.fault("name", "doubled_name", value=title)
            seen.add((owner, title))

    def _refuse_unknown_chores(self, tables: list[Table], owners: list[str | None]) -> None:
        """Note names in `ready_before` that no chore of the tank or the household has."""
        for table, owner in zip(tables, owners, strict=True):
            for word in _again(table, Findings()).names("ready_before"):
                if self.chore_names.find(word, owner) is None:
                    self.chore_names.refuse(table, "ready_before", word, owner)


def _again(table: Table, findings: Findings | None = None) -> Table:
    """Return a fresh look at the same table; with `findings` of its own it notes nothing."""
    noted = table.findings if findings is None else findings
    return Table(table.raw, table.path, noted, table.frame)


def _quiet(table: Table, key: str) -> str | None:
    """Return a name without noting what is wrong with it; that is done when the row is read."""
    return _again(table, Findings()).name(key)


def _present(found: Iterable[T | None]) -> tuple[T, ...]:
    return tuple(one for one in found if one is not None)
