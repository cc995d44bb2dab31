"""Whether what is set down of a water change leaves it without water, before it is kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.making_ready import (
    MAKING_READY,
    first_unready,
    following,
    lost_step,
    served,
)
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass

_CONCERNED = MAKING_READY | {ChoreKind.WATER_CHANGE}


@dataclass(frozen=True, slots=True)
class Readiness:
    """What a chore means for the water that is made ready.

    `followers` follow of themselves, each with its new rhythm. `prep` mixes nothing for `change`
    on `day`, and `can_follow` tells whether its rule could.
    """

    followers: tuple[Chore, ...] = ()
    prep: Chore | None = None
    change: Chore | None = None
    day: date | None = None
    can_follow: bool = False


def readiness(state: HouseholdState, chore: Chore) -> Readiness:
    """Return what a chore means as it would be kept."""
    if chore.kind not in _CONCERNED:
        return Readiness()
    before, today = state.household, state.moment.day
    others = tuple(one for one in before.chores if one.id != chore.id)
    after = replace(before, chores=(*others, chore))
    followers = tuple(lost_step(before, after, today))
    new = {one.id: one for one in followers}
    after = replace(after, chores=tuple(new.get(one.id, one) for one in after.chores))
    changes = (chore,) if chore.kind is ChoreKind.WATER_CHANGE else served(chore, others, today)
    for change in changes:
        found = first_unready(after, state.history, change, today)
        if found is not None and (chore in (change, found[0])):
            prep, day = found
            can_follow = following(prep, after, today) is not None
            return Readiness(followers, prep, change, day, can_follow)
    return Readiness(followers)
