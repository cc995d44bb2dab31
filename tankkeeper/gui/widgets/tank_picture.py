"""A tank in side view, drawn to scale, with the gauge that shows what the scale cannot."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import Final, NamedTuple

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import (
    QColor,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
)

from tankkeeper.core.values import dataclass
from tankkeeper.gui.palette import Colours, Role
from tankkeeper.gui.widgets.focus import paint_ground
from tankkeeper.gui.widgets.gauge import ABOVE_MARK_MM, MILLIMETRES, TALL_MM, GaugeUnit


class Outline(StrEnum):
    """How a tank looks from the side; an upright cylinder and a bow front look like a box."""

    BOX = "box"
    BOWL = "bowl"


class Lid(StrEnum):
    """What is drawn on top."""

    OPEN = "open"
    MESH = "mesh"
    LID = "lid"


class GaugeAt(StrEnum):
    """Which water falls when fresh water evaporates."""

    DISPLAY = "display"
    SUMP = "sump"


@dataclass(frozen=True, slots=True)
class SumpPicture:
    """The inside measures of a sump and how high its water stands."""

    width_cm: float
    height_cm: float
    level_cm: float


@dataclass(frozen=True, slots=True)
class TankPicture:
    """What can be seen of a tank; `mm_down` is None where no gauge stands beside it.

    `gauge_unit` is the one in which the words beside the gauge tell the level.

    `reservoir_fill` is the share of the automatic reservoir that is full, None where there is
    none; where nobody knows it, `reservoir_is_known` is false, and no water is drawn in it.
    `rock_share` is the share of the water's space that rock takes; `lid_covers` the share of the
    top that is covered.
    """

    width_cm: float
    height_cm: float
    water_cm: float
    outline: Outline = Outline.BOX
    rock_share: float = 0.0
    sand_cm: float = 0.0
    sump: SumpPicture | None = None
    reservoir_fill: float | None = None
    reservoir_is_known: bool = True
    lid: Lid = Lid.OPEN
    lid_covers: float = 1.0
    mm_down: float | None = None
    gauge_at: GaugeAt = GaugeAt.DISPLAY
    is_outline_only: bool = False
    gauge_unit: GaugeUnit = MILLIMETRES


GAP: Final = 12.0
_LEGS_INSET: Final = 2.0
_RESERVOIR_SLENDER: Final = 0.72
_RESERVOIR_CM: Final = 36.0
_STROKE: Final = 1.5
_LID_HEIGHT: Final = 4.0
_RIM: Final = 2.0
_GAUGE_GAP: Final = 20.0
_TICK: Final = 7.0


def common_scale(pictures: Iterable[TankPicture], width_px: float) -> float:
    """Return the pixels for one centimetre at which the longest of the tanks is `width_px` wide.

    Where a high, narrow tank would become higher than it is allowed to be wide, its height
    decides instead; the scale stays one for all.
    """
    longest = 0.0
    for picture in pictures:
        sump_cm = picture.sump.width_cm if picture.sump else 0.0
        longest = max(longest, picture.width_cm, picture.height_cm, sump_cm)
    return width_px / longest if longest > 0 else 1.0


def _lid_room(picture: TankPicture) -> float:
    return _RIM if picture.lid is Lid.OPEN else _LID_HEIGHT


class _Places(NamedTuple):
    """Where the parts of a picture lie, from its left upper corner."""

    tank: QRectF
    sump: QRectF | None
    reservoir: QRectF | None

    @property
    def bottom(self) -> float:
        lowest = self.tank.bottom()
        for part in (self.sump, self.reservoir):
            lowest = max(lowest, part.bottom() if part else 0.0)
        return lowest + _STROKE

    @property
    def right(self) -> float:
        furthest = self.tank.right()
        for part in (self.sump, self.reservoir):
            furthest = max(furthest, part.right() if part else 0.0)
        return furthest + _STROKE


def _places(picture: TankPicture, scale: float) -> _Places:
    top = _lid_room(picture)
    tank = QRectF(_STROKE / 2, top, picture.width_cm * scale, picture.height_cm * scale)
    below = tank.bottom() + GAP
    aside = min(10.0, tank.width() * 0.07)
    sump = reservoir = None
    if picture.sump:
        fits = picture.sump.width_cm * scale + 2 * aside < tank.width()
        inset = aside if fits else 0.0
        width, height = picture.sump.width_cm * scale, picture.sump.height_cm * scale
        sump = QRectF(tank.left() + inset, below, width, height)
    if picture.reservoir_fill is not None:
        # Its measures are not kept; it is drawn as high as the sump and slender.
        height = sump.height() if sump else _RESERVOIR_CM * scale
        width = height * _RESERVOIR_SLENDER
        left = (sump.right() if sump else tank.left()) + aside
        reservoir = QRectF(left, below, width, height)
    return _Places(tank, sump, reservoir)


def picture_size(picture: TankPicture, scale: float) -> QSizeF:
    """Return the size of the drawing without its gauge, at `scale` pixels for a centimetre."""
    places = _places(picture, scale)
    return QSizeF(places.right, places.bottom)


def gauge_place(picture: TankPicture, scale: float, gauge: QSizeF, room_px: float) -> QPointF:
    """Return where the gauge stands: beside its water, or under the drawing where that is full."""
    places = _places(picture, scale)
    water = places.tank
    if picture.gauge_at is GaugeAt.SUMP and places.sump:
        water = places.sump
    taken = water.right()
    if water is places.sump and places.reservoir:
        taken = places.reservoir.right()
    if water is places.sump:
        # The legs of the stand run beside the sump.
        taken = max(taken, places.tank.right())
    if taken + _GAUGE_GAP + gauge.width() <= room_px:
        above = gauge.height() * ABOVE_MARK_MM / TALL_MM
        mark = water.bottom() - _full_px(picture, scale, picture.gauge_at)
        return QPointF(taken + _GAUGE_GAP, max(0.0, mark - above))
    return QPointF(0, places.bottom + 8)


def paint_picture(
    painter: QPainter, picture: TankPicture, at: QPointF, scale: float, colours: Colours
) -> None:
    """Draw the tank with its sump and reservoir; `at` is the left upper corner."""
    places = _places(picture, scale)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(at)
    if places.sump or places.reservoir:
        _paint_stand(painter, places, colours)
    _paint_display(painter, picture, places.tank, scale, colours)
    if picture.mm_down is not None:
        box = places.sump if picture.gauge_at is GaugeAt.SUMP else places.tank
        if box is not None:
            _paint_fill_tick(painter, box, _full_px(picture, scale, picture.gauge_at), colours)
    if picture.sump and places.sump:
        _paint_sump(painter, picture, places.sump, scale, colours)
    if picture.reservoir_fill is not None and places.reservoir:
        fill = 0.0 if picture.is_outline_only else picture.reservoir_fill
        _paint_reservoir(painter, places.reservoir, fill, colours)
        if not picture.reservoir_is_known and not picture.is_outline_only:
            _paint_unknown(painter, places.reservoir, colours)
    painter.restore()


def _pen(colour: QColor, width: float = _STROKE) -> QPen:
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    return pen


def _paint_stand(painter: QPainter, places: _Places, colours: Colours) -> None:
    painter.setPen(_pen(colours[Role.EDGE], 1))
    foot = places.bottom - _STROKE / 2
    for x in (places.tank.left() + _LEGS_INSET, places.tank.right() - _LEGS_INSET):
        painter.drawLine(QPointF(x, places.tank.bottom()), QPointF(x, foot))
    painter.drawLine(QPointF(places.tank.left(), foot), QPointF(places.right, foot))


def _vessel(box: QRectF, outline: Outline) -> QPainterPath:
    """Return the inside of a vessel as a closed path."""
    path = QPainterPath()
    if outline is Outline.BOWL:
        path.addRoundedRect(box, box.width() * 0.36, box.height() * 0.42)
    else:
        path.addRect(box)
    return path


def _paint_display(
    painter: QPainter, picture: TankPicture, box: QRectF, scale: float, colours: Colours
) -> None:
    inside = _vessel(box, picture.outline)
    if not picture.is_outline_only:
        surface = box.bottom() - _level_px(picture, scale, GaugeAt.DISPLAY)
        water = QRectF(box.left(), surface, box.width(), box.bottom() - surface)
        painter.save()
        painter.setClipPath(inside)
        paint_ground(painter, water, colours[Role.WATER])
        if picture.rock_share > 0:
            painter.fillPath(_rock(water, picture), colours[Role.WATER_DEEP])
        _paint_sand(painter, picture, box, colours)
        _paint_surface(painter, water, colours)
        painter.restore()
    _paint_glass(painter, box, picture.outline, colours)
    if picture.lid is not Lid.OPEN:
        _paint_lid(painter, picture, box, colours)


def _level_px(picture: TankPicture, scale: float, water: GaugeAt) -> float:
    """Return how high the water of the display or the sump stands in pixels."""
    falls = picture.gauge_at is water
    down_cm = (picture.mm_down or 0.0) / 10 if falls else 0.0
    return max(0.0, _full_px(picture, scale, water) - down_cm * scale)


def _full_px(picture: TankPicture, scale: float, water: GaugeAt) -> float:
    """Return how high the fill mark stands above the floor in pixels."""
    if water is GaugeAt.SUMP:
        return (picture.sump.level_cm if picture.sump else 0.0) * scale
    return min(picture.water_cm, picture.height_cm) * scale


def _paint_fill_tick(painter: QPainter, box: QRectF, full_px: float, colours: Colours) -> None:
    """Draw the tick at the glass that shows where the fill mark is."""
    y = box.bottom() - full_px
    painter.setPen(_pen(colours[Role.INK_2]))
    painter.drawLine(QPointF(box.right(), y), QPointF(box.right() + _TICK, y))


def _paint_surface(painter: QPainter, water: QRectF, colours: Colours) -> None:
    painter.setPen(_pen(colours[Role.SEA]))
    painter.drawLine(water.topLeft(), water.topRight())


def _paint_sand(painter: QPainter, picture: TankPicture, box: QRectF, colours: Colours) -> None:
    if picture.sand_cm <= 0:
        return
    strip = QRectF(box.left(), box.bottom() - 3, box.width(), 3)
    paint_ground(painter, strip, colours[Role.WATER_DEEP])


def _paint_glass(painter: QPainter, box: QRectF, outline: Outline, colours: Colours) -> None:
    painter.setPen(_pen(colours[Role.INK_2]))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if outline is Outline.BOWL:
        painter.save()
        painter.setClipRect(box.adjusted(-2, box.height() * 0.12, 2, 2))
        painter.drawPath(_vessel(box, outline))
        painter.restore()
        return
    painter.drawPolyline(
        QPolygonF([box.topLeft(), box.bottomLeft(), box.bottomRight(), box.topRight()])
    )


def _paint_lid(painter: QPainter, picture: TankPicture, box: QRectF, colours: Colours) -> None:
    pen = _pen(colours[Role.INK_2])
    if picture.lid is Lid.MESH:
        pen.setDashPattern([1.5, 1.5])
    painter.setPen(pen)
    covered = min(1.0, max(0.0, picture.lid_covers))
    y = box.top() - _LID_HEIGHT / 2
    right = box.left() - 1 + (box.width() + 2) * covered
    painter.drawLine(QPointF(box.left() - 1, y), QPointF(right, y))


def _rock(water: QRectF, picture: TankPicture) -> QPainterPath:
    """Return one calm silhouette of two hills whose area is the share of rock, roughly."""
    share = min(0.6, max(0.05, picture.rock_share))
    # Two hills of this form fill about 0.45 of the box around them.
    height = min(0.86, share / 0.45) * water.height()
    left, width, floor = water.left(), water.width(), water.bottom()

    def at(x: float, y: float) -> QPointF:
        return QPointF(left + x * width, floor - y * height)

    path = QPainterPath(at(0.05, 0))
    path.cubicTo(at(0.12, 0.1), at(0.16, 0.72), at(0.26, 0.72))
    path.cubicTo(at(0.36, 0.72), at(0.38, 0.3), at(0.46, 0.3))
    path.cubicTo(at(0.54, 0.3), at(0.56, 1.0), at(0.66, 1.0))
    path.cubicTo(at(0.80, 1.0), at(0.84, 0.1), at(0.95, 0))
    path.closeSubpath()
    return path


def _paint_sump(
    painter: QPainter, picture: TankPicture, box: QRectF, scale: float, colours: Colours
) -> None:
    if not picture.is_outline_only:
        level = min(box.height(), _level_px(picture, scale, GaugeAt.SUMP))
        # Two walls; only the last chamber follows what evaporates.
        held = min(box.height(), (picture.sump.level_cm if picture.sump else 0.0) * scale)
        last = box.left() + box.width() * 0.6
        for left, right, high in ((box.left(), last, held), (last, box.right(), level)):
            water = QRectF(left, box.bottom() - high, right - left, high)
            paint_ground(painter, water, colours[Role.WATER])
            _paint_surface(painter, water, colours)
    painter.setPen(_pen(colours[Role.INK_2], 1))
    for share in (0.33, 0.6):
        x = box.left() + box.width() * share
        painter.drawLine(QPointF(x, box.top() + box.height() * 0.3), QPointF(x, box.bottom()))
    _paint_glass(painter, box, Outline.BOX, colours)


def _paint_reservoir(painter: QPainter, box: QRectF, fill: float, colours: Colours) -> None:
    high = box.height() * min(1.0, max(0.0, fill))
    if high > 0:
        water = QRectF(box.left(), box.bottom() - high, box.width(), high)
        _hatch(painter, water, colours[Role.SEA])
        _paint_surface(painter, water, colours)
    _paint_glass(painter, box, Outline.BOX, colours)


def _paint_unknown(painter: QPainter, box: QRectF, colours: Colours) -> None:
    """Say that nobody knows how much is in it."""
    font = painter.font()
    size = min(box.width(), box.height()) * 0.6
    if size < 6:
        return
    painter.save()
    font.setPixelSize(round(min(size, 14.0)))
    painter.setFont(font)
    painter.setPen(colours[Role.INK_2])
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, "?")
    painter.restore()


def _hatch(painter: QPainter, box: QRectF, colour: QColor) -> None:
    """Fill with slanted lines: fresh water is never solid."""
    painter.save()
    painter.setClipRect(box)
    painter.setPen(QPen(colour, 1))
    x = box.left() - box.height()
    while x < box.right():
        painter.drawLine(QPointF(x, box.bottom()), QPointF(x + box.height(), box.top()))
        x += 4
    painter.restore()
