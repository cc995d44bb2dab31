"""A tank as it is and as it is typed, side by side at one scale, with its water and its loss."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from tankkeeper.core.values import dataclass
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, Weight, metrics_for
from tankkeeper.gui.widgets.labels import BodyLabel, CaptionLabel
from tankkeeper.gui.widgets.tank_picture import (
    TankPicture,
    common_scale,
    paint_picture,
    picture_size,
)

_WIDE, _HIGH = 132, 108
AS_IT_IS, AS_TYPED = "As it is", "As typed"


@dataclass(frozen=True, slots=True)
class PreviewSide:
    """One side: the drawing if it can be drawn, the water and the loss in words.

    `pump_off` is what runs back when the return pump stops, empty where that is not known;
    `warns` that the sump does not take it.
    """

    picture: TankPicture | None
    litres: str
    loss: str
    pump_off: str = ""
    warns: bool = False


class _Drawing(QWidget):
    """The drawing of one side."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.picture: TankPicture | None = None
        self.scale = 1.0

    def sizeHint(self) -> QSize:
        """Return the room for any tank at the common scale."""
        sizes = metrics_for(self.font())
        return QSize(sizes.px(_WIDE), sizes.px(_HIGH))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the tank on the floor."""
        if self.picture is None:
            return
        size = picture_size(self.picture, self.scale)
        at = QPointF(0, max(0.0, self.height() - size.height() - 1))
        paint_picture(QPainter(self), self.picture, at, self.scale, colours_of(self.palette()))


class TankPreview(QWidget):
    """The head of the page: before and after are told apart by words and place."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._drawings = (_Drawing(self), _Drawing(self))
        self._captions = (CaptionLabel(parent=self), CaptionLabel(parent=self))
        self._titles = tuple(
            CaptionLabel(text, ink=Role.INK_3, parent=self)
            for text in ("Water", "Loss a day", "Return pump off")
        )
        self.lines = tuple(BodyLabel(parent=self) for _ in range(5))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(Space.M)
        for drawing, caption in zip(self._drawings, self._captions, strict=True):
            column = QVBoxLayout()
            column.setSpacing(Space.XXS)
            column.addWidget(drawing)
            column.addWidget(caption)
            row.addLayout(column)
        grid = QGridLayout()
        grid.setVerticalSpacing(2)
        grid.addWidget(self._titles[0], 0, 0)
        grid.addWidget(self.lines[0], 1, 0)
        grid.addWidget(self.lines[1], 2, 0)
        grid.addWidget(self._titles[1], 3, 0)
        grid.addWidget(self.lines[2], 4, 0)
        grid.addWidget(self.lines[3], 5, 0)
        grid.addWidget(self._titles[2], 6, 0)
        grid.addWidget(self.lines[4], 7, 0)
        grid.setRowStretch(8, 1)
        row.addLayout(grid, 1)
        for line in (self.lines[1], self.lines[3]):
            line.set_ink(Role.INK_2)
        self.setAccessibleName("Water and loss")

    def show_sides(self, now: PreviewSide | None, typed: PreviewSide | None) -> None:
        """Show how the tank is and, where it differs, how it would be; either may be missing."""
        sides = (now, typed)
        pictures = [one.picture for one in sides if one is not None and one.picture is not None]
        sizes = metrics_for(self.font())
        scale = (
            min(
                common_scale(pictures, sizes.px(_WIDE) - 8),
                *(
                    (sizes.px(_HIGH) - 6) / max(1.0, picture_size(one, 1.0).height())
                    for one in pictures
                ),
            )
            if pictures
            else 1.0
        )
        names = (AS_IT_IS, AS_TYPED)
        for side, drawing, caption, name in zip(
            sides, self._drawings, self._captions, names, strict=True
        ):
            drawing.picture = None if side is None else side.picture
            drawing.scale = scale
            drawing.setVisible(side is not None)
            # Room is kept where nothing can be drawn yet, but there is nothing to name.
            caption.setText("" if drawing.picture is None else name)
            caption.setVisible(side is not None)
            drawing.update()
        new, old = (typed, now) if typed is not None else (now, None)
        self._show_lines(new, old)

    def _show_lines(self, new: PreviewSide | None, old: PreviewSide | None) -> None:
        for place, name in ((0, "litres"), (2, "loss")):
            text = "" if new is None else getattr(new, name)
            was = "" if old is None else getattr(old, name)
            differs = bool(old is not None and was != text)
            self.lines[place].setText(text)
            self.lines[place].set_weight(Weight.SEMIBOLD if differs else Weight.REGULAR)
            self.lines[place + 1].setText(f"Before: {was}" if differs else "")
            self.lines[place + 1].setVisible(differs)
        self._show_pump_off(new, old)
        told = [self.lines[place].text() for place in (0, 1, 2, 4)]
        self.setAccessibleDescription(". ".join(filter(None, told)))

    def _show_pump_off(self, new: PreviewSide | None, old: PreviewSide | None) -> None:
        """Show what runs back, where it is known; a sump that overflows is told by its colour, too.

        What was before is left out: the page keeps its room for the fields.
        """
        text = "" if new is None else new.pump_off
        line = self.lines[4]
        line.setText(text)
        line.set_ink(Role.OVERDUE if new is not None and new.warns else Role.INK)
        differs = old is not None and old.pump_off != text
        line.set_weight(Weight.SEMIBOLD if differs else Weight.REGULAR)
        line.setVisible(bool(text))
        self._titles[2].setVisible(bool(text))
