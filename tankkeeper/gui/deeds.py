"""What a person did in this window, and what is told of it once it was kept."""

from __future__ import annotations

from collections.abc import Callable

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.core.logbook import Entry
from tankkeeper.core.values import dataclass

Refused = Callable[[TankkeeperError], None]


@dataclass(frozen=True, slots=True)
class Answer:
    """What to say once something was kept, and whom to tell if it was refused or kept.

    `tell` makes the words from the entries, where they depend on what these came to.
    """

    words: str
    refused: Refused
    kept: Callable[[], None] | None = None
    tell: Callable[[tuple[Entry, ...]], str] | None = None


@dataclass(frozen=True, slots=True)
class Deed:
    """Something a person did in this window, with the entries that undo takes back."""

    words: str
    entries: tuple[str, ...]
