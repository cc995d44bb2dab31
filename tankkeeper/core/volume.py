"""How much water a tank holds: its shape, what stands in it, and its sump."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from enum import StrEnum

from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.values import dataclass

# Engineering judgement, no source: litres displaced by a kilogram of rock of unknown density.
DRY_ROCK_L_PER_KG = 0.40
WET_ROCK_L_PER_KG = 0.35
# Share of a sand bed that is water: random packed spheres 0.36-0.40, carbonate grains are
# looser (from memory). Grain density of carbonate sand from memory.
SAND_POROSITY = 0.42
SAND_GRAIN_KG_PER_L = 2.8
# Engineering judgement, no source: half the 90 % span as a share of the volume.
MEASURED_SPREAD = 0.05
GUESSED_ROCK_SPREAD = 0.10
# With the height alone the level is taken this far below the rim, give or take as much.
USUAL_RIM_GAP_CM = 3.0
# Choices of this project: the glass of a tank measured outside whose thickness nobody gave. From a
# small tank to a large one lie about these; the middle is taken, and the litres get the span.
LEAST_GLASS_MM, GUESSED_GLASS_MM, MOST_GLASS_MM = 6.0, 12.0, 19.0
LARGEST_SIZE_CM = 10_000.0
LARGEST_VOLUME_L = 100_000.0


class ShapeKind(StrEnum):
    """The plan of a tank."""

    BOX = "box"
    CYLINDER = "cylinder"
    BOW_FRONT = "bow front"
    POLYGON = "polygon"
    OTHER = "other"


class Measured(StrEnum):
    """On which side of the glass the sizes were taken."""

    INSIDE = "inside"
    OUTSIDE = "outside"


@dataclass(frozen=True, slots=True)
class Shape:
    """The sizes of a tank as they were measured; None is not known.

    For a bow front `width_cm` is the straight depth and `bow_cm` what the bow adds to it. For
    "other", `litres` is the water in the tank with rock and sand already left out.
    """

    kind: ShapeKind
    measured: Measured = Measured.INSIDE
    length_cm: float | None = None
    width_cm: float | None = None
    height_cm: float | None = None
    water_depth_cm: float | None = None
    glass_mm: float | None = None
    base_mm: float | None = None
    diameter_cm: float | None = None
    bow_cm: float | None = None
    sides: int | None = None
    edge_cm: float | None = None
    litres: float | None = None
    surface_cm2: float | None = None


@dataclass(frozen=True, slots=True)
class Displaced:
    """What stands in the water and takes its place; None is not known, zero is none."""

    rock_dry_kg: float | None = None
    sand_depth_cm: float | None = None
    rock_wet_kg: float | None = None
    rock_envelope_kg_per_l: float | None = None
    rock_open_porosity: float | None = None
    rock_submerged: float | None = None
    sand_dry_kg: float | None = None
    sand_porosity: float | None = None
    equipment_l: float | None = None


@dataclass(frozen=True, slots=True)
class Sump:
    """The sump with its water at running level; its last chamber shows what evaporates.

    `free_l` is the room above the running level, which takes what runs back.
    """

    litres: float | None = None
    last_chamber_cm2: float | None = None
    in_cabinet: bool | None = None
    surface_cm2: float | None = None
    pipes_l: float | None = None
    free_l: float | None = None


def _check_span(field: str, value: float | None, low: float, high: float) -> None:
    if value is not None and not low <= value <= high:
        raise out_of_range(field, value, low, high)


def _check_size(field: str, value: float | None, high: float = LARGEST_SIZE_CM) -> None:
    if value is not None and not 0.0 < value <= high:
        raise out_of_range(field, value, 0.0, high, "more_than_zero")


def check_shape(shape: Shape) -> None:
    """Refuse sizes that no tank can have, whether or not they are all known."""
    for field in fields(shape):
        if field.name.endswith("_cm"):
            _check_size(field.name, getattr(shape, field.name))
    _check_size("litres", shape.litres, LARGEST_VOLUME_L)
    _check_size("surface_cm2", shape.surface_cm2, LARGEST_SIZE_CM**2)
    _check_span("glass_mm", shape.glass_mm, 0.0, 200.0)
    _check_span("base_mm", shape.base_mm, 0.0, 200.0)
    _check_span("sides", shape.sides, 3, 100)
    glass = _stated_glass_cm(shape)
    for name in ("length_cm", "width_cm", "diameter_cm"):
        size = getattr(shape, name)
        if glass is not None and size is not None and 2.0 * glass >= size:
            raise out_of_range("glass_mm", shape.glass_mm, 0.0, 5.0 * size)
    _check_bow(shape, glass)
    _check_depth(shape)


def _check_bow(shape: Shape, glass_cm: float | None) -> None:
    """Refuse a bow deeper than half the chord, which would be more than half a circle."""
    if shape.bow_cm is None or shape.length_cm is None or glass_cm is None:
        return
    deepest = (shape.length_cm - 2.0 * glass_cm) / 2.0
    if shape.bow_cm > deepest:
        raise out_of_range("bow_cm", shape.bow_cm, 0.0, deepest)


def _check_depth(shape: Shape) -> None:
    if shape.height_cm is None:
        return
    inside = shape.height_cm - _stated_base_cm(shape)
    if inside <= 0.0:
        raise out_of_range("base_mm", shape.base_mm, 0.0, 10.0 * shape.height_cm)
    if shape.water_depth_cm is not None and shape.water_depth_cm > inside:
        raise out_of_range("water_depth_cm", shape.water_depth_cm, 0.0, inside)


def is_glass_guessed(shape: Shape) -> bool:
    """Tell whether the sizes were taken outside of glass whose thickness is not known."""
    is_outside = shape.measured is Measured.OUTSIDE and shape.kind is not ShapeKind.OTHER
    return is_outside and shape.glass_mm is None


def _stated_glass_cm(shape: Shape) -> float | None:
    """Return what to take off each side of the measures; None when that is not known."""
    if shape.measured is Measured.INSIDE:
        return 0.0
    return None if shape.glass_mm is None else shape.glass_mm / 10.0


def _glass_cm(shape: Shape) -> float:
    """Return what to take off each side of the measures, as is usual when that is not known."""
    stated = _stated_glass_cm(shape)
    return GUESSED_GLASS_MM / 10.0 if stated is None else stated


def _stated_base_cm(shape: Shape) -> float:
    if shape.measured is Measured.INSIDE:
        return 0.0
    return (_stated_glass_cm(shape) or 0.0) if shape.base_mm is None else shape.base_mm / 10.0


def _base_cm(shape: Shape) -> float:
    if shape.measured is Measured.INSIDE:
        return 0.0
    return _glass_cm(shape) if shape.base_mm is None else shape.base_mm / 10.0


def _depth_cm(shape: Shape) -> tuple[float, float] | None:
    """Return the water depth and how far it may be off; None when neither size is known."""
    if shape.water_depth_cm is not None:
        return shape.water_depth_cm, 0.0
    base = _base_cm(shape)
    if shape.height_cm is None:
        return None
    depth = shape.height_cm - base - USUAL_RIM_GAP_CM
    if depth <= 0.0:
        return None
    return depth, USUAL_RIM_GAP_CM


def _box_cm2(shape: Shape, glass: float) -> float | None:
    if shape.length_cm is None or shape.width_cm is None:
        return None
    return (shape.length_cm - 2.0 * glass) * (shape.width_cm - 2.0 * glass)


def _cylinder_cm2(shape: Shape, glass: float) -> float | None:
    if shape.diameter_cm is None:
        return None
    return math.pi * (shape.diameter_cm / 2.0 - glass) ** 2


def _bow_front_cm2(shape: Shape, glass: float) -> float | None:
    """Return a rectangle and, before it, a segment of a circle of chord c and depth s."""
    rectangle = _box_cm2(shape, glass)
    if rectangle is None or shape.length_cm is None or shape.bow_cm is None:
        return None
    c, s = shape.length_cm - 2.0 * glass, shape.bow_cm
    r = (c * c / 4.0 + s * s) / (2.0 * s)
    segment = r * r * math.acos((r - s) / r) - (r - s) * math.sqrt(2.0 * r * s - s * s)
    return rectangle + segment


def _polygon_cm2(shape: Shape, glass: float) -> float | None:
    if shape.sides is None or shape.edge_cm is None:
        return None
    tangent = math.tan(math.pi / shape.sides)
    edge = shape.edge_cm - 2.0 * glass * tangent
    if edge <= 0.0 and is_glass_guessed(shape):
        return None
    if edge <= 0.0:
        raise out_of_range("glass_mm", shape.glass_mm, 0.0, 5.0 * shape.edge_cm / tangent)
    return shape.sides * edge * edge / (4.0 * tangent)


_PLAN = {
    ShapeKind.BOX: _box_cm2,
    ShapeKind.CYLINDER: _cylinder_cm2,
    ShapeKind.BOW_FRONT: _bow_front_cm2,
    ShapeKind.POLYGON: _polygon_cm2,
}


def surface_cm2(shape: Shape) -> float | None:
    """Return the area of the water surface inside the glass; None when not known."""
    check_shape(shape)
    glass = _glass_cm(shape)
    if shape.kind is ShapeKind.OTHER or _is_narrower_than(shape, 2.0 * glass):
        return shape.surface_cm2
    area = _PLAN[shape.kind](shape, glass)
    return shape.surface_cm2 if area is None else area


def _is_narrower_than(shape: Shape, least_cm: float) -> bool:
    """Tell whether guessed glass would leave no room within it."""
    sizes = (shape.length_cm, shape.width_cm, shape.diameter_cm)
    return any(size is not None and size <= least_cm for size in sizes)


def gross_litres(shape: Shape) -> float | None:
    """Return the litres inside the glass up to the water line; None when not known.

    Without a water depth the level is taken `USUAL_RIM_GAP_CM` below the rim.
    """
    if shape.kind is ShapeKind.OTHER and shape.litres is not None:
        check_shape(shape)
        return shape.litres
    area, depth = surface_cm2(shape), _depth_cm(shape)
    if area is None or depth is None:
        return None
    return area * depth[0] / 1000.0


def level_area_cm2(shape: Shape, sump: Sump | None) -> float | None:
    """Return the area on which the level falls as water evaporates.

    With an overflow the display keeps its level and the sump's last chamber shows the loss.
    """
    if sump is None:
        return surface_cm2(shape)
    _check_size("last_chamber_cm2", sump.last_chamber_cm2, LARGEST_SIZE_CM**2)
    return sump.last_chamber_cm2


def deepest_fall_mm(shape: Shape, sump: Sump | None) -> float | None:
    """Return how far the level can fall before nothing is left where it falls; None if not known.

    >>> deepest_fall_mm(Shape(ShapeKind.OTHER, litres=100.0, surface_cm2=2500.0), None)
    400.0
    """
    area = level_area_cm2(shape, sump)
    litres = gross_litres(shape) if sump is None else sump.litres
    return None if not area or litres is None else litres * 10_000.0 / area


def check_displaced(displaced: Displaced) -> None:
    """Refuse rock, sand and equipment that cannot be."""
    for name in ("rock_dry_kg", "rock_wet_kg", "sand_dry_kg", "equipment_l"):
        _check_span(name, getattr(displaced, name), 0.0, LARGEST_VOLUME_L)
    _check_span("sand_depth_cm", displaced.sand_depth_cm, 0.0, LARGEST_SIZE_CM)
    _check_span("rock_envelope_kg_per_l", displaced.rock_envelope_kg_per_l, 0.8, 3.2)
    _check_span("rock_open_porosity", displaced.rock_open_porosity, 0.0, 0.95)
    _check_span("sand_porosity", displaced.sand_porosity, 0.0, 0.95)
    _check_span("rock_submerged", displaced.rock_submerged, 0.0, 1.0)


def rock_litres(displaced: Displaced) -> float | None:
    """Return the water that rock displaces; its open pores fill. None when not known."""
    check_displaced(displaced)
    submerged = 1.0 if displaced.rock_submerged is None else displaced.rock_submerged
    if displaced.rock_dry_kg is not None:
        return displaced.rock_dry_kg * _dry_rock_l_per_kg(displaced) * submerged
    if displaced.rock_wet_kg is not None:
        return displaced.rock_wet_kg * WET_ROCK_L_PER_KG * submerged
    return None


def _dry_rock_l_per_kg(displaced: Displaced) -> float:
    if displaced.rock_envelope_kg_per_l is None or displaced.rock_open_porosity is None:
        return DRY_ROCK_L_PER_KG
    return (1.0 - displaced.rock_open_porosity) / displaced.rock_envelope_kg_per_l


def sand_litres(displaced: Displaced, bed_cm2: float | None) -> float | None:
    """Return the water that a sand bed displaces; None when not known."""
    check_displaced(displaced)
    if displaced.sand_dry_kg is not None:
        return displaced.sand_dry_kg / SAND_GRAIN_KG_PER_L
    if displaced.sand_depth_cm == 0.0:
        return 0.0
    if displaced.sand_depth_cm is None or bed_cm2 is None:
        return None
    porosity = SAND_POROSITY if displaced.sand_porosity is None else displaced.sand_porosity
    return bed_cm2 * displaced.sand_depth_cm * (1.0 - porosity) / 1000.0


def _sump_litres(sump: Sump | None) -> float:
    if sump is None:
        return 0.0
    _check_span("sump_litres", sump.litres, 0.0, LARGEST_VOLUME_L)
    _check_span("pipes_l", sump.pipes_l, 0.0, LARGEST_VOLUME_L)
    return (sump.litres or 0.0) + (sump.pipes_l or 0.0)


def _rock_is_measured(displaced: Displaced | None) -> bool:
    """Return whether the rock adds no guess of its own to the volume."""
    if displaced is None or displaced.rock_dry_kg is None:
        return displaced is not None and displaced.rock_wet_kg == 0.0
    known = (displaced.rock_envelope_kg_per_l, displaced.rock_open_porosity)
    return displaced.rock_dry_kg == 0.0 or None not in known


def _display_water(shape: Shape, gross: float, displaced: Displaced | None) -> float:
    """Return the water in the display, rock, sand and equipment taken off."""
    if displaced is None or (shape.kind is ShapeKind.OTHER and shape.litres is not None):
        return gross
    taken = (
        (rock_litres(displaced) or 0.0)
        + (sand_litres(displaced, surface_cm2(shape)) or 0.0)
        + (displaced.equipment_l or 0.0)
    )
    if taken >= gross:
        raise UserFault("displaced_more_than_gross", displaced_l=taken, gross_l=gross)
    return gross - taken


def net_water(
    shape: Shape | None,
    displaced: Displaced | None = None,
    sump: Sump | None = None,
    stated_litres: float | None = None,
) -> Estimate | None:
    """Return the water of the whole system with its 90 % span; None when too little is known.

    A stated volume (a metered first fill) overrides the geometry. Otherwise the span is 5 % with
    measured sizes and 10 % where the rock is guessed or not known (judgement, no source).
    """
    gross = None if shape is None else gross_litres(shape)
    running = _sump_litres(sump)
    if stated_litres is not None:
        _check_size("stated_litres", stated_litres, LARGEST_VOLUME_L)
        if gross is not None and stated_litres > gross + running:
            raise out_of_range("stated_litres", stated_litres, 0.0, gross + running)
        return _spread(stated_litres, MEASURED_SPREAD)
    if shape is None or gross is None:
        return None
    display = _display_water(shape, gross, displaced)
    is_stated = shape.kind is ShapeKind.OTHER and shape.litres is not None
    share = MEASURED_SPREAD
    if not is_stated and not _rock_is_measured(displaced):
        share = GUESSED_ROCK_SPREAD
    depth = _depth_cm(shape)
    guessed_depth = 0.0 if depth is None or is_stated else gross * depth[1] / depth[0]
    half = math.hypot(share * (display + running), guessed_depth, _guessed_glass_l(shape, gross))
    value = display + running
    # In a very shallow tank the guessed level could swallow all of the water.
    return Estimate(value, max(value - half, 0.05 * value), value + half)


def _guessed_glass_l(shape: Shape, gross: float) -> float:
    """Return how far the litres may be off because nobody knows how thick the glass is."""
    if not is_glass_guessed(shape):
        return 0.0
    ends = (gross_litres(replace(shape, glass_mm=mm)) for mm in (LEAST_GLASS_MM, MOST_GLASS_MM))
    return max((abs(end - gross) for end in ends if end is not None), default=0.0)


def _spread(value: float, share: float) -> Estimate:
    return Estimate(value, value * (1.0 - share), value * (1.0 + share))


def drain_down_litres(display_cm2: float, drop_cm: float, pipes_l: float = 0.0) -> float:
    """Return the litres that run into the sump when the pump stops."""
    _check_size("display_cm2", display_cm2, LARGEST_SIZE_CM**2)
    _check_span("drop_cm", drop_cm, 0.0, LARGEST_SIZE_CM)
    _check_span("pipes_l", pipes_l, 0.0, LARGEST_VOLUME_L)
    return display_cm2 * drop_cm / 1000.0 + pipes_l


def spare_sump_litres(sump_free_l: float, drain_down_l: float) -> float:
    """Return what stays free in the sump with the pump off; below zero it overflows."""
    return sump_free_l - drain_down_l
