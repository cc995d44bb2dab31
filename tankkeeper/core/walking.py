"""The order in which a household is walked through: tank after tank, the most urgent first."""

from __future__ import annotations

from datetime import date
from typing import Final

from tankkeeper.core.household import Household, Tank
from tankkeeper.core.logbook import Turn
from tankkeeper.core.turns import OpenTurn, State

_RANK: Final = {State.OVERDUE: 0, State.DUE: 1, State.MAY_WAIT: 2, State.PAUSED: 3}


def in_walking_order(household: Household) -> list[Tank]:
    """Return the tanks in walking order; those without a place come last, as they were added."""
    last = len(household.tanks) + max((one.walk_order or 0 for one in household.tanks), default=0)
    return sorted(
        household.tanks, key=lambda one: last if one.walk_order is None else one.walk_order
    )


def urgency(turn: Turn, state: State, was: OpenTurn | None, today: date) -> tuple[int, bool, str]:
    """Return the place of a turn in its tank: by urgency before it was ticked, then by the hour.

    Of what may wait, that comes first whose own day went by.
    """
    before = was.state if was is not None else state
    waits = was is not None and before is State.MAY_WAIT and was.target > today
    slot = turn.slot.isoformat() if turn.slot is not None else ""
    return _RANK.get(before, 1), waits, slot
