"""What is left of each mixing that stands there: the oldest is used first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from math import inf
from typing import Final, NamedTuple

from tankkeeper.core.chores import Chore
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry, Work
from tankkeeper.core.making_ready import NotReady, mixed_ready_at
from tankkeeper.core.moment import Moment

# Below this no scale of a container shows a difference.
CLOSEST_L: Final = 0.05

# When something was done; entries of one moment in the order of the log.
When = tuple[datetime, int]


class Batch(NamedTuple):
    """What is left of one mixing."""

    mixed: Entry
    litres: float


class Drawn(NamedTuple):
    """The mixings of which water was taken, what is left of all, and what none of them held."""

    of: tuple[Entry, ...]
    left: tuple[Batch, ...]
    short_l: float


def when_of(entry: Entry) -> When:
    """Return when an entry was done, as it is sorted."""
    return entry.at, entry.seq


def mixed_litres(entry: Entry) -> float:
    """Return the litres that an entry of a mixing tells, 0 where nobody said how much."""
    return (entry.fact.litres or 0.0) if isinstance(entry.fact, Work) else 0.0


def draw(batches: Sequence[Batch], litres: float) -> Drawn:
    """Take water from what stands there, the oldest first; what no scale shows opens no other."""
    wanted, of, left = litres, list[Entry](), list[Batch]()
    for one in batches:
        takes = min(wanted, one.litres)
        if takes > 0.0 and (wanted > CLOSEST_L or not of):
            of.append(one.mixed)
            wanted -= takes
            left.append(one._replace(litres=one.litres - takes))
        else:
            left.append(one)
    return Drawn(tuple(of), tuple(left), max(0.0, wanted))


def batches_left(
    made: Iterable[Entry], taken: Iterable[tuple[When, float | None]]
) -> tuple[Batch, ...]:
    """Return what is left of each mixing, the oldest first; what was taken beyond came elsewhere.

    Of what took nobody knows how much, nothing is taken to be left.
    """
    moves: list[tuple[When, Entry | float]] = [(when_of(one), one) for one in made]
    moves += [(when, inf if litres is None else litres) for when, litres in taken]
    left: tuple[Batch, ...] = ()
    for _, move in sorted(moves, key=lambda one: one[0]):
        if isinstance(move, Entry):
            left = (*left, Batch(move, mixed_litres(move)))
        else:
            left = draw(left, move).left
    return left


def litres_of(batches: Iterable[Batch]) -> float:
    """Return how much stands there in all."""
    return sum(one.litres for one in batches)


def is_ready(mixed: Entry, household: Household, moment: Moment) -> bool:
    """Tell whether the water of a mixing can be used."""
    return mixed_ready_at(mixed, household) <= moment.now


def until_ready(
    prep: Chore, mixed: Iterable[Entry], household: Household, moment: Moment
) -> NotReady | None:
    """Return until when the water of some mixings is waited for, None once all is ready."""
    waits = [
        (ready_at, one.at)
        for one in mixed
        if (ready_at := mixed_ready_at(one, household)) > moment.now
    ]
    if not waits:
        return None
    ready_at, mixed_at = max(waits)
    return NotReady(prep, ready_at, mixed_at=mixed_at)
