"""The drawing of a tank that is being typed, and its litres in words."""

from __future__ import annotations

import math
from collections.abc import Collection

from tankkeeper.core.household import Tank
from tankkeeper.core.net_water import net_if_sound
from tankkeeper.core.units import in_unit
from tankkeeper.core.volume import USUAL_RIM_GAP_CM, ShapeKind, gross_litres
from tankkeeper.gui.models.first_answers import UnitChoice
from tankkeeper.gui.models.tank_cards import rock_share
from tankkeeper.gui.widgets.first_picture import MeasuredPicture
from tankkeeper.gui.widgets.tank_picture import TankPicture
from tankkeeper.reports.numbers import shown
from tankkeeper.reports.words import Words

_LITRES_FOR = {
    ShapeKind.BOX: "Length, width and height make it known.",
    ShapeKind.BOW_FRONT: "Length, width, bow and height make it known.",
    ShapeKind.CYLINDER: "Diameter and height make it known.",
    ShapeKind.POLYGON: "The number of sides, their length and the height make it known.",
    ShapeKind.OTHER: "The water in it, as measured at the first fill, makes it known.",
}
_NOT_READ = "How high the water stands cannot be read."
_DEPTH = "water_depth_cm"
_BUCKET_L = 10.0
_ACROSS = frozenset({"length_cm", "diameter_cm", "edge_cm", "width_cm", "bow_cm", "sides"})


def litres_words(tank: Tank, words: Words, unread: Collection[str] = ()) -> tuple[str, str]:
    """Return the water with its uncertainty, and what it is made of.

    `unread` are the sizes that were typed, but give none: the usual depth of water is only for a
    tank of which none was typed.
    """
    shape = tank.shape
    if _DEPTH in unread:
        return "Water not known yet", _NOT_READ
    net = net_if_sound(tank)
    if net is None:
        return "Water not known yet", _LITRES_FOR[shape.kind]
    if shape.kind is ShapeKind.OTHER:
        return words.litres_with_span(net), "of water, as you said."
    rest = "" if tank.displaced is not None else " Rock and sand take some of it away."
    return words.litres_with_span(net), f"of water by these measures.{rest}"


def drawing_of(
    tank: Tank, lit: str, words: Words, units: UnitChoice, unread: Collection[str] = ()
) -> MeasuredPicture:
    """Return the tank as far as its measures are known, with the measure that is typed lit.

    Where the water stands is not drawn while what was typed for it cannot be read.
    """
    shape = tank.shape
    wide = _width_cm(tank)
    bucket = (
        f"a {words.litres(_BUCKET_L)} bucket"
        if units.shown.volume == "L"
        else (f"a {words.litres(_gallons(units))} bucket")
    )
    if wide is None or shape.height_cm is None:
        return MeasuredPicture(
            None, bucket=bucket, spoken="The tank is drawn once its measures are known."
        )
    water = shape.water_depth_cm
    level = water if water is not None else max(0.0, shape.height_cm - USUAL_RIM_GAP_CM)
    if shape.kind is ShapeKind.OTHER and shape.litres is None:
        level = 0.0
    upright = shape.height_cm if lit == "height_cm" or water is None else water
    width = shape.width_cm if lit == "width_cm" else None
    across = wide if width is None else width
    picture = TankPicture(
        width_cm=wide,
        height_cm=shape.height_cm,
        water_cm=min(level, shape.height_cm),
        rock_share=rock_share(tank),
        is_outline_only=_DEPTH in unread,
    )

    def size(value_cm: float) -> str:
        return shown(
            round(in_unit(value_cm, units.length), 1), units.length, None, words.decimal_sign
        )

    name = "" if lit in unread else "across" if lit in _ACROSS else "upright" if lit else ""
    across_words = size(across) + ("" if width is None else " wide")
    return MeasuredPicture(
        picture,
        across_words,
        size(upright),
        min(upright, shape.height_cm),
        name,
        bucket,
        f"The tank to scale, {size(wide)} across and {size(shape.height_cm)} high, beside {bucket}",
    )


def _gallons(units: UnitChoice) -> float:
    """Return the litres of a bucket that is counted in gallons: five of the US, two imperial."""
    from tankkeeper.core.units import Dimension, Quantity, stored_value

    count = 2.5 if units.shown.volume == "US gal" else 2.0
    return stored_value(Quantity(count, units.shown.volume, Dimension.VOLUME))


def _width_cm(tank: Tank) -> float | None:
    """Return how wide the tank looks from its front."""
    shape = tank.shape
    if shape.kind is ShapeKind.CYLINDER:
        return shape.diameter_cm
    if shape.kind is ShapeKind.POLYGON:
        if shape.edge_cm is None or shape.sides is None:
            return None
        return shape.edge_cm / math.sin(math.pi / shape.sides)
    if shape.kind is ShapeKind.OTHER:
        if shape.litres is None or not shape.height_cm:
            return None
        # As wide as a cube-like tank of that height would be.
        return math.sqrt((gross_litres(shape) or 0.0) * 1000.0 / shape.height_cm)
    return shape.length_cm
