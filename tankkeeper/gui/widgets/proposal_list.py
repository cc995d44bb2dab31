"""The chores that are proposed: each switched on or off by Space, its days by + and -."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QFont,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import (
    QFrame,
    QListWidget,
    QListWidgetItem,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from tankkeeper.core.adjusting import (
    Adjustment,
    adjusted,
    adjustment_of,
    in_step,
    stepped,
    still_possible,
)
from tankkeeper.core.catalogue import Proposal
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, Weight, line_height, metrics_for, type_font
from tankkeeper.gui.widgets.focus import paint_focus_ring, paint_tint
from tankkeeper.gui.widgets.letters import TypedSearch, is_plain, letter_of
from tankkeeper.gui.widgets.row_in_hand import RowInHand
from tankkeeper.gui.widgets.scrolling import use_slim_bar
from tankkeeper.reports.proposals import proposal_reason, proposal_rhythm, window_words
from tankkeeper.reports.words import Words

_BOX: Final = 16
_LARGE_TYPE: Final = 1.2
_LONGER = frozenset({Qt.Key.Key_Plus, Qt.Key.Key_Right})
_SHORTER = frozenset({Qt.Key.Key_Minus, Qt.Key.Key_Left})
_OPENING: Final = frozenset({Qt.Key.Key_Return, Qt.Key.Key_Enter})
_ACTING: Final = _LONGER | _SHORTER | _OPENING | {Qt.Key.Key_Space}
ALREADY_HERE: Final = "Already here"
_REASON: Final = Qt.ItemDataRole.UserRole
_RHYTHM: Final = Qt.ItemDataRole.UserRole + 1
_WINDOW: Final = Qt.ItemDataRole.UserRole + 2
_NAME: Final = Qt.ItemDataRole.UserRole + 3
Index = QModelIndex | QPersistentModelIndex


class ProposalList(RowInHand, QListWidget):
    """Lists the proposals; what was switched or changed stays so while the measures are typed.

    `opened` tells the proposal that is to be changed in more than its days, `refused` one that was
    to be switched on and is there already. Letters find here, or where there is a field to find in
    (`passes_letters`) are told as `typed`.
    """

    chosen_changed = Signal()
    typed = Signal(str)
    opened = Signal(object)
    refused = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Proposed chores")
        self.setAccessibleDescription(
            "Space switches a chore on or off, Left and Right or minus and plus change its days, "
            "Return changes more."
        )
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setItemDelegate(_ProposalDelegate(self))
        self.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        use_slim_bar(self)
        # As they are proposed, and as they were changed.
        self._offered: list[Proposal] = []
        self._proposals: list[Proposal] = []
        self._words: Words | None = None
        self._switched: dict[str, bool] = {}
        self._adjusted: dict[str, tuple[Adjustment, date]] = {}
        # How a chore came that was done every day, before it came less often.
        self._daily: dict[str, Adjustment] = {}
        self._there: frozenset[str] = frozenset()
        # What is told where nothing is listed.
        self._empty = ""
        self._is_filling = False
        self.passes_letters = False
        self._search = TypedSearch()
        self.itemChanged.connect(self._on_item)

    @property
    def is_touched(self) -> bool:
        """Whether any was switched or changed by hand."""
        return bool(self._switched or self._adjusted)

    @property
    def standing(self) -> object:
        """What was switched and changed by hand, to be put back by `stand`."""
        return dict(self._switched), dict(self._adjusted)

    def stand(self, standing: object) -> None:
        """Let this be switched and changed, in place of what is now."""
        assert isinstance(standing, tuple)
        self._switched, self._adjusted = dict(standing[0]), dict(standing[1])
        if self._words is not None:
            self.show_proposals(self._offered, self._words)

    @property
    def accepted(self) -> tuple[Proposal, ...]:
        """The proposals that are switched on, as they were changed."""
        return tuple(one for one in self._proposals if self._is_on(one))

    def accepted_of(self, proposals: Sequence[Proposal]) -> tuple[Proposal, ...]:
        """Return those of these that are switched on, as they were changed, shown or not."""
        changed = in_step([self._as_changed(one) for one in proposals], self._adjusted)
        return tuple(one for one in changed if self._is_on(one))

    def set_there(self, keys: frozenset[str]) -> None:
        """Mark those with these keys as what is there already; they cannot be switched on."""
        self._there = keys

    def set_empty_words(self, words: str) -> None:
        """Tell this where nothing is listed."""
        self._empty = words
        self.viewport().update()

    def show_proposals(self, proposals: Sequence[Proposal], words: Words) -> None:
        """List these; the row that was chosen stays chosen."""
        row = self.currentRow()
        self._words = words
        self._offered = list(proposals)
        self._proposals = in_step([self._as_changed(one) for one in proposals], self._adjusted)
        self._is_filling = True
        while self.count() > len(self._proposals):
            self.takeItem(self.count() - 1)
        while self.count() < len(self._proposals):
            self.addItem(QListWidgetItem())
        for number in range(self.count()):
            self._fill(number)
        self._is_filling = False
        self.setCurrentRow(max(0, min(row, self.count() - 1)))
        self.chosen_changed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Change the days of the chosen chore, find by letters, or what a list does."""
        if self._is_typed(event):
            return
        self._search.end()
        number = self.currentRow()
        if event.key() in _ACTING and 0 <= number < self.count() and self._is_there(number):
            is_asking = event.key() == Qt.Key.Key_Space or self._is_opening(event)
            if is_asking:
                self.refused.emit(self._proposals[number])
            if is_asking or not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                return
        by = 1 if event.key() in _LONGER else -1 if event.key() in _SHORTER else 0
        if by:
            self._change_days(self.currentRow(), by)
            return
        if self._is_opening(event):
            self._open(self.currentRow())
            return
        super().keyPressEvent(event)

    def _is_typed(self, event: QKeyEvent) -> bool:
        """Take a letter, and a space within a search, for finding; tell whether it was one."""
        letter = letter_of(event)
        if letter and self.passes_letters:
            self.typed.emit(letter)
            return True
        names = [one.chore.name for one in self._proposals]
        if letter:
            at = self._search.add(letter, names)
            if at >= 0:
                self.setCurrentRow(at)
            return True
        is_space = event.key() == Qt.Key.Key_Space and not event.modifiers()
        return is_space and self._search.takes_space(names)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Find anew when the keys come back."""
        super().focusOutEvent(event)
        self._search.end()

    def _is_opening(self, event: QKeyEvent) -> bool:
        return event.key() in _OPENING and is_plain(event)

    def _is_there(self, number: int) -> bool:
        return self._proposals[number].row.key in self._there

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the lines, or what is to be known where there are none."""
        super().paintEvent(event)
        if self.count() or not self._empty:
            return
        painter = QPainter(self.viewport())
        painter.setFont(type_font(self.font(), TypeRole.BODY))
        painter.setPen(colours_of(self.palette())[Role.INK_2])
        room = self.viewport().rect().adjusted(Space.S, Space.S, -Space.S, -Space.S)
        painter.drawText(room, Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignTop, self._empty)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Switch the chore whose box is pressed."""
        super().mousePressEvent(event)
        self._search.end()
        item = self.itemAt(event.position().toPoint())
        wide = metrics_for(self.font()).px(_BOX) + 2 * Space.XS
        if item is not None and self._is_there(self.row(item)):
            if event.position().x() < wide:
                self.refused.emit(self._proposals[self.row(item)])
            return
        if item is not None and event.position().x() < wide:
            is_on = item.checkState() is Qt.CheckState.Checked
            item.setCheckState(Qt.CheckState.Unchecked if is_on else Qt.CheckState.Checked)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Open the chore that is double-clicked beside its box."""
        item = self.itemAt(event.position().toPoint())
        wide = metrics_for(self.font()).px(_BOX) + 2 * Space.XS
        if item is None or event.position().x() < wide:
            return
        if self._is_there(self.row(item)):
            self.refused.emit(self._proposals[self.row(item)])
        else:
            self._open(self.row(item))

    def adjust(self, proposal: Proposal, wanted: Adjustment, on: date) -> None:
        """Let a chore come as it is wanted, counted from a day; it is switched on."""
        keys = [one.row.key for one in self._proposals]
        if proposal.row.key not in keys:
            return
        self._switched[proposal.row.key] = True
        self._change(keys.index(proposal.row.key), wanted, on)

    def switch(self, number: int) -> str:
        """Switch a chore on or off, and return what it is by then; empty where it cannot be."""
        if not 0 <= number < self.count():
            return ""
        if self._is_there(number):
            self.refused.emit(self._proposals[number])
            return ""
        item, was_on = self.item(number), self._is_on(self._proposals[number])
        item.setCheckState(Qt.CheckState.Unchecked if was_on else Qt.CheckState.Checked)
        return f"{self._proposals[number].chore.name} {'off' if was_on else 'on'}"

    def _open(self, number: int) -> None:
        if 0 <= number < len(self._proposals):
            self.opened.emit(self._proposals[number])

    def _is_on(self, proposal: Proposal) -> bool:
        return self._switched.get(proposal.row.key, proposal.is_on)

    def _as_changed(self, proposal: Proposal) -> Proposal:
        kept = self._adjusted.get(proposal.row.key)
        if kept is None:
            return proposal
        wanted, on = kept
        return adjusted(proposal, still_possible(proposal, wanted), on)

    def _change_days(self, number: int, by: int) -> None:
        if not 0 <= number < len(self._proposals):
            return
        proposal = self._proposals[number]
        wanted, now = stepped(proposal, by), adjustment_of(proposal)
        if wanted is None:
            return
        if now.is_daily:
            self._daily[proposal.row.key] = now
        elif wanted.every == 1 and not wanted.weekdays and proposal.row.key in self._daily:
            # Back to what it was: each day by the calendar, at its hours.
            was = self._daily[proposal.row.key]
            wanted = replace(wanted, weekdays=was.weekdays, slots=was.slots, early_days=0)
        started = proposal.chore.first_due or getattr(proposal.chore.rhythm, "start", None)
        assert started is not None
        self._change(number, wanted, started)

    def _change(self, number: int, wanted: Adjustment, on: date) -> None:
        # From what was proposed, so that an amount that is taken back is the proposed one again.
        offered = self._offered[number]
        self._proposals[number] = adjusted(offered, wanted, on)
        self._adjusted[offered.row.key] = (wanted, on)
        # What makes a change ready follows it.
        before, self._proposals = self._proposals, in_step(self._proposals, self._adjusted)
        self._is_filling = True
        for place, one in enumerate(self._proposals):
            if one is not before[place] and place != number:
                self._fill(place)
        self._is_filling = False
        self._show_row(number)

    def _show_row(self, number: int) -> None:
        self._is_filling = True
        self._fill(number)
        self._is_filling = False
        self.chosen_changed.emit()

    def _fill(self, number: int) -> None:
        proposal, words, item = self._proposals[number], self._words, self.item(number)
        assert words is not None
        is_on = self._is_on(proposal)
        # What was switched on by hand is no longer off for want of anything.
        reason = proposal_reason(replace(proposal, is_on=is_on), words)
        rhythm = proposal_rhythm(proposal, words)
        window = window_words(proposal)
        is_there = self._is_there(number)
        if is_there:
            # As it is there it may come by another rhythm than the catalogue's.
            reason, rhythm, window = f"{ALREADY_HERE}: {reason}", "", ""
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        item.setFlags(flags if is_there else flags | Qt.ItemFlag.ItemIsUserCheckable)
        told = ", ".join(part for part in (proposal.chore.name, rhythm, window) if part)
        item.setText(f"{told}. {reason}")
        for role, text in (
            (_NAME, proposal.chore.name),
            (_REASON, reason),
            (_RHYTHM, rhythm),
            (_WINDOW, window),
        ):
            item.setData(role, text)
        item.setCheckState(Qt.CheckState.Checked if is_on else Qt.CheckState.Unchecked)

    def _on_item(self, item: QListWidgetItem) -> None:
        if self._is_filling:
            return
        proposal = self._proposals[self.row(item)]
        is_on = item.checkState() is Qt.CheckState.Checked
        if is_on != self._is_on(proposal):
            self._switched[proposal.row.key] = is_on
            self._show_row(self.row(item))


def _is_large(base: QFont) -> bool:
    return metrics_for(base).scale > _LARGE_TYPE


class _ProposalDelegate(QStyledItemDelegate):
    """Draws a box, the name with its rhythm, and the reason with window and minutes."""

    def __init__(self, owner: ProposalList) -> None:
        super().__init__(owner)
        self._owner = owner

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return room for two lines."""
        base = self._owner.font()
        small = line_height(base, TypeRole.CAPTION) * (2 if _is_large(base) else 1)
        return QSize(100, line_height(base, TypeRole.BODY) + small + 2 * Space.XXS + 2)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one chore."""
        base, table = self._owner.font(), colours_of(self._owner.palette())
        area = QRectF(option.rect)
        item = self._owner.item(index.row())
        is_on = item.checkState() is Qt.CheckState.Checked
        is_current = self._owner.currentRow() == index.row() and self._owner.hasFocus()
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if is_current:
            paint_tint(painter, area.adjusted(0, 1, 0, -1), table, Role.SEA_SOFT)
            paint_focus_ring(painter, area.adjusted(0, 1, 0, -1), table)
        painter.setPen(QPen(table[Role.LINE], table.hairline))
        painter.drawLine(area.bottomLeft(), area.bottomRight())
        size = float(metrics_for(base).px(_BOX))
        first = line_height(base, TypeRole.BODY)
        top = area.top() + Space.XXS
        if item.flags() & Qt.ItemFlag.ItemIsUserCheckable:
            box = QRectF(area.left() + Space.XS, top + (first - size) / 2, size, size)
            self._paint_box(painter, box, is_on)
        inside = area.adjusted(2 * Space.XS + size + Space.XXS, 0, -Space.XS, 0)
        ink = Role.INK if is_on else Role.INK_2
        self._line(painter, inside, top, first, index, (_NAME, _RHYTHM), (TypeRole.BODY, ink))
        small, look = line_height(base, TypeRole.CAPTION), (TypeRole.CAPTION, Role.INK_2)
        if _is_large(base):
            # Reason and window each need a line of their own.
            self._line(painter, inside, top + first, small, index, (_REASON, None), look)
            self._line(painter, inside, top + first + small, small, index, (_WINDOW, None), look)
        else:
            self._line(painter, inside, top + first, small, index, (_REASON, _WINDOW), look)
        painter.restore()

    def _line(
        self,
        painter: QPainter,
        inside: QRectF,
        top: float,
        high: int,
        index: Index,
        roles: tuple[int, int | None],
        look: tuple[TypeRole, Role],
    ) -> None:
        size, ink = look
        weight = Weight.MEDIUM if size is TypeRole.BODY else Weight.REGULAR
        table = colours_of(self._owner.palette())
        area = QRectF(inside.left(), top, inside.width(), high)
        painter.setPen(table[ink])
        right_font = type_font(self._owner.font(), size)
        right = "" if roles[1] is None else str(index.data(roles[1]))
        wide = QFontMetricsF(right_font).horizontalAdvance(right)
        painter.setFont(right_font)
        middle = Qt.AlignmentFlag.AlignVCenter
        painter.drawText(area, Qt.AlignmentFlag.AlignRight | middle, right)
        left_font = type_font(self._owner.font(), size, weight)
        painter.setFont(left_font)
        room = area.width() - wide - Space.S
        left = QFontMetricsF(left_font).elidedText(
            str(index.data(roles[0])), Qt.TextElideMode.ElideRight, room
        )
        painter.drawText(area, Qt.AlignmentFlag.AlignLeft | middle, left)

    def _paint_box(self, painter: QPainter, box: QRectF, is_on: bool) -> None:
        table = colours_of(self._owner.palette())
        painter.setPen(QPen(table[Role.SEA if is_on else Role.EDGE], 1.5))
        painter.setBrush(table[Role.SEA] if is_on else Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(box, 3, 3)
        if is_on:
            unit = box.width() / 16
            at: Callable[[float, float], QPointF] = lambda x, y: QPointF(  # noqa: E731
                box.left() + x * unit, box.top() + y * unit
            )
            painter.setPen(QPen(table[Role.ON_SEA], 2 * unit))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPolyline(QPolygonF([at(3.5, 8.5), at(7, 12), at(12.5, 4.5)]))
