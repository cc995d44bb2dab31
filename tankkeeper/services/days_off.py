"""The last days off, looked for in the logbook: what was written since does not end them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime, timedelta
from itertools import pairwise

from tankkeeper.core.history import History, chores_of
from tankkeeper.core.logbook import Entry, Revoke
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.services.away import AWAY_AFTER, piled_up
from tankkeeper.services.desk import Desk
from tankkeeper.services.lapsed import Lapsed, lapsed
from tankkeeper.services.ports import LoggedEntry, LogQuery, Reading

# Engineering judgement, no source: longer ago nobody remembers the day on which it was done.
LOOKED_BACK = timedelta(days=14)
_AT_ONCE, _MOST = 500, 4


@dataclass(frozen=True, slots=True)
class DaysOff:
    """Days off that are over, and of which turns still stand unwritten.

    `lost` is what lapsed in them and since, up to `on`, the day of the look; `is_fresh` that they
    ended on that very day, and that nothing that stands was written since.
    """

    since: datetime
    lost: tuple[Lapsed, ...]
    on: date
    is_fresh: bool


def last_days_off(desk: Desk, state: HouseholdState) -> DaysOff | None:
    """Return the last days off that ended of late; None where nothing of them stands unwritten.

    Somebody was there whenever a row was written, be it one that was taken back or takes back.
    """
    moment = state.moment
    with desk.store.reading() as reading:
        rows = _newest_rows(reading, moment.now - LOOKED_BACK)
    ends = _last_gap([row.entry.written_at for row in rows if row.entry.at <= moment.now])
    if ends is None or moment.now - ends[1] > LOOKED_BACK:
        return None
    since, back = ends
    valid = [row.entry for row in rows if not row.revoked]
    lost = lapsed(replace(state, history=_with(state.history, valid)), since)
    if not lost and not piled_up(state, since):
        return None
    # Whoever worked since then is there, and was told of the days off before.
    is_there = any(one.written_at >= back and not isinstance(one.fact, Revoke) for one in valid)
    is_fresh = not is_there and moment.day_of(back) == moment.day
    return DaysOff(since, lost, moment.day, is_fresh)


def _newest_rows(reading: Reading, first: datetime) -> list[LoggedEntry]:
    """Return the newest rows, newest first, at least down to one that was written before `first`.

    Of very many no more than were written last.
    """
    rows: list[LoggedEntry] = []
    for _ in range(_MOST):
        below = rows[-1].entry.seq if rows else None
        found = reading.entries(LogQuery(before_seq=below, limit=_AT_ONCE))
        rows += found
        if len(found) < _AT_ONCE or found[-1].entry.written_at < first:
            break
    return rows


def _last_gap(written: Iterable[datetime]) -> tuple[datetime, datetime] | None:
    """Return between which two moments nobody wrote for so long that somebody was away."""
    pairs = list(pairwise(sorted(written)))
    return next((pair for pair in reversed(pairs) if pair[1] - pair[0] > AWAY_AFTER), None)


def _with(history: History, entries: Iterable[Entry]) -> History:
    """Return a history that has these entries of its chores, too."""
    by_chore = {chore: {one.seq: one for one in log} for chore, log in history.by_chore.items()}
    for entry in entries:
        for chore in chores_of(entry):
            by_chore.setdefault(chore, {})[entry.seq] = entry
    merged = {chore: tuple(log[seq] for seq in sorted(log)) for chore, log in by_chore.items()}
    return replace(history, by_chore=merged)
