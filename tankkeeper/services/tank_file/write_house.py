"""Writes people, rooms, containers, water and supplies of a household."""

from __future__ import annotations

from collections.abc import Iterator

from tankkeeper.core.household import (
    Container,
    Household,
    Person,
    Room,
    SaltMix,
    Supply,
    WaterFor,
    WaterSource,
    WaterSupply,
)
from tankkeeper.services.tank_file.layout import (
    clock,
    day,
    inline,
    known_text,
    number,
    table,
    text,
    texts,
    word,
)
from tankkeeper.services.tank_file.read_house import SHORT_DAYS, WEEKDAYS


def basics(household: Household) -> list[str]:
    """Return [household] and how its numbers are shown."""
    units = household.units
    return [
        *table(
            "[household]",
            [
                ("name", known_text(household.name)),
                ("zone", text(household.zone)),
                ("day_begins", clock(household.day_begins)),
                ("round_at", clock(household.round_at)),
                ("first_weekday", text(WEEKDAYS[household.first_weekday])),
                ("currency", known_text(household.currency)),
            ],
        ),
        *table(
            "[household.units]",
            [
                ("volume", text(units.volume)),
                ("temperature", text(units.temperature)),
                ("salinity", text(units.salinity)),
                ("alkalinity", text(units.alkalinity)),
            ],
        ),
    ]


def person(one: Person, given_id: str | None) -> list[str]:
    """Return one of [[people]]."""
    minutes = None
    if one.minutes is not None:
        minutes = inline(zip(SHORT_DAYS, map(number, one.minutes), strict=True))
    return table(
        "[[people]]",
        [
            ("name", known_text(one.name)),
            ("id", known_text(given_id)),
            ("minutes", minutes),
            ("lifts_kg", number(one.lifts_kg)),
            ("not_for", texts(kind.value for kind in one.not_for)),
        ],
    )


def room(one: Room, given_id: str | None) -> list[str]:
    """Return one of [[rooms]]."""
    rows = [
        inline(
            [
                ("month", number(row.month)),
                ("temperature_c", number(row.temperature_c)),
                ("humidity", number(row.humidity)),
            ]
        )
        for row in one.climate
    ]
    lines = table(
        "[[rooms]]",
        [
            ("name", known_text(one.name)),
            ("id", known_text(given_id)),
            ("air_speed_m_s", number(one.air_speed_m_s)),
        ],
    )
    if rows:
        lines += ["climate = [", *(f"  {row}," for row in rows), "]"]
    return lines


def container(one: Container) -> list[str]:
    """Return one of [[containers]]."""
    return table(
        "[[containers]]",
        [
            ("name", known_text(one.name)),
            ("litres", number(one.litres)),
            ("count", number(one.count)),
            ("tare_kg", number(one.tare_kg)),
            ("for", word(one.holds) if one.holds is not WaterFor.ANY else None),
        ],
    )


def water_supply(one: WaterSupply) -> list[str]:
    """Return [water_supply]."""
    return table(
        "[water_supply]",
        [
            ("source", word(one.source) if one.source is not WaterSource.MADE else None),
            ("litres_per_day_rated", number(one.litres_per_day_rated)),
            ("feed_water_c", number(one.feed_water_c)),
            ("waste_per_litre", number(one.waste_per_litre)),
            ("price_per_litre", number(one.price_per_litre)),
            ("store_litres", number(one.store_litres)),
        ],
    )


def salt_mix(one: SaltMix) -> list[str]:
    """Return [salt_mix]."""
    return table(
        "[salt_mix]",
        [
            ("grams_per_litre", number(one.grams_per_litre)),
            ("mixing_hours", number(one.mixing_hours)),
            ("price_per_kg", number(one.price_per_kg)),
            ("store_litres", number(one.store_litres)),
        ],
    )


def supply(one: Supply, given_id: str | None) -> list[str]:
    """Return one of [[supplies]]."""
    return table(
        "[[supplies]]",
        [
            ("name", known_text(one.name)),
            ("id", known_text(given_id)),
            ("unit", known_text(one.unit)),
            ("stock", number(one.stock)),
            ("counted_on", day(one.counted_on)),
            ("pack", number(one.pack)),
            ("lead_days", number(one.lead_days)),
            ("expires", day(one.expires_on)),
        ],
    )


def means(household: Household) -> Iterator[list[str]]:
    """Yield the tables that only a whole household has beside its people and rooms."""
    for one in household.containers:
        yield container(one)
    if household.water_supply is not None:
        yield water_supply(household.water_supply)
    if household.salt_mix is not None:
        yield salt_mix(household.salt_mix)
