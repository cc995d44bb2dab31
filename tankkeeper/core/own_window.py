"""Until when a turn that was put off could wait by its rhythm alone."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from tankkeeper.core.chores import Calendar, Chore, WhenWaterSays
from tankkeeper.core.logbook import PutOff, Shift
from tankkeeper.core.pauses import spans_for
from tankkeeper.core.schedule import turns_of
from tankkeeper.core.turns import OpenTurn

if TYPE_CHECKING:
    from tankkeeper.core.state import HouseholdState


def moved_from(state: HouseholdState, chore: Chore, turn: OpenTurn) -> date | None:
    """Return the own last day of a turn that was put off, None for any other."""
    return own_latest(state, chore, turn) if turn.is_put_off else None


def own_latest(state: HouseholdState, chore: Chore, turn: OpenTurn) -> date | None:
    """Return the last day of a turn as if it had never been put off, None where it says no window.

    The window moves with a turn; this one is told where a day is chosen, so that in steps it is no
    less far past it than at once.
    """
    if not chore.late_days and not isinstance(chore.rhythm, WhenWaterSays):
        return None
    if not turn.is_put_off:
        return turn.latest
    kept = [
        one
        for one in state.history.of_chore(chore.id)
        if not (isinstance(one.fact, (PutOff, Shift)) and one.fact.turn.key == turn.turn.key)
    ]
    pauses = spans_for(chore, state.spans)
    found = turns_of(chore, kept, pauses, state.moment, state.limit_of(chore))
    own = next((one for one in found if one.turn == turn.turn), None)
    if own is None and isinstance(chore.rhythm, Calendar):
        # By now it would wait together with another one, or have lapsed.
        return date.fromisoformat(turn.turn.key) + timedelta(days=chore.late_days)
    if own is None:
        return turn.latest
    if turn.left is None:
        return own.latest
    return min(own.latest, turn.left.day + timedelta(days=chore.late_days))
