"""The form that puts turns off: the days to come, those on which they cannot stand told why."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QPainter
from PySide6.QtWidgets import (
    QFrame,
    QListWidget,
    QListWidgetItem,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from tankkeeper.core.errors import UserFault
from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, metrics_for, type_font
from tankkeeper.gui.widgets.focus import paint_focus_ring, paint_tint
from tankkeeper.gui.widgets.scrolling import use_slim_bar
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.words import MONTHS, Words
from tankkeeper.services.moving import check_put_off

DAYS_SHOWN: Final = 28
REFUSED_ROLE: Final = int(Qt.ItemDataRole.UserRole) + 1
_ROWS_SEEN: Final = 8


@dataclass(frozen=True, slots=True)
class DayChoice:
    """A day to put off to, and the sentence that refuses it if it does not work."""

    day: date
    words: str
    short: str
    refusal: str


def day_choices(
    rows: Sequence[ItemRow], state: HouseholdState, words: Words
) -> tuple[DayChoice, ...]:
    """Return the days from tomorrow on, each with the first refusal of any of the rows."""
    choices = []
    for ahead in range(1, DAYS_SHOWN + 1):
        day = state.moment.day + timedelta(days=ahead)
        refusal = next((told for row in rows if (told := _refusal(row, state, day, words))), "")
        short = words.weekday_and_number(day)
        choices.append(DayChoice(day, _named(day, ahead, words), short, refusal))
    return tuple(choices)


def _refusal(row: ItemRow, state: HouseholdState, day: date, words: Words) -> str:
    try:
        check_put_off(state, row.item, day)
    except UserFault as fault:
        return fault_words(fault, words)
    return ""


def _named(day: date, ahead: int, words: Words) -> str:
    name = words.weekday_and_number(day)
    month = MONTHS[day.month - 1]
    return f"{name} {month}, tomorrow" if ahead == 1 else f"{name} {month}"


class _DayDelegate(QStyledItemDelegate):
    """Draws a day; one that does not work is struck through and paler."""

    def __init__(self, days: QListWidget) -> None:
        super().__init__(days)
        self._days = days

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the height that a mouse hits."""
        return QSize(10, metrics_for(self._days.font()).list_hit_height)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw tint, ring and words."""
        table = colours_of(self._days.palette())
        area = QRectF(option.rect).adjusted(0, 1, -Space.XS, -1)
        if index == self._days.currentIndex():
            paint_tint(painter, area, table, Role.SEA_SOFT)
            if self._days.hasFocus():
                paint_focus_ring(painter, area, table)
        is_refused = bool(index.data(REFUSED_ROLE))
        font = QFont(type_font(self._days.font(), TypeRole.BODY))
        font.setStrikeOut(is_refused)
        painter.setFont(font)
        painter.setPen(table[Role.INK_3 if is_refused else Role.INK])
        inside = area.adjusted(Space.S, 0, -Space.S, 0)
        side = Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(inside, side, str(index.data()))


class PutOffForm(Form):
    """Lists the days; `chosen` tells the one to put off to."""

    chosen = Signal(object)

    def __init__(
        self, rows: Sequence[ItemRow], choices: Sequence[DayChoice], parent: QWidget
    ) -> None:
        name = rows[0].name if len(rows) == 1 else f"{len(rows)} chores"
        super().__init__(f"Put off: {name}", "", "Put off", parent)
        self.choices = tuple(choices)
        self.days = QListWidget(self)
        self._fill()
        self.days.currentRowChanged.connect(self._on_day)
        self.days.itemActivated.connect(self._on_asked)
        self.asked.connect(self._on_asked)
        first = next((at for at, one in enumerate(self.choices) if not one.refusal), 0)
        self.days.setCurrentRow(first)
        self.days.setFocus()
        self._on_day(first)

    def _fill(self) -> None:
        self.days.setAccessibleName("Days")
        self.days.setFrameShape(QFrame.Shape.NoFrame)
        use_slim_bar(self.days)
        self.days.setItemDelegate(_DayDelegate(self.days))
        for choice in self.choices:
            item = QListWidgetItem(choice.words)
            told = f"{choice.words}. {choice.refusal}" if choice.refusal else choice.words
            item.setData(Qt.ItemDataRole.AccessibleTextRole, told)
            item.setData(REFUSED_ROLE, bool(choice.refusal))
            self.days.addItem(item)
        self.days.setFixedHeight(metrics_for(self.font()).list_hit_height * _ROWS_SEEN)
        self.column.insertWidget(self.column.count() - 2, self.days)

    @property
    def choice(self) -> DayChoice:
        """The day that is chosen now."""
        return self.choices[max(0, self.days.currentRow())]

    def _on_day(self, _row: int) -> None:
        choice = self.choice
        self.refuse(choice.refusal)
        self.primary.set_words(f"Put off to {choice.short}")
        self.primary.setEnabled(not choice.refusal)

    def _on_asked(self) -> None:
        if not self.choice.refusal:
            self.wait()
            self.chosen.emit(self.choice.day)
