"""Where a problem of a tank file stands, in words: the thing by its name, not by its number."""

from __future__ import annotations

import re
from types import MappingProxyType
from typing import Final

_ROW: Final = re.compile(r"(?P<list>\w+)\[(?P<number>\d+)\](?:\.(?P<rest>.*))?")
_THINGS: Final = MappingProxyType(
    {
        "people": "person",
        "rooms": "room",
        "containers": "container",
        "tanks": "tank",
        "equipment": "equipment",
        "animals": "animal",
        "supplies": "supply",
        "chores": "chore",
        "log": "entry",
    }
)


def place_words(place: str, named: str, value: str = "") -> str:
    """Return the place of a problem as a person calls it; `value` is what stands there.

    What is inside a thing keeps its key: by that it is found in the file.

    >>> place_words("tanks[1].name", "", "Nook"), place_words("chores[3].rhythm", "Feed")
    ('the tank Nook', 'the chore Feed, rhythm')
    >>> place_words("log[2].done", ""), place_words("household.zone", "")
    ('entry 2, done', 'household.zone')
    """
    row = _ROW.fullmatch(place)
    if row is None or row["list"] not in _THINGS:
        return f"{place} of {named}" if named else place
    thing, rest = _THINGS[row["list"]], row["rest"] or ""
    name = named or (value if rest == "name" else "")
    told = f"the {thing} {name}" if name else f"{thing} {row['number']}"
    # The name that is told is the place.
    return told if not rest or (name and rest == "name") else f"{told}, {rest}"
