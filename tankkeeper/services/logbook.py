"""Reading the logbook."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry
from tankkeeper.core.moment import Moment, moment_of
from tankkeeper.services.desk import Desk
from tankkeeper.services.ports import LoggedEntry, LogQuery

LAST_TIMES = 5


@dataclass(frozen=True, slots=True)
class LogbookView:
    """A page of the logbook, newest first."""

    household: Household
    moment: Moment
    entries: Sequence[LoggedEntry]


def logbook(desk: Desk, query: LogQuery) -> LogbookView:
    """Return the entries that a query asks for."""
    with desk.store.reading() as reading:
        household = desk.household(reading)
        entries = reading.entries(query)
    return LogbookView(household, moment_of(household, desk.clock.now()), entries)


def last_times(desk: Desk, chore: str, count: int = LAST_TIMES) -> tuple[Entry, ...]:
    """Return the last times a chore was done or skipped, newest first."""
    with desk.store.reading() as reading:
        rows = reading.entries(LogQuery(chore=chore, limit=count, only_valid=True))
    return tuple(row.entry for row in rows)
