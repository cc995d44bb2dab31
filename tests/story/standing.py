"""Compares how every chore stands at two moments: nothing may move that nobody moved."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from tankkeeper.core.chores import Calendar, Chore
from tests.story.program import CLOSED, Program, Row

# As far as the board shows; longer lists only cost time.
DAYS_AHEAD = 14


@dataclass(frozen=True)
class Standing:
    """What stands open and what is projected at one moment, by chore, as targets in order."""

    on: date
    last: date
    items: tuple[Row, ...]
    open: Mapping[str, tuple[str, ...]]
    coming: Mapping[str, tuple[str, ...]]

    def targets(self, chore: str) -> tuple[str, ...]:
        """Return the targets of what is open and of what comes."""
        return (*self.open.get(chore, ()), *self.coming.get(chore, ()))


def standing(program: Program, on: date) -> Standing:
    """Return how the household stands now."""
    last = on + timedelta(days=DAYS_AHEAD)
    items = program.round()
    live = [row for row in items if row["state"] not in CLOSED]
    # The list of what comes begins with what is open, which the round has already.
    coming = [row for row in program.ahead(last) if row["state"] == "projected"]
    return Standing(on, last, tuple(items), _by_chore(live), _by_chore(coming))


def _by_chore(rows: Iterable[Row]) -> dict[str, tuple[str, ...]]:
    found: defaultdict[str, list[str]] = defaultdict(list)
    for row in rows:
        if row["state"] != "paused":
            found[row["chore"]].append(f"{row['target']} {row['slot'] or ''}".strip())
    return {chore: tuple(sorted(targets)) for chore, targets in found.items()}


def moved(
    chores: Iterable[Chore], before: Standing, after: Standing, touched: frozenset[str]
) -> list[str]:
    """Return, in words, each date that moved though nothing was logged for its chore."""
    found = []
    for chore in chores:
        if chore.id not in touched:
            look = _of_calendar if isinstance(chore.rhythm, Calendar) else _of_counted
            found += [f"{chore.id}: {what}" for what in look(chore, before, after)]
    return found


def _of_counted(chore: Chore, before: Standing, after: Standing) -> Iterator[str]:
    """Yield what moved of a chore whose turns follow one another.

    The turn next to be done keeps its target whatever the day; what follows it is counted from
    today while it stands open, and from its target else.
    """
    old = [one for one in before.targets(chore.id) if one <= str(before.last)]
    new = [one for one in after.targets(chore.id) if one <= str(before.last)]
    if old[:1] != new[:1]:
        yield f"{old[:1]} became {new[:1]}"
    is_as_before = not before.open.get(chore.id) and _opens_today_at_most(chore, after)
    if is_as_before and old != new:
        yield f"{old} became {new}"


def _of_calendar(chore: Chore, before: Standing, after: Standing) -> Iterator[str]:
    """Yield what moved of a chore by the calendar: no day appears that was not foreseen."""
    old, new = set(before.targets(chore.id)), set(after.targets(chore.id))
    invented = sorted(one for one in new - old if one[:10] <= str(before.last))
    # A turn that stood open may take the next one with it; when it closes, that one is back.
    if invented and not before.open.get(chore.id):
        yield f"{invented} appeared"
    ahead = {one for one in old if one[:10] > str(after.on)}
    is_as_before = not before.open.get(chore.id) and _opens_today_at_most(chore, after)
    if is_as_before and ahead - new:
        yield f"{sorted(ahead - new)} went away"


def _opens_today_at_most(chore: Chore, after: Standing) -> bool:
    return all(one[:10] == str(after.on) for one in after.open.get(chore.id, ()))


def wrong_states(items: Iterable[Row], on: date) -> list[str]:
    """Return the open items whose state does not follow from their days.

    Overdue is past the latest day; due is when today is the target, the latest day or between
    them; before the target it may wait.
    """
    found = []
    for row in items:
        if row["state"] in CLOSED:
            continue
        today = str(on)
        if today > row["latest"]:
            wanted = "overdue"
        elif today == row["target"] or today == row["latest"]:
            wanted = "due"
        else:
            wanted = "may wait"
        if row["state"] != wanted or today < row["earliest"]:
            found.append(f"{row['chore']} is {row['state']}, not {wanted}")
    return found
