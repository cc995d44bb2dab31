"""How the board is drawn: grounds of the days, bands, turns, and what is being moved."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from tankkeeper.core.turns import State
from tankkeeper.gui.marks import Mark, mark_role, paint_mark
from tankkeeper.gui.models.board_sheet import BandRow, BoardCell, BoardSheet
from tankkeeper.gui.palette import Colours, Role
from tankkeeper.gui.typography import TypeRole, Weight, type_font
from tankkeeper.gui.widgets.focus import RADIUS, paint_ground
from tankkeeper.gui.widgets.month_cells import CellStyle

CELL_PAD = 2
MARK_GAP = 3
SATURDAY = 5


def needed_width(noun: str, style: CellStyle) -> float:
    """Return the width in which a noun stands in full beside its mark, overdue or not."""
    wide = max(
        style.medium_metrics.horizontalAdvance(noun), style.plain_metrics.horizontalAdvance(noun)
    )
    return 2 * CELL_PAD + style.metrics.mark_cell + MARK_GAP + wide


def paint_day_ground(
    painter: QPainter, sheet: BoardSheet, column: int, area: QRectF, table: Colours
) -> None:
    """Tint the day of today, and the days of the weekend."""
    if column == 0:
        paint_ground(painter, area, table[Role.SEA_SOFT])
    elif sheet.days[column].weekday() >= SATURDAY:
        paint_ground(painter, area, table[Role.GROUND])


def paint_band_name(
    painter: QPainter, row: BandRow, area: QRectF, style: CellStyle, table: Colours
) -> None:
    """Draw the name of a band above its chores, shortened before its minutes are."""
    strong = type_font(style.plain, TypeRole.CAPTION, Weight.SEMIBOLD)
    strong.setPixelSize(style.plain.pixelSize() + 1)
    metrics = QFontMetricsF(strong)
    daily = style.plain_metrics.horizontalAdvance(row.daily)
    name = metrics.elidedText(row.name, Qt.TextElideMode.ElideRight, area.width() - daily - 24)
    y = area.bottom() - 5
    painter.setFont(strong)
    painter.setPen(table[Role.INK])
    painter.drawText(QPointF(area.left() + 8, y), name)
    painter.setFont(style.plain)
    painter.setPen(table[Role.INK_2])
    x = area.left() + 16 + metrics.horizontalAdvance(name)
    painter.drawText(QPointF(x, y), row.daily)


def paint_turn(
    painter: QPainter, cell: BoardCell, area: QRectF, style: CellStyle, table: Colours
) -> None:
    """Draw mark and noun of a turn."""
    size = style.metrics.mark_cell
    baseline = area.center().y() + style.plain_metrics.capHeight() / 2
    left = area.left() + CELL_PAD
    paint_mark(painter, cell.mark, QPointF(left, area.center().y() - size / 2), size, table)
    is_overdue = cell.mark is Mark.OVERDUE
    state = cell.row.item.state
    quiet = state in (State.PROJECTED, State.DONE, State.SKIPPED, State.PAUSED)
    painter.setFont(style.medium if is_overdue else style.plain)
    ink = mark_role(cell.mark) if is_overdue else (Role.INK_3 if quiet else Role.INK)
    painter.setPen(table[ink])
    x = left + size + MARK_GAP
    metrics = style.medium_metrics if is_overdue else style.plain_metrics
    noun = metrics.elidedText(cell.noun, Qt.TextElideMode.ElideRight, area.right() - x + 1)
    painter.drawText(QPointF(x, baseline), noun)


def paint_outline(
    painter: QPainter, area: QRectF, table: Colours, role: Role, *, dashed: bool
) -> None:
    """Draw the outline of a place."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(table[role], 1.5)
    if dashed:
        pen.setDashPattern([3.0, 2.5])
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRoundedRect(area.adjusted(1, 1, -1, -1), RADIUS, RADIUS)
    painter.restore()


def paint_refused_place(painter: QPainter, area: QRectF, style: CellStyle, table: Colours) -> None:
    """Draw the dashed outline with the refused sign on a day on which a turn cannot stand."""
    paint_ground(painter, area.adjusted(1, 1, -1, -1), table[Role.OVERDUE_SOFT])
    paint_outline(painter, area, table, Role.OVERDUE, dashed=True)
    size = style.metrics.mark_small
    at = QPointF(area.center().x() - size / 2, area.center().y() - size / 2)
    paint_mark(painter, Mark.REFUSED, at, size, table)
