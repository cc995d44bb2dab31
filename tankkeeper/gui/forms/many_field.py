"""Any of a few, each with a box to be ticked."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QCheckBox, QWidget

from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, metrics_for
from tankkeeper.gui.widgets.flow import FlowBar
from tankkeeper.gui.widgets.focus import paint_focus_ring

_MOST_ROWS = 400
_RING = 4
_STEPS = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
_FEW = 7


class TickBox(QCheckBox):
    """A box whose border keeps 3 : 1, with its text beside it; `stepped` tells Up and Down."""

    stepped = Signal(int)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave Up and Down to what places the boxes; the rest is as with any box."""
        by = _STEPS.get(Qt.Key(event.key()))
        if by is None or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
        else:
            self.stepped.emit(by)

    def sizeHint(self) -> QSize:
        """Return room for box and text."""
        side = self._side()
        width = QFontMetricsF(self.font()).horizontalAdvance(self.text())
        return QSize(side + Space.XS + round(width) + 2 * _RING, side + 2 * _RING + 2)

    def minimumSizeHint(self) -> QSize:
        """Return the same room."""
        return self.sizeHint()

    def hitButton(self, pos: QPoint) -> bool:
        """Let the text be clicked as well."""
        return self.rect().contains(pos)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the box, its tick, the text, and the ring while the keys act here."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        table, side = colours_of(self.palette()), self._side()
        top = (self.height() - side) / 2
        box = QRectF(_RING, top, side, side)
        painter.setPen(QPen(table[Role.SEA if self.isChecked() else Role.EDGE], 1.0))
        painter.setBrush(table[Role.SEA if self.isChecked() else Role.SURFACE])
        painter.drawRoundedRect(box.adjusted(0.5, 0.5, -0.5, -0.5), 3, 3)
        if self.isChecked():
            painter.setPen(QPen(table[Role.ON_SEA], max(1.5, side / 8)))
            points = [
                QPointF(box.left() + side * x, box.top() + side * y)
                for x, y in ((0.24, 0.52), (0.43, 0.72), (0.77, 0.30))
            ]
            painter.drawPolyline(QPolygonF(points))
        painter.setPen(table[Role.INK])
        room = QRectF(self.rect()).adjusted(_RING + side + Space.XS, 0, 0, 0)
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, self.text())
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            paint_focus_ring(painter, QRectF(self.rect()), table)

    def _side(self) -> int:
        return metrics_for(self.font()).px(16)


class ManyField(FlowBar):
    """Boxes side by side; `changed` tells that one was ticked or not any more."""

    changed = Signal()

    def __init__(self, name: str, rows: Sequence[tuple[str, object]], parent: QWidget) -> None:
        super().__init__(parent, in_columns=len(rows) > _FEW)
        self.setAccessibleName(name)
        self._values = [value for _text, value in rows]
        self._stood: tuple[object, ...] = ()
        self.boxes: list[TickBox] = []
        self.all: TickBox | None = None
        if len(rows) > _FEW:
            self.all = TickBox("All", self)
            self.all.setAccessibleName(f"{name}: all of them")
            self.all.clicked.connect(self._tick_all)
            self.all.stepped.connect(self._step)
            self.add(self.all)
        for text, _value in rows[:_MOST_ROWS]:
            box = TickBox(text, self)
            box.setAccessibleName(f"{name}: {text}")
            box.toggled.connect(self.changed)
            box.stepped.connect(self._step)
            self.boxes.append(box)
            self.add(box)
        self.changed.connect(self._show_all)
        # Before the first box stands for it: the key of a label would press a button it leads to.
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        if self.boxes:
            self.setFocusProxy(self.all or self.boxes[0])

    @property
    def value(self) -> tuple[object, ...]:
        """What is ticked: what stood there first, in its order, then the rest as the boxes stand.

        The order says something: a chore counts for the first person who is named.
        """
        ticked = {
            value: box.isChecked() for box, value in zip(self.boxes, self._values, strict=False)
        }
        kept = [value for value in self._stood if ticked.get(value, True)]
        return (*kept, *(value for value, is_on in ticked.items() if is_on and value not in kept))

    def show_value(self, wanted: object) -> None:
        """Tick these, and no others."""
        self._stood = wanted if isinstance(wanted, tuple) else ()
        for box, value in zip(self.boxes, self._values, strict=False):
            box.setChecked(value in self._stood)
        self._show_all()

    def _step(self, by: int) -> None:
        """Go to the box above or below, the nearest where the rows do not stand alike."""
        here = self.focusWidget()
        boxes = [*([] if self.all is None else [self.all]), *self.boxes]
        if here is None or here not in boxes:
            return
        beyond = [one for one in boxes if (one.y() - here.y()) * by > 0]
        if beyond:
            # The nearest row first, in it what is nearest to where the keys are.
            at = lambda one: (abs(one.y() - here.y()), abs(one.x() - here.x()))  # noqa: E731
            min(beyond, key=at).setFocus(Qt.FocusReason.TabFocusReason)

    def _tick_all(self, is_on: bool) -> None:
        """Tick all, or none; a few are then taken out or put in by themselves."""
        for box in self.boxes:
            box.setChecked(is_on)

    def _show_all(self) -> None:
        if self.all is not None:
            self.all.setChecked(all(box.isChecked() for box in self.boxes))
