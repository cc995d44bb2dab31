"""Where the matters of the banner lead to in the round, one stop for each."""

from __future__ import annotations

from collections.abc import Iterable

from tankkeeper.core.values import dataclass
from tankkeeper.services.reminders import Reminder
from tankkeeper.services.restarts import Restart


@dataclass(frozen=True, slots=True)
class Stop:
    """A line of the round; without one the first of its tank, or of the house where it has none.

    What has no key either is the round as it stands.
    """

    key: str
    row: str | None = None
    tank: str | None = None


THE_ROUND = Stop("")


def stops_of(told: Iterable[Reminder], restarts: Iterable[Restart]) -> tuple[Stop, ...]:
    """Return a stop for each matter that stands in the banner, the restarts last."""
    stops = [Stop(one.key, one.row, one.tank.id if one.tank is not None else None) for one in told]
    for one in restarts:
        row = one.entry.completes[0].id if one.entry.completes else None
        stops.append(Stop(one.entry.id, row, one.tank.id))
    return tuple(stops)


def stop_after(stops: tuple[Stop, ...], key: str | None) -> int:
    """Return the place of the stop that follows the one with a key, the first where it is gone."""
    keys = [one.key for one in stops]
    return (keys.index(key) + 1) % len(keys) if key in keys else 0
