"""Writes tanks, equipment and animals."""

from __future__ import annotations

from collections.abc import Iterator

from tankkeeper.core.heat_and_flow import HeatAndFlow
from tankkeeper.core.household import (
    Animal,
    CoverKind,
    Equipment,
    Loss,
    Stage,
    Tank,
    TopOffLimits,
)
from tankkeeper.core.volume import Displaced, Measured, Shape, Sump
from tankkeeper.services.tank_file.layout import (
    Pair,
    day,
    flag,
    inline,
    known_text,
    number,
    table,
    text,
    word,
)


def tank(one: Tank, given_id: str | None, room_word: str | None) -> list[str]:
    """Return one of [[tanks]] with its tables."""
    lines = table(
        "[[tanks]]",
        [
            ("name", text(one.name)),
            ("id", known_text(given_id)),
            ("room", known_text(room_word)),
            ("walk_order", number(one.walk_order)),
            ("community", word(one.community)),
            ("stage", word(one.stage) if one.stage is not Stage.RUNNING else None),
            ("since", day(one.since)),
            ("target_salinity", number(one.target_salinity)),
            ("target_temperature_c", number(one.target_temperature_c)),
            ("jumpers", flag(one.jumpers)),
        ],
    )
    for name, pairs in _parts(one):
        lines += table(f"[tanks.{name}]", pairs)
    return lines


def _parts(one: Tank) -> Iterator[tuple[str, list[Pair]]]:
    """Yield the tables within a tank that say anything."""
    yield "shape", _shape(one.shape)
    if one.displaced is not None:
        yield "displaced", _displaced(one.displaced)
    if one.sump is not None:
        yield "sump", _sump(one.sump)
    if one.cover is not None:
        kind = word(one.cover.kind) if one.cover.kind is not CoverKind.OPEN else None
        yield "cover", [("kind", kind), ("covered", number(one.cover.covered))]
    if one.top_off != TopOffLimits():
        yield "top_off", _top_off(one.top_off)
    if one.heat_and_flow is not None:
        yield "heat_and_flow", _heat_and_flow(one.heat_and_flow)
    if one.ranges:
        yield "ranges", _ranges(one)


def _shape(one: Shape) -> list[Pair]:
    return [
        ("kind", word(one.kind)),
        ("measured", word(one.measured) if one.measured is not Measured.INSIDE else None),
        ("length_cm", number(one.length_cm)),
        ("width_cm", number(one.width_cm)),
        ("height_cm", number(one.height_cm)),
        ("water_depth_cm", number(one.water_depth_cm)),
        ("glass_mm", number(one.glass_mm)),
        ("base_mm", number(one.base_mm)),
        ("diameter_cm", number(one.diameter_cm)),
        ("bow_cm", number(one.bow_cm)),
        ("sides", number(one.sides)),
        ("edge_cm", number(one.edge_cm)),
        ("litres", number(one.litres)),
        ("surface_cm2", number(one.surface_cm2)),
    ]


def _displaced(one: Displaced) -> list[Pair]:
    return [
        ("rock_dry_kg", number(one.rock_dry_kg)),
        ("sand_depth_cm", number(one.sand_depth_cm)),
        ("rock_wet_kg", number(one.rock_wet_kg)),
        ("rock_envelope_kg_per_l", number(one.rock_envelope_kg_per_l)),
        ("rock_open_porosity", number(one.rock_open_porosity)),
        ("rock_submerged", number(one.rock_submerged)),
        ("sand_dry_kg", number(one.sand_dry_kg)),
        ("sand_porosity", number(one.sand_porosity)),
        ("equipment_l", number(one.equipment_l)),
    ]


def _sump(one: Sump) -> list[Pair]:
    return [
        ("litres", number(one.litres)),
        ("last_chamber_cm2", number(one.last_chamber_cm2)),
        ("in_cabinet", flag(one.in_cabinet)),
        ("surface_cm2", number(one.surface_cm2)),
        ("pipes_l", number(one.pipes_l)),
        ("free_l", number(one.free_l)),
    ]


def _top_off(one: TopOffLimits) -> list[Pair]:
    return [
        ("allowed_drop_mm", number(one.allowed_drop_mm)),
        ("allowed_salinity_rise", number(one.allowed_salinity_rise)),
        ("reservoir_l", number(one.reservoir_l)),
        ("reserve_l", number(one.reserve_l)),
    ]


def _heat_and_flow(one: HeatAndFlow) -> list[Pair]:
    return [
        ("heater_w", number(one.heater_w)),
        ("fans", number(one.fans)),
        ("return_l_per_h", number(one.return_l_per_h)),
        ("overflow_drop_cm", number(one.overflow_drop_cm)),
    ]


def _ranges(one: Tank) -> list[Pair]:
    return [
        (
            own.parameter,
            inline(
                [
                    ("low", number(own.low)),
                    ("high", number(own.high)),
                    ("unit", known_text(own.unit)),
                ]
            ),
        )
        for own in one.ranges
    ]


def equipment(one: Equipment, tank_word: str | None) -> list[str]:
    """Return one of [[equipment]]."""
    return table(
        "[[equipment]]",
        [
            ("tank", known_text(tank_word)),
            ("kind", known_text(one.kind)),
            ("name", known_text(one.name)),
            ("installed", day(one.installed_on)),
            ("life_months", number(one.life_months)),
        ],
    )


def animal(one: Animal, tank_word: str | None) -> list[str]:
    """Return one of [[animals]]."""
    pairs: list[Pair] = [
        ("tank", known_text(tank_word)),
        ("name", known_text(one.name)),
        ("count", number(one.count)),
        ("added", day(one.added_on)),
        ("diet", known_text(one.diet)),
        ("jumper", flag(one.jumper)),
    ]
    if len(one.lost) == 1:
        pairs.append(("lost", _loss(one.lost[0])))
    elif one.lost:
        pairs.append(("lost", f"[{', '.join(_loss(each) for each in one.lost)}]"))
    return table("[[animals]]", pairs)


def _loss(lost: Loss) -> str:
    why = known_text(lost.why)
    return inline([("on", day(lost.on)), ("count", number(lost.count)), ("why", why)])
