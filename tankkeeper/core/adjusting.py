"""A proposed chore as somebody wants it, before it is kept: its rhythm, window and minutes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time
from itertools import pairwise

from tankkeeper.core.catalogue import Proposal
from tankkeeper.core.chores import (
    LONGEST_WINDOW_DAYS,
    AfterLastDone,
    Calendar,
    IfMissed,
    Rhythm,
)
from tankkeeper.core.errors import out_of_range
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.recurrence import compile_rule
from tankkeeper.core.rule_text import WEEKDAYS
from tankkeeper.core.values import dataclass


@dataclass(frozen=True, slots=True)
class Adjustment:
    """How somebody wants a proposed chore: every so many days after it was last done, or weeks.

    With `weekdays` (Monday is 0) it comes on these, every so many weeks, at `slots` if there are
    any. `every` is None where the water decides.
    """

    every: int | None
    weekdays: tuple[int, ...] = ()
    slots: tuple[time, ...] = ()
    early_days: int = 0
    late_days: int = 0
    minutes: int | None = None


def most_early_days(wanted: Adjustment) -> int:
    """Return how many days early a turn may be done, so that it is not taken for the one before."""
    if wanted.every is None:
        return LONGEST_WINDOW_DAYS
    if not wanted.weekdays:
        return max(0, wanted.every - 1)
    days = sorted(set(wanted.weekdays))
    around = [*days, days[0] + len(WEEKDAYS) * max(1, wanted.every)]
    return min(after - before for before, after in pairwise(around)) - 1


def adjustment_of(proposal: Proposal) -> Adjustment:
    """Return how a proposed chore comes as it stands."""
    chore, rhythm = proposal.chore, proposal.chore.rhythm
    rest = (chore.early_days, chore.late_days, chore.minutes)
    if isinstance(rhythm, AfterLastDone):
        return Adjustment(rhythm.interval.fixed_days, (), (), *rest)
    if not isinstance(rhythm, Calendar):
        return Adjustment(None, (), (), *rest)
    parts = dict(part.split("=", 1) for part in rhythm.rule.split(";"))
    named = parts.get("BYDAY", ",".join(WEEKDAYS)).split(",")
    days = tuple(WEEKDAYS.index(one) for one in named)
    return Adjustment(int(parts.get("INTERVAL", 1)), days, rhythm.slots, *rest)


def adjusted(proposal: Proposal, wanted: Adjustment, on: date) -> Proposal:
    """Return the proposal as somebody wants it, counted from a day where it is by the calendar.

    Raises UserFault for what no chore can be, such as an interval of no days.
    """
    before = proposal.chore.rhythm
    rhythm: Rhythm = before
    first_due = proposal.chore.first_due
    most_early = most_early_days(wanted)
    if wanted.early_days > most_early:
        raise out_of_range("early_days", wanted.early_days, 0, most_early)
    if wanted.every is not None and wanted.weekdays:
        named = ",".join(WEEKDAYS[day] for day in sorted(set(wanted.weekdays)))
        if len(set(wanted.weekdays)) == len(WEEKDAYS) and wanted.every == 1:
            rule = "FREQ=DAILY"
        else:
            every = "" if wanted.every == 1 else f";INTERVAL={wanted.every}"
            rule = f"FREQ=WEEKLY{every};BYDAY={named}"
        compile_rule(rule, on)
        rhythm, first_due = Calendar(rule, on, wanted.slots), None
    elif wanted.every is not None:
        rhythm = AfterLastDone(Interval(wanted.every, IntervalUnit.DAYS))
        first_due = first_due or on
    chore = replace(
        proposal.chore,
        rhythm=rhythm,
        first_due=first_due,
        early_days=wanted.early_days,
        late_days=wanted.late_days,
        minutes=wanted.minutes,
        if_missed=IfMissed.EXPIRE if wanted.slots else proposal.chore.if_missed,
    )
    return replace(proposal, chore=chore)
