"""What belongs to the household: settings, people, rooms, containers, supplies, water, salt."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from tankkeeper.core.days import EARLIEST_DAY_START, LATEST_DAY_START
from tankkeeper.core.household import (
    Container,
    Household,
    SaltMix,
    Supply,
    WaterFor,
    WaterSource,
    WaterSupply,
)
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.units import Dimension, in_unit, units_of
from tankkeeper.gui.backup_parts import backups_part
from tankkeeper.gui.forms.specs import Group, Kind, Spec
from tankkeeper.gui.gear_parts import equipment_part
from tankkeeper.gui.parts import Part, Row, write_listed
from tankkeeper.gui.people_parts import people_part
from tankkeeper.gui.room_parts import rooms_part
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.tank_parts import chores_part
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import NBSP, UNIT_SIGNS
from tankkeeper.reports.words import WEEKDAYS, Words
from tankkeeper.services import settling_house
from tankkeeper.services.chore_units import SUPPLY_UNITS
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown

Rows = tuple[tuple[str, object], ...]
_DAY = "Such as 2 Mar 2026."


def house_parts(
    more: Sequence[Part] = (), backs_up: Callable[[], bool] = lambda: True
) -> tuple[Part, ...]:
    """Return all that is set down of the household itself.

    `more` is what the person sets; `backs_up` tells whether backups are made by themselves.
    """
    return (
        _one("settings", "Settings", "settings", lambda house: house, _SETTINGS, _basics, _looks),
        *more,
        backups_part(backs_up),
        people_part(),
        rooms_part(),
        _listed("containers", "Containers", "container", _container_line, _CONTAINER, Container),
        _supplies(),
        _one("water", "Water supply", "water supply", _water_of, _WATER, _write_water),
        _one("salt", "Salt mix", "salt mix", _salt_of, _SALT, _write_salt),
        chores_part(None),
        equipment_part(None),
    )


def _rows(rows: Rows) -> Callable[[Words], Rows]:
    return lambda _words: rows


def _of(values: Any) -> Callable[[Words], Rows]:
    return _rows(tuple((capital(one.value.replace("-", " ")), one) for one in values))


def _units(dimension: Dimension) -> Callable[[Words], Rows]:
    return _rows(tuple((UNIT_SIGNS.get(one) or one, one) for one in units_of(dimension)))


def _one(
    part_id: str,
    name: str,
    noun: str,
    of: Callable[[Household], Any],
    groups: tuple[Group, ...],
    write: Callable[[Desk, Any, str | None], SetDown],
    sentence: Callable[[], str] | None = None,
) -> Part:
    """Return a part of which there is just one."""

    def rows(state: HouseholdState, _words: Words) -> Sequence[Row]:
        return [Row(name, "", of(state.household))]

    return Part(
        id=part_id,
        name=name,
        noun=noun,
        rows=rows,
        groups=lambda _words: groups,
        write=lambda desk, _was, becomes, by: write(desk, becomes, by),
        sentence=sentence,
    )


def _listed(
    key: str,
    name: str,
    noun: str,
    line: Callable[[Any, Words], str],
    groups: tuple[Group, ...],
    blank: Callable[[], Any],
) -> Part:
    def rows(state: HouseholdState, words: Words) -> Sequence[Row]:
        things = getattr(state.household, key)
        return [Row(one.name or f"Unnamed {noun}", line(one, words), one) for one in things]

    return Part(
        id=key,
        name=name,
        noun=noun,
        rows=rows,
        groups=lambda _words: groups,
        write=write_listed,
        blank=blank,
        remove=settling_house.remove,
    )


def _supplies() -> Part:
    blank = Supply("", "")
    part = _listed("supplies", "Supplies", "supply", _supply_line, _SUPPLY, lambda: blank)
    return replace(part, follows=_supply_follows)


# settings


def _looks() -> str:
    """Return the keys of what the window looks like, which is set by them alone."""
    keys = [key_caption(one) for one in (Command.LARGER, Command.SMALLER, Command.STANDARD_SIZE)]
    scheme, contrast = key_caption(Command.LIGHT_OR_DARK), key_caption(Command.HIGH_CONTRAST)
    return (
        f"Type is larger with {keys[0]}, smaller with {keys[1]}, as usual with {keys[2]}; "
        f"{scheme} goes from light to dark and back, {contrast} to high contrast. "
        f"{key_caption(Command.SHORTCUT_SHEET)} "
        "shows all keys."
    )


_DAY_BEGINS = (
    f"From {EARLIEST_DAY_START:%H:%M} to {LATEST_DAY_START:%H:%M}. "
    "What is done before counts for the day before."
)
_SETTINGS = (
    Group(
        "Household",
        (
            Spec("name", "Name", Kind.TEXT),
            Spec("zone", "Time zone", Kind.TEXT, note="Such as Europe/Oslo."),
            Spec("currency", "Currency", Kind.TEXT, note="Such as EUR, or its sign."),
        ),
    ),
    Group(
        "Day and week",
        (
            Spec("day_begins", "A day begins at", Kind.CLOCK, note=_DAY_BEGINS),
            Spec(
                "round_at",
                "The round is at",
                Kind.CLOCK,
                note="Tells which day's round still comes before a limit. "
                "The morning summary has an hour of its own, under Reminders.",
            ),
            Spec(
                "first_weekday",
                "A week begins on",
                Kind.CHOICE,
                choices=_rows(tuple((name, n) for n, name in enumerate(WEEKDAYS))),
            ),
        ),
    ),
    Group(
        "Units",
        (
            Spec("units.volume", "Water", Kind.CHOICE, choices=_units(Dimension.VOLUME)),
            Spec(
                "units.temperature",
                "Temperature",
                Kind.CHOICE,
                choices=_units(Dimension.TEMPERATURE),
            ),
            Spec("units.salinity", "Salinity", Kind.CHOICE, choices=_units(Dimension.SALINITY)),
            Spec(
                "units.alkalinity", "Alkalinity", Kind.CHOICE, choices=_units(Dimension.ALKALINITY)
            ),
        ),
        "How numbers are shown; what was written down stays what it is.",
    ),
)


def _basics(desk: Desk, house: Household, by: str | None) -> SetDown:
    return settling_house.set_basics(desk, house, by)


# containers and supplies


def _supply_units(words: Words) -> Rows:
    """Return what a supply can be counted in: water in the household's unit, or as one has it."""
    had = {one.unit for one in words.household.supplies}
    left_out = {*units_of(Dimension.VOLUME), ""} - {"mL", words.units.volume} - had
    return (("Not said", ""), *((one, one) for one in SUPPLY_UNITS if one not in left_out))


_CONTAINER = (
    Group(
        "Container",
        (
            Spec("name", "Name", Kind.TEXT),
            Spec("litres", "Holds", Kind.VOLUME),
            Spec("count", "How many", Kind.WHOLE),
            Spec("tare_kg", "Weighs empty", Kind.MASS),
            Spec("holds", "Kept for", Kind.CHOICE, choices=_of(WaterFor)),
        ),
        "Kept for the tanks only: nothing that ever held detergent.",
    ),
)
_SUPPLY = (
    Group(
        "Supply",
        (
            Spec("name", "Name", Kind.TEXT),
            Spec(
                "unit",
                "Counted in",
                Kind.CHOICE,
                choices=_supply_units,
            ),
            Spec("stock", "In stock"),
            Spec("counted_on", "Counted on", Kind.DAY, note=_DAY),
            Spec("pack", "One pack holds"),
            Spec("lead_days", "Days until it is there", Kind.WHOLE, "days", short="Delivery"),
            Spec("expires_on", "To be used by", Kind.DAY, note=_DAY, keys=("expires",)),
        ),
    ),
)


def _container_line(one: Container, words: Words) -> str:
    size = "Size not known" if one.litres is None else words.litres(one.litres)
    many = "" if one.count is None else f", {one.count} of them"
    return f"{size}{many}, for {one.holds.value} water"


def _supply_line(one: Supply, words: Words) -> str:
    if one.stock is None:
        return "Stock not known"
    stock = words.typed(one.stock, one.unit)
    # What was taken since is not known.
    return stock if one.counted_on is None else f"{stock} {words.on_day(one.counted_on)}"


def _supply_follows(state: HouseholdState, one: Supply, words: Words) -> str:
    """Tell by what day a count that was typed will stand, where no day was typed for it."""
    was = next((kept for kept in state.household.supplies if kept.id == one.id), None)
    is_new = settling_house.counted(was, one, words.today) != one
    return "Counted today, unless you type another day." if is_new else ""


# water and salt


def _rated(_water: object, words: Words) -> str:
    """Return at what temperature a rate holds, and how one by the hour is typed."""
    degrees = words.units.temperature
    at = words.typed(in_unit(25.0, degrees), degrees)
    hourly = "8\u00a0L/h" if words.units.volume == "L" else f"2\u00a0{words.units.volume}/h"
    return f"At {at}. Rated by the hour, write it so: {hourly.replace(' ', NBSP)}."


_WATER = (
    Group(
        "Fresh water",
        (
            Spec("source", "It is", Kind.CHOICE, choices=_of(WaterSource)),
            Spec(
                "litres_per_day_rated",
                "Made a day, rated",
                Kind.DAILY,
                note_of=_rated,
                short="Water made a day",
            ),
            Spec("feed_water_c", "Tap water", Kind.TEMPERATURE),
            Spec("waste_per_litre", "Waste water", unit="times the water made"),
            Spec("price_per_litre", "Price a {volume}", Kind.PER_VOLUME),
            Spec("store_litres", "Can be stored", Kind.VOLUME),
        ),
    ),
)
_SALT = (
    Group(
        "Salt mix",
        (
            Spec(
                "grams_per_litre",
                "Dry salt",
                Kind.PER_VOLUME,
                "g a {volume}",
                note="At the target salinity.",
            ),
            Spec("mixing_hours", "Mixed for", unit="hours"),
            Spec("price_per_kg", "Price a {mass}", Kind.PER_MASS),
            Spec("store_litres", "Can be stored", Kind.VOLUME),
        ),
    ),
)


def _water_of(house: Household) -> WaterSupply:
    return house.water_supply or WaterSupply()


def _salt_of(house: Household) -> SaltMix:
    return house.salt_mix or SaltMix()


def _write_water(desk: Desk, becomes: WaterSupply, by: str | None) -> SetDown:
    return settling_house.set_water_supply(desk, becomes, by)


def _write_salt(desk: Desk, becomes: SaltMix, by: str | None) -> SetDown:
    return settling_house.set_salt_mix(desk, becomes, by)
