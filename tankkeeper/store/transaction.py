"""One reading transaction on the household: what can be read in it."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection

from tankkeeper.core.history import History
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry
from tankkeeper.services.log_search import LogExtent, LogSearch, LogSlice, Place, ValuesTold
from tankkeeper.services.ports import LoggedEntry, LogQuery
from tankkeeper.store import logbook, queries
from tankkeeper.store.definitions import read_household
from tankkeeper.store.memory import Memory


class ReadingTransaction:
    """One consistent view of the household."""

    # What is read before a commit may yet be undone: only then is it not kept for others.
    _keeps = True

    def __init__(self, connection: Connection, memory: Memory) -> None:
        self._connection = connection
        self._memory = memory

    def household(self) -> Household:
        """Return all definitions."""
        state = self._state()
        known = self._memory.definitions(state)
        if known is None:
            known = read_household(self._connection)
            if self._keeps:
                self._memory.keep_definitions(state, known)
        return known

    def _state(self) -> tuple[str, int]:
        lineage, version = self._connection.exec_driver_sql(queries.SELECT_STATE).one()
        return lineage, version

    def definitions_version(self) -> int:
        """Return a number that changes whenever the definitions change."""
        return self._state()[1]

    def history(self) -> History:
        """Return the valid entries that still matter for what is due."""
        lineage, _version = self._state()
        water = logbook.read_water(self._connection, self._memory.water(lineage))
        if self._keeps:
            self._memory.keep_water(lineage, water)
        return logbook.read_history(self._connection, water)

    def history_of_chore(self, chore: str) -> Sequence[Entry]:
        """Return every valid entry that does, skips, puts off or shifts a turn of `chore`."""
        return logbook.read_chore(self._connection, chore)

    def entries(self, query: LogQuery) -> Sequence[LoggedEntry]:
        """Return entries, newest `seq` first."""
        return logbook.read_page(self._connection, query)

    def names_gone(self) -> Sequence[tuple[str, str]]:
        """Return id and name of the tanks and chores whose adding was taken back."""
        rows = self._connection.exec_driver_sql(queries.SELECT_NAMES_GONE)
        return [(one_id, name) for one_id, name in rows]

    def search(
        self,
        search: LogSearch,
        below: Place | None,
        most: int,
        reach: int,
        told: ValuesTold | None = None,
    ) -> LogSlice:
        """Return what is found below a place, newest first, looking no further than `reach`."""
        # Only the logbook's view searches, and a start is not to load it.
        from tankkeeper.store import log_search

        return log_search.read_slice(self._connection, search, below, most, reach, told)

    def extent(self) -> LogExtent:
        """Return how far the logbook reaches."""
        from tankkeeper.store import log_search

        return log_search.read_extent(self._connection)

    def entry(self, entry_id: str) -> LoggedEntry | None:
        """Return one entry, or None."""
        return logbook.logged_by_id(self._connection, entry_id)

    def entry_ids(self, beginning: str = "") -> Sequence[str]:
        """Return the ids of all entries that begin with these letters, sorted."""
        return logbook.entry_ids(self._connection, beginning)

    def newest_standing(self) -> Entry | None:
        """Return the newest entry that is not an undo and is not taken back, or None."""
        return logbook.newest_standing(self._connection)

    def newest_undo(self) -> Entry | None:
        """Return the newest undo that is not itself taken back, or None."""
        return logbook.newest_undo(self._connection)

    def holder_of(self, turn_id: str) -> Entry | None:
        """Return the valid entry that completes or skips the turn with this id, or None."""
        return logbook.holder_of(self._connection, turn_id)
