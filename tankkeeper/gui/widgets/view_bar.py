"""The words of the views, one of which is marked."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from PySide6.QtCore import QMetaObject, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFont,
    QFontMetrics,
    QKeyEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QTabBar, QWidget

from tankkeeper.core.values import dataclass
from tankkeeper.gui.icons import Icon, Icons
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import (
    Space,
    TypeRole,
    Weight,
    line_height,
    metrics_for,
    type_font,
)
from tankkeeper.gui.widgets.buttons import without_mnemonic
from tankkeeper.gui.widgets.focus import paint_focus_ring, paint_ground
from tankkeeper.gui.widgets.labels import paint_line
from tankkeeper.gui.widgets.letters import is_plain

_UNDERLINE = 2
# So far the ring stands out on both sides of a word.
_RING_REACH = 6
_LEAST_GAP = 8
_OPENING = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)


@dataclass(frozen=True, slots=True)
class ViewWord:
    """One of the views: its word and icon in the top bar; the id is that of its command."""

    id: str
    text: str
    icon: Icon | None = None


@lru_cache(maxsize=64)
def _strong_width(text: str, base: QFont) -> int:
    """Return the width of a word that is chosen; tabs ask for it many times over."""
    font = type_font(base, TypeRole.BODY, Weight.SEMIBOLD)
    return QFontMetrics(font).horizontalAdvance(text) + 1


class ViewBar(QTabBar):
    """The words of the views; arrow keys go along them. Icons are drawn after the first paint.

    `opened` tells that the chosen view is to be shown in place of a page that stands before it.
    """

    opened = Signal()

    def __init__(self, words: Sequence[ViewWord], icons: Icons | None, parent: QWidget) -> None:
        super().__init__(parent)
        self._words = tuple(words)
        self._icons = icons
        self._may_draw_icons = False
        self._is_shown = True
        self._gap = int(Space.L)
        self._has_icons = icons is not None
        self._fitted: tuple[QFont, int, int, bool] | None = None
        self.setAccessibleName("Views")
        self.setDrawBase(False)
        self.setExpanding(False)
        self.setUsesScrollButtons(True)
        self.setElideMode(Qt.TextElideMode.ElideNone)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        for word in self._words:
            self.addTab(without_mnemonic(word.text))

    @property
    def marked(self) -> int:
        """The number of the view that is marked as shown, -1 where another page is."""
        return self.currentIndex() if self._is_shown else -1

    def set_shown(self, is_shown: bool) -> None:
        """Mark the chosen view as shown, or none while a page stands in its place."""
        if is_shown != self._is_shown:
            self._is_shown = is_shown
            self.update()

    @property
    def lead(self) -> int:
        """The room before the first word, in which its ring stands."""
        return _RING_REACH

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the chosen view by Return and Space, as a click does."""
        if event.key() in _OPENING and is_plain(event):
            self.opened.emit()
            return
        super().keyPressEvent(event)

    def width_for(self, width: int) -> int:
        """Return the width of the words from the first one on as they would fit into a width."""
        return self._taken(*self._fitting(width))

    def fit(self, width: int) -> int:
        """Narrow the gaps, then leave the icons out, until the words fit; return their width.

        It counts from the first word on; `lead` stands before it.
        """
        self._has_icons, self._gap = self._fitting(width)
        taken = self._taken(self._has_icons, self._gap)
        fitted = (self.font(), self.height(), self._gap, self._has_icons)
        if fitted != self._fitted:
            self._fitted = fitted
            self.updateGeometry()
            # The bar keeps the old widths of its tabs unless it is told that a text changed.
            for number, word in enumerate(self._words):
                self.setTabText(number, without_mnemonic(word.text))
        return taken

    def _fitting(self, width: int) -> tuple[bool, int]:
        """Return whether icons stand and how wide the gaps are where the words have a width."""
        looks = ((True, Space.L), (True, Space.M), (False, Space.M), (False, _LEAST_GAP))
        for has_icons, gap in looks:
            found = has_icons and self._icons is not None, int(gap)
            if self._taken(*found) <= width:
                break
        return found

    def _taken(self, has_icons: bool, gap: int) -> int:
        font = self.font()
        icon = metrics_for(font).icon + Space.XS if has_icons else 0
        return sum(_strong_width(word.text, font) + icon + gap for word in self._words)

    def tabSizeHint(self, index: int) -> QSize:
        """Return room for icon, word and gap."""
        width = _strong_width(self._words[index].text, self.font())
        sizes = metrics_for(self.font())
        if self._has_icons:
            width += sizes.icon + Space.XS
        width += self.lead if index == 0 else 0
        return QSize(width + self._gap, max(sizes.button_height, self.height()))

    def minimumTabSizeHint(self, index: int) -> QSize:
        """Return the same: a word is never cut."""
        return self.tabSizeHint(index)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the words, the line under the chosen one, and the ring."""
        painter = QPainter(self)
        for number in range(self.count()):
            self._paint_word(painter, number)
        if self._has_icons and not self._may_draw_icons:
            self._may_draw_icons = True
            QMetaObject.invokeMethod(self, "update", Qt.ConnectionType.QueuedConnection)

    def _paint_word(self, painter: QPainter, number: int) -> None:
        table = colours_of(self.palette())
        is_chosen = number == self.marked
        area = self.tabRect(number).adjusted(self.lead if number == 0 else 0, 0, -self._gap, 0)
        ink = table[Role.SEA if is_chosen else Role.INK_2]
        x = area.left()
        if self._has_icons:
            x += self._paint_icon(painter, number, area, ink.name())
        weight = Weight.SEMIBOLD if is_chosen else Weight.MEDIUM
        painter.setPen(ink)
        font = type_font(self.font(), TypeRole.BODY, weight)
        line = line_height(self.font(), TypeRole.BODY)
        at = QPointF(x, (self.height() - line) // 2)
        paint_line(painter, self._words[number].text, font, at, line)
        if is_chosen:
            under = QRect(area.left(), self.height() - _UNDERLINE, area.width(), _UNDERLINE)
            paint_ground(painter, under, table[Role.SEA])
        if number == self.currentIndex() and self.hasFocus():
            ring = QRectF(area).adjusted(-_RING_REACH, 0, _RING_REACH, 0)
            ring.setHeight(metrics_for(self.font()).button_height)
            ring.moveCenter(QPointF(QRectF(area).center()))
            paint_focus_ring(painter, ring, table)

    def _paint_icon(self, painter: QPainter, number: int, area: QRect, ink: str) -> int:
        size = metrics_for(self.font()).icon
        icon = self._words[number].icon
        if icon is not None and self._icons is not None and self._may_draw_icons:
            colour = colours_of(self.palette())[Role.SEA if number == self.marked else Role.INK_2]
            pixmap = self._icons.pixmap(icon, colour, size, self.devicePixelRatioF())
            painter.drawPixmap(area.left(), area.center().y() + 1 - size // 2, pixmap)
        return size + Space.XS
