"""One of a few, all to be seen at once: chips that flow into as many lines as they need."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QRadioButton, QSizePolicy, QWidget

from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, Weight, metrics_for, type_font
from tankkeeper.gui.widgets.focus import paint_focus_ring

_DOT: Final = 12
_STEPS: Final[dict[int, int]] = {
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_Down: 1,
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Up: -1,
}


class Chip(QRadioButton):
    """A choice with its mark, its words and a border around both; `stepped` tells of an arrow."""

    stepped = Signal(int)

    def sizeHint(self) -> QSize:
        """Return room for the words in their heavier weight, so that nothing moves."""
        font = type_font(self.font(), TypeRole.BODY, Weight.SEMIBOLD)
        sizes = metrics_for(self.font())
        wide = QFontMetrics(font).horizontalAdvance(self.text())
        return QSize(wide + sizes.px(_DOT) + 3 * Space.S, sizes.px(32))

    def hitButton(self, pos: object) -> bool:
        """Take a press anywhere on the chip."""
        return True

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose with Return as with Space."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers():
            self.click()
            return
        step = _STEPS.get(event.key())
        if step is not None:
            # In their order, wherever the lines break.
            self.stepped.emit(step)
            return
        super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw border, ground, mark and words."""
        table, painter = colours_of(self.palette()), QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        is_on, area = self.isChecked(), QRectF(self.rect())
        radius = area.height() / 2
        half = table.hairline / 2
        painter.setPen(QPen(table[Role.SEA if is_on else Role.EDGE], table.hairline))
        painter.setBrush(table[Role.SEA_SOFT if is_on else Role.SURFACE])
        painter.drawRoundedRect(area.adjusted(half, half, -half, -half), radius, radius)
        if self.hasFocus():
            paint_focus_ring(painter, area, table, radius)
        dot = metrics_for(self.font()).px(_DOT)
        middle = QPointF(area.left() + Space.S + dot / 2, area.center().y())
        painter.setPen(QPen(table[Role.SEA if is_on else Role.EDGE], 1.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(middle, dot / 2 - 1, dot / 2 - 1)
        if is_on:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(table[Role.SEA])
            painter.drawEllipse(middle, dot / 4, dot / 4)
        weight = Weight.SEMIBOLD if is_on else Weight.REGULAR
        painter.setFont(type_font(self.font(), TypeRole.BODY, weight))
        painter.setPen(table[Role.SEA if is_on else Role.INK])
        words = area.adjusted(1.5 * Space.S + dot, 0, 0, 0)
        painter.drawText(
            words, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, self.text()
        )


class Chips(QWidget):
    """A group of chips of which at most one is chosen; the arrow keys go through them."""

    chosen = Signal()

    def __init__(self, name: str, texts: Sequence[str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._group = QButtonGroup(self)
        self.chips = [Chip(text, self) for text in texts]
        for number, chip in enumerate(self.chips):
            chip.setAccessibleDescription(name)
            chip.stepped.connect(self._step)
            self._group.addButton(chip, number)
        self._group.idToggled.connect(self._on_toggled)
        self.setFocusProxy(self.chips[0])
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    @property
    def number(self) -> int:
        """The number of the chosen chip, -1 for none."""
        return self._group.checkedId()

    def hasHeightForWidth(self) -> bool:
        """Tell that a narrow group is higher."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height of all lines."""
        return self._places(width)[-1].bottom() + 1

    def sizeHint(self) -> QSize:
        """Return room for two lines or so."""
        return QSize(300, self.heightForWidth(max(300, self.width())))

    def minimumSizeHint(self) -> QSize:
        """Return room for the widest chip."""
        wide = max(chip.sizeHint().width() for chip in self.chips)
        return QSize(wide, self.heightForWidth(max(wide, self.width())))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the chips anew."""
        for chip, place in zip(self.chips, self._places(self.width()), strict=True):
            chip.setGeometry(place)
        self.updateGeometry()

    def _places(self, width: int) -> list[QRect]:
        places, x, y = [], 0, 0
        for chip in self.chips:
            size = chip.sizeHint()
            if x and x + size.width() > width:
                x, y = 0, y + size.height() + Space.XS
            places.append(QRect(x, y, size.width(), size.height()))
            x += size.width() + Space.XS
        return places

    def _step(self, by: int) -> None:
        here = next((n for n, chip in enumerate(self.chips) if chip.hasFocus()), 0)
        chip = self.chips[(here + by) % len(self.chips)]
        chip.setFocus(Qt.FocusReason.TabFocusReason)
        chip.setChecked(True)

    def _on_toggled(self, _number: int, is_on: bool) -> None:
        if is_on:
            self.setFocusProxy(self.chips[self.number])
            self.chosen.emit()
