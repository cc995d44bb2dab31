"""New equipment, with the chore that services it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tankkeeper.core.chores import LONGEST_NOUN, AfterLastDone, Chore, ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Equipment, Household
from tankkeeper.core.ids import chore_slug
from tankkeeper.core.intervals import Interval, IntervalUnit, advance
from tankkeeper.core.limits import PLANNED_AHEAD
from tankkeeper.core.logbook import How, Redefined, Thing
from tankkeeper.core.moment import Moment
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown, set_down


def service_name(gear: Equipment) -> str:
    """Return the name of the chore that services a piece of equipment."""
    return f"Service: {gear.called or 'equipment'}"


def is_serviced(gear: Equipment, household: Household, today: date) -> bool:
    """Tell whether there is a chore that services a piece of equipment, by its name."""
    return service_of(gear, household, today) is not None


def service_of(gear: Equipment, household: Household, today: date) -> Chore | None:
    """Return the chore that services a piece of equipment, by its name, None without one."""
    name = service_name(gear)
    found = (
        one
        for one in household.chores
        if one.name == name and one.tank == gear.tank and not one.has_ended(today)
    )
    return next(found, None)


def service_chore(gear: Equipment, weeks: int, household: Household, moment: Moment) -> Chore:
    """Return the chore that services a piece of equipment, first one interval after its start."""
    try:
        every = Interval(weeks, IntervalUnit.WEEKS)
    except UserFault as refused:
        refused.values["field"] = "service_weeks"
        raise
    name = service_name(gear)
    taken = {one.id for one in household.chores}
    # A day that cannot be is refused once the equipment is kept; nothing is counted from it.
    installed = min(gear.installed_on or moment.day, moment.day + PLANNED_AHEAD)
    first = max(moment.day, advance(installed, every))
    return Chore(
        chore_slug(gear.tank, name, taken),
        ChoreKind.SERVICE,
        name,
        AfterLastDone(every),
        gear.tank,
        noun=_noun(gear),
        first_due=first,
        valid_from=moment.day,
    )


def _noun(gear: Equipment) -> str:
    """Return what is serviced in one short word: the last of its kind or name that is one."""
    words = [*gear.kind.split()[-1:], *gear.name.split()[-1:]]
    return next((one.lower() for one in words if len(one) <= LONGEST_NOUN), "service")


def add_equipment(
    desk: Desk, gear: Equipment, service_weeks: int | None = None, by: str | None = None
) -> SetDown:
    """Add a piece of equipment, with its service chore where one is wanted, as one change."""

    def make(house: Household, moment: Moment) -> Household:
        chores = house.chores
        if service_weeks is not None:
            chores = (*chores, service_chore(gear, service_weeks, house, moment))
        return replace(house, equipment=(*house.equipment, gear), chores=chores)

    return set_down(desk, Redefined(How.ADDED, Thing.EQUIPMENT, gear.called), make, by, gear.tank)


def change_equipment(
    desk: Desk, was: Equipment, gear: Equipment, service_weeks: int | None, by: str | None = None
) -> SetDown:
    """Change a piece of equipment, and add its service chore where one is wanted and none is."""

    def make(house: Household, moment: Moment) -> Household:
        rows, chores = list(house.equipment), house.chores
        if was not in rows:
            raise UserFault("gone_meanwhile", what=Thing.EQUIPMENT.value, name=was.name)
        rows[rows.index(was)] = gear
        is_new = not any(is_serviced(one, house, moment.day) for one in (was, gear))
        if service_weeks is not None and is_new:
            chores = (*chores, service_chore(gear, service_weeks, house, moment))
        return replace(house, equipment=tuple(rows), chores=chores)

    name = gear.called
    return set_down(desk, Redefined(How.CHANGED, Thing.EQUIPMENT, name), make, by, gear.tank)
