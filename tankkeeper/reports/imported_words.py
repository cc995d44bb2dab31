"""What an import brought, as one sentence for the window and the command line."""

from __future__ import annotations

from collections.abc import Sequence

from tankkeeper.reports.numbers import counted, listed
from tankkeeper.services.exchange import Imported

# More names than these would not be read, and the line in the window holds no more.
NAMES_TOLD = 3
# The name of a file may be as long as a line.
LONGEST_FILE = 24


def imported_words(imported: Imported) -> str:
    """Return what is new, the tanks by name: "Added Cove with 3 chores and ..."."""
    if imported.tanks and not imported.is_whole:
        told = f"Added {_what_came(imported)}."
        backup = imported.backup
        if backup is None:
            return told
        return f"{told} What was there before is in the backup {backup.name}."
    return f"Read the household: {_what_came(imported)}."


def imported_line(file: str, imported: Imported) -> str:
    """Return the same for one line of the window: short, what has the longest name at its end."""
    told = f"Imported {short_file(file)}: {_what_came(imported)}."
    return told if imported.backup is None else f"{told} Backup before it: {imported.backup.name}"


def short_file(name: str) -> str:
    """Return the name of a file, or the beginning of a long one.

    >>> short_file("cove.toml"), short_file("the-tanks-of-the-laundry-room.toml")
    ('cove.toml', 'the-tanks-of-the-laund…')
    """
    return name if len(name) <= LONGEST_FILE else f"{name[: LONGEST_FILE - 2]}\u2026"


def _what_came(imported: Imported) -> str:
    """Return what came, without what there is none of."""
    names = names_in_a_row([tank.name for tank in imported.tanks])
    more = [
        counted(number, one, several)
        for number, one, several in (
            (len(imported.chores), "chore", "chores"),
            (imported.entries, "entry of the logbook", "entries of the logbook"),
        )
        if number
    ]
    if imported.tanks and not imported.is_whole:
        return f"{names} with {listed(more)}" if more else names
    if imported.tanks:
        more.insert(0, f"{counted(len(imported.tanks), 'tank', 'tanks')} ({names})")
    return listed(more) or "nothing is in it yet"


def names_in_a_row(names: Sequence[str]) -> str:
    """Return names as a sentence has them, the first few of many.

    >>> names_in_a_row(["Cove", "Lagoon"]), names_in_a_row(["A", "B", "C", "D", "E"])
    ('Cove and Lagoon', 'A, B, C and 2 more')
    """
    told = list(names[:NAMES_TOLD])
    if len(names) > NAMES_TOLD:
        told.append(f"{len(names) - NAMES_TOLD} more")
    if len(told) < 2:
        return "".join(told)
    return f"{', '.join(told[:-1])} and {told[-1]}"
