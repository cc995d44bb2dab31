"""What every command works with: the open household, who asks, and where results go."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Iterable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from tankkeeper.core.household import Person, Tank
from tankkeeper.core.state import HouseholdState
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.tables import clean
from tankkeeper.reports.words import Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.finding import find_person, find_tank

if TYPE_CHECKING:
    from tankkeeper.services.exchange import Imported
    from tankkeeper.services.tank_file import Document

SCRIPT_WIDTH = 120
NARROWEST_SCREEN = 40


class Houses(Protocol):
    """How households are opened and made; the wiring does it."""

    def open(self) -> AbstractContextManager[Desk]:
        """Open the household that was named, or the usual one."""

    def is_there(self) -> bool:
        """Tell whether the household that was named exists."""

    def new(self, where: Path, name: str | None, zone: str | None) -> AbstractContextManager[Desk]:
        """Make an empty household and open it."""

    def new_sample(
        self, where: Path, name: str | None, zone: str | None
    ) -> AbstractContextManager[Desk]:
        """Make the sample household and open it."""

    def new_from(self, text: str | Document) -> Imported:
        """Make the household that was named from the text of a tank file."""


@dataclass(slots=True)
class Session:
    """One command on one open household.

    `person` is the name that stands for everybody who is not named; `must_know_person` tells that
    it was typed, so that a name nobody has is refused.
    """

    desk: Desk
    person: str | None = None
    must_know_person: bool = False
    title: str = ""

    def by(self, named: str | None) -> str | None:
        """Return the id of who did it: the one named, else the usual person, else nobody."""
        wanted = self.person if named is None else named
        if wanted is None:
            return None
        with self.desk.store.reading() as reading:
            household = self.desk.household(reading)
        if named is None and not self.must_know_person:
            known = {word for one in household.people for word in (one.id, one.name.casefold())}
            known.discard("")
            if wanted.strip().casefold() not in known:
                # The setting holds for every household, and this one may not know the name.
                return None
        return find_person(household, wanted).id

    def person_named(self, state: HouseholdState, named: str | None) -> Person | None:
        """Return the person of this name, or None where nobody is named."""
        return None if named is None else find_person(state.household, named)

    def tank(self, named: str) -> Tank:
        """Return the tank of this name or id."""
        with self.desk.store.reading() as reading:
            return find_tank(self.desk.household(reading), named)

    def tank_or_none(self, named: str | None) -> Tank | None:
        """Return the tank of this name or id, or None where none is named."""
        return None if named is None else self.tank(named)


def words_of(state: HouseholdState) -> Words:
    """Return what wording needs of a state."""
    return Words(state.household, state.moment)


def say(text: str) -> None:
    """Print one line of a result, safe for a terminal."""
    print(clean(plain(text)))


def say_aside(text: str) -> None:
    """Tell something beside the result, on standard error."""
    print(clean(plain(text)), file=sys.stderr)


def say_lines(lines: Iterable[str]) -> None:
    """Print lines that are made for a terminal already."""
    for line in lines:
        print(line)


def say_document(document: dict[str, object]) -> None:
    """Print one JSON document, in UTF-8 whatever the terminal speaks."""
    text = f"{_document_text(document)}\n"
    buffer = getattr(sys.stdout, "buffer", None)
    if buffer is None:
        sys.stdout.write(text)
        return
    sys.stdout.flush()
    buffer.write(text.encode("utf-8"))
    buffer.flush()


def _document_text(document: dict[str, object]) -> str:
    """Return a JSON document with one item of a list on each line, to be read and compared.

    The indenting of the standard library takes several times as long.
    """
    parts = []
    for name, value in document.items():
        if isinstance(value, list) and value:
            items = ",\n".join(f"    {_json(item)}" for item in value)
            parts.append(f"  {_json(name)}: [\n{items}\n  ]")
        else:
            parts.append(f"  {_json(name)}: {_json(value)}")
    return "{\n" + ",\n".join(parts) + "\n}"


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def is_terminal() -> bool:
    """Tell whether somebody reads the result on a terminal."""
    return sys.stdout.isatty()


def screen_width() -> int | None:
    """Return the width of the terminal, None where there is none and nothing may be cut."""
    if not is_terminal():
        return None
    return max(NARROWEST_SCREEN, shutil.get_terminal_size().columns)
