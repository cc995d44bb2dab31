"""New animals, and the work they bring: a review of their quarantine, closer tests, the mesh."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import date, timedelta
from enum import StrEnum

from tankkeeper.core.chores import AfterLastDone, Chore, ChoreKind, Once
from tankkeeper.core.household import Animal, Household
from tankkeeper.core.ids import chore_slug
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.limits import PLANNED_AHEAD
from tankkeeper.core.logbook import How, Redefined, Thing
from tankkeeper.core.moment import Moment
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown, set_down

# Common practice, no source: four to six weeks of quarantine, ammonia looked at each day of it,
# a mesh screen looked over each month.
QUARANTINE_DAYS = 28
QUARANTINE_LATE_DAYS = 14
MESH_DAYS = 30
MESH = "Check the mesh screen"


class Brings(StrEnum):
    """The work that new animals may bring."""

    REVIEW = "review"
    TESTS = "tests"
    MESH = "mesh"


def chores_brought(
    household: Household, animal: Animal, wanted: Collection[Brings], today: date
) -> tuple[Chore, ...]:
    """Return the chores that come with new animals; a mesh that is looked at already is left.

    Animals whose quarantine is over, or that came nobody knows when, bring none of it any more.
    """
    came = animal.added_on or today
    over = timedelta(days=QUARANTINE_DAYS + QUARANTINE_LATE_DAYS)
    if came - today > PLANNED_AHEAD - over:
        # Nothing can be planned from there; the day itself is refused once it is kept.
        return ()
    if animal.added_on is None or came + over < today:
        wanted = [one for one in wanted if one is Brings.MESH]
    taken = {one.id for one in household.chores}
    present = {one.name for one in household.chores if one.tank == animal.tank}
    found: list[Chore] = []
    for chore in _proposed(animal, came):
        if _WHICH[chore.kind] in wanted and chore.name not in present:
            chore_id = chore_slug(animal.tank, chore.name, taken)
            taken.add(chore_id)
            found.append(replace(chore, id=chore_id, valid_from=today))
    return tuple(found)


_WHICH = {
    ChoreKind.CHECK: Brings.REVIEW,
    ChoreKind.TEST: Brings.TESTS,
    ChoreKind.SERVICE: Brings.MESH,
}


def _proposed(animal: Animal, came: date) -> list[Chore]:
    name = animal.name.strip() or "new animals"
    ends = came + timedelta(days=QUARANTINE_DAYS)
    found = [
        Chore(
            "",
            ChoreKind.CHECK,
            f"Review the quarantine: {name}",
            Once(ends),
            animal.tank,
            noun="review",
            late_days=QUARANTINE_LATE_DAYS,
            minutes=15,
        ),
        Chore(
            "",
            ChoreKind.TEST,
            f"Test ammonia: {name}",
            AfterLastDone(Interval(1, IntervalUnit.DAYS)),
            animal.tank,
            noun="ammonia",
            tests=("ammonia",),
            first_due=came,
            ended_on=ends,
            minutes=10,
        ),
    ]
    if animal.jumper:
        monthly = AfterLastDone(Interval(MESH_DAYS, IntervalUnit.DAYS))
        found.append(
            Chore(
                "",
                ChoreKind.SERVICE,
                MESH,
                monthly,
                animal.tank,
                noun="mesh",
                first_due=came,
                early_days=MESH_DAYS // 2,
                late_days=MESH_DAYS // 2,
                minutes=3,
            )
        )
    return found


def add_animal(
    desk: Desk, animal: Animal, wanted: Collection[Brings] = (), by: str | None = None
) -> SetDown:
    """Add animals with the work they bring, as one change."""

    def make(house: Household, moment: Moment) -> Household:
        new = chores_brought(house, animal, wanted, moment.day)
        return replace(house, animals=(*house.animals, animal), chores=(*house.chores, *new))

    said = Redefined(How.ADDED, Thing.ANIMAL, animal.name.strip())
    return set_down(desk, said, make, by, animal.tank)
