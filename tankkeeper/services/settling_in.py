"""How a household of one's own begins: three answers, a tank, and the chores that were accepted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from tankkeeper.core.catalogue import Proposal, proposed
from tankkeeper.core.communities import Community
from tankkeeper.core.days import parse_zone
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household, Room, ShownUnits, Stage, Tank
from tankkeeper.core.ids import slug, tank_slug
from tankkeeper.core.moment import moment_of
from tankkeeper.core.values import dataclass
from tankkeeper.core.volume import Shape, check_shape
from tankkeeper.services.desk import Change, Desk
from tankkeeper.services.noting import named
from tankkeeper.services.ports import LogQuery

# Common practice, no source: what most keepers aim at.
USUAL_SALINITY = 35.0


@dataclass(frozen=True, slots=True)
class Answers:
    """What is asked before a household begins; `shape` holds the sizes that are known."""

    zone: str
    tank: str
    shape: Shape
    community: Community | None
    room: str = ""
    stage: Stage = Stage.RUNNING
    units: ShownUnits = ShownUnits()
    first_weekday: int = 0
    household: str = ""


def household_of(answers: Answers) -> Household:
    """Return the household with its tank, without chores; refuse what cannot be."""
    check_shape(answers.shape)
    name = named(answers.tank, "name")
    rooms: tuple[Room, ...] = ()
    if answers.room.strip():
        room = named(answers.room, "room")
        rooms = (Room(slug(room, (), "room"), room),)
    tank = Tank(
        id=tank_slug(name, ()),
        name=name,
        shape=answers.shape,
        room=rooms[0].id if rooms else None,
        walk_order=1,
        community=answers.community,
        stage=answers.stage,
        target_salinity=USUAL_SALINITY,
    )
    return Household(
        name=named(answers.household or name, "name"),
        zone=parse_zone(answers.zone).key,
        first_weekday=answers.first_weekday,
        units=answers.units,
        rooms=rooms,
        tanks=(tank,),
    )


def day_of(household: Household, now: datetime) -> date:
    """Return the household's day at a moment."""
    return moment_of(household, now).day


def proposals_for(household: Household, on: date) -> tuple[Proposal, ...]:
    """Return the chores that are proposed for the one tank of a new household."""
    return proposed(household.tanks[0], household, on)


def with_chores(household: Household, accepted: Iterable[Proposal]) -> Household:
    """Return the household with the chores that were accepted."""
    return replace(household, chores=tuple(one.chore for one in accepted))


def settle_in(desk: Desk, household: Household) -> None:
    """Put tank and chores into an empty household, in one transaction."""
    with desk.store.writing() as writing:
        present = writing.household()
        if present.tanks or present.chores or writing.entries(LogQuery(limit=1)):
            raise UserFault("not_empty", household=present.name)
        writing.save_household(household)
    desk.tell(Change(None))
