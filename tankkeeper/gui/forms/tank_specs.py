"""The fields of a tank in the groups a person would look for."""

from __future__ import annotations

from typing import Any, Final

from tankkeeper.core.communities import Community
from tankkeeper.core.heat_and_flow import HeatAndFlow
from tankkeeper.core.household import Cover, CoverKind, Tank
from tankkeeper.core.volume import (
    LEAST_GLASS_MM,
    MOST_GLASS_MM,
    Displaced,
    Measured,
    ShapeKind,
    Sump,
)
from tankkeeper.gui.forms.specs import FLAGS, Group, Kind, Spec
from tankkeeper.reports.flow_words import turnover_note
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.numbers import NBSP, listed
from tankkeeper.reports.range_words import otherwise_line, target_note
from tankkeeper.reports.words import Words

PARTS: Final[dict[str, type[Any]]] = {
    "displaced": Displaced,
    "sump": Sump,
    "cover": Cover,
    "heat_and_flow": HeatAndFlow,
}
NO_ROOM: Final = "Not said"


def _rooms(words: Words) -> tuple[tuple[str, object], ...]:
    return ((NO_ROOM, None), *((one.name or one.id, one.id) for one in words.household.rooms))


def _communities(_words: Words) -> tuple[tuple[str, object], ...]:
    return (("Not said", None), *((capital(one.value), one) for one in Community))


def _shapes(_words: Words) -> tuple[tuple[str, object], ...]:
    other = {ShapeKind.OTHER: "Other, or volume only"}
    return tuple((other.get(one, capital(one.value)), one) for one in ShapeKind)


def _measured(_words: Words) -> tuple[tuple[str, object], ...]:
    return tuple((capital(one.value), one) for one in Measured)


def _covers(_words: Words) -> tuple[tuple[str, object], ...]:
    return (("Not said", None), *((capital(one.value), one) for one in CoverKind))


def _flags(_words: Words) -> tuple[tuple[str, object], ...]:
    return FLAGS


def _since(tank: Tank, _words: Words) -> str:
    """Return why no day may stand there, and what comes of it."""
    if tank.since is not None:
        return "Such as 2 Mar 2026."
    return (
        f"Such as 2 Mar 2026. Empty: since when it is {tank.stage.value} is not known; a change of "
        "its stage fills it."
    )


def _glass(_tank: Tank, words: Words) -> str:
    """Return what is taken while nothing is said."""
    thin, thick = (words.millimetres(one) for one in (LEAST_GLASS_MM, MOST_GLASS_MM))
    return f"While empty it is taken as {thin.partition(NBSP)[0]} to {thick}."


def _jumpers(tank: Tank, words: Words) -> str:
    """Return which of its animals are set down as jumping, while nothing else is said."""
    if tank.jumpers is not None:
        return ""
    names = [
        one.name or "one of them"
        for one in words.household.animals
        if one.tank == tank.id and one.jumper and one.lives
    ]
    named = listed(list(dict.fromkeys(names)))
    return f"By its page {named} {'jumps' if len(names) == 1 else 'jump'}." if names else ""


def _is(*kinds: ShapeKind) -> Any:
    return lambda tank: tank.shape.kind in kinds


def _has_height(tank: Tank) -> bool:
    return tank.shape.kind is not ShapeKind.OTHER


def _is_outside(tank: Tank) -> bool:
    return tank.shape.measured is Measured.OUTSIDE and _has_height(tank)


def _is_covered(tank: Tank) -> bool:
    return tank.cover is not None


_SIDES = _is(ShapeKind.BOX, ShapeKind.BOW_FRONT)

TANK_GROUPS: Final = (
    Group(
        "Name and place",
        (
            Spec("name", "Name", Kind.TEXT),
            Spec("room", "Room", Kind.CHOICE, choices=_rooms, note="Its air decides the loss."),
            Spec("community", "What lives in it", Kind.CHOICE, choices=_communities),
            Spec("since", "In its stage since", Kind.DAY, note_of=_since),
        ),
    ),
    Group(
        "Shape",
        (
            Spec("shape.kind", "Form", Kind.CHOICE, choices=_shapes),
            Spec("shape.measured", "Measured", Kind.CHOICE, choices=_measured, shown=_has_height),
            Spec("shape.length_cm", "Length", Kind.LENGTH, shown=_SIDES),
            Spec(
                "shape.width_cm", "Width, front to back", Kind.LENGTH, shown=_SIDES, short="Width"
            ),
            Spec("shape.bow_cm", "Depth of the bow", Kind.LENGTH, shown=_is(ShapeKind.BOW_FRONT)),
            Spec("shape.diameter_cm", "Diameter", Kind.LENGTH, shown=_is(ShapeKind.CYLINDER)),
            Spec("shape.sides", "Sides", Kind.WHOLE, shown=_is(ShapeKind.POLYGON)),
            Spec("shape.edge_cm", "Length of an edge", Kind.LENGTH, shown=_is(ShapeKind.POLYGON)),
            Spec("shape.height_cm", "Height", Kind.LENGTH),
            Spec("shape.water_depth_cm", "Water up to", Kind.LENGTH),
            Spec("shape.litres", "Water", Kind.VOLUME, shown=_is(ShapeKind.OTHER)),
            Spec("shape.surface_cm2", "Surface", Kind.AREA, shown=_is(ShapeKind.OTHER)),
            Spec(
                "shape.glass_mm",
                "Glass",
                Kind.THICKNESS,
                shown=_is_outside,
                note_of=_glass,
            ),
            Spec("shape.base_mm", "Floor glass", Kind.THICKNESS, shown=_is_outside),
        ),
    ),
    Group(
        "Rock, sand and equipment in the water",
        (
            Spec("displaced.rock_dry_kg", "Rock, dry", Kind.MASS, short="Dry rock"),
            Spec("displaced.rock_wet_kg", "Rock, wet, drained", Kind.MASS, short="Wet rock"),
            Spec("displaced.rock_submerged", "Rock under water", Kind.PERCENT),
            Spec("displaced.sand_depth_cm", "Sand, depth", Kind.LENGTH, short="Depth of the sand"),
            Spec("displaced.sand_dry_kg", "Sand, dry", Kind.MASS, short="Dry sand"),
            Spec("displaced.equipment_l", "Equipment", Kind.VOLUME),
            Spec(
                "displaced.rock_envelope_kg_per_l",
                "Rock, weight a litre",
                unit="kg/L",
                short="Weight of a litre of rock",
            ),
            Spec(
                "displaced.rock_open_porosity",
                "Rock, open pores",
                Kind.PERCENT,
                short="Open pores of the rock",
            ),
            Spec("displaced.sand_porosity", "Sand, pores", Kind.PERCENT, short="Pores of the sand"),
        ),
        "What stands in the water takes its place. Write 0 where there is none; left empty, it "
        "counts as not known and the volume gets a wider span.",
    ),
    Group(
        "Sump",
        (
            Spec("sump.litres", "Water while running", Kind.VOLUME),
            Spec("sump.last_chamber_cm2", "Last chamber", Kind.AREA),
            Spec("sump.surface_cm2", "Open surface", Kind.AREA, keys=("area_m2",)),
            Spec("sump.pipes_l", "Water in pipes", Kind.VOLUME),
            Spec(
                "sump.free_l",
                "Room above that water",
                Kind.VOLUME,
                short="Free room in the sump",
                note="Free while the pump runs.",
            ),
            Spec("sump.in_cabinet", "Inside a cabinet", Kind.FLAG, choices=_flags),
        ),
        "Left empty, there is no sump.",
    ),
    Group(
        "Heat and flow",
        (
            Spec("heat_and_flow.heater_w", "Heaters together", unit="W", short="Heaters"),
            Spec("heat_and_flow.fans", "Fans over the water", Kind.WHOLE, short="Fans"),
            Spec(
                "heat_and_flow.return_l_per_h",
                "Return flow",
                Kind.HOURLY,
                note_of=turnover_note,
            ),
            Spec(
                "heat_and_flow.overflow_drop_cm",
                "Water falls, pump off",
                Kind.LENGTH,
                short="Fall with the pump off",
            ),
        ),
        "Write 0 where there is none. Other fans or another heater let the loss be learned anew. "
        "With the return pump off the water falls from its running level to the edge of the "
        "overflow, or to the return's outlet where that is lower.",
    ),
    Group(
        "Cover and top-off",
        (
            Spec("cover.kind", "On top", Kind.CHOICE, choices=_covers),
            Spec(
                "cover.covered",
                "Share of the surface covered",
                Kind.PERCENT,
                shown=_is_covered,
                short="Covered share",
            ),
            Spec("jumpers", "Animals that jump", Kind.FLAG, choices=_flags, note_of=_jumpers),
            Spec("top_off.allowed_drop_mm", "Level may fall", Kind.THICKNESS),
            Spec("top_off.allowed_salinity_rise", "Salinity may rise", unit="practical"),
            Spec(
                "top_off.reservoir_l",
                "Automatic reservoir",
                Kind.VOLUME,
                note="Empty: topped off by hand.",
            ),
            Spec("top_off.reserve_l", "Kept in it as reserve", Kind.VOLUME),
        ),
    ),
    Group(
        "Targets",
        (
            Spec("target_salinity", "Salinity", Kind.SALINITY, note_of=target_note),
            Spec("target_temperature_c", "Temperature", Kind.TEMPERATURE, keys=("temperature",)),
            Spec(
                "ranges",
                "Own ranges, where they differ from those of what lives in it",
                Kind.RANGES,
                note="Such as alkalinity 7.5 to 9; nitrate at most 15. In the household's units.",
                is_wide=True,
                short="own ranges",
                note_of=otherwise_line,
            ),
        ),
    ),
)
