"""Names in a tank file and the ids they stand for, the same way for reading and writing."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, field

from tankkeeper.core.chores import Chore
from tankkeeper.core.ids import slug, tank_slug
from tankkeeper.services.tank_file.problems import nearest
from tankkeeper.services.tank_file.table import Table

ID_FORM = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,149}", re.ASCII)

NAMES_TOLD = 8

MakeId = Callable[[int, Collection[str]], str]


def id_maker(kind: str, names: Sequence[str]) -> MakeId:
    """Return what makes the id of a thing from its name, for things in the order of `names`.

    One without a name is called by its kind, and never as something else is named.
    """
    if kind == "tank":
        return lambda place, held: tank_slug(names[place], held)

    def make(place: int, held: Collection[str]) -> str:
        return slug(names[place], held if names[place] else {*held, *names}, kind)

    return make


def derived_ids(given: Sequence[str | None], make: MakeId, taken: Iterable[str] = ()) -> list[str]:
    """Return the id of each row: the one given, else one that `make` makes for its place."""
    held = {*taken, *(one for one in given if one is not None)}
    found: list[str] = []
    for place, one in enumerate(given):
        if one is None:
            one = make(place, held)
            held.add(one)
        found.append(one)
    return found


def needed_ids(ids: Sequence[str], make: MakeId) -> list[str | None]:
    """Return which ids must be written down because reading would make others.

    The rest is left to `derived_ids`; each round writes at least one more down, so it ends.
    """
    given: list[str | None] = [None] * len(ids)
    while (derived := derived_ids(given, make)) != list(ids):
        given = [
            one if kept is not None or made != one else None
            for one, kept, made in zip(ids, given, derived, strict=True)
        ]
    return given


def read_id(row: Table) -> str | None:
    """Return the id that a row gives itself, if it does."""
    found = row.name("id")
    if found is not None and not ID_FORM.fullmatch(found):
        row.fault("id", "bad_id", value=found)
        return None
    return found


@dataclass(slots=True)
class Names:
    """The names of one kind of thing; an id stands for itself where nothing has it as a name."""

    kind: str
    by_name: dict[str, str] = field(default_factory=dict)
    ids: set[str] = field(default_factory=set)

    def find(self, word: str) -> str | None:
        """Return the id that `word` means."""
        found = self.by_name.get(word)
        return word if found is None and word in self.ids else found

    def add(self, name: str, one_id: str) -> None:
        """Let `name` mean `one_id`, unless it means something already; no name means nothing."""
        if name:
            self.by_name.setdefault(name, one_id)
        self.ids.add(one_id)

    def word_for(self, name: str, one_id: str) -> str:
        """Return what to write for a thing: its name where that is plain, else its id."""
        return name if self.find(name) == one_id else one_id

    def look_up(self, table: Table, key: str) -> str | None:
        """Return the id that the name under `key` means, noting one that nobody has."""
        word = table.name(key)
        if word is None:
            return None
        found = self.find(word)
        if found is None:
            self.refuse(table, key, word)
        return found

    def look_up_all(self, table: Table, key: str) -> tuple[str, ...]:
        """Return the ids that a list of names means."""
        found: list[str] = []
        for word in table.names(key):
            one = self.find(word)
            if one is None:
                self.refuse(table, key, word)
            else:
                found.append(one)
        return tuple(found)

    def refuse(self, table: Table, key: str, word: str) -> None:
        """Note that nothing of this kind has the name `word`, and which names there are if few."""
        near = nearest(word, self.by_name)
        are_told = near is None and 0 < len(self.by_name) <= NAMES_TOLD
        more = {"there_are": ", ".join(self.by_name)} if are_told else {}
        table.fault(key, "unknown_reference", of=self.kind, value=word, nearest=near, **more)


class ChoreNames:
    """The names of chores: those of a tank first, then those of the household.

    Names that rows without a tank may use are those of `tanks`, the tanks of the file.
    """

    def __init__(
        self, chores: Iterable[Chore], written: Iterable[str] = (), tanks: Iterable[str] = ()
    ) -> None:
        self.by_id: dict[str, Chore] = {}
        self._tanks = tuple(tanks)
        # Names that stand in the file, also of chores that are at fault and were not made.
        self._written = frozenset(written)
        self._by_tank: dict[str | None, dict[str, str]] = {}
        ended: list[Chore] = []
        for chore in chores:
            self.by_id[chore.id] = chore
            if chore.ended_on is None:
                self._own(chore.tank).setdefault(chore.name, chore.id)
            else:
                ended.append(chore)
        for chore in ended:
            self._own(chore.tank).setdefault(chore.name, chore.id)

    def _own(self, tank: str | None) -> dict[str, str]:
        return self._by_tank.setdefault(tank, {})

    def find(self, word: str, tank: str | None) -> Chore | None:
        """Return the chore that `word` means beside a tank, or beside none."""
        if word in self.by_id:
            return self.by_id[word]
        found = self._by_tank.get(tank, {}).get(word)
        if found is None:
            found = self._by_tank.get(None, {}).get(word)
        return None if found is None else self.by_id[found]

    def only_one(self, word: str) -> Chore | None:
        """Return the chore of this name where just one tank has one, for rows without a tank."""
        named = self._named(word)
        return self.by_id[named[0]] if len(named) == 1 else None

    def _named(self, word: str) -> list[str]:
        """Return the chores of this name on the tanks of the file."""
        own = [self._by_tank.get(tank, {}) for tank in self._tanks]
        return [names[word] for names in own if word in names]

    def word_for(self, chore_id: str, tank: str | None) -> str:
        """Return what to write for a chore: its name where that is plain, else its id."""
        chore = self.by_id.get(chore_id)
        if chore is None:
            return chore_id
        found = self.find(chore.name, tank)
        return chore.name if found is not None and found.id == chore_id else chore_id

    def refuse(self, table: Table, key: str, word: str, tank: str | None) -> None:
        """Note that no chore has the name `word`; one that is at fault itself is told already."""
        known = [*self._by_tank.get(tank, {}), *self._by_tank.get(None, {})]
        if word in self._written and not any(word in own for own in self._by_tank.values()):
            return
        if tank is None and len(self._named(word)) > 1:
            table.fault(key, "chore_of_several_tanks", value=word)
            return
        near = nearest(word, known)
        table.fault(key, "unknown_reference", of="chore", value=word, nearest=near)
