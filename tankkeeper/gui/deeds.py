"""What a person did in this window, and what is told of it once it was kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.core.logbook import Entry
from tankkeeper.core.values import dataclass

if TYPE_CHECKING:
    from tankkeeper.services.settling import Apart

Refused = Callable[[TankkeeperError], None]
# How the logbook tells work without a verb of its own; behind another verb it is left out.
_DONE = "Done: "


@dataclass(frozen=True, slots=True)
class Answer:
    """What to say once something was kept, and whom to tell if it was refused or kept.

    `tell` makes the words from the entries, where they depend on what these came to; `undone` is
    said when it is undone, where "Took back:" before the words would be odd. `moved` tells what it
    moved, once it is done; undone it moves nothing that way, so it is said only the first time.
    `stands` is told each time that it is undone (False) or done again (True).
    """

    words: str
    refused: Refused
    kept: Callable[[], None] | None = None
    tell: Callable[[tuple[Entry, ...]], str] | None = None
    undone: str = ""
    moved: Callable[[], str] | None = None
    stands: Callable[[bool], None] | None = None


@dataclass(frozen=True, slots=True)
class Deed:
    """Something a person did in this window, with the entries that undo takes back.

    `undone` is what is said then, `words` what is said when it is done and done again. A change
    that stands `apart` from the household has no entries. `page` is what it was done on, and `key`
    the number of the key that did it at once, None where a form or a button did.
    """

    words: str
    entries: tuple[str, ...]
    undone: str = ""
    apart: Apart | None = None
    stands: Callable[[bool], None] | None = None
    page: object = None
    key: int | None = None

    @property
    def undone_words(self) -> str:
        """What is said when it is undone: "Undone: Ticked Feed (Reef)."."""
        return self.undone or f"Undone: {self.words.removeprefix(_DONE)}"

    @property
    def redone_words(self) -> str:
        """What is said when it is done once more: "Done again: Ticked Feed (Reef)."."""
        return f"Done again: {self.words.removeprefix(_DONE)}"


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What is told of a key that is taken back: where it had written nothing, and where it had."""

    nothing: str
    written: str
