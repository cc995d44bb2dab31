"""The desk: an open household with the clock and ids that every use case needs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import field, replace
from datetime import datetime, timedelta

from tankkeeper.core.errors import UserFault
from tankkeeper.core.fold_memory import Memory
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry
from tankkeeper.core.state import HouseholdState, fold_household
from tankkeeper.core.values import dataclass
from tankkeeper.services.ports import Clock, Ids, Reading, Store

FARTHEST_BEHIND = timedelta(hours=24)


@dataclass(frozen=True, slots=True)
class Change:
    """Something was written: the entries added, or None when the definitions changed."""

    entries: tuple[Entry, ...] | None


@dataclass(slots=True)
class Desk:
    """An open household; use cases take it as their first argument.

    On a trial what is set down is checked as ever, and nothing is written.
    """

    store: Store
    clock: Clock
    ids: Ids
    memory: Memory = field(default_factory=Memory)
    listeners: list[Callable[[Change], None]] = field(default_factory=list)
    is_trial: bool = False
    _kept: tuple[int, Household] | None = None

    def on_trial(self) -> Desk:
        """Return this desk, only to find out what would be refused."""
        return replace(self, is_trial=True)

    def household(self, reading: Reading) -> Household:
        """Return the definitions, read again only when they changed."""
        version = reading.definitions_version()
        if self._kept is None or self._kept[0] != version:
            self._kept = (version, reading.household())
        return self._kept[1]

    def state_in(self, reading: Reading, at: datetime | None = None) -> HouseholdState:
        """Return the state of the household as this transaction sees it, now or at a moment."""
        now = self.clock.now() if at is None else at
        return fold_household(self.household(reading), reading.history(), now, self.memory)

    def state(self) -> HouseholdState:
        """Return the state of the household now."""
        with self.store.reading() as reading:
            return self.state_in(reading)

    def tell(self, change: Change) -> None:
        """Tell everybody who listens that something was written."""
        for listener in tuple(self.listeners):
            listener(change)


def moment_given(state: HouseholdState, at: datetime | None) -> datetime:
    """Return the moment at which something was done: `at`, else now.

    A moment after now is refused; without one, a clock that stands more than a day behind the
    newest entry is not believed.
    """
    now = state.moment.now
    if at is not None:
        if at > now:
            raise UserFault("in_the_future", at=at, now=now)
        return at
    newest = state.history.newest_at
    if newest is not None and now < newest - FARTHEST_BEHIND:
        raise UserFault("clock_behind", now=now, newest=newest)
    return now
