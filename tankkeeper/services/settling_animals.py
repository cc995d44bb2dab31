"""New animals, and the work they bring: a review of their quarantine, closer tests, the mesh."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import date, timedelta
from enum import StrEnum

from tankkeeper.core.chores import AfterLastDone, Calendar, Chore, ChoreKind, Once
from tankkeeper.core.household import Animal, Household, Stage, Tank
from tankkeeper.core.ids import chore_slug
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.limits import PLANNED_AHEAD
from tankkeeper.core.logbook import How, Redefined, Thing
from tankkeeper.core.moment import Moment
from tankkeeper.services.desk import Desk
from tankkeeper.services.losing import reasons, refuse_impossible_loss
from tankkeeper.services.settling import SetDown, set_down

# Common practice, no source: four to six weeks of quarantine, ammonia looked at each day of it,
# a mesh screen looked over each month.
QUARANTINE_DAYS = 28
QUARANTINE_LATE_DAYS = 14
_LONGEST_QUARANTINE = timedelta(days=QUARANTINE_DAYS + QUARANTINE_LATE_DAYS)
# Common practice, no source: ammonia and nitrite are tested on days 2 and 5 after each addition.
AFTER_DAYS = (2, 5)
MESH_DAYS = 30
MESH = "Check the mesh screen"


class Brings(StrEnum):
    """The work that new animals may bring."""

    REVIEW = "review"
    TESTS = "tests"
    AFTER = "after"
    MESH = "mesh"


def is_display(household: Household, tank_id: str | None, today: date) -> bool:
    """Tell whether others live in a tank for longer than any quarantine lasts.

    What comes to them is not kept apart any more, so that there is no quarantine to be reviewed.
    Nobody has to write them down: a tank that runs for so long with a community has some.
    """
    if any(one.id == tank_id and _is_settled(one, today) for one in household.tanks):
        return True
    return has_lived_long(household, tank_id, today)


def has_lived_long(household: Household, tank_id: str | None, today: date) -> bool:
    """Tell whether animals that are written down live in a tank for so long."""
    here = (one for one in household.animals if one.tank == tank_id and one.lives)
    return any(is_past_quarantine(one, today) for one in here)


def _is_settled(tank: Tank, today: date) -> bool:
    """Tell whether a tank with a community runs for longer than any quarantine lasts.

    One of which nobody said since when it runs was running before it was set down.
    """
    if tank.stage is not Stage.RUNNING or tank.community is None:
        return False
    return tank.since is None or tank.since < today - _LONGEST_QUARANTINE


def usual_brings(household: Household, tank_id: str | None, today: date) -> tuple[Brings, ...]:
    """Return the work that new animals of a tank bring where nobody says otherwise."""
    if is_display(household, tank_id, today):
        return (Brings.AFTER, Brings.MESH)
    return (Brings.REVIEW, Brings.TESTS, Brings.MESH)


def is_past_quarantine(animal: Animal, today: date) -> bool:
    """Tell whether no quarantine is left of animals, or nobody said when they came."""
    return animal.added_on is None or animal.added_on < today - _LONGEST_QUARANTINE


def chores_brought(
    household: Household, animal: Animal, wanted: Collection[Brings], today: date
) -> tuple[Chore, ...]:
    """Return the chores that come with new animals; a mesh that is looked at already is left.

    Animals whose quarantine is over, or that came nobody knows when, bring none of it any more.
    """
    came = animal.added_on or today
    if came - today > PLANNED_AHEAD - _LONGEST_QUARANTINE:
        # Nothing can be planned from there; the day itself is refused once it is kept.
        return ()
    if is_past_quarantine(animal, today):
        wanted = [one for one in wanted if one is Brings.MESH]
    if Brings.TESTS in wanted or came + timedelta(days=AFTER_DAYS[-1]) < today:
        # Tested every day it is tested on those, too.
        wanted = [one for one in wanted if one is not Brings.AFTER]
    if came + timedelta(days=QUARANTINE_DAYS) < today:
        # They would have ended before the first of them.
        wanted = [one for one in wanted if one is not Brings.TESTS]
    taken = {one.id for one in household.chores}
    present = {one.name for one in household.chores if one.tank == animal.tank}
    found: list[Chore] = []
    for brings, chore in _proposed(animal, came):
        if brings in wanted and chore.name not in present:
            chore_id = chore_slug(animal.tank, chore.name, taken)
            taken.add(chore_id)
            found.append(replace(chore, id=chore_id, valid_from=today))
    return tuple(found)


def come_too_late(
    household: Household, animal: Animal, wanted: Collection[Brings], today: date
) -> tuple[Brings, ...]:
    """Return what is chosen and brings no chore, since the animals came too long ago for it."""
    return tuple(
        one
        for one in wanted
        if one is not Brings.MESH and not chores_brought(household, animal, [one], today)
    )


def _proposed(animal: Animal, came: date) -> list[tuple[Brings, Chore]]:
    name = animal.name.strip() or "new animals"
    ends = came + timedelta(days=QUARANTINE_DAYS)
    first, last = (came + timedelta(days=days) for days in AFTER_DAYS)
    review = Chore(
        "",
        ChoreKind.CHECK,
        f"Review the quarantine: {name}",
        Once(ends),
        animal.tank,
        noun="review",
        late_days=QUARANTINE_LATE_DAYS,
        minutes=15,
    )
    tests = Chore(
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
    )
    twice = Calendar(f"FREQ=DAILY;INTERVAL={(last - first).days};COUNT=2", first)
    after = Chore(
        "",
        ChoreKind.TEST,
        f"Test after adding: {name}",
        twice,
        animal.tank,
        noun="ammonia",
        tests=("ammonia", "nitrite"),
        late_days=1,
        ended_on=last + timedelta(days=1),
        minutes=10,
    )
    found = [(Brings.REVIEW, review), (Brings.TESTS, tests), (Brings.AFTER, after)]
    if animal.jumper:
        mesh = Chore(
            "",
            ChoreKind.CHECK,
            MESH,
            AfterLastDone(Interval(MESH_DAYS, IntervalUnit.DAYS)),
            animal.tank,
            noun="mesh",
            first_due=came,
            early_days=MESH_DAYS // 2,
            late_days=MESH_DAYS // 2,
            minutes=3,
        )
        found.append((Brings.MESH, mesh))
    return found


def add_animal(
    desk: Desk, animal: Animal, wanted: Collection[Brings] = (), by: str | None = None
) -> SetDown:
    """Add animals with the work they bring, as one change."""

    def make(house: Household, moment: Moment) -> Household:
        refuse_impossible_loss(animal)
        new = chores_brought(house, animal, wanted, moment.day)
        return replace(house, animals=(*house.animals, animal), chores=(*house.chores, *new))

    said = Redefined(How.ADDED, Thing.ANIMAL, animal.name.strip(), count=animal.count)
    return set_down(desk, said, make, by, animal.tank, reasons(animal))
