"""A test of what harms animals comes again the day after the reading, whatever its interval."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from tankkeeper.core.chores import AfterLastDone, Chore
from tankkeeper.core.counted_turns import counts_hours, is_skip_of
from tankkeeper.core.harmful import Harm
from tankkeeper.core.logbook import Entry
from tankkeeper.core.moment import Moment
from tankkeeper.core.turns import ChoreState, OpenTurn, State, state_on
from tankkeeper.core.water_turns import is_test

# Common practice, no source: what harms is measured again within a day, before and after what is
# done against it.
AGAIN_AFTER = timedelta(days=1)


def tested_again(
    one: ChoreState, harms: Sequence[Harm], entries: Sequence[Entry], moment: Moment
) -> ChoreState:
    """Return the state of a test with its next turn brought closer by a reading that harms.

    Only of one counted from the last time: a rule of the calendar keeps its days. Who put the turn
    off, or left one out since the reading, has decided. `harms` are those of its tank.
    """
    turn = one.open[0] if one.open else one.upcoming
    if turn is None or turn.is_put_off or one.paused is not None or not is_counted_test(one.chore):
        return one
    read = [each.entry for each in harms if each.value.parameter in one.chore.tests]
    newest = max(read, key=lambda entry: (entry.at, entry.seq), default=None)
    if newest is None or _was_left_out(one.chore, entries, newest):
        return one
    day = newest.day + AGAIN_AFTER
    if turn.target <= day or one.chore.has_ended(day):
        return one
    sooner = _on(turn, day, newest, moment)
    if sooner.state is State.PROJECTED:
        return replace(one, open=(), upcoming=sooner)
    return replace(one, open=(sooner,), upcoming=None)


def is_counted_test(chore: Chore) -> bool:
    """Tell whether a test is counted in days from the last time."""
    return is_test(chore) and isinstance(chore.rhythm, AfterLastDone) and not counts_hours(chore)


def _was_left_out(chore: Chore, entries: Sequence[Entry], read: Entry) -> bool:
    return any(
        is_skip_of(one, chore.id) and (one.at, one.seq) > (read.at, read.seq) for one in entries
    )


def _on(turn: OpenTurn, day: date, read: Entry, moment: Moment) -> OpenTurn:
    """Return the turn with this day alone; there is no window around what is urgent."""
    goal = day.toordinal()
    return replace(
        turn,
        earliest=day,
        target=day,
        latest=day,
        state=state_on(moment.day.toordinal(), goal, goal, goal),
        brought_by=read,
    )
