"""What the logbook says about water lost: fills to the mark, and the use of a reservoir."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import NamedTuple

from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry, Fact, ReservoirCheck, TopOff, WaterChange
from tankkeeper.core.loss_filter import Fill
from tankkeeper.core.pauses import Span, last_freeze
from tankkeeper.core.values import dataclass


@dataclass(frozen=True, slots=True)
class FillLog:
    """The fills of one tank for the loss filter, and where the water stands since.

    `mark` is the last entry after which the level (or the reservoir) was known, None when there is
    none or when the tank stood still since; `was_frozen` tells the latter. `added` is what came in
    after it without reaching the mark and when, `part` the last top-off of it; `content_l` the
    litres in the reservoir at `mark`, None without one; `found_empty` a look after it that found
    none left, which does not tell since when the tank falls. `proposed` counts the newest fills
    that were kept as proposed, whole or `proposed_in_part`, `proposed_from` is when the mark before
    them was set.
    """

    fills: tuple[Fill, ...] = ()
    mark: Entry | None = None
    added: tuple[tuple[datetime, float], ...] = ()
    content_l: float | None = None
    was_frozen: bool = False
    found_empty: Entry | None = None
    part: Entry | None = None
    proposed: int = 0
    proposed_from: datetime | None = None
    proposed_in_part: bool = False

    @property
    def added_since_l(self) -> float:
        """The litres that came in after the mark."""
        return sum(litres for _, litres in self.added)


def fill_log(tank: Tank, entries: Iterable[Entry], freezes: Sequence[Span] = ()) -> FillLog:
    """Return the fills of a tank from its water entries, in order of time.

    During `freezes` a tank may be emptied or moved, so an interval that one of them falls into
    tells nothing about the loss, and the level after it is not known.
    """
    capacity = tank.top_off.reservoir_l
    if capacity is None:
        log = _by_level(entries, freezes)
    else:
        log = _by_reservoir(entries, capacity, freezes)
    if log.mark is not None and last_freeze(freezes, log.mark.day.toordinal()) is not None:
        return FillLog(log.fills, was_frozen=True)
    return log


def _stood_still(mark: Entry | None, entry: Entry, freezes: Sequence[Span]) -> bool:
    """Tell whether a freeze falls into the time from `mark` to `entry`."""
    if mark is None or not freezes:
        return False
    first, last = mark.day.toordinal(), entry.day.toordinal()
    return any(span.last >= first and span.first <= last for span in freezes)


class _Proposed(NamedTuple):
    """How many fills in a row nobody measured throughout, since which mark, and of what kind."""

    fills: int = 0
    since: datetime | None = None
    in_part: bool = False

    def after(self, mark: Entry | None, *, whole: bool, in_part: bool) -> _Proposed:
        """Return the same after one more fill, which counts from `mark`."""
        if not whole and not in_part:
            return _Proposed()
        since = self.since if self.fills else None if mark is None else mark.at
        return _Proposed(self.fills + 1, since, self.in_part or not whole)


def _by_level(entries: Iterable[Entry], freezes: Sequence[Span]) -> FillLog:
    fills: list[Fill] = []
    mark: Entry | None = None
    part: Entry | None = None
    added: list[tuple[datetime, float]] = []
    proposed, in_part = _Proposed(), False
    for entry in entries:
        fact = entry.fact
        if isinstance(fact, TopOff):
            # Litres that nobody wrote down close the interval like those nobody measured.
            litres = fact.litres or 0.0
            is_guess = fact.estimated or fact.litres is None
            is_guess = is_guess or (fact.to_mark and _stood_still(mark, entry, freezes))
            fills.append(Fill(entry.at, litres, is_guess, fact.to_mark))
            if fact.to_mark:
                proposed = proposed.after(mark, whole=fact.estimated, in_part=in_part)
                mark, added, part, in_part = entry, [], None, False
            else:
                part, in_part = entry, in_part or fact.estimated
                added.append((entry.at, litres))
        elif isinstance(fact, WaterChange) and None not in (fact.added_l, fact.litres):
            more = (fact.added_l or 0.0) - (fact.litres or 0.0)
            if more:
                fills.append(Fill(entry.at, more, fact.estimated, closes=False))
                added.append((entry.at, more))
                in_part = in_part or fact.estimated
    return FillLog(
        tuple(fills),
        mark,
        tuple(added),
        part=part,
        proposed=proposed.fills,
        proposed_from=proposed.since,
        proposed_in_part=proposed.in_part,
    )


def _by_reservoir(entries: Iterable[Entry], capacity: float, freezes: Sequence[Span]) -> FillLog:
    """Take the use between two looks at the reservoir as a fill of the tank.

    A fill that nobody measured leaves it full, and tells nothing about the use before it. Once the
    reservoir has run dry the tank falls, and more goes in than the reservoir holds; what is poured
    into the tank by hand counts as well.
    """
    fills: list[Fill] = []
    mark: Entry | None = None
    content: float | None = None
    found_empty: Entry | None = None
    part: Entry | None = None
    added: list[tuple[datetime, float]] = []
    proposed, in_part = _Proposed(), False
    for entry in entries:
        fact = entry.fact
        if isinstance(fact, TopOff):
            is_guess = fact.estimated or fact.litres is None
            fills.append(Fill(entry.at, fact.litres or 0.0, is_guess, closes=False))
            added.append((entry.at, fact.litres or 0.0))
            part = part if fact.to_mark else entry
            in_part = in_part or fact.estimated
        if not isinstance(fact, ReservoirCheck):
            continue
        if fact.left_l == 0.0 and content is not None and not _stood_still(mark, entry, freezes):
            found_empty = found_empty or entry
            continue
        before = fact.left_l
        if before is None and fact.fill_l is not None:
            before = capacity - fact.fill_l
        used = content - before if content is not None and before is not None else None
        is_measured = (
            used is not None
            and used + sum(litres for _, litres in added) > 0.0
            and not fact.estimated
        )
        is_measured = is_measured and not _stood_still(mark, entry, freezes)
        fills.append(Fill(entry.at, used if used and used > 0 else 0.0, not is_measured))
        is_proposed = fact.estimated and fact.left_l is None
        proposed = proposed.after(mark, whole=is_proposed, in_part=in_part)
        mark, content, added = entry, capacity if fact.left_l is None else fact.left_l, []
        found_empty = part = None
        in_part = False
    return FillLog(
        tuple(fills),
        mark,
        tuple(added),
        content,
        found_empty=found_empty,
        part=part,
        proposed=proposed.fills,
        proposed_from=proposed.since,
        proposed_in_part=proposed.in_part,
    )


def is_poured_part(fact: Fact | None, tank: Tank | None) -> bool:
    """Tell whether fresh water is a part that went into a reservoir, which is kept as a top-off."""
    has_reservoir = tank is not None and tank.has_automatic_top_off
    return has_reservoir and isinstance(fact, TopOff) and not fact.to_mark
