"""Names of files as a sentence has room for them."""

from __future__ import annotations

from typing import Final

LONGEST: Final = 36
# What no system takes in the name of a file.
_NOT_IN_NAMES: Final = frozenset('<>:"/\\|?*')


def proposed_name(name: str, ending: str) -> str:
    """Return how a file may be called after what it holds.

    >>> proposed_name("Mill Lane 7", "toml")
    'Mill Lane 7.toml'
    >>> proposed_name(" a/b: c. ", "toml")
    'a-b- c.toml'
    >>> proposed_name("", "toml")
    'household.toml'
    """
    safe = "".join("-" if one in _NOT_IN_NAMES or not one.isprintable() else one for one in name)
    # A point in front hides a file, one at the end is lost.
    return f"{safe.strip(' .')[:80] or 'household'}.{ending}"


def told_apart(name: str, longest: int = LONGEST) -> str:
    """Return the name of a file, what is too long cut out of its middle.

    Both ends stay: by its head it is known whose it is, by its end which of them.

    >>> told_apart("harbour.tankkeeper")
    'harbour.tankkeeper'
    >>> told_apart("harbour-before-restore-20260312T060400000000Z-1a2b3c4d.tankkeeper")
    'harbour-before-res…0000000Z-1a2b3c4d'
    """
    if len(name) <= longest:
        return name
    stem = name.rpartition(".")[0] or name
    if len(stem) <= longest:
        return stem
    head = longest // 2
    return f"{stem[:head]}…{stem[len(stem) - (longest - head - 1) :]}"
