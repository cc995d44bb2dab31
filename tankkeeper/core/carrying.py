"""Which container carries the water, and how often it is filled and carried."""

from __future__ import annotations

import math
from collections.abc import Iterable

from tankkeeper.core.capable import does, trips_to_carry, weight_kg
from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.household import Container, Household, Person, WaterFor
from tankkeeper.core.values import dataclass

# Common practice, no source: what one person carries where nobody said what anybody lifts.
CARRIED_L = 20.0
# Common practice, no source: one in each hand.
_HANDS = 2
_CLOSE = 1e-9


def container_for(
    household: Household, kind: ChoreKind, person: Person | None = None
) -> Container | None:
    """Return the largest container that can be carried full for work of a kind, None for none.

    By what the person lifts, else by the least that anybody who does such work lifts. Where all
    that can be carried are too heavy for that, the smallest that is not so when empty; what holds
    more than a person carries at all, such as a barrel, is never carried.
    """
    water = WaterFor.SALT if kind is ChoreKind.WATER_CHANGE else WaterFor.FRESH
    found = [
        one
        for one in household.containers
        if one.litres and one.count != 0 and one.holds in (water, WaterFor.ANY)
    ]
    lifts = _least_lifted(household, kind, person)
    if lifts is not None:
        light = [one for one in found if full_kg(one, kind) <= lifts + _CLOSE]
        if light:
            return max(light, key=lambda one: one.litres or 0.0)
    small = [one for one in found if one.litres is not None and one.litres <= CARRIED_L]
    if lifts is not None:
        liftable = [one for one in small if (one.tare_kg or 0.0) < lifts]
        return min(liftable, key=lambda one: one.litres or 0.0, default=None)
    return max(small, key=lambda one: one.litres or 0.0, default=None)


def full_kg(container: Container, kind: ChoreKind) -> float:
    """Return what a container weighs that is filled for work of a kind."""
    return weight_kg(kind, container.litres or 0.0) + (container.tare_kg or 0.0)


def held_l(container: Container, kind: ChoreKind, lifts_kg: float | None) -> float:
    """Return how much goes into a container at a time: half full it holds what can be lifted."""
    full = container.litres or 0.0
    if lifts_kg is None or full_kg(container, kind) <= lifts_kg + _CLOSE:
        return full
    return (lifts_kg - (container.tare_kg or 0.0)) / weight_kg(kind, 1.0)


def fills(
    container: Container, litres: float, kind: ChoreKind, lifts_kg: float | None = None
) -> int:
    """Return how often a container is filled for so many litres by who lifts so much."""
    return math.ceil(litres / held_l(container, kind, lifts_kg) - _CLOSE)


@dataclass(frozen=True, slots=True)
class Carried:
    """In how many trips water is carried, and in what: `container` is None where none does it.

    `held_l` is what goes into it at a time, `at_once` how many of it are carried together.
    """

    trips: int
    container: Container | None = None
    held_l: float = 0.0
    at_once: int = 1


def carried(household: Household, kind: ChoreKind, litres: float, person: Person) -> Carried:
    """Return how a person carries water, in one trip where it is lifted at once or not known.

    By the container, of which two are carried where there are two and that is not too heavy. By the
    weight of the water alone where there is none.
    """
    container = container_for(household, kind, person)
    if container is None or not person.lifts_kg:
        return Carried(trips_to_carry(person, weight_kg(kind, litres)))
    liftable = int(person.lifts_kg / full_kg(container, kind) + _CLOSE)
    at_once = max(1, min(liftable, _HANDS, container.count or 1))
    times = max(1, math.ceil(fills(container, litres, kind, person.lifts_kg) / at_once))
    return Carried(times, container, held_l(container, kind, person.lifts_kg), at_once)


def trips(household: Household, kind: ChoreKind, litres: float, person: Person) -> int:
    """Return in how many trips a person carries water."""
    return carried(household, kind, litres, person).trips


def filled(
    household: Household, litres: Iterable[tuple[ChoreKind, float]], person: Person | None = None
) -> list[tuple[Container, int]]:
    """Return the containers that carry water for work of these kinds, each with its fills.

    By a person who carries it, else by the least that anybody who does such work lifts.
    """
    found: dict[Container, int] = {}
    for kind, value in litres:
        container = container_for(household, kind, person) if value > 0.0 else None
        if container is not None:
            lifts = _least_lifted(household, kind, person)
            times = fills(container, value, kind, lifts)
            found[container] = found.get(container, 0) + times
    return list(found.items())


def _least_lifted(household: Household, kind: ChoreKind, person: Person | None) -> float | None:
    if person is not None and person.lifts_kg:
        return person.lifts_kg
    known = [one.lifts_kg for one in household.people if one.lifts_kg and does(one, kind)]
    return min(known, default=None)
