"""The cards of the tank rail, from each tank's measures and water."""

from __future__ import annotations

import math

from tankkeeper.core.household import Cover, CoverKind, Stage, Tank
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.volume import Shape, ShapeKind, gross_litres, rock_litres, surface_cm2
from tankkeeper.gui.widgets.rail import TankCard
from tankkeeper.gui.widgets.tank_picture import (
    GaugeAt,
    Lid,
    SumpPicture,
    TankPicture,
)
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.words import Words
from tankkeeper.services.round import RoundView, TankSummary

WHOLE_HOUSE = "Whole house"
# A sump whose sides nobody measured is drawn as a box this high, with water this deep.
_SUMP_HEIGHT_CM = 38.0
_SUMP_LEVEL_CM = 25.0
_SUMP_DEPTH_CM = 35.0
_RIM_CM = 4.0
# Beside the sump there must be room for the reservoir, under the tank.
_SUMP_SHARE = 0.6
_SUMP_LEAST_CM = 25.0
# A heap of rock is mostly water, so what is seen of it is more than what it displaces.
_HEAP = 5.0

_LIDS = {CoverKind.OPEN: Lid.OPEN, CoverKind.MESH: Lid.MESH, CoverKind.LID: Lid.LID}


def cards_of(view: RoundView, words: Words) -> tuple[TankCard, ...]:
    """Return the card of the whole house and one for each tank, in walking order."""
    counts = view.state_counts
    house = TankCard(
        id=None,
        name=WHOLE_HOUSE,
        litres="",
        picture=None,
        overdue=counts.overdue,
        due=counts.due,
        sentence=", ".join([WHOLE_HOUSE, _figures(counts.overdue, counts.due)]),
    )
    return (house, *(card_of(one, words) for one in view.tanks))


def card_of(summary: TankSummary, words: Words) -> TankCard:
    """Return the card of one tank."""
    tank, net = summary.tank, summary.water.net
    litres = "" if net is None else words.about_litres(net)
    return TankCard(
        id=tank.id,
        name=tank.name,
        litres=litres,
        picture=picture_of(tank, summary.water, is_resting=summary.is_resting),
        overdue=summary.overdue,
        due=summary.due,
        sentence=_sentence(summary, litres),
        rests=_rests(summary),
    )


def _rests(summary: TankSummary) -> str:
    """Return why nothing comes of a tank, empty where something does."""
    stage = summary.tank.stage
    if not summary.is_resting:
        return ""
    return stage.value if stage in (Stage.RETIRED, Stage.PLANNED) else Stage.PAUSED.value


def _figures(overdue: int, due: int) -> str:
    told = [f"{overdue} overdue" if overdue else "", f"{due} due" if due else ""]
    return ", ".join(part for part in told if part) or "nothing due"


def _sentence(summary: TankSummary, litres: str) -> str:
    """Return the card as a screen reader says it."""
    parts = [summary.tank.name]
    if litres:
        parts.append(litres.replace("\u00a0", " ").replace(" L", " litres"))
    down = summary.water.mm_below_mark
    if down is not None:
        millimetres = counted(round(down), "millimetre", "millimetres")
        parts.append(f"{millimetres} below the fill mark".replace("\u00a0", " "))
    if summary.is_resting:
        parts.append(_rests(summary))
    if not summary.is_resting or summary.overdue or summary.due:
        parts.append(_figures(summary.overdue, summary.due))
    return ", ".join(parts)


def picture_of(tank: Tank, water: TankWater, *, is_resting: bool) -> TankPicture | None:
    """Return what can be drawn of a tank, or None where its size is not known."""
    sizes = _sizes(tank.shape)
    if sizes is None:
        return None
    width, height, depth = sizes
    lid, covers = _lid(tank.cover)
    left, capacity = water.reservoir_left, tank.top_off.reservoir_l
    fill = None
    if capacity is not None:
        fill = 0.0 if left is None else min(1.0, left.value / capacity)
    return TankPicture(
        width_cm=width,
        height_cm=height,
        water_cm=depth,
        rock_share=rock_share(tank),
        sand_cm=(tank.displaced.sand_depth_cm or 0.0) if tank.displaced is not None else 0.0,
        sump=_sump(tank, width),
        reservoir_fill=fill,
        reservoir_is_known=left is not None,
        lid=lid,
        lid_covers=covers,
        mm_down=None if tank.has_automatic_top_off else water.mm_below_mark,
        gauge_at=GaugeAt.SUMP if tank.sump is not None else GaugeAt.DISPLAY,
        is_outline_only=is_resting,
    )


def _sizes(shape: Shape) -> tuple[float, float, float] | None:
    """Return width, height and water depth in cm, the missing ones filled in by the others."""
    width = _width_cm(shape)
    depth, height = shape.water_depth_cm, shape.height_cm
    if depth is None and height is not None:
        depth = max(1.0, height - _RIM_CM)
    if depth is None:
        depth = _depth_from_litres(shape)
    if depth is None:
        return None
    if width is None:
        width = depth * 1.5
    return width, height if height is not None else depth + _RIM_CM, depth


def _width_cm(shape: Shape) -> float | None:
    if shape.kind is ShapeKind.CYLINDER:
        return shape.diameter_cm
    if shape.kind is ShapeKind.POLYGON and shape.sides and shape.edge_cm:
        return shape.edge_cm / math.sin(math.pi / shape.sides)
    if shape.length_cm is not None:
        return shape.length_cm
    return math.sqrt(shape.surface_cm2 * 1.5) if shape.surface_cm2 else None


def _depth_from_litres(shape: Shape) -> float | None:
    if shape.litres is None:
        return None
    if shape.surface_cm2:
        return shape.litres * 1000.0 / shape.surface_cm2
    return float((shape.litres * 1000.0 / 1.5) ** (1.0 / 3.0))


def rock_share(tank: Tank) -> float:
    """Return the share of the drawn water that rock hides, from its litres."""
    gross = gross_litres(tank.shape)
    rock = rock_litres(tank.displaced) if tank.displaced is not None else None
    if not gross or not rock or surface_cm2(tank.shape) is None:
        return 0.0
    return min(0.6, _HEAP * rock / gross)


def _sump(tank: Tank, tank_width: float) -> SumpPicture | None:
    if tank.sump is None:
        return None
    litres = tank.sump.litres
    width = _SUMP_SHARE * tank_width
    if litres:
        width = min(width, max(_SUMP_LEAST_CM, litres * 1000.0 / (_SUMP_LEVEL_CM * _SUMP_DEPTH_CM)))
    return SumpPicture(width, _SUMP_HEIGHT_CM, _SUMP_LEVEL_CM)


def _lid(cover: Cover | None) -> tuple[Lid, float]:
    if cover is None:
        return Lid.OPEN, 1.0
    return _LIDS[cover.kind], 1.0 if cover.covered is None else cover.covered
