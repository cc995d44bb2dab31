"""Animals that are lost: what cannot be so, and the work of theirs that ends with the last one."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import date, timedelta

from tankkeeper.core.chores import Chore
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Animal, Household
from tankkeeper.core.moment import Moment
from tankkeeper.services import settling_house
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown


def change_animal(desk: Desk, was: Animal, becomes: Animal, by: str | None = None) -> SetDown:
    """Change animals; with the last of them, the chores that they alone brought end."""

    def also(house: Household, moment: Moment) -> Household:
        refuse_impossible_loss(becomes, was)
        ended = {one.id for one in chores_ended(house, was, becomes, moment.day)}
        last = moment.day - timedelta(days=1)
        chores = tuple(
            replace(one, ended_on=last) if one.id in ended else one for one in house.chores
        )
        return replace(house, chores=chores)

    return settling_house.change(desk, was, becomes, by, also)


def refuse_impossible_loss(animal: Animal, was: Animal | None = None) -> None:
    """Refuse more lost than came, and a loss before they came; what stood before is left alone."""
    said = ("count", "added_on", "lost")
    if was is not None and all(getattr(was, one) == getattr(animal, one) for one in said):
        return
    lost = sum(one.count or 0 for one in animal.lost)
    # A number below nothing is refused as such.
    if animal.count is not None and 0 <= animal.count < lost:
        field = f"lost.{len(animal.lost) - 1}.count"
        raise UserFault("lost_more_than_came", field=field, lost=lost, count=animal.count)
    for place, one in enumerate(animal.lost):
        if one.on is not None and animal.added_on is not None and one.on < animal.added_on:
            raise UserFault(
                "lost_before_added", field=f"lost.{place}.on", on=one.on, added=animal.added_on
            )


def is_none_left(animal: Animal) -> bool:
    """Tell whether all of them are lost, as far as the numbers tell."""
    losses = animal.lost
    lost = sum(one.count or 0 for one in losses)
    return bool(losses) and animal.count is not None and lost >= animal.count


def chores_ended(
    household: Household, was: Animal, becomes: Animal, today: date
) -> tuple[Chore, ...]:
    """Return the chores of their own that end as the last of the animals is lost."""
    if is_none_left(was) or not is_none_left(becomes):
        return ()
    others = {one.name.strip() for one in _others(household.animals, was, becomes)}
    if was.name.strip() in others:
        return ()
    names = own_chores(was.name)
    return tuple(
        one
        for one in household.chores
        if one.tank == was.tank
        and one.name in names
        and (one.ended_on is None or one.ended_on >= today)
    )


def own_chores(name: str) -> frozenset[str]:
    """Return the names of the chores that animals bring which are about them alone."""
    of = name.strip() or "new animals"
    return frozenset(
        {f"Review the quarantine: {of}", f"Test ammonia: {of}", f"Test after adding: {of}"}
    )


def _others(animals: Collection[Animal], was: Animal, becomes: Animal) -> list[Animal]:
    return [
        one
        for one in animals
        if one.tank == was.tank and one not in (was, becomes) and not is_none_left(one)
    ]
