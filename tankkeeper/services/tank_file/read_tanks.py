"""Reads tanks, equipment and animals of a tank file."""

from __future__ import annotations

from tankkeeper.core.communities import Community
from tankkeeper.core.heat_and_flow import (
    MOST_FANS,
    MOST_FLOW_L_PER_H,
    MOST_HEATER_W,
    HeatAndFlow,
    check_heat_and_flow,
)
from tankkeeper.core.household import (
    Animal,
    Cover,
    CoverKind,
    Equipment,
    Loss,
    OwnRange,
    Stage,
    Tank,
    TopOffLimits,
)
from tankkeeper.core.parameters import find_parameter
from tankkeeper.core.units import find_unit
from tankkeeper.core.volume import (
    LARGEST_SIZE_CM,
    Displaced,
    Measured,
    Shape,
    ShapeKind,
    Sump,
    check_displaced,
    check_shape,
)
from tankkeeper.services.tank_file.naming import Names, read_id
from tankkeeper.services.tank_file.table import Table

MOST_KG = 100_000.0
MOST_CM2 = LARGEST_SIZE_CM**2
MOST_ANIMALS = 100_000
MOST_LOSSES = 200
# A shape that does not say its kind is known by the first of these sizes that it has.
_KIND_BY_SIZE = {
    "diameter_cm": ShapeKind.CYLINDER,
    "bow_cm": ShapeKind.BOW_FRONT,
    "sides": ShapeKind.POLYGON,
    "edge_cm": ShapeKind.POLYGON,
    "litres": ShapeKind.OTHER,
    "length_cm": ShapeKind.BOX,
    "width_cm": ShapeKind.BOX,
}


def read_tank(row: Table, new_id: str, rooms: Names) -> Tank | None:
    """Return one tank."""
    name = row.needed_name("name")
    read_id(row)
    row.require("shape")
    shape = _shape(row.inner("shape"))
    room = rooms.look_up(row, "room")
    order = row.whole("walk_order", 0, 10_000)
    community = row.choice("community", Community)
    stage = row.choice("stage", Stage) or Stage.RUNNING
    since = row.day("since")
    salinity = row.salinity("target_salinity")
    warmth = row.temperature("target_temperature_c")
    jumpers = row.flag("jumpers")
    displaced = _displaced(row.inner("displaced"))
    sump = _sump(row.inner("sump"))
    cover = _cover(row.inner("cover"))
    top_off = _top_off(row.inner("top_off")) or TopOffLimits()
    heat_and_flow = _heat_and_flow(row.inner("heat_and_flow"), shape)
    ranges = _ranges(row.inner("ranges"))
    return row.build(
        lambda: Tank(
            id=new_id,
            name=name,
            shape=shape or Shape(ShapeKind.OTHER),
            room=room,
            walk_order=order,
            community=community,
            stage=stage,
            since=since,
            target_salinity=salinity,
            target_temperature_c=warmth,
            jumpers=jumpers,
            displaced=displaced,
            sump=sump,
            cover=cover,
            top_off=top_off,
            ranges=ranges,
            heat_and_flow=heat_and_flow,
        )
    )


def _shape(table: Table | None) -> Shape | None:
    if table is None:
        return None
    kind = table.choice("kind", ShapeKind) or _kind_by_sizes(table)
    measured = table.choice("measured", Measured) or Measured.INSIDE

    def size(key: str) -> float | None:
        return table.number(key, 0.0, MOST_CM2)

    shape = Shape(
        kind=kind,
        measured=measured,
        length_cm=size("length_cm"),
        width_cm=size("width_cm"),
        height_cm=size("height_cm"),
        water_depth_cm=size("water_depth_cm"),
        glass_mm=size("glass_mm"),
        base_mm=size("base_mm"),
        diameter_cm=size("diameter_cm"),
        bow_cm=size("bow_cm"),
        sides=table.whole("sides", 3, 100),
        edge_cm=size("edge_cm"),
        litres=table.volume("litres"),
        surface_cm2=size("surface_cm2"),
    )
    return table.build(lambda: _checked_shape(shape))


def _kind_by_sizes(table: Table) -> ShapeKind:
    """Return the shape that the sizes tell which are given."""
    for key, kind in _KIND_BY_SIZE.items():
        if key in table.raw:
            return kind
    return ShapeKind.OTHER


def _checked_shape(shape: Shape) -> Shape:
    check_shape(shape)
    return shape


def _displaced(table: Table | None) -> Displaced | None:
    if table is None:
        return None
    found = Displaced(
        rock_dry_kg=table.number("rock_dry_kg", 0.0, MOST_KG),
        sand_depth_cm=table.number("sand_depth_cm", 0.0, LARGEST_SIZE_CM),
        rock_wet_kg=table.number("rock_wet_kg", 0.0, MOST_KG),
        rock_envelope_kg_per_l=table.number("rock_envelope_kg_per_l", 0.0, 10.0),
        rock_open_porosity=table.number("rock_open_porosity", 0.0, 1.0),
        rock_submerged=table.number("rock_submerged", 0.0, 1.0),
        sand_dry_kg=table.number("sand_dry_kg", 0.0, MOST_KG),
        sand_porosity=table.number("sand_porosity", 0.0, 1.0),
        equipment_l=table.volume("equipment_l"),
    )
    return table.build(lambda: _checked_displaced(found))


def _checked_displaced(displaced: Displaced) -> Displaced:
    check_displaced(displaced)
    return displaced


def _sump(table: Table | None) -> Sump | None:
    if table is None:
        return None
    found = Sump(
        litres=table.volume("litres"),
        last_chamber_cm2=table.number("last_chamber_cm2", 0.0, MOST_CM2),
        in_cabinet=table.flag("in_cabinet"),
        surface_cm2=table.number("surface_cm2", 0.0, MOST_CM2),
        pipes_l=table.volume("pipes_l"),
        free_l=table.volume("free_l"),
    )
    return table.build(lambda: found)


def _cover(table: Table | None) -> Cover | None:
    if table is None:
        return None
    kind = table.choice("kind", CoverKind) or CoverKind.OPEN
    covered = table.number("covered", 0.0, 1.0)
    return table.build(lambda: Cover(kind, covered))


def _top_off(table: Table | None) -> TopOffLimits | None:
    if table is None:
        return None
    drop = table.number("allowed_drop_mm", 0.0, 1000.0)
    rise = table.number("allowed_salinity_rise", 0.0, 42.0)
    reservoir = table.volume("reservoir_l")
    reserve = table.volume("reserve_l")
    return table.build(lambda: TopOffLimits(drop, rise, reservoir, reserve))


def _heat_and_flow(table: Table | None, shape: Shape | None) -> HeatAndFlow | None:
    if table is None:
        return None
    found = HeatAndFlow(
        heater_w=table.number("heater_w", 0.0, MOST_HEATER_W),
        fans=table.whole("fans", 0, MOST_FANS),
        return_l_per_h=table.number("return_l_per_h", 0.0, MOST_FLOW_L_PER_H),
        overflow_drop_cm=table.number("overflow_drop_cm", 0.0, LARGEST_SIZE_CM),
    )

    def checked() -> HeatAndFlow:
        check_heat_and_flow(found, shape)
        return found

    return table.build(checked)


def _ranges(table: Table | None) -> tuple[OwnRange, ...]:
    if table is None:
        return ()
    found: list[OwnRange] = []
    for name in table.raw:
        parameter = table.guarded(name, lambda name=name: find_parameter(name))  # type: ignore[misc]
        row = table.inner(name)
        if row is None or parameter is None:
            continue
        low, high = (row.number(key, -1_000_000.0, 1_000_000.0) for key in ("low", "high"))
        unit = row.name("unit", 40) or ""
        if unit:
            dimension = parameter.dimension
            unit = row.guarded("unit", lambda u=unit, d=dimension: find_unit(u, d)) or ""  # type: ignore[misc]
        if low is not None and high is not None and low > high:
            row.fault("low", "low_above_high", low=low, high=high)
        row.close()
        found.append(OwnRange(parameter.name, low, high, unit))
    if len({one.parameter for one in found}) < len(found):
        table.fault(None, "named_twice")
    return tuple(found)


def read_equipment(row: Table, tanks: Names) -> Equipment | None:
    """Return one piece of equipment."""
    kind, name = row.name("kind") or "", row.name("name") or ""
    tank = tanks.look_up(row, "tank")
    installed = row.day("installed")
    life = row.whole("life_months", 1, 1200)
    return row.build(lambda: Equipment(kind, name, tank, installed, life))


def read_animal(row: Table, tanks: Names) -> Animal | None:
    """Return the animals of one kind in a tank."""
    tank = tanks.look_up(row, "tank")
    name = row.name("name") or ""
    count = row.whole("count", 0, MOST_ANIMALS)
    added = row.day("added")
    lost = _losses(row)
    diet = row.text("diet", 1000) or ""
    jumper = row.flag("jumper")
    return row.build(lambda: Animal(tank, name, count, added, lost, diet, jumper))


def _losses(row: Table) -> tuple[Loss, ...]:
    """Return one loss where a table stands, or those of a list of tables."""
    if isinstance(row.raw.get("lost"), list):
        tables = list(row.rows("lost", MOST_LOSSES))
    else:
        inner = row.inner("lost")
        tables = [] if inner is None else [inner]
    return tuple(found for found in map(_loss, tables) if found is not None)


def _loss(table: Table) -> Loss | None:
    on = table.day("on")
    count = table.whole("count", 1, MOST_ANIMALS)
    why = table.text("why") or ""
    return table.build(lambda: Loss(on, count, why))
