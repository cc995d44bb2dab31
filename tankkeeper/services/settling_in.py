"""How a household of one's own begins: three answers, a tank, and the chores that were accepted."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime

from tankkeeper.core.catalogue import Proposal, keys_there, proposed
from tankkeeper.core.catalogue_row import Gear, Needs
from tankkeeper.core.catalogue_rows import ROWS
from tankkeeper.core.chores import Calendar, Chore
from tankkeeper.core.communities import Community, usual_salinity
from tankkeeper.core.days import parse_zone
from tankkeeper.core.errors import UserFault
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Household, Room, ShownUnits, Stage, Tank, TopOffLimits
from tankkeeper.core.ids import chore_slug, slug, tank_slug
from tankkeeper.core.logbook import How, Redefined, Thing
from tankkeeper.core.moment import Moment, moment_of
from tankkeeper.core.salinity_limit import DEFAULT_SALINITY_RISE
from tankkeeper.core.state import fold_household
from tankkeeper.core.values import dataclass
from tankkeeper.core.volume import Displaced, Shape, Sump, check_displaced, check_shape
from tankkeeper.services.desk import Change, Desk
from tankkeeper.services.noting import named
from tankkeeper.services.ports import LogQuery
from tankkeeper.services.round import place_at_end
from tankkeeper.services.settling import SetDown, set_down
from tankkeeper.services.settling_chores import with_followers
from tankkeeper.services.settling_preview import next_days


@dataclass(frozen=True, slots=True)
class Answers:
    """What is asked before a household begins; `shape` holds the sizes that are known.

    A quarantine tank need not say what lives in it: it is for fish then.

    Kilograms of dry rock and sand, litres of water in the sump and of a reservoir that is full.
    """

    zone: str
    tank: str
    shape: Shape
    community: Community | None
    room: str = ""
    stage: Stage = Stage.RUNNING
    is_quarantine: bool = False
    units: ShownUnits = ShownUnits()
    first_weekday: int = 0
    household: str = ""
    rock_dry_kg: float | None = None
    sand_dry_kg: float | None = None
    sump_l: float | None = None
    reservoir_l: float | None = None


def household_of(answers: Answers) -> Household:
    """Return the household with its tank, without chores; refuse what cannot be."""
    check_shape(answers.shape)
    displaced = None
    if answers.rock_dry_kg is not None or answers.sand_dry_kg is not None:
        displaced = Displaced(rock_dry_kg=answers.rock_dry_kg, sand_dry_kg=answers.sand_dry_kg)
        check_displaced(displaced)
    name = named(answers.tank, "name")
    rooms: tuple[Room, ...] = ()
    if answers.room.strip():
        room = named(answers.room, "room")
        rooms = (Room(slug(room, (), "room"), room),)
    community = answers.community or (Community.FISH_ONLY if answers.is_quarantine else None)
    tank = Tank(
        id=tank_slug(name, ()),
        name=name,
        shape=answers.shape,
        room=rooms[0].id if rooms else None,
        walk_order=1,
        community=community,
        stage=answers.stage,
        target_salinity=usual_salinity(community, DEFAULT_SALINITY_RISE),
        displaced=displaced,
        sump=Sump(answers.sump_l) if answers.sump_l is not None else None,
        top_off=TopOffLimits(reservoir_l=answers.reservoir_l),
    )
    return Household(
        name=named(answers.household or name, "name"),
        zone=parse_zone(answers.zone).key,
        first_weekday=answers.first_weekday,
        units=answers.units,
        rooms=rooms,
        tanks=(tank,),
    )


def household_with(house: Household | None, answers: Answers) -> Household:
    """Return the household with one more tank, which stands last; a new one where none is given."""
    if house is None:
        return household_of(answers)
    alone = household_of(replace(answers, household=house.name))
    (tank,) = alone.tanks
    rooms, room_id = house.rooms, None
    for room in alone.rooms:
        same = [one.id for one in rooms if one.name.casefold() == room.name.casefold()]
        room_id = same[0] if same else slug(room.name, {one.id for one in rooms}, "room")
        rooms = rooms if same else (*rooms, replace(room, id=room_id))
    taken = {one.id for one in house.tanks}
    last = place_at_end(house)
    tank = replace(tank, id=tank_slug(tank.name, taken), room=room_id, walk_order=last)
    return replace(house, rooms=rooms, tanks=(*house.tanks, tank))


def refuse_taken(house: Household, answers: Answers) -> None:
    """Refuse the name of another tank."""
    name = named(answers.tank, "name")
    if any(one.name.casefold() == name.casefold() for one in house.tanks):
        raise UserFault("name_taken", field="name", name=name)


def day_of(household: Household, now: datetime) -> date:
    """Return the household's day at a moment."""
    return moment_of(household, now).day


def proposals_for(
    household: Household, on: date, *, is_quarantine: bool = False
) -> tuple[Proposal, ...]:
    """Return the chores that are proposed for the tank that came last.

    What the household was proposed with an earlier tank and does not have was declined: it is off.
    """
    tank = household.tanks[-1]
    found = proposed(tank, household, on, is_quarantine=is_quarantine)
    names = {one.name for one in household.chores if one.tank not in (None, tank.id)}
    needs = {row.needs for row in ROWS if row.name in names}
    if len(household.tanks) > 1:
        needs.add(Needs.NOTHING)
    # With a tank whose own chores need as much it was proposed, or it could have been added.
    declined = [one for one in found if one.row.for_house and one.row.needs in needs]
    all_told = (replace(one, is_on=False) if one in declined else one for one in found)
    return tuple(sorted(all_told, key=lambda one: not one.is_on))


def catalogue_of(household: Household, tank_id: str | None, on: date) -> tuple[Proposal, ...]:
    """Return all chores of the catalogue that suit a tank, none chosen, those that are there last.

    Without a tank, those of the household that any of its tanks asks for.
    """
    found: dict[str, Proposal] = {}
    for tank in household.tanks if tank_id is None else (household.tank(tank_id),):
        for one in proposed(tank, household, on):
            if tank_id is not None or one.chore.tank is None:
                found.setdefault(one.row.key, one)
    there = keys_there(household, tank_id, on, found.values())
    # What it is good for is told of each, whether or not the gear was named.
    plain = [replace(one, is_on=False, missing=Gear.NONE) for one in found.values()]
    return tuple(sorted(plain, key=lambda one: one.row.key in there))


def first_days(household: Household, chore: Chore, now: datetime) -> tuple[date, ...]:
    """Return the first days on which a proposed chore would be due."""
    return next_days(fold_household(household, history_of(()), now), chore)


def with_chores(household: Household, accepted: Iterable[Proposal]) -> Household:
    """Return the household with the chores that were accepted."""
    return replace(household, chores=(*household.chores, *(one.chore for one in accepted)))


def add_tank(
    desk: Desk, answers: Answers, accepted: Sequence[Proposal], by: str | None = None
) -> SetDown:
    """Add a tank with its room and the chores that were accepted; one undo takes all back."""
    with desk.store.reading() as reading:
        new_id = household_with(desk.household(reading), answers).tanks[-1].id

    def make(house: Household, moment: Moment) -> Household:
        refuse_taken(house, answers)
        grown = household_with(house, answers)
        if grown.tanks[-1].id != new_id:
            raise UserFault("name_taken", field="name", name=answers.tank)
        taken = {one.id for one in house.chores}
        chores = []
        for one in accepted:
            chore = one.chore
            tank = None if chore.tank is None else new_id
            chore = replace(chore, id=chore_slug(tank, chore.name, taken), tank=tank)
            taken.add(chore.id)
            chores.append(_begun(chore, moment.day))
        grown = replace(grown, chores=(*house.chores, *chores))
        return with_followers(house, grown, moment.day)

    return set_down(desk, Redefined(How.ADDED, Thing.TANK, answers.tank.strip()), make, by, new_id)


def settle_in(desk: Desk, household: Household) -> None:
    """Put tank and chores into an empty household, in one transaction."""
    with desk.store.writing() as writing:
        present = writing.household()
        if present.tanks or present.chores or writing.entries(LogQuery(limit=1)):
            raise UserFault("not_empty", household=present.name)
        today = day_of(household, desk.clock.now())
        chores = tuple(_begun(one, today) for one in household.chores)
        writing.save_household(replace(household, chores=chores))
    desk.tell(Change(None))


def _begun(chore: Chore, today: date) -> Chore:
    """Return a new chore that says since when there is it: today, or since its first turn."""
    rhythm = chore.rhythm
    first = rhythm.start if isinstance(rhythm, Calendar) else chore.first_due
    return replace(chore, valid_from=min(today, first or today))
