"""Which limits of the water are passed because a filling was left out: a skip moves no water."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry, Skip
from tankkeeper.core.salinity_limit import is_high_when_full
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.core.water_turns import Limit


@dataclass(frozen=True, slots=True)
class LimitPassed:
    """A limit of a tank that is reached at a moment, before its next filling.

    By `surely` it is past for certain. `is_high` says that the salinity is high even in the
    full tank, `salinity` up to where it may rise.
    """

    tank: Tank
    limit: Limit
    by: datetime
    is_high: bool = False
    salinity: float | None = None
    surely: datetime | None = None


def limits_passed(state: HouseholdState, entries: Iterable[Entry]) -> list[LimitPassed]:
    """Return the limits that are passed before the turns that follow those left out.

    They are those for which putting the turn off to that day would be refused. `state` is the one
    with the entries.
    """
    left_out = {entry.fact.turn.chore for entry in entries if isinstance(entry.fact, Skip)}
    found: dict[str, LimitPassed] = {}
    for one in state.chores:
        chore, water = one.chore, state.water_of(one.chore)
        if chore.id not in left_out or water is None or not chore.is_done_by_filling:
            continue
        limit, waits = water.limit, water.limit.waits_until
        if limit.limit is None or limit.limit_at is None or waits is None:
            continue
        if one.upcoming is not None and one.upcoming.target <= waits:
            continue
        is_high = is_high_when_full(water.tank, water.learned)
        found[water.tank.id] = LimitPassed(
            water.tank,
            limit.limit,
            limit.limit_at,
            is_high,
            water.salinity_limit,
            limit.surely_at,
        )
    return list(found.values())
