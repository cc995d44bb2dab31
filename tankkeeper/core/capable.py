"""Who can do a chore: what people do not do, and what they lift."""

from __future__ import annotations

import math

from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.household import Household, Person

# A litre of sea water of salinity 35 at 25 °C: 1.023 kg (TEOS-10, rounded); of fresh water 0.997.
# No closer than a bucket is lifted.
SALT_KG_PER_L, FRESH_KG_PER_L = 1.02, 1.0
_SALT_KINDS = frozenset({ChoreKind.WATER_CHANGE})
CARRIED_KINDS = _SALT_KINDS | {
    ChoreKind.TOP_OFF,
    ChoreKind.RESERVOIR,
    ChoreKind.FETCH_WATER,
}


def does(person: Person, kind: ChoreKind) -> bool:
    """Tell whether a person does work of a kind at all."""
    return kind not in person.not_for


def named_for(chore: Chore, household: Household) -> list[Person]:
    """Return the people whom a chore names, in its order."""
    people = {one.id: one for one in household.people}
    return [people[one] for one in chore.who if one in people]


def meant_for(chore: Chore, household: Household) -> tuple[str, ...]:
    """Return the ids of those who are to do a chore, nobody where anybody may.

    Of those named the ones who do such work, and all of them where none does. Where nobody is
    named, those who do it, if there is somebody who does not.
    """
    if chore.who:
        unfit = {one.id for one in named_for(chore, household) if not does(one, chore.kind)}
        return tuple(one for one in chore.who if one not in unfit) or chore.who
    fit = tuple(one.id for one in household.people if does(one, chore.kind))
    return () if len(fit) == len(household.people) else fit


def is_for(person: Person, chore: Chore, household: Household) -> bool:
    """Tell whether a chore stands in the round of one person."""
    meant = meant_for(chore, household)
    return person.id in meant if meant else does(person, chore.kind)


def weight_kg(kind: ChoreKind, litres: float) -> float:
    """Return what water weighs that is carried for work of a kind."""
    return litres * (SALT_KG_PER_L if kind in _SALT_KINDS else FRESH_KG_PER_L)


def trips_to_carry(person: Person, weight: float) -> int:
    """Return in how many trips a person carries a weight, 1 where it is lifted at once."""
    if not person.lifts_kg:
        return 1
    return max(1, math.ceil(weight / person.lifts_kg - 1e-9))
