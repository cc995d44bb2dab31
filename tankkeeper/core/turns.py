"""What the fold of one chore gives: open turns, closed ones, the next one."""

from __future__ import annotations

from datetime import date, datetime
from enum import StrEnum

from tankkeeper.core.chores import Chore
from tankkeeper.core.logbook import Entry, Turn
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.pauses import Span
from tankkeeper.core.target_ranges import Side
from tankkeeper.core.values import dataclass


class State(StrEnum):
    """The state of a turn, in the words of the screen and of JSON."""

    OVERDUE = "overdue"
    DUE = "due"
    MAY_WAIT = "may wait"
    PROJECTED = "projected"
    DONE = "done"
    SKIPPED = "skipped"
    PAUSED = "paused"


@dataclass(frozen=True, slots=True)
class LeftRange:
    """A reading with which a parameter left its range, and the day on which its test comes for it.

    That is so many `days` after it, unless a pause moved it. `was_on` is the side on which it was
    read before, None for inside; `was_read` whether it was.
    """

    value: ReadingValue
    entry: Entry
    day: date
    days: int
    was_read: bool
    was_on: Side | None = None


@dataclass(frozen=True, slots=True)
class OpenTurn:
    """A turn that is open today, or the next one (`projected`).

    `missed` counts the turns that it closes beside itself; `closes_through` is the last day a
    calendar rule yields among them. `due_at` is set where an hour is meant; `brought_by` is the
    reading that harms and brought it closer, `left` one that left its range: it brought the turn
    closer, too, unless somebody put that off since.
    """

    turn: Turn
    earliest: date
    target: date
    latest: date
    state: State
    missed: int = 0
    due_at: datetime | None = None
    is_put_off: bool = False
    closes_through: date | None = None
    counted_from: date | None = None
    brought_by: Entry | None = None
    left: LeftRange | None = None

    def waits_past_target(self, today: date) -> bool:
        """Tell whether it can wait although its target is over."""
        return self.state is State.MAY_WAIT and self.target < today

    def days_overdue(self, today: date) -> int:
        """Return how many days past its latest day it is; 0 while it is not."""
        return max(0, (today - self.latest).days)


@dataclass(frozen=True, slots=True)
class ClosedTurn:
    """A turn done or skipped today."""

    turn: Turn
    state: State
    entry: Entry


@dataclass(frozen=True, slots=True)
class ChoreState:
    """Everything about one chore on one day.

    `chore` has the rhythm that holds on this day; `later` is the same chore by what
    replaces that on a day to come. `lapsed` are the turns of today that lapsed at a later hour.
    """

    chore: Chore
    open: tuple[OpenTurn, ...] = ()
    closed: tuple[ClosedTurn, ...] = ()
    upcoming: OpenTurn | None = None
    paused: Span | None = None
    last_done: Entry | None = None
    later: Chore | None = None
    lapsed: tuple[Turn, ...] = ()

    def is_over(self, day: date) -> bool:
        """Tell whether the chore has ended and nothing of it is left to do."""
        return self.chore.has_ended(day) and not self.open and self.upcoming is None


def next_turn(one: ChoreState, now: datetime) -> OpenTurn | None:
    """Return the next turn of a chore: a later hour of today, else the one to come.

    None where something of it is still to do by now, and while it rests.
    """
    if one.paused is not None:
        return None
    if not one.open:
        return one.upcoming
    hours = [turn.due_at for turn in one.open]
    later = [at for at in hours if at is not None and at > now]
    return one.open[hours.index(min(later))] if len(later) == len(hours) else None


def state_on(day: int, earliest: int, target: int, latest: int) -> State:
    """Return the state of an unresolved turn on `day` (all ordinals)."""
    if day > latest:
        return State.OVERDUE
    if day in (target, latest):
        return State.DUE
    return State.MAY_WAIT if day >= earliest else State.PROJECTED
