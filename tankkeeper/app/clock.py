"""The clock of the machine, a clock that stands still, and ids that sort by time."""

from __future__ import annotations

import secrets
import threading
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from uuid import UUID

_COUNTER_BITS = 12
_RANDOM_BITS = 62
_COUNTER_END = 1 << _COUNTER_BITS
_MILLISECONDS_END = 1 << 48
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class SystemClock:
    """The time of this machine."""

    def now(self) -> datetime:
        """Return the present moment, aware, in UTC."""
        return datetime.now(UTC)


class FixedClock:
    """A clock that stands still until it is told to move."""

    def __init__(self, at: datetime) -> None:
        if at.utcoffset() is None:
            raise ValueError("a moment needs its offset from UTC")
        self._at = at.astimezone(UTC)

    def now(self) -> datetime:
        """Return the moment the clock stands at."""
        return self._at

    def forward(self, by: timedelta) -> datetime:
        """Move the clock, backwards by a negative step, and return the new moment."""
        self._at += by
        return self._at


class Ids:
    """Ids whose text sorts by time: UUID version 7 (RFC 9562, 2024, section 5.7).

    Within one millisecond a 12-bit counter keeps the order (section 6.2, method 1); 62 random
    bits keep the ids of several processes apart.
    """

    def __init__(self, random_bits: Callable[[int], int] = secrets.randbits) -> None:
        self._random_bits = random_bits
        self._lock = threading.Lock()
        self._asked = -1
        self._last: tuple[int, int] = (-1, 0)

    def new(self, at: datetime) -> str:
        """Return an id that nobody has used, later in the alphabet than ids of earlier moments.

        >>> from datetime import UTC, datetime
        >>> Ids(lambda bits: 0).new(datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC))
        '017f22e2-79b0-7000-8000-000000000000'
        """
        milliseconds = (at - _EPOCH) // timedelta(milliseconds=1)
        if not 0 <= milliseconds < _MILLISECONDS_END:
            raise ValueError("an id needs a moment after 1970")
        with self._lock:
            milliseconds, counter = self._last = self._next(milliseconds)
        high = (milliseconds << 16) | (0x7 << 12) | counter
        return str(UUID(int=(high << 64) | (0b10 << 62) | self._random_bits(_RANDOM_BITS)))

    def _next(self, asked: int) -> tuple[int, int]:
        if asked != self._asked:
            self._asked = asked
            # Half of the counter stays free for ids of the same millisecond.
            return asked, self._random_bits(_COUNTER_BITS - 1)
        milliseconds, counter = self._last
        if counter + 1 < _COUNTER_END:
            return milliseconds, counter + 1
        return milliseconds + 1, 0
