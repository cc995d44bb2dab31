"""Names cut so far that each is still told from the others that it stands among."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Final, NamedTuple

# A choice: of fewer letters nobody knows a name again.
_LEAST: Final = 2
_FEW: Final = 4


class Telling(NamedTuple):
    """What of a name tells it from the others: so many letters of its beginning, and its end."""

    letters: int = _LEAST
    end: str = ""


def telling_of(names: Iterable[str]) -> dict[str, Telling]:
    """Return what tells each name from the others.

    >>> telling_of(["Reef left", "Reef right"])["Reef left"].end
    'left'
    """
    known = dict.fromkeys(names)
    return {name: _telling(name, [one for one in known if one != name]) for name in known}


def cut_name(name: str, telling: Telling, wide: Callable[[str], float], room: float) -> str:
    """Return as much of a name as fits and tells it from the others, empty where nothing does."""
    if wide(name) <= room:
        return name
    return next((form for form in _forms(name, telling) if wide(form) <= room), "")


def _telling(name: str, others: list[str]) -> Telling:
    shared = max((_shared(name, one) for one in others), default=0)
    if shared < _FEW:
        return Telling(max(shared + 1, _LEAST))
    # What differs so late is told by the words from there on, behind the first letters.
    differs = shared + len(name[shared:]) - len(name[shared:].lstrip())
    at = max(place for place in range(len(name)) if place <= differs and _begins(name, place))
    if not at:
        return Telling(shared + 1)
    end = name[at:]
    alike = [one for one in others if one.endswith(end) and _begins(one, len(one) - len(end))]
    return Telling(1 + max((_shared(name, one) for one in alike), default=0), end)


def _begins(name: str, at: int) -> bool:
    """Tell whether a word or a number begins at a place of a name."""
    if at == 0 or name[at - 1].isspace():
        return not name[at].isspace()
    return name[at].isdigit() and not name[at - 1].isdigit()


def _shared(one: str, other: str) -> int:
    """Return how many letters two names begin with alike."""
    pairs = zip(one.casefold(), other.casefold(), strict=False)
    return next((at for at, (a, b) in enumerate(pairs) if a != b), min(len(one), len(other)))


def _forms(name: str, telling: Telling) -> Iterator[str]:
    head = name[: len(name) - len(telling.end)].rstrip()
    behind = f" {telling.end}" if telling.end else ""
    # The dot takes about the room of one letter: to leave out but one makes it only hard to read.
    for number in range(len(head) - 2, telling.letters - 1, -1):
        kept = head[:number].rstrip(" .,-")
        if len(kept) >= telling.letters:
            yield f"{kept}.{behind}"
