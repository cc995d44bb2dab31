"""What an import brought, as one sentence for the window and the command line."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from tankkeeper.reports.numbers import counted
from tankkeeper.services.exchange import Imported

# More names than these would not be read, and the line in the window holds no more.
NAMES_TOLD = 3


def imported_words(imported: Imported) -> str:
    """Return what is new, the tanks by name: "Added Cove with 3 chores and ..."."""
    chores = counted(len(imported.chores), "chore", "chores")
    entries = counted(imported.entries, "entry", "entries")
    names = names_in_a_row([tank.name for tank in imported.tanks])
    if imported.tanks and not imported.is_whole:
        told = f"Added {names} with {chores} and {entries} of the logbook."
        return f"{told} {_before(imported.backup)}" if imported.backup is not None else told
    tanks = counted(len(imported.tanks), "tank", "tanks")
    told = f"{tanks} ({names})" if names else tanks
    return f"Read the household: {told}, {chores}, {entries} of the logbook."


def _before(backup: Path) -> str:
    return f"What was there before is in the backup {backup.name}."


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
