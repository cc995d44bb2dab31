"""Where the matters of the banner lead to in the round, one stop for each."""

from __future__ import annotations

from collections.abc import Iterable

from tankkeeper.core.values import dataclass
from tankkeeper.services.reminder_causes import Reminder
from tankkeeper.services.restarts import Restart


@dataclass(frozen=True, slots=True)
class Stop:
    """A line of the round; without one the first of the house, or no line where it is of a tank.

    What has no key either is the round as it stands.
    """

    key: str
    row: str | None = None
    tank: str | None = None

    @property
    def has_line(self) -> bool:
        """Whether there is a line to go to."""
        return self.row is not None or self.tank is None


THE_ROUND = Stop("")
NO_LINE = "No open line of the round is about it."


def stops_of(told: Iterable[Reminder], restarts: Iterable[Restart]) -> tuple[Stop, ...]:
    """Return a stop for each matter that stands in the banner, the restarts last."""
    stops = [Stop(one.key, one.row, one.tank.id if one.tank is not None else None) for one in told]
    # What switched it off is done: on its line a key that ticks would take it back.
    stops += [Stop(one.entry.id, None, one.tank.id) for one in restarts]
    return tuple(stops)


def words_of(stops: tuple[Stop, ...], at: int) -> str:
    """Return what is told on the way to a stop: which of several it is, and whether it has a line.

    Where no line of the round is about it the keys stay where they are: elsewhere they would do
    something else, or take back what is done.
    """
    count = f"{at + 1} of {len(stops)} in the reminder." if len(stops) > 1 else ""
    return f"{count} {'' if stops[at].has_line else NO_LINE}".strip()


def stop_after(stops: tuple[Stop, ...], key: str | None) -> int:
    """Return the place of the stop that follows the one with a key, the first where it is gone."""
    keys = [one.key for one in stops]
    return (keys.index(key) + 1) % len(keys) if key in keys else 0
