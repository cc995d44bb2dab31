"""Animals that are lost: what cannot be so, and the work of theirs that ends with the last one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from tankkeeper.core.chores import Chore
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Animal, Household
from tankkeeper.core.limits import HARD_RANGES
from tankkeeper.core.logbook import How, Redefined, Thing
from tankkeeper.core.moment import Moment
from tankkeeper.services import settling_house
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown


def change_animal(desk: Desk, was: Animal, becomes: Animal, by: str | None = None) -> SetDown:
    """Change animals; with the last of them, the chores that they alone brought end."""

    def also(house: Household, moment: Moment) -> Household:
        refuse_impossible_loss(becomes, was)
        ended = {one.id for one in _ended(house, was, becomes, moment.day)}
        last = moment.day - timedelta(days=1)
        chores = tuple(
            replace(one, ended_on=last) if one.id in ended else one for one in house.chores
        )
        return replace(house, chores=chores)

    said = Redefined(How.CHANGED, Thing.ANIMAL)
    if len(becomes.lost) > len(was.lost):
        newly = Animal(lost=becomes.lost[len(was.lost) :]).lost_count
        out_of = was.left if newly is not None else None
        said = Redefined(How.LOST, Thing.ANIMAL, count=newly, out_of=out_of)
    return settling_house.change(desk, was, becomes, by, also, said, reasons(becomes, was))


def reasons(animal: Animal, was: Animal | None = None) -> str:
    """Return why animals were lost, of each loss that is told now and was not before."""
    before = () if was is None else was.lost
    told = [one.why.strip() for one in animal.lost if one not in before]
    longest = int(HARD_RANGES["note_length"].high)
    return "; ".join(dict.fromkeys(why for why in told if why))[:longest]


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


def chores_ending(
    household: Household, was: Animal, becomes: Animal, today: date
) -> tuple[Chore, ...]:
    """Return the chores that would end with the last of the animals, of a household before it."""
    animals = list(household.animals)
    if was in animals:
        animals[animals.index(was)] = becomes
    return _ended(replace(household, animals=tuple(animals)), was, becomes, today)


def _ended(after: Household, was: Animal, becomes: Animal, today: date) -> tuple[Chore, ...]:
    """Return the chores of their own that end as the last of the animals is lost."""
    if not was.lives or becomes.lives:
        return ()
    there = [one for one in after.animals if one.tank == was.tank and one.lives]
    if any(one.name.strip() == was.name.strip() for one in there):
        return ()
    names = own_chores(was.name)
    return tuple(
        one
        for one in after.chores
        if one.tank == was.tank and one.name in names and not one.has_ended(today)
    )


def own_chores(name: str) -> frozenset[str]:
    """Return the names of the chores that animals bring which are about them alone."""
    of = name.strip() or "new animals"
    return frozenset(
        {f"Review the quarantine: {of}", f"Test ammonia: {of}", f"Test after adding: {of}"}
    )
