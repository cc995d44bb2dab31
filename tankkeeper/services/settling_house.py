"""What a household has besides tanks and chores, set down: one thing added, changed, taken out."""

from __future__ import annotations

from collections.abc import Callable
from collections.abc import Container as Holding
from dataclasses import replace
from datetime import date
from typing import Any

from tankkeeper.core.days import check_day_start, parse_zone
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import (
    Animal,
    Container,
    Equipment,
    Household,
    Person,
    Room,
    SaltMix,
    Supply,
    WaterSupply,
)
from tankkeeper.core.ids import slug
from tankkeeper.core.logbook import How, Redefined, Thing
from tankkeeper.core.moment import Moment
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown, merged, set_down

Listed = Person | Room | Container | Equipment | Animal | Supply
_LISTS: dict[type[Any], tuple[str, Thing]] = {
    Person: ("people", Thing.PERSON),
    Room: ("rooms", Thing.ROOM),
    Container: ("containers", Thing.CONTAINER),
    Equipment: ("equipment", Thing.EQUIPMENT),
    Animal: ("animals", Thing.ANIMAL),
    Supply: ("supplies", Thing.SUPPLY),
}
# As many signs as the longest in use have, such as NT$ or Bs.S.
_LONGEST_CURRENCY = 4


def add(desk: Desk, new: Listed, by: str | None = None) -> SetDown:
    """Add a person, room, container, supply, a piece of equipment or animals, last in its list."""
    key, thing = _LISTS[type(new)]

    def make(house: Household, moment: Moment) -> Household:
        _refuse_same_person(house, new, "")
        named = _with_id(house, key, thing, counted(None, new, moment.day))
        return _put(house, key, (*getattr(house, key), named))

    return set_down(desk, _said(How.ADDED, thing, new), make, by, getattr(new, "tank", None))


def change(
    desk: Desk,
    was: Listed,
    becomes: Listed,
    by: str | None = None,
    also: Callable[[Household, Moment], Household] | None = None,
    said: Redefined | None = None,
    note: str = "",
) -> SetDown:
    """Change one of them, known by what it was, to what it becomes; `also` makes the rest of it.

    The logbook tells what is `said` of it, by its name, with the reason in `note`.
    """
    key, thing = _LISTS[type(was)]

    def make(house: Household, moment: Moment) -> Household:
        rows = list(getattr(house, key))
        place = _place(rows, was, thing)
        rows[place] = merged(rows[place], was, counted(was, becomes, moment.day))
        _refuse_same_person(house, rows[place], was.name)
        changed = _put(house, key, tuple(rows))
        return changed if also is None else also(changed, moment)

    named = _said(How.CHANGED, thing, becomes)
    told = named if said is None else replace(said, name=named.name)
    return set_down(desk, told, make, by, getattr(becomes, "tank", None), note)


def counted(was: Listed | None, becomes: Listed, today: date) -> Listed:
    """Return a supply whose stock is another one as counted today, unless its day is told, too."""
    if not isinstance(becomes, Supply) or becomes.stock is None:
        return becomes
    before = was if isinstance(was, Supply) else Supply(becomes.id)
    is_counted = becomes.stock != before.stock and becomes.counted_on == before.counted_on
    return replace(becomes, counted_on=today) if is_counted else becomes


def remove(desk: Desk, was: Listed, by: str | None = None) -> SetDown:
    """Take one of them out; what others say of it goes with it, the logbook stays as it is."""
    key, thing = _LISTS[type(was)]

    def make(house: Household, _moment: Moment) -> Household:
        rows = list(getattr(house, key))
        del rows[_place(rows, was, thing)]
        letting_go = _LETTING_GO.get(type(was))
        left = house if letting_go is None else letting_go(house, was)
        return _put(left, key, tuple(rows))

    said = _said(How.REMOVED, thing, was)
    return set_down(desk, said, make, by, getattr(was, "tank", None))


def users_of(house: Household, thing: object, today: date) -> tuple[str, ...]:
    """Return the names of the tanks or chores that name a room, a person or a supply.

    Of chores those that have not ended.
    """
    if isinstance(thing, Room):
        return tuple(one.name for one in house.tanks if one.room == thing.id)
    if not isinstance(thing, (Person, Supply)):
        return ()
    found = [
        one.name
        for one in house.chores
        if not one.has_ended(today)
        and (thing.id in one.who or any(use.supply == thing.id for use in one.uses))
    ]
    return tuple(dict.fromkeys(found))


def set_water_supply(desk: Desk, becomes: WaterSupply | None, by: str | None = None) -> SetDown:
    """Set down how fresh water is had."""
    said = Redefined(How.CHANGED, Thing.WATER_SUPPLY)
    return set_down(desk, said, lambda house, _now: replace(house, water_supply=becomes), by)


def set_salt_mix(desk: Desk, becomes: SaltMix | None, by: str | None = None) -> SetDown:
    """Set down the salt mix."""
    said = Redefined(How.CHANGED, Thing.SALT_MIX)
    return set_down(desk, said, lambda house, _now: replace(house, salt_mix=becomes), by)


def set_basics(desk: Desk, like: Household, by: str | None = None) -> SetDown:
    """Set down name, zone, hours of the day, first weekday, currency and units as in `like`."""

    try:
        parse_zone(like.zone)
    except UserFault as unknown:
        raise UserFault("unknown_zone", zone=like.zone, field="zone") from unknown

    def make(house: Household, _moment: Moment) -> Household:
        # Also one that a household has from before; elsewhere it stands in nobody's way.
        check_day_start(like.day_begins)
        _refuse_no_currency(like.currency, house.currency)
        return replace(
            house,
            name=like.name,
            zone=like.zone,
            day_begins=like.day_begins,
            round_at=like.round_at,
            first_weekday=like.first_weekday,
            currency=like.currency.strip(),
            units=like.units,
        )

    return set_down(desk, Redefined(How.CHANGED, Thing.HOUSEHOLD, like.name.strip()), make, by)


def _refuse_no_currency(text: str, before: str) -> None:
    """Refuse what is neither a code of ISO 4217, which has three letters, nor a sign such as kr.

    What a file brought stays as it is while it is left alone.
    """
    typed = text.strip()
    is_short = len(typed) <= _LONGEST_CURRENCY and not any(one.isdigit() for one in typed)
    if text != before and not (is_short and len(typed.split()) <= 1):
        raise UserFault("not_a_currency", text=typed, field="currency")


def _refuse_same_person(house: Household, one: Listed, before: str) -> None:
    """Refuse a name that another person has but for capitals: nobody could tell the two apart.

    What a file brought stays as it is while the name is left alone.
    """
    if not isinstance(one, Person) or one.name == before:
        return
    wanted = one.name.strip().casefold()
    for other in house.people:
        if wanted and other.id != one.id and other.name.casefold() == wanted:
            raise UserFault("person_taken", field="name", name=other.name)


def _said(how: How, thing: Thing, one: Listed) -> Redefined:
    return Redefined(how, thing, one.called if isinstance(one, Equipment) else one.name.strip())


def _put(house: Household, key: str, rows: tuple[Any, ...]) -> Household:
    return replace(house, **{key: rows})  # type: ignore[arg-type]


def _with_id(house: Household, key: str, thing: Thing, new: Listed) -> Listed:
    if not isinstance(new, (Person, Room, Supply)):
        return new
    taken: Holding[str] = {one.id for one in getattr(house, key)}
    return replace(new, id=slug(new.name, taken, thing.value))


def _place(rows: list[Any], was: Listed, thing: Thing) -> int:
    """Return where one stands; where somebody changed it meanwhile, by its id if it has one."""
    for place, one in enumerate(rows):
        if one == was or (isinstance(was, (Person, Room, Supply)) and one.id == was.id):
            return place
    raise UserFault("gone_meanwhile", what=thing.value, name=was.name)


def _let_person_go(house: Household, was: Any) -> Household:
    chores = tuple(
        replace(one, who=tuple(who for who in one.who if who != was.id)) for one in house.chores
    )
    return replace(house, chores=chores)


def _let_room_go(house: Household, was: Any) -> Household:
    tanks = tuple(replace(one, room=None) if one.room == was.id else one for one in house.tanks)
    return replace(house, tanks=tanks)


def _let_supply_go(house: Household, was: Any) -> Household:
    chores = tuple(
        replace(one, uses=tuple(use for use in one.uses if use.supply != was.id))
        for one in house.chores
    )
    return replace(house, chores=chores)


_LETTING_GO: dict[type[Any], Callable[[Household, Any], Household]] = {
    Person: _let_person_go,
    Room: _let_room_go,
    Supply: _let_supply_go,
}
