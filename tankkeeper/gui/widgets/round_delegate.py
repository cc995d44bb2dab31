"""Draws one row of the round: a group's heading or a line of work."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from tankkeeper.core.turns import State
from tankkeeper.gui.marks import Mark, mark_role, paint_mark
from tankkeeper.gui.models.round_model import ROW_ROLE
from tankkeeper.gui.models.round_rows import HeadingRow, ItemRow
from tankkeeper.gui.palette import Colours, Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, Weight, line_height, metrics_for, type_font
from tankkeeper.gui.widgets.focus import paint_focus_ring, paint_ground, paint_tint
from tankkeeper.gui.widgets.round_columns import Columns, place_of, sign_width, state_parts

if TYPE_CHECKING:
    from tankkeeper.gui.widgets.round_list import RoundList

_PAST_TEXT: Final = 10
_ROW_GAP: Final = 1
_FOUND_BAR: Final = 4.0
_STRIKE: Final = 1.2


class RoundDelegate(QStyledItemDelegate):
    """Lays the rows out by the list's columns."""

    def __init__(self, view: RoundList) -> None:
        super().__init__(view)
        self._view = view

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the height of a heading or of a line of work."""
        sizes = self._view.metrics
        if isinstance(index.data(ROW_ROLE), HeadingRow):
            return QSize(10, sizes.group_height + Space.XXS)
        columns = self._view.columns
        if not (columns.has_two_lines or place_of(index.data(ROW_ROLE)) in columns.tall):
            return QSize(10, sizes.row_height)
        base = self._view.font()
        lines = line_height(base, TypeRole.BODY) + line_height(base, TypeRole.CAPTION)
        return QSize(10, lines + Space.S)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw the row."""
        row = index.data(ROW_ROLE)
        area, table = QRectF(option.rect), colours_of(self._view.palette())
        if isinstance(row, HeadingRow):
            self._paint_heading(painter, row, area, table)
            return
        columns = self._view.columns
        ground = QRectF(
            columns.left - _PAST_TEXT,
            area.top() + _ROW_GAP,
            columns.right - columns.left + 2 * _PAST_TEXT,
            area.height() - 2 * _ROW_GAP,
        )
        if option.state & QStyle.StateFlag.State_Selected:
            paint_tint(painter, ground, table, Role.SEA_SOFT)
        if self._view.is_found(row):
            bar = QRectF(ground.left(), ground.top(), _FOUND_BAR, ground.height())
            paint_tint(painter, bar, table, Role.SEA, _FOUND_BAR / 2)
        if index == self._view.currentIndex() and self._view.hasFocus():
            paint_focus_ring(painter, ground, table)
        self._paint_item(painter, row, area, table)

    def _font(self, size: TypeRole, weight: Weight = Weight.REGULAR) -> QFont:
        return type_font(self._view.font(), size, weight)

    def _paint_heading(
        self, painter: QPainter, row: HeadingRow, area: QRectF, table: Colours
    ) -> None:
        """Draw tank, readings, room and minutes on one baseline above a hairline."""
        columns = self._view.columns
        strong = self._font(TypeRole.HEADING, Weight.SEMIBOLD)
        metrics = QFontMetricsF(strong)
        line_y = area.bottom() - Space.XXS
        baseline = line_y - Space.XS - metrics.descent() + 2
        small = self._font(TypeRole.CAPTION)
        name, room = self.heading_texts(row)
        self._write(painter, name, strong, columns.left, baseline, table[Role.INK])
        x = columns.left + metrics.horizontalAdvance(name) + Space.XS + 2
        self._write(painter, room, small, x, baseline, table[Role.INK_2])
        sum_font = self._font(TypeRole.CAPTION, Weight.SEMIBOLD)
        width = QFontMetricsF(sum_font).horizontalAdvance(row.minutes)
        x = columns.minutes_right - width
        self._write(painter, row.minutes, sum_font, x, baseline, table[Role.INK_2])
        hairline = table.hairline
        line = QRectF(columns.left, line_y, columns.right - columns.left, hairline)
        paint_ground(painter, line, table[Role.LINE])

    def heading_texts(self, row: HeadingRow) -> tuple[str, str]:
        """Return tank and what is beside it as drawn: first that is shortened, then the tank.

        Of what can stand beside it, the fullest that has room.
        """
        columns = self._view.columns
        strong = QFontMetricsF(self._font(TypeRole.HEADING, Weight.SEMIBOLD))
        small = QFontMetricsF(self._font(TypeRole.CAPTION))
        minutes = metrics_for(self._view.font()).px(60)
        # Where no minutes stand, nothing else does either, up to the end of the line.
        end = columns.minutes_right - minutes if row.minutes else columns.right
        space = max(80.0, end - columns.left - Space.XS - 2)
        right = Qt.TextElideMode.ElideRight
        name = strong.elidedText(row.name, right, space)
        left = space - strong.horizontalAdvance(name)
        beside = next((one for one in row.beside if small.horizontalAdvance(one) <= left), None)
        if beside is None and left > 3 * Space.S:
            beside = small.elidedText(row.beside[-1], right, left)
        return name, beside or ""

    def _who_font(self) -> QFont:
        is_below = self._view.columns.has_who_below
        return self._font(TypeRole.CAPTION if is_below else TypeRole.BODY)

    def shown_who(self, row: ItemRow) -> str:
        """Return who as it is drawn, shortened only where it is longer than its column."""
        metrics, room = QFontMetricsF(self._who_font()), self._view.columns.who_width
        return metrics.elidedText(row.who, Qt.TextElideMode.ElideRight, room + 1)

    def shown_name(self, row: ItemRow) -> str:
        """Return a chore as it is drawn, shortened only where it is longer than its column."""
        columns, base = self._view.columns, self._view.font()
        room = columns.chore_end(has_amount=columns.has_beside(row)) - columns.chore
        if row.caution and not columns.has_two_lines:
            room -= sign_width(base)
        metrics = QFontMetricsF(self._name_font())
        if self.name_below(row):
            return row.name.removesuffix(self.name_below(row)).rstrip()
        return metrics.elidedText(row.name, Qt.TextElideMode.ElideRight, max(room, 40.0) + 1)

    def name_below(self, row: ItemRow) -> str:
        """Return how a long name goes on in the second line, where all of it has room there.

        Amount and caution stand behind it. As beside a chore, the words of a caution go first and
        its sign alone stays; where even that has no room, the name is shortened.
        """
        columns = self._view.columns
        if not columns.has_two_lines:
            return ""
        room = columns.chore_end(has_amount=columns.has_beside(row)) - columns.chore
        first, rest = _broken(row.name, QFontMetricsF(self._name_font()), room + 1)
        if not first or not rest:
            return ""
        taken = QFontMetricsF(self._rest_font()).horizontalAdvance(rest)
        if row.amount:
            taken += Space.S + QFontMetricsF(self._font(TypeRole.CAPTION)).horizontalAdvance(
                row.amount
            )
        if row.caution:
            taken += sign_width(self._view.font())
        return rest if columns.chore + taken <= self._second_end() else ""

    def _name_font(self) -> QFont:
        return self._font(TypeRole.BODY, Weight.MEDIUM)

    def _rest_font(self) -> QFont:
        return self._font(TypeRole.CAPTION, Weight.MEDIUM)

    def _second_end(self) -> float:
        """Return where the second line ends under the chore."""
        return self._view.columns.minutes_right - self._view.metrics.px(40)

    def _write(
        self, painter: QPainter, text: str, font: QFont, x: float, baseline: float, ink: QColor
    ) -> None:
        painter.setFont(font)
        painter.setPen(ink)
        painter.drawText(QPointF(x, baseline), text)

    def _paint_item(self, painter: QPainter, row: ItemRow, area: QRectF, table: Colours) -> None:
        columns = self._view.columns
        medium = self._name_font()
        body = self._font(TypeRole.BODY)
        metrics = QFontMetricsF(medium)
        first = self._first_baseline(row, area, metrics)
        mark = Mark(row.item.state.value)
        size = self._view.metrics.mark_row
        middle = first - metrics.capHeight() / 2
        paint_mark(painter, mark, QPointF(columns.left, middle - size / 2), size, table)
        quiet = row.is_closed or row.item.state is State.PAUSED
        ink = table[Role.INK_3] if quiet else table[Role.INK]
        second_ink = table[Role.INK_3] if quiet else table[Role.INK_2]
        name = self.shown_name(row)
        self._write(painter, name, medium, columns.chore, first, ink)
        name_width = metrics.horizontalAdvance(name)
        self._strike(painter, row, columns.chore, name_width, first, metrics, table)
        rest_width = self._paint_rest(painter, row, area, ink, table)
        widths = name_width, rest_width
        self._paint_amount(painter, row, columns, area, first, widths, second_ink, table)
        width = QFontMetricsF(body).horizontalAdvance(row.minutes)
        self._write(painter, row.minutes, body, columns.minutes_right - width, first, second_ink)
        who_at = self._second_baseline(area) if columns.has_who_below else first
        who_font = self._who_font()
        self._write(painter, self.shown_who(row), who_font, columns.who, who_at, second_ink)
        is_strong = row.item.state is State.OVERDUE
        font = self._font(TypeRole.BODY, Weight.SEMIBOLD if is_strong else Weight.REGULAR)
        state_ink = table[mark_role(mark)] if is_strong else second_ink
        head, tail = self.state_lines(row)
        above = self._upper_baseline(area, metrics) if tail else first
        self._write(painter, head, font, columns.state, above, state_ink)
        if tail:
            below = self._second_baseline(area)
            self._write(painter, tail, font, columns.state, below, state_ink)

    def state_lines(self, row: ItemRow) -> tuple[str, str]:
        """Return a state as it is drawn: in two lines where its row is tall and it has no room."""
        columns = self._view.columns
        strong = QFontMetricsF(self._font(TypeRole.BODY, Weight.SEMIBOLD))
        is_whole = strong.horizontalAdvance(row.state) <= columns.state_width + 1
        if is_whole or place_of(row) not in columns.tall:
            return row.state, ""
        return state_parts(row.state)

    def _paint_rest(
        self, painter: QPainter, row: ItemRow, area: QRectF, ink: QColor, table: Colours
    ) -> float:
        """Draw how the name goes on in the second line; return what that takes with its gap."""
        rest = self.name_below(row)
        if not rest:
            return 0.0
        font, x, baseline = self._rest_font(), self._view.columns.chore, self._second_baseline(area)
        metrics = QFontMetricsF(font)
        width = metrics.horizontalAdvance(rest)
        self._write(painter, rest, font, x, baseline, ink)
        self._strike(painter, row, x, width, baseline, metrics, table)
        return width + Space.S

    def _first_baseline(self, row: ItemRow, area: QRectF, metrics: QFontMetricsF) -> float:
        columns = self._view.columns
        if place_of(row) in columns.low:
            return self._upper_baseline(area, metrics)
        below = row.amount or row.caution or (row.who if columns.has_who_below else "")
        below = below or self.name_below(row)
        if not columns.has_two_lines or not below:
            return area.center().y() + metrics.capHeight() / 2
        return self._upper_baseline(area, metrics)

    def _upper_baseline(self, area: QRectF, metrics: QFontMetricsF) -> float:
        line = line_height(self._view.font(), TypeRole.BODY)
        return area.top() + Space.XS - 2 + (line + metrics.capHeight()) / 2

    def _second_baseline(self, area: QRectF) -> float:
        line = line_height(self._view.font(), TypeRole.CAPTION)
        letters = QFontMetricsF(self._font(TypeRole.CAPTION)).capHeight()
        return area.bottom() - Space.XS + 2 - (line - letters) / 2

    def _paint_amount(
        self,
        painter: QPainter,
        row: ItemRow,
        columns: Columns,
        area: QRectF,
        first: float,
        widths: tuple[float, float],
        ink: QColor,
        table: Colours,
    ) -> None:
        """Draw amount and caution beside the chore, or under it where room is short.

        `widths` are those of its name in the first line and of what goes on in the second.
        """
        name_width, rest_width = widths
        small = self._font(TypeRole.CAPTION)
        if not columns.has_two_lines:
            is_beside = columns.has_beside(row)
            if is_beside:
                body = self._font(TypeRole.BODY)
                self._write(painter, row.amount, body, columns.amount, first, ink)
            elif row.amount:
                second = self._second_baseline(area)
                self._write(painter, row.amount, small, columns.chore, second, ink)
            x = columns.chore + name_width + 10
            end = columns.chore_end(has_amount=is_beside) + Space.XXS
            self._paint_caution(painter, row.caution, x, first, table, end)
            return
        second = self._second_baseline(area)
        start = columns.chore + rest_width
        self._write(painter, row.amount, small, start, second, ink)
        after = QFontMetricsF(small).horizontalAdvance(row.amount)
        x = start + (after + Space.S if row.amount else 0)
        self._paint_caution(painter, row.caution, x, second, table, self._second_end())

    def _paint_caution(
        self,
        painter: QPainter,
        words: str,
        x: float,
        baseline: float,
        table: Colours,
        end: float,
    ) -> None:
        """Draw the sign, and its words where they end before `end`; the panel tells the rest."""
        if not words:
            return
        small = self._font(TypeRole.CAPTION)
        size = self._view.metrics.mark_row
        middle = baseline - QFontMetricsF(small).capHeight() / 2
        paint_mark(painter, Mark.CAUTION, QPointF(x, middle - size / 2 - 1), size, table)
        if x + size + 5 + QFontMetricsF(small).horizontalAdvance(words) <= end:
            self._write(painter, words, small, x + size + 5, baseline, table[Role.AMBER])

    def _strike(
        self,
        painter: QPainter,
        row: ItemRow,
        x: float,
        width: float,
        baseline: float,
        metrics: QFontMetricsF,
        table: Colours,
    ) -> None:
        """Draw the line through what was done or skipped, as far as it has come."""
        share = self._view.strike_share(row)
        if share <= 0.0:
            return
        y = baseline - metrics.xHeight() / 2
        painter.save()
        painter.setPen(QPen(table[Role.INK_3], _STRIKE * self._view.metrics.scale))
        painter.drawLine(QPointF(x, y), QPointF(x + width * share, y))
        painter.restore()


def _broken(name: str, metrics: QFontMetricsF, room: float) -> tuple[str, str]:
    """Return so many whole words of a name as have room, and the rest of it."""
    if metrics.horizontalAdvance(name) <= room:
        return name, ""
    words = name.split(" ")
    count = len(words) - 1
    while count and metrics.horizontalAdvance(" ".join(words[:count])) > room:
        count -= 1
    return " ".join(words[:count]), " ".join(words[count:])
