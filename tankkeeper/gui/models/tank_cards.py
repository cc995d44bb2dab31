"""The cards of the tank rail, from each tank's measures and water."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tankkeeper.core.harmful import Harm
from tankkeeper.core.household import DRY_STAGES, Cover, CoverKind, Stage, Tank
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.volume import Shape, ShapeKind, gross_litres, rock_litres, surface_cm2
from tankkeeper.gui.widgets.gauge import GaugeUnit
from tankkeeper.gui.widgets.rail import TankCard
from tankkeeper.gui.widgets.tank_picture import (
    GaugeAt,
    Lid,
    SumpPicture,
    TankPicture,
)
from tankkeeper.reports.amount_reasons import parameter_words
from tankkeeper.reports.numbers import counted, heard, plain
from tankkeeper.reports.water_reasons import level_down
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
# No eye reads a level closer.
_SEEN_MM = 1.0
# A heap of rock is mostly water, so what is seen of it is more than what it displaces.
_HEAP = 5.0

_LIDS = {CoverKind.OPEN: Lid.OPEN, CoverKind.MESH: Lid.MESH, CoverKind.LID: Lid.LID}


def cards_of(view: RoundView, words: Words) -> tuple[TankCard, ...]:
    """Return the card of the whole house and one for each tank, in walking order."""
    counts = view.state_counts
    count = sum(len(one.harms) for one in view.tanks)
    harms = (counted(count, "harmful reading", "harmful readings"),) if count else ()
    figures = _figures(counts.overdue, counts.due, harms)
    house = TankCard(
        id=None,
        name=WHOLE_HOUSE,
        litres="",
        picture=None,
        overdue=counts.overdue,
        due=counts.due,
        sentence=plain(", ".join([WHOLE_HOUSE, figures])),
        harms=harms,
    )
    return (house, *(card_of(one, words) for one in view.tanks))


def card_of(summary: TankSummary, words: Words) -> TankCard:
    """Return the card of one tank."""
    tank, net = summary.tank, summary.water.net
    litres = "" if net is None else words.about_litres(net)
    harms = tuple(_harm(one, words) for one in summary.harms)
    return TankCard(
        id=tank.id,
        name=tank.name,
        litres="" if tank.stage in DRY_STAGES else litres,
        picture=picture_of(tank, summary.water, words),
        overdue=summary.overdue,
        due=summary.due,
        sentence=_sentence(summary, litres, harms, words),
        rests=_rests(summary, litres),
        harms=harms,
    )


def _rests(summary: TankSummary, litres: str) -> str:
    """Return why nothing comes of a tank, empty where something does.

    The litres of a tank that is only planned are in none of it yet.
    """
    stage = summary.tank.stage
    if not summary.is_resting:
        return ""
    if stage is Stage.PLANNED and litres:
        return f"{stage.value}, {litres} when full"
    return stage.value if stage in DRY_STAGES else Stage.PAUSED.value


def _harm(one: Harm, words: Words) -> str:
    """Return a reading that harms, such as "ammonia 2 mg/L"."""
    return f"{parameter_words(one.value.parameter)} {words.reading(one.value)}"


def _figures(overdue: int, due: int, harms: Sequence[str] = ()) -> str:
    told = [*harms, f"{overdue} overdue" if overdue else "", f"{due} due" if due else ""]
    return ", ".join(part for part in told if part) or "nothing due"


def _sentence(summary: TankSummary, litres: str, harms: Sequence[str], words: Words) -> str:
    """Return the card as a screen reader says it."""
    parts = [summary.tank.name]
    litres = heard(litres, words.units.volume) if litres else ""
    if litres and summary.tank.stage not in DRY_STAGES:
        parts.append(litres)
    down = level_down(summary.water, words)
    if down:
        level = heard(down, words.units.thickness)
        parts.append(f"{level} below the fill mark")
    if summary.is_resting:
        parts.append(_rests(summary, litres))
    if not summary.is_resting or summary.overdue or summary.due:
        parts.append(plain(_figures(summary.overdue, summary.due, harms)))
    return ", ".join(parts)


def picture_of(tank: Tank, water: TankWater, words: Words) -> TankPicture | None:
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
        mm_down=_down(water),
        gauge_at=GaugeAt.SUMP if tank.sump is not None else GaugeAt.DISPLAY,
        # A pause empties no tank; one that is planned or retired holds no water.
        is_outline_only=tank.stage in DRY_STAGES,
        gauge_unit=GaugeUnit(words.units.thickness, words.decimal_sign),
    )


def _down(water: TankWater) -> float | None:
    """Return how far the water stands below its mark, None where no gauge is drawn.

    A reservoir keeps it at the mark as long as it lasts, and is drawn in its place.
    """
    down = water.mm_below_mark
    is_kept_full = water.tank.has_automatic_top_off and (down is None or down < _SEEN_MM)
    return None if is_kept_full else down


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
