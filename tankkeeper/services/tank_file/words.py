"""What a file calls the things of a household: their names, or ids where names are not plain."""

from __future__ import annotations

from collections.abc import Iterable

from tankkeeper.core.household import Household
from tankkeeper.services.tank_file.naming import ChoreNames, Names


class Words:
    """The names of one household by the ids that its parts keep."""

    def __init__(self, household: Household) -> None:
        self._people = _Titles("person", ((one.name, one.id) for one in household.people))
        self._rooms = _Titles("room", ((one.name, one.id) for one in household.rooms))
        self._tanks = _Titles("tank", ((one.name, one.id) for one in household.tanks))
        self._supplies = _Titles("supply", ((one.name, one.id) for one in household.supplies))
        self._chores = ChoreNames(household.chores)

    def person(self, one_id: str | None) -> str | None:
        """Return what a person is called."""
        return None if one_id is None else self._people.word(one_id)

    def room(self, one_id: str | None) -> str | None:
        """Return what a room is called."""
        return None if one_id is None else self._rooms.word(one_id)

    def tank(self, one_id: str | None) -> str | None:
        """Return what a tank is called."""
        return None if one_id is None else self._tanks.word(one_id)

    def supply(self, one_id: str) -> str:
        """Return what a supply is called."""
        return self._supplies.word(one_id)

    def chore(self, one_id: str, tank: str | None) -> str:
        """Return what a chore is called beside a tank, or beside none."""
        return self._chores.word_for(one_id, tank)

    def kind_of(self, one_id: str) -> str | None:
        """Return the kind of a chore."""
        chore = self._chores.by_id.get(one_id)
        return None if chore is None else chore.kind.value


class _Titles:
    """Names by id, for one kind of thing."""

    def __init__(self, kind: str, titles: Iterable[tuple[str, str]]) -> None:
        names = Names(kind)
        pairs = list(titles)
        for name, one_id in pairs:
            names.add(name, one_id)
        self._words = {one_id: names.word_for(name, one_id) for name, one_id in pairs}

    def word(self, one_id: str) -> str:
        return self._words.get(one_id, one_id)
