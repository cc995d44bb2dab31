"""What the logbook tells of a change of what is set down: what was done, to which thing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType
from typing import Final

from tankkeeper.core.household import Stage
from tankkeeper.core.logbook import How, Redefined, Thing
from tankkeeper.reports.words import Words

_KIND: Final = MappingProxyType(
    {
        Thing.TANK: "tank",
        Thing.CHORE: "chore",
        Thing.PERSON: "person",
        Thing.ROOM: "room",
        Thing.CONTAINER: "container",
        Thing.SUPPLY: "supply",
    }
)
# There is one of each in a household.
_ONLY: Final = MappingProxyType(
    {
        Thing.WATER_SUPPLY: "the water supply",
        Thing.SALT_MIX: "the salt mix",
        Thing.HOUSEHOLD: "the settings of the household",
    }
)
_SAID: Final[Mapping[How, str]] = MappingProxyType(
    {
        How.ADDED: "Added {}",
        How.CHANGED: "Changed {}",
        How.COPIED: "Added {} as a copy",
        How.PAUSED: "Laid {} to rest",
        How.RESUMED: "Took {} up again",
        How.RETIRED: "Retired {}",
        How.BEGUN: "Started {}",
        How.REORDERED: "Changed the order of {}",
        How.ENDED: "Ended {}",
        How.REMOVED: "Took out {}",
        How.IMPORTED: "Imported {}",
        How.LOST: "Lost {}",
    }
)
# Of these an entry stands for one piece or for many of a kind; how many, it does not say.
_AMONG: Final = MappingProxyType({Thing.ANIMAL: "the animals", Thing.EQUIPMENT: "the equipment"})
_SAID_AMONG: Final[Mapping[How, str]] = MappingProxyType(
    {
        How.ADDED: "Added to {}",
        How.CHANGED: "Changed among {}",
        How.REMOVED: "Took out of {}",
        How.LOST: "Lost from {}",
    }
)
# By which words such entries are found besides those that they are told in.
_ALSO_FOUND_BY: Final = MappingProxyType({How.REMOVED: "taken out"})


def redefined_text(fact: Redefined, tank: str | None, words: Words) -> str:
    """Return what was done, such as "Added the tank Cove, a copy of Reef".

    `tank` is the id of the tank that the entry belongs to.
    """
    is_of_several = fact.thing is Thing.TANK and tank is None
    is_of_several |= fact.thing is Thing.CHORE and fact.chore is None
    return _text(fact, words.tank_name, is_of_several=is_of_several)


def told_beginnings(is_found: Callable[[str], bool], name: str = " ") -> tuple[str, ...]:
    """Return how, to what and to which stage, wherever the words that tell that are found.

    Of what has an empty `name` other words are told.
    """
    found: list[str] = []
    for text, begins in _beginnings(name):
        if is_found(text):
            found += begins
    return tuple(found)


@cache
def _beginnings(name: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return the words that tell a deed, each with the beginnings that stand for it."""
    told: list[tuple[str, tuple[str, ...]]] = []
    for how in How:
        for thing in Thing:
            text = _text(Redefined(how, thing, name), lambda _tank: None, is_of_several=False)
            told.append((f"{text} {_ALSO_FOUND_BY.get(how, '')}", (f"{how} {thing}",)))
    for stage in Stage:
        begins = tuple(f"{how} {Thing.TANK} {stage}" for how in How)
        told.append((_stage_text(stage, ""), begins))
    return tuple(told)


def _text(
    fact: Redefined, tank_name: Callable[[str | None], str | None], *, is_of_several: bool
) -> str:
    if fact.how is How.REORDERED:
        return "Changed the order of the walk"
    if fact.stage is not None and fact.how is not How.RETIRED:
        return _stage_text(fact.stage, fact.name)
    if fact.thing in _AMONG:
        said = _SAID_AMONG.get(fact.how, f"{_SAID[fact.how].format('some')} of {{}}")
        name = fact.name or "some without a name"
        return f"{said.format(_AMONG[fact.thing])}: {name}{_how_many(fact)}"
    text = _SAID[fact.how].format(_thing(fact, is_of_several=is_of_several))
    like = tank_name(fact.like) if fact.how is How.COPIED and fact.like else None
    return text if like is None else f"{text.removesuffix(' as a copy')}, a copy of {like}"


def _how_many(fact: Redefined) -> str:
    """Return how many animals came or were lost: " (3)", " (1 of 3)"."""
    if fact.count is None:
        return ""
    return f" ({fact.count})" if fact.out_of is None else f" ({fact.count} of {fact.out_of})"


def _stage_text(stage: Stage, name: str) -> str:
    return f"Set the stage of {name or 'a tank'} to {stage.value}"


def _thing(fact: Redefined, *, is_of_several: bool) -> str:
    """Return the thing with its name: "the tank Reef", "the chores Feed, Test", "a room"."""
    if fact.thing is Thing.HOUSEHOLD and fact.how is How.IMPORTED:
        return f"the household {fact.name}".rstrip()
    if fact.thing in _ONLY:
        return f"{_ONLY[fact.thing]} {fact.name}".rstrip()
    kind = _KIND[fact.thing]
    if not fact.name:
        return "a tank file" if fact.how is How.IMPORTED else f"a {kind} without a name"
    # Several are named in a row; one of them alone may have a comma in its name.
    plural = "s" if is_of_several and ", " in fact.name else ""
    return f"the {kind}{plural} {fact.name}"
