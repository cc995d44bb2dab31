"""What is kept of a household, column by column: definitions as sheets, and the logbook."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tankkeeper.core.chores import Amount, AmountUnit, Chore, ChoreKind, IfMissed
from tankkeeper.core.climate import ClimateRow
from tankkeeper.core.communities import Community
from tankkeeper.core.errors import out_of_range
from tankkeeper.core.heat_and_flow import HeatAndFlow
from tankkeeper.core.household import (
    Animal,
    Container,
    Cover,
    CoverKind,
    Equipment,
    Household,
    OwnRange,
    Person,
    Room,
    SaltMix,
    ShownUnits,
    Stage,
    Supply,
    Tank,
    TopOffLimits,
    WaterFor,
    WaterSource,
    WaterSupply,
)
from tankkeeper.core.volume import Displaced, Measured, Shape, ShapeKind, Sump
from tankkeeper.store.columns import (
    LONGEST_TEXT,
    as_json,
    choice,
    clock_time,
    day,
    moment,
    number,
    text,
    whole,
    words,
    yes_no,
)
from tankkeeper.store.losses import losses_from_plain, losses_to_plain
from tankkeeper.store.rhythms import (
    earlier_from_plain,
    earlier_to_plain,
    rhythm_from_plain,
    rhythm_to_plain,
    uses_from_plain,
    uses_to_plain,
)
from tankkeeper.store.sheets import Part, Sheet

HUGE = 1e9
LITRES = (0.0, 100_000.0)
GRAMS = (0.0, 10_000_000.0)
TEMPERATURE_C = (-60.0, 100.0)
SALINITY = (0.0, 100.0)
MINUTES_OF_A_DAY = 1440


def _minutes_to_plain(minutes: Sequence[int | None]) -> list[int | None]:
    for value in minutes:
        if value is not None and not 0 <= value <= MINUTES_OF_A_DAY:
            raise out_of_range("minutes", value, 0, MINUTES_OF_A_DAY)
    return list(minutes)


def _kinds_from_plain(plain: Sequence[str]) -> tuple[ChoreKind, ...]:
    return tuple(ChoreKind(word) for word in plain)


HOUSEHOLD = Sheet(
    "household",
    Household,
    (
        text("name"),
        text("zone"),
        clock_time("day_begins"),
        clock_time("round_at"),
        whole("first_weekday", 0, 6),
        text("currency"),
    ),
    (
        Part(
            "units",
            ShownUnits,
            (
                text("units_volume"),
                text("units_temperature"),
                text("units_salinity"),
                text("units_alkalinity"),
            ),
        ),
    ),
)
PERSON = Sheet(
    "person",
    Person,
    (
        text("id", key=True),
        text("name"),
        # Seven numbers or gaps that are only ever read together.
        as_json("minutes", _minutes_to_plain, tuple, optional=True),
        number("lifts_kg", 0.0, 1_000.0),
        as_json("not_for", list, _kinds_from_plain),
    ),
)
ROOM = Sheet("room", Room, (text("id", key=True), text("name"), number("air_speed_m_s", 0.0, 50.0)))
CLIMATE = Sheet(
    "climate",
    ClimateRow,
    (
        whole("month", 0, 12, optional=True),
        number("temperature_c", *TEMPERATURE_C),
        number("humidity", 0.0, 1.0),
    ),
    outer=(text("room", key=True, refers_to="room.id"),),
)
CONTAINER = Sheet(
    "container",
    Container,
    (
        text("name"),
        number("litres", *LITRES),
        whole("count", 0, 1_000_000, optional=True),
        number("tare_kg", 0.0, 10_000.0),
        choice("holds", WaterFor),
    ),
)
WATER_SUPPLY = Sheet(
    "water_supply",
    WaterSupply,
    (
        choice("source", WaterSource),
        number("litres_per_day_rated", *LITRES),
        number("feed_water_c", *TEMPERATURE_C),
        number("waste_per_litre", 0.0, 1_000.0),
        number("price_per_litre", 0.0, HUGE),
        number("store_litres", *LITRES),
    ),
)
SALT_MIX = Sheet(
    "salt_mix",
    SaltMix,
    (
        number("grams_per_litre", 0.0, 1_000.0),
        number("mixing_hours", 0.0, 10_000.0),
        number("price_per_kg", 0.0, HUGE),
        number("store_litres", *LITRES),
    ),
)
_SIZES_CM = ("length_cm", "width_cm", "height_cm", "water_depth_cm")
TANK = Sheet(
    "tank",
    Tank,
    (
        text("id", key=True),
        text("name"),
        text("room", optional=True, refers_to="room.id"),
        whole("walk_order", -1_000_000, 1_000_000, optional=True),
        choice("community", Community, optional=True),
        choice("stage", Stage),
        day("since", optional=True),
        number("target_salinity", *SALINITY),
        number("target_temperature_c", *TEMPERATURE_C),
        yes_no("jumpers", optional=True),
    ),
    (
        Part(
            "shape",
            Shape,
            (
                choice("shape_kind", ShapeKind),
                choice("shape_measured", Measured),
                *(number(f"shape_{size}", 0.0, 10_000.0) for size in _SIZES_CM),
                number("shape_glass_mm", 0.0, 10_000.0),
                number("shape_base_mm", 0.0, 10_000.0),
                number("shape_diameter_cm", 0.0, 10_000.0),
                number("shape_bow_cm", 0.0, 10_000.0),
                whole("shape_sides", 0, 1_000, optional=True),
                number("shape_edge_cm", 0.0, 10_000.0),
                number("shape_litres", *LITRES),
                number("shape_surface_cm2", 0.0, HUGE),
            ),
        ),
        Part(
            "displaced",
            Displaced,
            (
                number("displaced_rock_dry_kg", 0.0, 1_000_000.0),
                number("displaced_sand_depth_cm", 0.0, 10_000.0),
                number("displaced_rock_wet_kg", 0.0, 1_000_000.0),
                number("displaced_rock_envelope_kg_per_l", 0.0, 100.0),
                number("displaced_rock_open_porosity", 0.0, 1.0),
                number("displaced_rock_submerged", 0.0, 1.0),
                number("displaced_sand_dry_kg", 0.0, 1_000_000.0),
                number("displaced_sand_porosity", 0.0, 1.0),
                number("displaced_equipment_l", *LITRES),
            ),
            optional=True,
        ),
        Part(
            "sump",
            Sump,
            (
                number("sump_litres", *LITRES),
                number("sump_last_chamber_cm2", 0.0, HUGE),
                yes_no("sump_in_cabinet", optional=True),
                number("sump_surface_cm2", 0.0, HUGE),
                number("sump_pipes_l", *LITRES),
                number("sump_free_l", *LITRES),
            ),
            optional=True,
        ),
        Part(
            "cover",
            Cover,
            (choice("cover_kind", CoverKind, optional=True), number("cover_covered", 0.0, 1.0)),
            optional=True,
        ),
        Part(
            "top_off",
            TopOffLimits,
            (
                number("top_off_allowed_drop_mm", 0.0, 10_000.0),
                number("top_off_allowed_salinity_rise", *SALINITY),
                number("top_off_reservoir_l", *LITRES),
                number("top_off_reserve_l", *LITRES),
            ),
        ),
        Part(
            "heat_and_flow",
            HeatAndFlow,
            (
                number("heat_and_flow_heater_w", 0.0, 1_000_000.0),
                whole("heat_and_flow_fans", 0, 1_000, optional=True),
                number("heat_and_flow_return_l_per_h", 0.0, 10_000_000.0),
                number("heat_and_flow_overflow_drop_cm", 0.0, 10_000.0),
            ),
            optional=True,
        ),
    ),
)
OWN_RANGE = Sheet(
    "own_range",
    OwnRange,
    (
        text("parameter"),
        number("low", -HUGE, HUGE),
        number("high", -HUGE, HUGE),
        text("unit"),
    ),
    outer=(text("tank", key=True, refers_to="tank.id"),),
)
EQUIPMENT = Sheet(
    "equipment",
    Equipment,
    (
        text("kind"),
        text("name"),
        text("tank", optional=True, refers_to="tank.id"),
        day("installed_on", optional=True),
        whole("life_months", 0, 12_000, optional=True),
    ),
)
ANIMAL = Sheet(
    "animal",
    Animal,
    (
        text("tank", optional=True, refers_to="tank.id"),
        text("name"),
        whole("count", 0, 1_000_000, optional=True),
        day("added_on", optional=True),
        text("diet"),
        yes_no("jumper", optional=True),
        # Seldom any, and only ever read together with the animals.
        as_json("lost", losses_to_plain, losses_from_plain),
    ),
)
SUPPLY = Sheet(
    "supply",
    Supply,
    (
        text("id", key=True),
        text("name"),
        text("unit"),
        number("stock", 0.0, HUGE),
        day("counted_on", optional=True),
        number("pack", 0.0, HUGE),
        whole("lead_days", 0, 3_650, optional=True),
        day("expires_on", optional=True),
    ),
)
CHORE = Sheet(
    "chore",
    Chore,
    (
        text("id", key=True),
        choice("kind", ChoreKind),
        text("name"),
        as_json("rhythm", rhythm_to_plain, rhythm_from_plain),
        text("tank", optional=True, refers_to="tank.id"),
        text("noun"),
        day("first_due", optional=True),
        whole("early_days", 0, 366),
        whole("late_days", 0, 366),
        choice("if_missed", IfMissed),
        whole("minutes", 0, 100_000, optional=True),
        words("who"),
        words("tests"),
        words("ready_before"),
        text("caution", longest=LONGEST_TEXT),
        as_json("uses", uses_to_plain, uses_from_plain),
        day("valid_from", optional=True),
        day("ended_on", optional=True),
        as_json("earlier", earlier_to_plain, earlier_from_plain),
    ),
    (
        Part(
            "amount",
            Amount,
            (
                number("amount_value", -HUGE, HUGE),
                choice("amount_unit", AmountUnit, optional=True),
            ),
            optional=True,
        ),
    ),
)

# Parents stand before their children: rows are added in this order and removed in the other.
SHEETS: tuple[Sheet[Any], ...] = (
    PERSON,
    ROOM,
    CLIMATE,
    CONTAINER,
    WATER_SUPPLY,
    SALT_MIX,
    TANK,
    OWN_RANGE,
    EQUIPMENT,
    ANIMAL,
    SUPPLY,
    CHORE,
)

FIELDS_OF_WATER = (
    text("id"),
    moment("at"),
    text("zone"),
    day("day"),
    text("by_person", optional=True),
    text("tank", optional=True, refers_to="tank.id"),
    text("fact", optional=True),
    text("note", longest=LONGEST_TEXT),
    text("replaces", optional=True, refers_to="entry.id"),
    number("litres", *LITRES),
    number("added_l", *LITRES),
    number("left_l", *LITRES),
    number("fill_l", *LITRES),
    number("salinity", *SALINITY),
    number("temperature_c", *TEMPERATURE_C),
    yes_no("to_mark", optional=True),
    yes_no("estimated", optional=True),
)
_FIELDS_NOT_OF_WATER = (
    number("grams", *GRAMS),
    text("substance", optional=True),
    number("stock_add", -HUGE, HUGE),
    number("stock_count", 0.0, HUGE),
    text("chore", optional=True, refers_to="chore.id"),
    text("turn_key", optional=True),
    clock_time("turn_slot", optional=True),
    day("other_day", optional=True),
    text("pause_mode", optional=True),
    text("revokes", optional=True, refers_to="entry.id"),
)
ENTRY_FIELDS = (*FIELDS_OF_WATER, *_FIELDS_NOT_OF_WATER)
READING_FIELDS = (
    text("parameter"),
    number("value", -HUGE, HUGE, optional=False),
    text("unit"),
    number("typed", -HUGE, HUGE, optional=False),
    number("sample_temperature_c", *TEMPERATURE_C),
)
COMPLETION_FIELDS = (
    text("chore", refers_to="chore.id"),
    text("turn_key"),
    clock_time("slot", optional=True),
    day("day"),
)

IS_WATER = "fact IN ('top_off', 'reservoir_check', 'water_change', 'readings')"
IS_PAUSE = "fact IN ('pause', 'resume')"
IS_MOVE = "fact IN ('skip', 'put_off', 'shift')"
IS_UNDO = "fact = 'revoke'"
# A change of definitions, and the word behind how and what of one that may move the loss.
IS_CHANGE = "fact = 'redefined'"
MOVES_LOSS = "loss"
