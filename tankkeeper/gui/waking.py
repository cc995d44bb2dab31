"""The window stays right by itself: it looks again when the hour, or the clock, has moved."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from threading import Lock
from typing import Protocol

from PySide6.QtCore import QObject

from tankkeeper.core.moment import Moment
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session

# Wall clocks are corrected by fractions of a second all the time; more is a jump.
JUMP_S = 2.0


class Alarm(Protocol):
    """What rings at a moment that was set; it may call from another thread."""

    def wake_at(self, at: datetime) -> None:
        """Ring at this moment, instead of at the one set before."""

    def stop(self) -> None:
        """Ring no more."""


# Makes an alarm out of what to call when it rings, and what to call at every beat.
MakeAlarm = Callable[[Callable[[], None], Callable[[], None]], Alarm]


class Waking(QObject):
    """Has the session look when something changes by itself; the dates stay the session's.

    The moment of the next change is set on the alarm after every reading. A beat compares the wall
    clock with the monotonic one: a sleep, a clock that was set, or a new day have the household
    read anew and the alarm set again, because the alarm may have slept as well.

    `tell` has something done in the window's thread; the alarm calls from its own.
    """

    def __init__(
        self,
        session: Session,
        monotonic: Callable[[], float],
        tell: Callable[[Callable[[], None]], None],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._wall = session.desk.clock.now
        self._monotonic = monotonic
        self._tell = tell
        self._alarm: Alarm | None = None
        self._is_stopped = False
        self._lock = Lock()
        self._set_for: datetime | None = None
        self._seen = (self._wall(), self._monotonic())
        session.shown.connect(self._on_shown)

    def make(self, make_alarm: MakeAlarm) -> None:
        """Make the alarm, in whatever thread it may take its time; it is then set by `begin`."""
        alarm = make_alarm(self.ring, self.beat)
        with self._lock:
            self._alarm = None if self._is_stopped else alarm
        if self._is_stopped:
            alarm.stop()

    def ring(self) -> None:
        """Let the session look, as soon as the window gets to it."""
        self._tell(self._on_ring)

    def beat(self) -> None:
        """Let both clocks be compared, as soon as the window gets to it."""
        self._tell(self._on_beat)

    def begin(self) -> None:
        """Be woken from now on, first when what is shown changes next."""
        self._seen = (self._wall(), self._monotonic())
        if self._session.last is not None:
            self._set(self._session.last.changes_at)

    def stop(self) -> None:
        """Be woken no more; an alarm that is still being made is stopped once it is."""
        with self._lock:
            self._is_stopped = True
            alarm, self._alarm = self._alarm, None
        if alarm is not None:
            alarm.stop()
        self._session.shown.disconnect(self._on_shown)

    def _on_shown(self, shown: Shown) -> None:
        if shown.changes_at != self._set_for:
            self._set(shown.changes_at)

    def _set(self, at: datetime) -> None:
        if self._alarm is not None:
            self._alarm.wake_at(at)
            self._set_for = at

    def _on_ring(self) -> None:
        if not self._is_stopped:
            self._session.look()

    def _on_beat(self) -> None:
        if self._is_stopped:
            return
        before, was = self._seen
        now, is_at = self._wall(), self._monotonic()
        self._seen = (now, is_at)
        jumped_s = (now - before).total_seconds() - (is_at - was)
        if abs(jumped_s) > JUMP_S or self._is_other_day(now):
            # The wait of the alarm was reckoned by the clock as it was.
            self._set_for = None
            self._session.refresh()
        else:
            self._session.look()

    def _is_other_day(self, now: datetime) -> bool:
        last = self._session.last
        if last is None:
            return False
        moment: Moment = last.state.moment
        return moment.day_of(now) != moment.day
