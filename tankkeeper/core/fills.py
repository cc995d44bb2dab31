"""What the logbook says about water lost: fills to the mark, and the use of a reservoir."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry, ReservoirCheck, TopOff, WaterChange
from tankkeeper.core.loss_filter import Fill


@dataclass(frozen=True, slots=True)
class FillLog:
    """The fills of one tank for the loss filter, and where the water stands since.

    `mark` is the last entry after which the level (or the reservoir) was known; `added_since_l`
    what came in after it without reaching the mark; `content_l` the litres in the reservoir at
    `mark`, None without one.
    """

    fills: tuple[Fill, ...] = ()
    mark: Entry | None = None
    added_since_l: float = 0.0
    content_l: float | None = None


def fill_log(tank: Tank, entries: Iterable[Entry]) -> FillLog:
    """Return the fills of a tank from its water entries, in order of time."""
    capacity = tank.top_off.reservoir_l
    return _by_level(entries) if capacity is None else _by_reservoir(entries, capacity)


def _by_level(entries: Iterable[Entry]) -> FillLog:
    fills: list[Fill] = []
    mark: Entry | None = None
    added = 0.0
    for entry in entries:
        fact = entry.fact
        if isinstance(fact, TopOff):
            fills.append(Fill(entry.at, fact.litres, fact.estimated, fact.to_mark))
            if fact.to_mark:
                mark, added = entry, 0.0
            else:
                added += fact.litres
        elif isinstance(fact, WaterChange) and fact.added_l is not None:
            more = fact.added_l - fact.litres
            if more:
                fills.append(Fill(entry.at, more, fact.estimated, closes=False))
                added += more
    return FillLog(tuple(fills), mark, added)


def _by_reservoir(entries: Iterable[Entry], capacity: float) -> FillLog:
    """Take the use between two looks at the reservoir as a fill of the tank.

    A fill that nobody measured leaves it full, and tells nothing about the use before it.
    """
    fills: list[Fill] = []
    mark: Entry | None = None
    content: float | None = None
    for entry in entries:
        fact = entry.fact
        if not isinstance(fact, ReservoirCheck):
            continue
        before = fact.left_l
        if before is None and fact.fill_l is not None:
            before = capacity - fact.fill_l
        used = content - before if content is not None and before is not None else None
        is_measured = used is not None and used > 0.0 and not fact.estimated
        fills.append(Fill(entry.at, used if used and used > 0 else 0.0, not is_measured))
        mark, content = entry, capacity if fact.left_l is None else fact.left_l
    return FillLog(tuple(fills), mark, 0.0, content)
