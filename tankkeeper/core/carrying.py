"""Which container carries the water, and how often it is filled and carried."""

from __future__ import annotations

import math
from collections.abc import Iterable

from tankkeeper.core.capable import does, trips_to_carry, weight_kg
from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.household import Container, Household, Person, WaterFor

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


def fills(container: Container, litres: float) -> int:
    """Return how often a container is filled for so many litres."""
    return math.ceil(litres / (container.litres or litres or 1.0) - _CLOSE)


def trips(household: Household, kind: ChoreKind, litres: float, person: Person) -> int:
    """Return in how many trips a person carries water, 1 where it is lifted at once or not known.

    By the container, of which two are carried where there are two and that is not too heavy; half
    full it holds what the person lifts beside its own weight. By the weight of the water alone
    where there is none.
    """
    weight = weight_kg(kind, litres)
    container = container_for(household, kind, person)
    if container is None or not person.lifts_kg:
        return trips_to_carry(person, weight)
    at_once = int(person.lifts_kg / full_kg(container, kind) + _CLOSE)
    if at_once < 1:
        water = person.lifts_kg - (container.tare_kg or 0.0)
        return max(1, math.ceil(weight / water - _CLOSE))
    at_once = min(at_once, _HANDS, container.count or 1)
    return max(1, math.ceil(fills(container, litres) / at_once))


def filled(
    household: Household, litres: Iterable[tuple[ChoreKind, float]]
) -> list[tuple[Container, int]]:
    """Return the containers that carry water for work of these kinds, each with its fills."""
    found: dict[Container, int] = {}
    for kind, value in litres:
        container = container_for(household, kind) if value > 0.0 else None
        if container is not None:
            found[container] = found.get(container, 0) + fills(container, value)
    return list(found.items())


def _least_lifted(household: Household, kind: ChoreKind, person: Person | None) -> float | None:
    if person is not None and person.lifts_kg:
        return person.lifts_kg
    known = [one.lifts_kg for one in household.people if one.lifts_kg and does(one, kind)]
    return min(known, default=None)
