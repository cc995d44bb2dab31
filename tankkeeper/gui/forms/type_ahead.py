"""To which of several entries what is typed on them leads."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from tankkeeper.reports.numbers import NBSP
from tankkeeper.reports.word_beginnings import begins_a_word

# What stands between two words of an entry: "America/New_York" has three.
_BETWEEN: Final = str.maketrans({NBSP: " ", "_": " ", "/": " ", "-": " "})
_TYPED: Final = str.maketrans({NBSP: " ", "_": " "})


def meant_by(typed: str, names: Sequence[str], current: int) -> int | None:
    """Return the number of the entry that is meant, None where none is.

    It begins so, else one of its words does. A single letter goes on from the current one to the
    next, where there is another; more of them stay where they fit.

    >>> zones = ["America/Belem", "Europe/Belgrade", "Europe/Berlin"]
    >>> [meant_by(typed, zones, 0) for typed in ("e", "europe/ber", "berl", "x")]
    [1, 2, 2, None]
    """
    wanted = typed.translate(_TYPED).casefold()
    for fits in (_begins, _has_word):
        found = [at for at in _from(current, len(names)) if fits(wanted, names[at])]
        if found and len(wanted) > 1:
            return current if current in found else min(found)
        if found:
            return found[0]
    return None


def _from(current: int, count: int) -> Iterator[int]:
    """Count on from what follows the current one, which comes last."""
    return ((current + step) % count for step in range(1, count + 1))


def _begins(wanted: str, name: str) -> bool:
    return name.translate(_TYPED).casefold().startswith(wanted)


def _has_word(wanted: str, name: str) -> bool:
    words = wanted.translate(_BETWEEN).strip()
    return bool(words) and begins_a_word(words, name.translate(_BETWEEN).casefold())
