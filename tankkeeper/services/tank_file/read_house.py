"""Reads people, rooms, containers, water and supplies of a tank file."""

from __future__ import annotations

from collections.abc import Callable
from datetime import time

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.climate import ClimateRow
from tankkeeper.core.days import check_day_start, parse_zone
from tankkeeper.core.household import (
    Container,
    Household,
    Minutes,
    Person,
    Room,
    SaltMix,
    ShownUnits,
    Supply,
    WaterFor,
    WaterSource,
    WaterSupply,
)
from tankkeeper.core.units import Dimension, find_unit
from tankkeeper.services.chore_units import SUPPLY_UNITS
from tankkeeper.services.tank_file.naming import read_id
from tankkeeper.services.tank_file.problems import nearest
from tankkeeper.services.tank_file.table import LATEST_EXPIRY, Table

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
SHORT_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
# What stands in for a household that a file leaves unnamed.
UNNAMED = "Household"
UNKNOWN_ZONE = "UTC"

MINUTES_A_DAY = 1440
MOST_MONEY = 1_000_000.0
MOST_STOCK = 1_000_000_000.0
MOST_DAYS = 3650


def read_basics(table: Table | None, usual_zone: str = UNKNOWN_ZONE) -> Household:
    """Return a household with nothing in it but what [household] says."""
    if table is None:
        return Household(name=UNNAMED, zone=usual_zone)
    name = table.name("name") or UNNAMED
    zone = read_zone(table, "zone") or usual_zone
    found = Household(
        name=name,
        zone=zone,
        day_begins=_or(_day_start(table), time(4)),
        round_at=_or(table.clock("round_at"), time(7)),
        first_weekday=_weekday(table),
        currency=table.name("currency", 20) or "",
        units=_units(table.inner("units")),
    )
    table.close()
    return found


def _day_start(table: Table) -> time | None:
    at = table.clock("day_begins")
    return None if at is None else table.guarded("day_begins", lambda: check_day_start(at))


def _or(found: time | None, usual: time) -> time:
    return usual if found is None else found


def read_zone(table: Table, key: str) -> str | None:
    """Return the name of a time zone that there is."""
    name = table.name(key)
    if name is None:
        return None
    zone = table.guarded(key, lambda: parse_zone(name))
    return None if zone is None else zone.key


def _weekday(table: Table) -> int:
    word = table.name("first_weekday")
    if word is None:
        return 0
    if word not in WEEKDAYS:
        table.refuse_choice("first_weekday", word, WEEKDAYS)
        return 0
    return WEEKDAYS.index(word)


def _units(table: Table | None) -> ShownUnits:
    if table is None:
        return ShownUnits()
    usual = ShownUnits()
    found = ShownUnits(
        volume=read_unit(table, "volume", Dimension.VOLUME) or usual.volume,
        temperature=read_unit(table, "temperature", Dimension.TEMPERATURE) or usual.temperature,
        salinity=read_unit(table, "salinity", Dimension.SALINITY) or usual.salinity,
        alkalinity=read_unit(table, "alkalinity", Dimension.ALKALINITY) or usual.alkalinity,
    )
    table.close()
    return found


def read_unit(table: Table, key: str, dimension: Dimension) -> str | None:
    """Return the name of a unit of one dimension."""
    word = table.name(key)
    if word is None:
        return None
    return table.guarded(key, lambda: find_unit(word, dimension))


def read_person(row: Table, new_id: str) -> Person | None:
    """Return one person."""
    name = row.name("name") or ""
    read_id(row)
    minutes = _minutes(row.inner("minutes"))
    lifts = row.number("lifts_kg", 0.0, 500.0)
    not_for = read_words(row, "not_for", lambda word: ChoreKind(word), [*ChoreKind])
    return row.build(lambda: Person(new_id, name, minutes, lifts, not_for))


def read_words(
    row: Table, key: str, make: Callable[[str], ChoreKind], allowed: list[ChoreKind]
) -> tuple[ChoreKind, ...]:
    """Return a list of words of an enumeration."""
    words = row.names(key)
    known = [one.value for one in allowed]
    for word in words:
        if word not in known:
            row.refuse_choice(key, word, known)
    return tuple(make(word) for word in words if word in known)


def _minutes(table: Table | None) -> Minutes | None:
    """Return the minutes of each weekday; of a day left out they are not known."""
    if table is None:
        return None
    mon, tue, wed, thu, fri, sat, sun = (table.whole(day, 0, MINUTES_A_DAY) for day in SHORT_DAYS)
    table.close()
    return mon, tue, wed, thu, fri, sat, sun


def read_room(row: Table, new_id: str) -> Room | None:
    """Return one room with its climate."""
    name = row.name("name") or ""
    read_id(row)
    speed = row.number("air_speed_m_s", 0.0, 10.0)
    climate = tuple(one for one in map(_climate_row, row.rows("climate", 12)) if one is not None)
    months = [one.month for one in climate]
    if len(set(months)) < len(months):
        row.fault("climate", "named_twice")
    return row.build(lambda: Room(new_id, name, speed, climate))


def _climate_row(row: Table) -> ClimateRow | None:
    """Return the air of a month, or of all year where none is named."""
    month = row.whole("month", 1, 12)
    warmth = row.temperature("temperature_c")
    humidity = row.number("humidity", 0.0, 1.0)
    return row.build(lambda: ClimateRow(month, warmth, humidity))


def read_container(row: Table) -> Container | None:
    """Return one kind of bucket or jug."""
    name = row.name("name") or ""
    litres = row.volume("litres")
    count = row.whole("count", 1, 1000)
    tare = row.number("tare_kg", 0.0, 500.0)
    holds = row.choice("for", WaterFor) or WaterFor.ANY
    return row.build(lambda: Container(name, litres, count, tare, holds))


def read_water_supply(table: Table | None) -> WaterSupply | None:
    """Return how fresh water is had."""
    if table is None:
        return None
    source = table.choice("source", WaterSource)
    rated = table.volume("litres_per_day_rated")
    feed = table.temperature("feed_water_c")
    waste = table.number("waste_per_litre", 0.0, 1000.0)
    price = table.number("price_per_litre", 0.0, MOST_MONEY)
    store = table.volume("store_litres")
    return table.build(
        lambda: WaterSupply(source or WaterSource.MADE, rated, feed, waste, price, store)
    )


def read_salt_mix(table: Table | None) -> SaltMix | None:
    """Return the salt mix and its mixing."""
    if table is None:
        return None
    grams = table.number("grams_per_litre", 0.0, 500.0)
    hours = table.number("mixing_hours", 0.0, 1000.0)
    price = table.number("price_per_kg", 0.0, MOST_MONEY)
    store = table.volume("store_litres")
    return table.build(lambda: SaltMix(grams, hours, price, store))


def read_supply(row: Table, new_id: str) -> Supply | None:
    """Return one supply of the cupboard."""
    name = row.name("name") or ""
    read_id(row)
    unit = row.name("unit") or ""
    if unit and unit not in SUPPLY_UNITS:
        near = nearest(unit, SUPPLY_UNITS)
        row.fault("unit", "unknown_choice", value=unit, allowed=SUPPLY_UNITS, nearest=near)
    stock = row.number("stock", 0.0, MOST_STOCK)
    counted = row.day("counted_on")
    pack = row.number("pack", 0.0, MOST_STOCK)
    lead = row.whole("lead_days", 0, MOST_DAYS)
    expires = row.day("expires", LATEST_EXPIRY)
    return row.build(lambda: Supply(new_id, name, unit, stock, counted, pack, lead, expires))
