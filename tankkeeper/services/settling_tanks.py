"""Tanks set down: added, changed, copied, put to rest, ended, put in another order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from tankkeeper.core.balance import litres_until_level
from tankkeeper.core.catalogue import first_day
from tankkeeper.core.chores import Calendar, Chore, Once
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import DRY_STAGES, Household, Stage, Tank
from tankkeeper.core.ids import chore_slug, tank_slug
from tankkeeper.core.logbook import How, Redefined, Thing
from tankkeeper.core.moment import Moment
from tankkeeper.core.pauses import SLEEPING_STAGES
from tankkeeper.core.tank_learning import learn
from tankkeeper.services.desk import Desk
from tankkeeper.services.round import place_at_end
from tankkeeper.services.settling import SetDown, checked, merged, set_down

_HOW = {Stage.PAUSED: How.PAUSED, Stage.PLANNED: How.PAUSED, Stage.RETIRED: How.RETIRED}


def change_tank(desk: Desk, tank: Tank, by: str | None = None, was: Tank | None = None) -> SetDown:
    """Change a tank, known by its id, to what is given; with `was`, only what differs from that."""

    def make(house: Household, moment: Moment) -> Household:
        present = house.tank(tank.id)
        wanted = merged(present, was, tank)
        if wanted.name != present.name:
            _refuse_name(house, tank.id, wanted.name)
        if wanted.since != present.since:
            _refuse_day_ahead(wanted, moment.day)
        becomes = _with(house, wanted)
        try:
            _refuse_impossible_water(house, present, wanted, moment)
        except UserFault as impossible:
            impossible.also = _refused(house, becomes, moment)
            raise
        return becomes

    said = Redefined(How.CHANGED, Thing.TANK, tank.name.strip())
    return set_down(desk, said, make, by, tank.id)


def _refuse_day_ahead(tank: Tank, today: date) -> None:
    """Refuse that a tank that holds water is in its stage since a day to come.

    One that is to be emptied, or to be set up, may rest from such a day on.
    """
    if tank.since is not None and tank.since > today and tank.stage not in DRY_STAGES:
        raise UserFault("stage_ahead", field="since", stage=tank.stage.value, on=tank.since)


def _refused(house: Household, becomes: Household, moment: Moment) -> tuple[UserFault, ...]:
    """Return what else cannot be."""
    try:
        checked(house, becomes, moment)
    except UserFault as refused:
        return (refused, *refused.also)
    return ()


def _refuse_impossible_water(house: Household, present: Tank, wanted: Tank, moment: Moment) -> None:
    """Refuse what leaves a tank with no water to reckon with, unless that was so before."""
    try:
        learned = learn(wanted, house.room(wanted.room), (), moment.day)
        drop = wanted.top_off.allowed_drop_mm
        if drop is not None and drop != present.top_off.allowed_drop_mm:
            litres_until_level(learned.level_area_cm2 or 1.0, drop)
    except UserFault:
        try:
            learn(present, house.room(present.room), (), moment.day)
        except UserFault:
            return
        raise


def copy_tank(desk: Desk, tank_id: str, name: str, by: str | None = None) -> SetDown:
    """Add a tank like another one, with chores like its own that begin today without a past."""
    new_id = tank_slug(name, _ids(desk))

    def make(house: Household, moment: Moment) -> Household:
        _refuse_taken(house, new_id)
        _refuse_name(house, new_id, name)
        like = house.tank(tank_id)
        stage = Stage.RUNNING if like.stage is Stage.RETIRED else like.stage
        # Nobody said since when a copy runs; one that rests does so from today on.
        since = moment.day if stage in SLEEPING_STAGES else None
        last = place_at_end(house)
        tank = replace(like, id=new_id, name=name, walk_order=last, stage=stage, since=since)
        chores = list(house.chores)
        for place, chore in enumerate(house.chores):
            # What has a last day, such as the tests of a quarantine, is of that one tank.
            if chore.tank == tank_id and chore.ended_on is None and not _is_over(chore, moment):
                taken = {one.id for one in chores}
                chore_id = chore_slug(new_id, chore.name, taken)
                chores.append(_begun_anew(chore, new_id, chore_id, moment.day, place))
        return replace(house, tanks=(*house.tanks, tank), chores=tuple(chores))

    said = Redefined(How.COPIED, Thing.TANK, name.strip(), like=tank_id)
    return set_down(desk, said, make, by, new_id)


def _is_over(chore: Chore, moment: Moment) -> bool:
    """Tell whether a chore had one single day that has passed."""
    return isinstance(chore.rhythm, Once) and chore.rhythm.on < moment.day


def _begun_anew(chore: Chore, tank: str, chore_id: str, on: date, place: int) -> Chore:
    counted = None
    if not isinstance(chore.rhythm, Calendar):
        counted = first_day(chore.kind, chore.rhythm, on, place) or on
    return replace(chore, id=chore_id, tank=tank, first_due=counted, valid_from=on, earlier=())


def set_stage(desk: Desk, tank_id: str, stage: Stage, by: str | None = None) -> SetDown:
    """Let a tank enter another stage of its life from today on; what was done there stays."""
    state = desk.state()
    before = state.household.tank(tank_id)
    how, since = _HOW.get(stage, How.CHANGED), None
    if how is How.CHANGED and before.stage in SLEEPING_STAGES:
        how = How.BEGUN if before.stage is Stage.PLANNED else How.RESUMED
        rest = state.pause_of(before)
        since = date.fromordinal(rest.first) if rest is not None else None

    def make(house: Household, moment: Moment) -> Household:
        tank = house.tank(tank_id)
        if tank.stage is stage:
            return house
        return _with(house, replace(tank, stage=stage, since=moment.day))

    said = Redefined(how, Thing.TANK, before.name, rested_since=since, stage=stage)
    return set_down(desk, said, make, by, tank_id)


def reorder(desk: Desk, tank_ids: Sequence[str], by: str | None = None) -> SetDown:
    """Let the walk through the house go by these tanks in this order, and by the others after."""

    def make(house: Household, _moment: Moment) -> Household:
        for tank_id in tank_ids:
            house.tank(tank_id)
        rest = [one.id for one in house.tanks if one.id not in tank_ids]
        place = {one: number for number, one in enumerate((*tank_ids, *rest), start=1)}
        tanks = tuple(replace(one, walk_order=place[one.id]) for one in house.tanks)
        return replace(house, tanks=tanks)

    return set_down(desk, Redefined(How.REORDERED, Thing.TANK), make, by)


def _with(house: Household, tank: Tank) -> Household:
    return replace(house, tanks=tuple(tank if one.id == tank.id else one for one in house.tanks))


def _household(desk: Desk) -> Household:
    with desk.store.reading() as reading:
        return desk.household(reading)


def _ids(desk: Desk) -> set[str]:
    return {one.id for one in _household(desk).tanks}


def _refuse_taken(house: Household, tank_id: str) -> None:
    """Refuse an id that somebody else took just now."""
    if any(one.id == tank_id for one in house.tanks):
        raise UserFault("same_id_twice", what="tank", id=tank_id)


def _refuse_name(house: Household, tank_id: str, name: str) -> None:
    """Refuse the name of another tank, whatever its capitals."""
    said = name.strip().casefold()
    if any(one.id != tank_id and one.name.casefold() == said for one in house.tanks):
        raise UserFault("name_taken", field="name", name=name.strip())
