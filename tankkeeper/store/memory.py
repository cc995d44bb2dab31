"""What a store keeps of earlier readings: entries never change, and definitions seldom."""

from __future__ import annotations

from collections.abc import Mapping

from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry

Known = Mapping[int, Entry]
NOTHING_KNOWN: Known = {}
State = tuple[str, int]


class Memory:
    """Definitions by the state they belong to, and water entries by the lineage of the log.

    Each is put in place as one tuple, because several threads read through one store.
    """

    def __init__(self) -> None:
        self._definitions: tuple[State, Household] | None = None
        self._water: tuple[str, Known] | None = None

    def definitions(self, state: State) -> Household | None:
        """Return the definitions of this state, or None when others or none are kept."""
        kept = self._definitions
        return kept[1] if kept is not None and kept[0] == state else None

    def keep_definitions(self, state: State, found: Household) -> None:
        """Keep the definitions of this state."""
        self._definitions = (state, found)

    def water(self, lineage: str) -> Known:
        """Return the water entries that are known of this log."""
        kept = self._water
        return kept[1] if kept is not None and kept[0] == lineage else NOTHING_KNOWN

    def keep_water(self, lineage: str, found: Known) -> None:
        """Keep the committed water entries of this log."""
        self._water = (lineage, found)
