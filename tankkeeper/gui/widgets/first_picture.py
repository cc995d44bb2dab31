"""The tank that is being typed, drawn to scale beside a bucket, with its measures at its edges."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from tankkeeper.core.values import dataclass
from tankkeeper.gui.palette import Colours, Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, Weight, metrics_for, type_font
from tankkeeper.gui.widgets.tank_picture import TankPicture, paint_picture

# A usual household bucket of 10 litres, from memory: height and width at rim and foot.
BUCKET_CM: Final = (27.0, 29.0, 21.0)
_HIGH: Final = 132
_TICK: Final = 4.0


@dataclass(frozen=True, slots=True)
class MeasuredPicture:
    """A tank with the words at its foot and at its side; `lit` is the one being typed, or empty.

    `across` and `upright` are empty where the measure is not known.
    """

    tank: TankPicture | None
    across: str = ""
    upright: str = ""
    upright_cm: float = 0.0
    lit: str = ""
    bucket: str = ""
    spoken: str = ""


class FirstPicture(QWidget):
    """Draws the tank as it is typed; the measure whose field has the keys is lit."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = MeasuredPicture(None)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    @property
    def shown(self) -> MeasuredPicture:
        """What is drawn."""
        return self._shown

    def show_picture(self, shown: MeasuredPicture) -> None:
        """Draw another tank."""
        self._shown = shown
        self.setAccessibleName(shown.spoken)
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for a tank, a bucket and the words under them."""
        sizes = metrics_for(self.font())
        return QSize(sizes.px(300), sizes.px(_HIGH))

    def minimumSizeHint(self) -> QSize:
        """Return the least room."""
        sizes = metrics_for(self.font())
        return QSize(sizes.px(200), sizes.px(_HIGH))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw tank, measures and bucket on one floor, at one scale."""
        table = colours_of(self.palette())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        caption = type_font(self.font(), TypeRole.CAPTION)
        line = QFontMetricsF(caption).height()
        floor = self.height() - line - 3 * Space.XS
        side = QFontMetricsF(type_font(self.font(), TypeRole.CAPTION, Weight.SEMIBOLD))
        left = side.horizontalAdvance(self._shown.upright or "0") + 3 * Space.XS
        tank = self._shown.tank
        wide, high = (tank.width_cm, tank.height_cm) if tank else (0.0, 0.0)
        rim, bucket_high = BUCKET_CM[1], BUCKET_CM[0] * 1.25
        # The word under the bucket may be wider than the bucket.
        word = side.horizontalAdvance(self._shown.bucket)
        room = self.width() - left - Space.XL - word
        scale = min((floor - Space.XS) / max(high, bucket_high), room / max(wide + 0.0, rim))
        at = left
        if tank is not None:
            paint_picture(painter, tank, QPointF(left, floor - high * scale - 2), scale, table)
            self._paint_measures(
                painter,
                table,
                QRectF(left, floor - high * scale, wide * scale, high * scale),
                scale,
            )
            at = left + wide * scale + Space.XL
        self._paint_bucket(painter, table, QPointF(at, floor), scale, word)

    def _paint_measures(self, painter: QPainter, table: Colours, box: QRectF, scale: float) -> None:
        shown = self._shown
        if shown.across:
            y = box.bottom() + Space.XS
            self._pen(painter, table, shown.lit == "across")
            painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
            for x in (box.left(), box.right()):
                painter.drawLine(QPointF(x, y - _TICK), QPointF(x, y + _TICK))
            area = QRectF(box.center().x() - 200, y + _TICK, 400, self.height() - y - _TICK)
            painter.drawText(
                area, Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop, shown.across
            )
        if shown.upright:
            x, top = box.left() - Space.XS, box.bottom() - shown.upright_cm * scale
            self._pen(painter, table, shown.lit == "upright")
            painter.drawLine(QPointF(x, top), QPointF(x, box.bottom()))
            for y in (top, box.bottom()):
                painter.drawLine(QPointF(x - _TICK, y), QPointF(x + _TICK, y))
            area = QRectF(0, top, x - _TICK - 2, box.bottom() - top)
            high = max(area.height(), 40.0)
            area = QRectF(0, area.center().y() - high / 2, area.width(), high)
            painter.drawText(
                area, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, shown.upright
            )

    def _pen(self, painter: QPainter, table: Colours, is_lit: bool) -> None:
        weight = Weight.SEMIBOLD if is_lit else Weight.REGULAR
        painter.setFont(type_font(self.font(), TypeRole.CAPTION, weight))
        painter.setPen(QPen(table[Role.SEA if is_lit else Role.INK_2], 2.0 if is_lit else 1.0))

    def _paint_bucket(
        self, painter: QPainter, table: Colours, foot: QPointF, scale: float, word: float
    ) -> None:
        high, rim, narrow = (size * scale for size in BUCKET_CM)
        middle = foot.x() + max(rim, word) / 2
        self._pen(painter, table, is_lit=False)
        path = QPainterPath(QPointF(middle - rim / 2, foot.y() - high))
        path.lineTo(QPointF(middle - narrow / 2, foot.y()))
        path.lineTo(QPointF(middle + narrow / 2, foot.y()))
        path.lineTo(QPointF(middle + rim / 2, foot.y() - high))
        path.closeSubpath()
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(path)
        handle = QRectF(middle - rim / 2, foot.y() - high * 1.22, rim, high * 0.44)
        painter.drawArc(handle, 0, 180 * 16)
        area = QRectF(middle - 200, foot.y() + Space.XS + _TICK, 400, self.height())
        painter.drawText(
            area, Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop, self._shown.bucket
        )
