"""Chores set down: added, changed with the past left as it was, ended."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from tankkeeper.core.chore_ends import ended
from tankkeeper.core.chores import AmountUnit, Chore, ChoreKind
from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.household import Household
from tankkeeper.core.ids import chore_slug
from tankkeeper.core.logbook import How, Redefined, Thing
from tankkeeper.core.making_ready import MAKING_READY, following, lost_step
from tankkeeper.core.moment import Moment
from tankkeeper.core.net_water import net_of
from tankkeeper.core.shown_digits import poured_value
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.units import in_unit
from tankkeeper.services.chore_units import refuse_units
from tankkeeper.services.desk import Desk
from tankkeeper.services.litres_limits import told_above
from tankkeeper.services.rhythm_versions import changed_from, with_version
from tankkeeper.services.settling import SetDown, merged, set_down, set_down_by

# So many names stand in the logbook for what was added at once.
_NAMED = 3


def add_chore(desk: Desk, chore: Chore, by: str | None = None) -> SetDown:
    """Add a chore; its id is made from its tank and its name."""
    with desk.store.reading() as reading:
        taken = {one.id for one in desk.household(reading).chores}
    new_id = chore_slug(chore.tank, chore.name, taken)

    def make(house: Household, moment: Moment) -> Household:
        if any(one.id == new_id for one in house.chores):
            raise UserFault("same_id_twice", what="chore", id=new_id)
        _refuse_by_evaporation(chore)
        _refuse_beyond_tank(house, chore)
        refuse_units(house, chore)
        begins = chore.valid_from or moment.day
        added = replace(chore, id=new_id, valid_from=begins)
        return with_followers(
            house, replace(house, chores=(*house.chores, added)), max(begins, moment.day)
        )

    said = Redefined(How.ADDED, Thing.CHORE, chore.name.strip(), new_id)
    return set_down(desk, said, make, by, chore.tank)


def add_chores(
    desk: Desk, chores: Sequence[Chore], tank: str | None, by: str | None = None
) -> SetDown:
    """Add several chores, of a tank or of the household, as one change."""
    if not chores:
        raise UserFault("no_chores_chosen")

    def make(house: Household, moment: Moment) -> Household:
        taken = {one.id for one in house.chores}
        added = []
        for chore in chores:
            _refuse_by_evaporation(chore)
            _refuse_beyond_tank(house, chore)
            new_id = chore_slug(chore.tank, chore.name, taken)
            taken.add(new_id)
            begins = chore.valid_from or moment.day
            added.append(replace(chore, id=new_id, valid_from=begins))
        return with_followers(house, replace(house, chores=(*house.chores, *added)), moment.day)

    first = [one.name.strip() for one in chores[:_NAMED]]
    more = f" and {len(chores) - _NAMED} more" if len(chores) > _NAMED else ""
    said = Redefined(How.ADDED, Thing.CHORE, f"{', '.join(first)}{more}")
    return set_down(desk, said, make, by, tank)


def change_chore(
    desk: Desk,
    chore: Chore,
    from_day: date | None = None,
    by: str | None = None,
    was: Chore | None = None,
) -> SetDown:
    """Change a chore, known by its id; another rhythm holds from a day on, today unless said.

    The rhythm before is kept for the days before, so what was due then stays as it was, and what is
    open today stays open. With `was`, only what differs from that is changed. What made a water
    change ready in step with it follows.
    """

    def make(state: HouseholdState) -> Household:
        house = state.household
        present = find(house, chore.id)
        wanted = merged(present, was, chore)
        _refuse_by_evaporation(wanted, present)
        if (wanted.amount, wanted.kind) != (present.amount, present.kind):
            _refuse_beyond_tank(house, wanted)
        refuse_units(house, wanted, present)
        begins = _begin(from_day, state.moment)
        changed = changed_from(state, present, wanted, begins)
        chores = tuple(
            changed if one.id == chore.id else _renamed(one, present, chore) for one in house.chores
        )
        return with_followers(house, replace(house, chores=chores), begins)

    said = Redefined(How.CHANGED, Thing.CHORE, chore.name.strip(), chore.id)
    return set_down_by(desk, said, make, by, chore.tank)


def end_chore(desk: Desk, chore_id: str, by: str | None = None) -> SetDown:
    """Let a chore not come any more from today on; what was done of it stays in the logbook."""
    with desk.store.reading() as reading:
        named = find(desk.household(reading), chore_id)

    def make(house: Household, moment: Moment) -> Household:
        over = ended(find(house, chore_id), moment.day - timedelta(days=1))
        return replace(
            house, chores=tuple(over if one.id == chore_id else one for one in house.chores)
        )

    said = Redefined(How.ENDED, Thing.CHORE, named.name, chore_id)
    return set_down(desk, said, make, by, named.tank)


def let_follow(desk: Desk, prep_id: str, by: str | None = None) -> SetDown:
    """Let a chore that makes water ready come before each change that it serves from today on."""
    with desk.store.reading() as reading:
        named = find(desk.household(reading), prep_id)

    def make(state: HouseholdState) -> Household:
        house, today = state.household, state.moment.day
        prep = find(house, prep_id)
        rhythm = following(prep, house, today)
        if rhythm is None:
            return house
        return _with(house, [changed_from(state, prep, replace(prep, rhythm=rhythm), today)])

    said = Redefined(How.CHANGED, Thing.CHORE, named.name, prep_id)
    return set_down_by(desk, said, make, by, named.tank)


def with_followers(before: Household, after: Household, begins: date) -> Household:
    """Return the household with what made water ready in step with the changes still in step."""
    was = {one.id: one for one in before.chores}
    followers = [with_version(was[one.id], one, begins) for one in lost_step(before, after, begins)]
    return _with(after, followers)


def followed(before: Household, after: Household) -> tuple[Chore, ...]:
    """Return what makes water ready and got another rhythm, as it is now."""
    was = {one.id: one for one in before.chores if one.kind in MAKING_READY}
    return tuple(one for one in after.chores if one.id in was and one.rhythm != was[one.id].rhythm)


def _with(house: Household, changed: Sequence[Chore]) -> Household:
    by_id = {one.id: one for one in changed}
    return replace(house, chores=tuple(by_id.get(one.id, one) for one in house.chores))


_OF_THE_WATER = (ChoreKind.WATER_CHANGE, ChoreKind.TOP_OFF)


def _in_gallons(refused: UserFault, house: Household) -> UserFault:
    """Return a refusal of litres with its numbers in the unit of the household."""
    unit = house.units.volume
    refused.tell_in(unit, lambda litres: poured_value(in_unit(litres, unit), unit))
    return refused


def _refuse_beyond_tank(house: Household, chore: Chore) -> None:
    """Refuse an amount that is more than tank or reservoir holds, where that is known."""
    amount, tank = chore.amount, next((one for one in house.tanks if one.id == chore.tank), None)
    if amount is None or tank is None:
        return
    holds = tank.top_off.reservoir_l
    is_litres = amount.unit is AmountUnit.LITRES
    if chore.kind is ChoreKind.RESERVOIR and is_litres and holds is not None:
        if amount.value > holds + told_above(holds, house.units.volume):
            refused = out_of_range("amount", amount.value, 0.0, holds, "reservoir_size")
            raise _in_gallons(refused, house)
        return
    if chore.kind not in _OF_THE_WATER:
        return
    if amount.unit is AmountUnit.PERCENT and amount.value > 100.0:
        refused = out_of_range("amount", amount.value, 0.0, 100.0)
        refused.values["unit"] = "%"
        raise refused
    net = net_of(tank)
    if amount.unit is AmountUnit.LITRES and net is not None and amount.value > net.high:
        refused = out_of_range("amount", amount.value, 0.0, net.value, "whole_tank")
        raise _in_gallons(refused, house)


def _refuse_by_evaporation(chore: Chore, present: Chore | None = None) -> None:
    """Refuse that evaporation decides what fills nothing; a chore that is so already may stay so.

    The day is that of the missing water, and only fresh water brings that back.
    """
    if not chore.by_evaporation or chore.is_done_by_filling:
        return
    was_filling = present is not None and present.is_done_by_filling
    if present is None or was_filling or not present.by_evaporation:
        raise UserFault("only_filling_by_evaporation", field="kind" if was_filling else "way")


def find(house: Household, chore_id: str) -> Chore:
    """Return a chore by its id, or refuse one that there is not any more."""
    found = next((one for one in house.chores if one.id == chore_id), None)
    if found is None:
        raise UserFault("no_such_chore", chore=chore_id)
    return found


def _begin(from_day: date | None, moment: Moment) -> date:
    if from_day is None or from_day == moment.day:
        return moment.day
    if from_day < moment.day:
        raise UserFault("day_is_past", field="from_day", to=from_day, works=moment.day)
    return from_day


def _renamed(one: Chore, before: Chore, after: Chore) -> Chore:
    """Return another chore with the new name where it waits for the one that is renamed."""
    if before.name == after.name or before.name not in one.ready_before:
        return one
    if before.tank not in (None, one.tank):
        return one
    ready = tuple(after.name.strip() if name == before.name else name for name in one.ready_before)
    return replace(one, ready_before=ready)
