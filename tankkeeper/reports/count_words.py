"""How many lines of a round stand how, in the words of window and command line alike."""

from __future__ import annotations

from dataclasses import replace

from tankkeeper.reports.numbers import counted
from tankkeeper.reports.rows import CAN_WAIT
from tankkeeper.services.round import Counts, RoundView

CAN_WAIT_TILL_THEN = f"{CAN_WAIT} until then"


def counts_at_head(view: RoundView) -> Counts:
    """Return the counts of a round with the chores that are paused alone, listed below it."""
    return replace(view.counts, paused=view.counts.paused + len(view.paused_alone))


def with_daily(told: str, daily: int) -> str:
    """Return a count with how many of it are work of every day: "8 due (2 of every day)"."""
    return f"{told} ({daily} of every day)" if daily else told


def minutes_told(count: int) -> str:
    """Return a number of minutes in words."""
    return f"{count} {'minute' if count == 1 else 'minutes'}"


def day_minutes(minutes: int, waiting: int) -> list[str]:
    """Return the minutes of a day, and beside them those that can wait until then."""
    parts = [minutes_told(minutes)] if minutes else []
    if waiting:
        beside = "beside " if minutes else ""
        parts.append(f"{beside}{minutes_told(waiting)} that {CAN_WAIT_TILL_THEN}")
    return parts


def open_counts(counts: Counts, due_daily: int = 0) -> list[str]:
    """Return how many lines are still to do; `due_daily` of those due are work of every day."""
    parts = [
        f"{counts.overdue} overdue" if counts.overdue else "",
        with_daily(f"{counts.due} due", due_daily) if counts.due else "",
        f"{counts.may_wait} {CAN_WAIT}" if counts.may_wait else "",
    ]
    return [part for part in parts if part]


def settled_counts(counts: Counts) -> list[str]:
    """Return how many lines are done or rest, and how many tanks are paused as a whole."""
    parts = [
        f"{counts.done} done" if counts.done else "",
        f"{counts.skipped} skipped" if counts.skipped else "",
        f"{counted(counts.paused, 'chore', 'chores')} paused" if counts.paused else "",
        f"{counted(counts.paused_tanks, 'tank', 'tanks')} paused" if counts.paused_tanks else "",
    ]
    return [part for part in parts if part]
