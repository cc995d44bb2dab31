"""Backups beside the open window, by the clock on the wall: also after a sleep or days of use."""

from __future__ import annotations

from datetime import datetime, timedelta

from tankkeeper.gui.session import Session

EVERY = timedelta(minutes=30)
# A choice of this project: in the first minutes the worker is there for the keys.
SETTLED = timedelta(minutes=2)


class BackingUp:
    """Asks for a backup where the last one, or the last try, is older than its period.

    A timer would stand still while the machine sleeps. Where nothing changed none is written.
    """

    def __init__(self, session: Session) -> None:
        self._session = session
        self._begun: datetime | None = None
        self._tried: datetime | None = None

    def begin(self) -> None:
        """Count from now on where there is no backup yet."""
        self._begun, self._tried = self._session.desk.clock.now(), None

    def look(self) -> None:
        """Back up what is new, if that is due by now."""
        session, begun = self._session, self._begun
        last = session.last
        if last is None or begun is None or last.is_read_only or not session.backs_up:
            return
        now = session.desk.clock.now()
        if not _is_past(begun, SETTLED, now):
            return
        made = self._tried or last.last_backup_at or begun
        if _is_past(made, EVERY, now):
            self._tried = now
            session.back_up()


def _is_past(since: datetime, wait: timedelta, now: datetime) -> bool:
    """Tell whether a wait is over; of a clock that was set back nobody knows, so it is."""
    return now < since or now - since >= wait
