"""Finding what a person names: a tank, a person, an item, a chore, a supply."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from typing import Protocol, TypeVar

from tankkeeper.core.chores import Chore
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household, Person, Supply, Tank
from tankkeeper.core.state import HouseholdState, Item, items_of, upcoming_item
from tankkeeper.core.turns import State


class Named(Protocol):
    """Anything with an id and a name."""

    @property
    def id(self) -> str:
        """The stable id."""

    @property
    def name(self) -> str:
        """The name people use."""


T = TypeVar("T", bound=Named)


def _find(code: str, wanted: str, among: Iterable[T]) -> T:
    everything = tuple(among)
    folded = wanted.strip().casefold()
    for one in everything:
        if one.id == wanted:
            return one
    for one in everything:
        if one.name and one.name.casefold() == folded:
            return one
    names = {one.name.casefold(): one.name for one in everything if one.name}
    near = difflib.get_close_matches(folded[:80], names, n=1, cutoff=0.5)
    raise UserFault(code, name=wanted, nearest=names[near[0]] if near else None)


def find_tank(household: Household, wanted: str) -> Tank:
    """Return the tank with this id or name."""
    return _find("no_such_tank", wanted, household.tanks)


def find_person(household: Household, wanted: str) -> Person:
    """Return the person with this id or name."""
    return _find("no_such_person", wanted, household.people)


def find_supply(household: Household, wanted: str) -> Supply:
    """Return the supply with this id or name."""
    return _find("no_such_supply", wanted, household.supplies)


def find_chore(household: Household, wanted: str) -> Chore | None:
    """Return the chore with this id, or None."""
    return next((chore for chore in household.chores if chore.id == wanted), None)


def items_of_chore(state: HouseholdState, chore_id: str) -> list[Item]:
    """Return the lines of one chore: open, closed today, and the next to come."""
    for one in state.chores:
        if one.chore.id == chore_id:
            coming = upcoming_item(state, one)
            return [*items_of(state, one), *([coming] if coming is not None else [])]
    return []


def find_item(state: HouseholdState, wanted: str) -> Item | None:
    """Return the line with this item id, or the line a chore's id stands for.

    A chore's id means its open turn that is due by now; else what was done today, so that saying
    it twice does nothing twice; else a turn later today, else the one to come. None for a turn
    that is none of these.
    """
    chore_id = wanted.split("@", 1)[0]
    chore = find_chore(state.household, chore_id)
    if chore is None:
        ids = [one.id for one in state.household.chores]
        near = difflib.get_close_matches(chore_id[:80], ids, n=1, cutoff=0.5)
        raise UserFault("no_such_item", item=wanted, nearest=near[0] if near else None)
    items = items_of_chore(state, chore_id)
    for item in items:
        if item.id == wanted and "@" in wanted:
            return item
    return None if "@" in wanted else _foremost(state, items)


def past_beside(state: HouseholdState, item: Item) -> Item:
    """Return the line to come where `item` is work done today beside the turns, else `item`.

    A turn that is open for a later hour of today is not meant by work beside it.
    """
    chore, entry = item.chore.id, item.entry
    if entry is None or not any(one.chore == chore and one.is_beside for one in entry.completes):
        return item
    lines = items_of_chore(state, chore)
    if any(one.is_open for one in lines):
        return item
    return next((one for one in lines if one.state is State.PROJECTED), item)


def _foremost(state: HouseholdState, items: list[Item]) -> Item | None:
    """Return the line that somebody means who names only the chore."""
    now = state.moment.now

    def rank(item: Item) -> int:
        due_at = item.open.due_at if item.open is not None else None
        is_later = due_at is not None and due_at > now
        if item.is_open:
            return 2 if is_later else 0
        return 1 if item.entry is not None else 3

    return min(items, key=rank, default=None)
