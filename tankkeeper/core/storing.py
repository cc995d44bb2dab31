"""Water that is made ready on one day, and the containers that it has to go into."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

from tankkeeper.core.amounts import AmountDue, amount_of
from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.history import History
from tankkeeper.core.household import Household
from tankkeeper.core.making_ready import MAKING_READY, lead_days
from tankkeeper.core.mixed_batches import CLOSEST_L
from tankkeeper.core.mixing import Demand, demands, mixed_amount
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.turns import ChoreState, OpenTurn
from tankkeeper.core.values import dataclass

# What would need more batches than these is told by their number alone.
MOST_BATCHES = 3


@dataclass(frozen=True, slots=True)
class Batch:
    """What is made ready at once: on which day, how much, and from when it can be used."""

    day: date
    litres: float
    ready_on: date


@dataclass(frozen=True, slots=True)
class OverStore:
    """More water made ready on one day than can be stored, and the batches that it takes.

    `beside` are the names of other chores that make the same kind of water ready on that day;
    `litres` is what they make together. `is_for_one` tells that a single change takes more than
    can be stored: then no other day gives its water room, and none of the batches can wait for it.
    `mixed_l` stands mixed already and is part of `litres`, but of none of the batches.
    """

    litres: float
    store_litres: float
    batches: tuple[Batch, ...]
    beside: tuple[str, ...] = ()
    is_for_one: bool = False
    mixed_l: float = 0.0


def over_store(
    prep: Chore,
    turn: OpenTurn,
    amount: AmountDue | None,
    states: Sequence[ChoreState],
    household: Household,
    history: History,
    waters: Mapping[str, TankWater],
    today: date,
    mixed_l: float = 0.0,
) -> OverStore | None:
    """Return how far an open turn goes beyond what can be stored; None where it has room.

    A change takes its water on its own day, so a container is empty for the next batch from then
    on. Where the chore states its litres itself, they are taken as those of one change. `mixed_l`
    are those of parts that no change took yet.
    """
    store = store_of(prep, household)
    if store is None or amount is None or amount.unit != "L":
        return None
    day = max(turn.target, today)
    beside, litres = [], amount.value + mixed_l
    for one in states:
        other = one.open[0] if one.open and one.paused is None else one.upcoming
        if one.chore.id == prep.id or one.chore.kind is not prep.kind or other is None:
            continue
        if one.paused is not None or max(other.target, today) != day:
            continue
        found = amount_of(one.chore, None, household) or mixed_amount(
            one.chore, other, states, household, history, waters, today
        )
        if found is not None and found.unit == "L":
            beside.append(one.chore.name)
            litres += found.value
    if litres <= store + CLOSEST_L:
        return None
    lead = timedelta(days=lead_days(prep, household))
    if prep.kind is ChoreKind.MAKE_FRESH_WATER:
        # It is used by the mixing of the next day, not by the change itself.
        lead = timedelta(days=1)
    wanted = None
    if prep.amount is None:
        wanted = demands(prep, turn, states, household, history, waters, today)
    if not wanted:
        wanted = [Demand(prep.id, prep.name, day, amount.value + mixed_l)]
    batches = tuple(_still_to_make(_batches(wanted, day, store, lead), mixed_l))
    is_for_one = any(one.litres > store + CLOSEST_L for one in wanted)
    return OverStore(litres, store, batches, tuple(beside), is_for_one, mixed_l)


def _still_to_make(batches: Iterable[Batch], mixed_l: float) -> Iterable[Batch]:
    """Yield the batches without what is mixed of them already."""
    for one in batches:
        mixed = min(mixed_l, one.litres)
        mixed_l -= mixed
        if one.litres - mixed > CLOSEST_L:
            yield replace(one, litres=one.litres - mixed)


def store_of(prep: Chore, household: Household) -> float | None:
    """Return the litres that can be stored of the water that a chore makes ready."""
    if prep.kind not in MAKING_READY:
        return None
    kept = household.salt_mix if prep.kind is ChoreKind.MIX_SALT_WATER else household.water_supply
    return kept.store_litres if kept is not None and kept.store_litres else None


def _batches(wanted: Iterable[Demand], day: date, store: float, lead: timedelta) -> list[Batch]:
    """Return the batches in which the water is made ready, each once the one before is used."""
    found: list[Batch] = []
    litres, used_on, start = 0.0, day, day
    for one in sorted(wanted, key=lambda each: each.day):
        left = one.litres
        while left > CLOSEST_L:
            if store - litres <= CLOSEST_L:
                found.append(Batch(start, litres, start + lead))
                start, litres = max(used_on, start + lead), 0.0
            part = min(left, store - litres)
            litres, left = litres + part, left - part
            used_on = max(one.day, start + lead)
    return [*found, Batch(start, litres, start + lead)]
