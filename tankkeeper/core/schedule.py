"""The fold of one chore: what is open, closed today, or next, from its entries and the day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from tankkeeper.core.calendar_turns import calendar_turns, is_ready, lapsed_today
from tankkeeper.core.chore_ends import ends_with_its_turns
from tankkeeper.core.chores import Calendar, Chore, WhenWaterSays
from tankkeeper.core.counted_turns import counted_turn
from tankkeeper.core.logbook import Entry, Skip, Turn
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import Span, pause_on, window_begins
from tankkeeper.core.rhythm_ahead import parted
from tankkeeper.core.turns import ChoreState, ClosedTurn, OpenTurn, State
from tankkeeper.core.water_turns import LimitForecast, water_turn

NOTHING_KNOWN = LimitForecast(base=None)
EXTRA = "extra:"
_DAY = timedelta(days=1)


def fold_chore(
    chore: Chore,
    entries: Sequence[Entry],
    pauses: Sequence[Span],
    moment: Moment,
    forecast: LimitForecast = NOTHING_KNOWN,
) -> ChoreState:
    """Return the state of `chore` on the day of `moment`.

    `entries` are the valid entries that concern it, in order of `seq`; `pauses` the spans of its
    own, its tank's and the household's pauses; `forecast` what the water says, where it decides.
    """
    now, later = parted(chore, moment.day)
    turns = turns_of(now, entries, pauses, moment, forecast)
    while later is not None and not turns and now.ended_on != chore.ended_on:
        # Nothing comes any more before its next rhythm begins.
        assert now.ended_on is not None
        coming = parted(later, now.ended_on + _DAY)
        if isinstance(coming.now.rhythm, WhenWaterSays):
            break
        now, later = coming
        turns = turns_of(now, entries, pauses, moment)
    paused = pause_on(moment.day.toordinal(), pauses) if pauses else None
    closed = closed_today(chore, entries, moment, forecast)
    last_done = _last_done(chore, entries)
    ready = tuple(turn for turn in turns if is_ready(turn))
    upcoming = min(
        (turn for turn in turns if not is_ready(turn)),
        key=lambda turn: (turn.target, turn.turn.slot or moment.day_begins),
        default=None,
    )
    is_calendar = isinstance(now.rhythm, Calendar) and paused is None
    lapsed = lapsed_today(now, entries, pauses, moment) if is_calendar else ()
    return ChoreState(now, ready, closed, upcoming, paused, last_done, later, lapsed)


def turns_of(
    chore: Chore,
    entries: Sequence[Entry],
    pauses: Sequence[Span],
    moment: Moment,
    forecast: LimitForecast = NOTHING_KNOWN,
) -> list[OpenTurn]:
    """Return the open turns and the next ones, whatever the rhythm.

    None once a chore has ended, but what stays open of one that ends with its turns.
    """
    turns = _turns_by(chore, entries, pauses, moment, forecast)
    if not pauses:
        return turns
    return [replace(one, earliest=window_begins(one.earliest, one.target, pauses)) for one in turns]


def _turns_by(
    chore: Chore,
    entries: Sequence[Entry],
    pauses: Sequence[Span],
    moment: Moment,
    forecast: LimitForecast,
) -> list[OpenTurn]:
    """Return the turns by the chore's rhythm, with the whole window at the day of each."""
    if chore.has_ended(moment.day) and not ends_with_its_turns(chore):
        return []
    if isinstance(chore.rhythm, Calendar):
        return list(calendar_turns(chore, entries, pauses, moment))
    if isinstance(chore.rhythm, WhenWaterSays):
        turn = water_turn(chore, entries, pauses, moment, forecast)
    else:
        turn = counted_turn(chore, entries, pauses, moment)
    return [] if turn is None else [turn]


def closed_today(
    chore: Chore, entries: Sequence[Entry], moment: Moment, forecast: LimitForecast
) -> tuple[ClosedTurn, ...]:
    """Return what was done or skipped of this chore today, oldest first."""
    closed: list[ClosedTurn] = []
    for entry in reversed(entries):
        if entry.day != moment.day:
            continue
        for turn in entry.completes:
            if turn.chore == chore.id:
                shown = turn if not turn.is_extra else Turn(chore.id, EXTRA + entry.id, turn.slot)
                closed.append(ClosedTurn(shown, State.DONE, entry))
        if isinstance(entry.fact, Skip) and entry.fact.turn.chore == chore.id:
            closed.append(ClosedTurn(entry.fact.turn, State.SKIPPED, entry))
    filled = forecast.base
    if chore.has_ended(moment.day):
        # Another chore does that by now.
        filled = None
    if filled is not None and filled.day == moment.day and not forecast.can_repeat_on_base:
        known = {one.entry.id for one in closed}
        if filled.id not in known:
            turn = Turn(chore.id, EXTRA + filled.id)
            closed.append(ClosedTurn(turn, State.DONE, filled))
    closed.reverse()
    return tuple(closed)


def _last_done(chore: Chore, entries: Sequence[Entry]) -> Entry | None:
    done = [entry for entry in entries if entry.completes_chore(chore.id)]
    return max(done, key=lambda entry: (entry.day, entry.at, entry.seq), default=None)
