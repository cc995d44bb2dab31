"""What was told in a household that is open and still stands, unless it was closed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from tankkeeper.core.state import HouseholdState
from tankkeeper.services.reminder_causes import Cause, Reminder
from tankkeeper.services.reminder_habits import Habits
from tankkeeper.services.reminders import (
    LASTING,
    Told,
    closed_before,
    left_open,
    newest_first,
    standing,
    with_closed,
)
from tankkeeper.services.restarts import Restart


class StandingReminders:
    """Knows by their keys which reminders stand; `told` is all that was told, now or before."""

    def __init__(self) -> None:
        self.told: Told = {}
        self._keys: tuple[str, ...] = ()
        self._closed: Told = {}
        # When what stands was looked for the first time in this household on its day.
        self._begun: datetime | None = None

    def begin(self, told: Told) -> None:
        """Go on from what was told in this household before."""
        self.told = told
        self._closed = closed_before(told)

    def end(self) -> None:
        """Forget the household that is closed."""
        self._keys, self._closed, self._begun = (), {}, None

    def begin_day(self, now: datetime) -> None:
        """Begin as a new start does, with what harms first."""
        self._begun = now

    def add(self, tell: Iterable[Reminder]) -> None:
        """Take note of what is told now; which tanks wait to be switched on is told beside it."""
        self._keys = (*self._keys, *(one.key for one in tell if one.cause is not Cause.RESTART))

    def close(self, closed: Sequence[Reminder], now: datetime) -> None:
        """Let these stand no more."""
        self._closed = {**self._closed, **{one.key: now for one in closed}}
        self.told = with_closed(self.told, closed, now)

    def shown(
        self,
        state: HouseholdState,
        restarts: Sequence[Restart],
        habits: Habits,
        now: datetime,
    ) -> list[Reminder]:
        """Return what was told and still stands, and what harms animals until it is mended."""
        still = standing(state, restarts, habits, now, self.told)
        lasting = [key for key, one in still.items() if self._lasts(one)]
        # What a tick took away stands again when the tick is undone, so its key is kept.
        known = dict.fromkeys((*self._keys, *lasting))
        self._keys = tuple(key for key in known if key in still or key in self.told)
        found = [still[key] for key in self._keys if key in still]
        shown = left_open(found, self._closed, state.moment, now)
        return newest_first(shown, self.told, self._begun or now)

    def _lasts(self, one: Reminder) -> bool:
        """Tell whether something stands until it is mended or done, also after a new start."""
        return one.cause in LASTING or (one.cause is Cause.SLOT and one.key in self.told)
