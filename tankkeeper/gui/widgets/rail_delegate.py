"""Draws one card of the tank rail and says how high it is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from tankkeeper.gui.marks import Mark, mark_role, paint_mark
from tankkeeper.gui.palette import Colours, Role, colours_of
from tankkeeper.gui.typography import TypeRole, Weight, line_height, metrics_for, type_font
from tankkeeper.gui.widgets.focus import paint_focus_ring, paint_tint
from tankkeeper.gui.widgets.gauge import gauge_size, gauge_words, paint_gauge
from tankkeeper.gui.widgets.tank_picture import (
    gauge_place,
    paint_picture,
    picture_size,
)

if TYPE_CHECKING:
    from tankkeeper.gui.widgets.rail import TankCard, TankRail

_INSET: Final = 8
_MARGIN: Final = 20
_PAD: Final = 8
_GAP: Final = 8
_CARD_ROLE: Final = int(Qt.ItemDataRole.UserRole) + 1
NOTHING_DUE: Final = "nothing due"


class CardLook(NamedTuple):
    """Which parts of a card are drawn."""

    has_picture: bool
    has_gauge: bool
    has_figures: bool
    has_litres: bool


class _Figure(NamedTuple):
    mark: Mark | None
    words: str
    is_strong: bool


class RailDelegate(QStyledItemDelegate):
    """Lays a card out from top to bottom: name, picture with gauge, figures."""

    def __init__(self, rail: TankRail) -> None:
        super().__init__(rail)
        self._rail = rail
        self._scale = 1.0
        self._folds = False
        self._is_narrow = False
        self._width = 200

    def set_look(self, *, scale: float, folds: bool, is_narrow: bool, width: int) -> None:
        """Take the common scale, whether quiet tanks fold, and the width there is."""
        self._scale = scale
        self._folds = folds
        self._is_narrow = is_narrow
        self._width = width

    def look_of(self, card: TankCard) -> CardLook:
        """Return which parts of a card are drawn; a paused tank says so even folded."""
        is_folded = self._folds and card.is_quiet and card.id is not None
        return CardLook(
            has_picture=card.picture is not None and not self._is_narrow,
            has_gauge=(
                card.picture is not None
                and card.picture.mm_down is not None
                and not self._is_narrow
                and not is_folded
            ),
            has_figures=not is_folded or bool(card.rests),
            has_litres=not self._is_narrow,
        )

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the width of the rail and the height of the card."""
        card: TankCard = index.data(_CARD_ROLE)
        base = self._rail.font()
        height = 2.0 * _PAD + line_height(base, TypeRole.BODY)
        look = self.look_of(card)
        if look.has_picture and card.picture is not None:
            height += 4 + self._drawing_height(card, look)
        if look.has_figures:
            height += 4 + self._figures_height(card)
        smallest = metrics_for(base).list_hit_height
        return QSize(self._width, max(smallest, round(height + 0.49)) + _GAP)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw the ground, the ring, and the parts of the card."""
        card = self._rail.drawn_card(index.data(_CARD_ROLE))
        table = colours_of(self._rail.palette())
        area = QRectF(option.rect)
        ground = area.adjusted(_INSET, 0, 0, -_GAP)
        is_selected = bool(option.state & QStyle.StateFlag.State_Selected)
        is_chosen = self._rail.is_shown_chosen(card, is_chosen=is_selected)
        if is_chosen:
            paint_tint(painter, ground, table, Role.SEA_SOFT)
            if self._rail.hasFocus():
                paint_focus_ring(painter, ground, table)
        under = Role.SEA_SOFT if is_chosen else Role.GROUND
        look = self.look_of(card)
        y = area.top() + _PAD
        y = self._paint_name(painter, card, look, area, y, table)
        if look.has_picture and card.picture is not None:
            y = self._paint_drawing(painter, card, look, QPointF(_MARGIN, y + 4), table, under)
        if look.has_figures:
            self._paint_figures(painter, card, area.left() + _MARGIN, y + 4, table)

    def _inner_width(self) -> float:
        return float(self._width - _MARGIN - _INSET)

    def _font(self, size: TypeRole, weight: Weight = Weight.REGULAR) -> QFont:
        return type_font(self._rail.font(), size, weight)

    def _factor(self) -> float:
        return metrics_for(self._rail.font()).scale

    def _paint_name(
        self,
        painter: QPainter,
        card: TankCard,
        look: CardLook,
        area: QRectF,
        y: float,
        table: Colours,
    ) -> float:
        """Draw name and litres on one baseline; the name gives way first."""
        strong, small = self._font(TypeRole.BODY, Weight.SEMIBOLD), self._font(TypeRole.CAPTION)
        metrics = QFontMetricsF(strong)
        line = line_height(self._rail.font(), TypeRole.BODY)
        baseline = y + (line - metrics.height()) / 2 + metrics.ascent()
        left, room = area.left() + _MARGIN, self._inner_width()
        if look.has_litres and card.litres:
            taken = QFontMetricsF(small).horizontalAdvance(card.litres)
            painter.setFont(small)
            painter.setPen(table[Role.INK_2])
            painter.drawText(QPointF(left + room - taken, baseline), card.litres)
            room -= taken + 8
        painter.setFont(strong)
        painter.setPen(table[Role.INK])
        name = metrics.elidedText(card.name, Qt.TextElideMode.ElideRight, room)
        painter.drawText(QPointF(left, baseline), name)
        return y + line

    def _gauge(self, card: TankCard, look: CardLook) -> tuple[QPointF, QSizeF] | None:
        picture = card.picture
        if not look.has_gauge or picture is None or picture.mm_down is None:
            return None
        size = gauge_size(self._rail.font(), picture.mm_down, self._factor(), picture.gauge_unit)
        return gauge_place(picture, self._scale, size, self._inner_width()), size

    def _drawing_height(self, card: TankCard, look: CardLook) -> float:
        if card.picture is None:
            return 0.0
        height = picture_size(card.picture, self._scale).height()
        gauge = self._gauge(card, look)
        if gauge is not None:
            height = max(height, gauge[0].y() + gauge[1].height())
        return height

    def _paint_drawing(
        self,
        painter: QPainter,
        card: TankCard,
        look: CardLook,
        at: QPointF,
        table: Colours,
        under: Role,
    ) -> float:
        picture = card.picture
        if picture is None:
            return at.y()
        paint_picture(painter, picture, at, self._scale, table)
        gauge = self._gauge(card, look)
        base = self._rail.font()
        if gauge is not None and picture.mm_down is not None:
            place = at + gauge[0]
            paint_gauge(
                painter,
                picture.mm_down,
                place,
                base,
                self._factor(),
                table,
                under,
                picture.gauge_unit,
            )
        elif picture.mm_down is not None:
            self._paint_folded_level(painter, picture.mm_down, card, at, table)
        return at.y() + self._drawing_height(card, look)

    def _paint_folded_level(
        self, painter: QPainter, mm_down: float, card: TankCard, at: QPointF, table: Colours
    ) -> None:
        """Write the level beside the small picture of a folded tank."""
        if card.picture is None:
            return
        font = self._font(TypeRole.CAPTION)
        words = " ".join(gauge_words(mm_down, card.picture.gauge_unit))
        size = picture_size(card.picture, self._scale)
        if size.width() + 12 + QFontMetricsF(font).horizontalAdvance(words) > self._inner_width():
            return
        painter.setFont(font)
        painter.setPen(table[Role.INK_2])
        baseline = at.y() + size.height() / 2 + QFontMetricsF(font).capHeight() / 2
        painter.drawText(QPointF(at.x() + size.width() + 12, baseline), words)

    def _figures(self, card: TankCard) -> list[_Figure]:
        figures = [_Figure(Mark.CAUTION, told, True) for told in card.harms]
        if card.overdue:
            figures.append(_Figure(Mark.OVERDUE, f"{card.overdue} {Mark.OVERDUE.value}", True))
        if card.due:
            figures.append(_Figure(Mark.DUE, f"{card.due} {Mark.DUE.value}", False))
        if card.rests and not figures:
            return self._resting(card.rests)
        return figures

    def _resting(self, told: str) -> list[_Figure]:
        """Return why a tank rests on one line, else on two; what has no room is left out whole.

        Cut before "when full" its litres would read as if they were in it.
        """
        whole = _Figure(Mark.PAUSED, told, False)
        first, _, more = told.partition(", ")
        if not more or self._fits_one_line([whole]):
            return [whole]
        below = [_Figure(None, more, False)]
        return [_Figure(Mark.PAUSED, first, False), *(below if self._fits_one_line(below) else ())]

    def _figure_width(self, figure: _Figure) -> float:
        metrics = QFontMetricsF(self._figure_font(figure))
        mark = metrics_for(self._rail.font()).mark_small
        return mark + 6 + metrics.horizontalAdvance(figure.words)

    def _figure_font(self, figure: _Figure) -> QFont:
        weight = Weight.SEMIBOLD if figure.is_strong else Weight.REGULAR
        return self._font(TypeRole.CAPTION, weight)

    def _fits_one_line(self, figures: list[_Figure]) -> bool:
        return sum(self._figure_width(figure) + 12 for figure in figures) - 12 <= (
            self._inner_width()
        )

    def _figures_height(self, card: TankCard) -> int:
        figures = self._figures(card)
        line = line_height(self._rail.font(), TypeRole.CAPTION)
        return line if self._fits_one_line(figures) else line * len(figures)

    def _paint_figures(
        self, painter: QPainter, card: TankCard, left: float, y: float, table: Colours
    ) -> None:
        base = self._rail.font()
        line, mark = line_height(base, TypeRole.CAPTION), metrics_for(base).mark_small
        figures = self._figures(card)
        if not figures:
            painter.setFont(self._font(TypeRole.CAPTION))
            painter.setPen(table[Role.INK_3])
            painter.drawText(QPointF(left, y + self._baseline(line)), NOTHING_DUE)
            return
        is_one_line = self._fits_one_line(figures)
        x = left
        for figure in figures:
            if figure.mark is not None:
                paint_mark(painter, figure.mark, QPointF(x, y + (line - mark) / 2), mark, table)
            painter.setFont(self._figure_font(figure))
            role = Role.INK_2
            if figure.is_strong and figure.mark is not None:
                role = mark_role(figure.mark)
            painter.setPen(table[role])
            metrics, room = QFontMetricsF(painter.font()), left + self._inner_width() - x - mark - 6
            words = metrics.elidedText(figure.words, Qt.TextElideMode.ElideRight, room)
            painter.drawText(QPointF(x + mark + 6, y + self._baseline(line)), words)
            if is_one_line:
                x += self._figure_width(figure) + 12
            else:
                y += line

    def _baseline(self, line: float) -> float:
        metrics = QFontMetricsF(self._font(TypeRole.CAPTION))
        return (line - metrics.height()) / 2 + metrics.ascent()
