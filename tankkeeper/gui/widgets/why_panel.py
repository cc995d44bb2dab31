"""The why panel: the reason for what is selected, and what can be done with it."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QPalette,
    QResizeEvent,
)
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from tankkeeper.core.values import dataclass
from tankkeeper.gui.marks import Mark, mark_role, paint_mark
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Metrics, Space, Weight, metrics_for
from tankkeeper.gui.widgets.buttons import ButtonKind, KeyedButton
from tankkeeper.gui.widgets.facts import FactRows, HistoryRows
from tankkeeper.gui.widgets.focus import RADIUS, paint_focus_ring, paint_ground
from tankkeeper.gui.widgets.labels import BodyLabel, CaptionLabel, HeadingLabel
from tankkeeper.gui.widgets.scrolling import BAR_WIDTH, scrolls, use_slim_bar


@dataclass(frozen=True, slots=True)
class WhyAction:
    """A button at the foot: its words, the name of its key, and the id that `acted` tells."""

    text: str
    key: str
    id: str
    is_primary: bool = False


@dataclass(frozen=True, slots=True)
class WhyCard:
    """What the panel tells of one selected thing; all texts are ready to be read."""

    mark: Mark | None
    small: str
    title: str
    reason: str
    numbers: tuple[tuple[str, str], ...] = ()
    last_times: tuple[tuple[str, str, str], ...] = ()
    advice: str = ""
    caution: str = ""
    refusal: str | None = None
    actions: tuple[WhyAction, ...] = ()
    numbers_title: str = "Numbers used"


# Letters of a notice that stands beside its mark; a longer one stands below it.
_BESIDE_ITS_MARK = 160


class MarkBox(QWidget):
    """A mark that stands in a layout; its word is beside it, so it is silent to a screen reader."""

    def __init__(self, mark: Mark, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._mark = mark
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        """Return the square of a mark in a row, as high as a line of captions."""
        sizes = metrics_for(self.font())
        return QSize(sizes.mark_row, sizes.px(18))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the mark in the middle of the line."""
        size = metrics_for(self.font()).mark_row
        at = QPointF(0, (self.height() - size) / 2)
        paint_mark(QPainter(self), self._mark, at, size, colours_of(self.palette()))


class Notice(QWidget):
    """A sentence with its sign on a soft ground: a caution or a refusal."""

    def __init__(
        self,
        mark: Mark,
        text: str,
        ground: Role,
        parent: QWidget | None = None,
        *,
        is_always_beside: bool = False,
    ) -> None:
        super().__init__(parent)
        self._ground = ground
        self._is_beside = is_always_beside or len(text) <= _BESIDE_ITS_MARK
        self.label = CaptionLabel(text, ink=Role.INK, parent=self)
        self.label.setAccessibleName(f"{mark.value.capitalize()}: {text}")
        column, row = QVBoxLayout(self), QHBoxLayout()
        column.setContentsMargins(Space.S, Space.XS, Space.S, Space.XS)
        column.setSpacing(0)
        row.setSpacing(Space.XS)
        row.addWidget(MarkBox(mark, self), 0, Qt.AlignmentFlag.AlignTop)
        column.addLayout(row)
        if self._is_beside:
            row.addWidget(self.label, 1)
        else:
            # A long one has the whole width, so that it takes fewer lines.
            name, weight = mark.value.capitalize(), Weight.SEMIBOLD
            word = CaptionLabel(name, weight=weight, ink=Role.INK, parent=self)
            row.addWidget(word, 1)
            column.addWidget(self.label)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def text_room(self, width: int) -> int:
        """Return how wide the lines of the text are in a notice of this width."""
        beside = metrics_for(self.font()).mark_row + Space.XS if self._is_beside else 0
        return max(1, width - 2 * Space.S - beside)

    def height_of(self, lines: int) -> int:
        """Return the height of a notice with so many lines of text."""
        own = lines if self._is_beside else lines + 1
        return own * self.label.line_px() + 2 * Space.XS

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the soft ground."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        table = colours_of(self.palette())
        painter.setPen(
            table[mark_role(Mark.CAUTION)] if table.scheme.is_high_contrast else Qt.PenStyle.NoPen
        )
        painter.setBrush(table[self._ground])
        painter.drawRoundedRect(QRectF(self.rect()), RADIUS, RADIUS)


class _Foot(QWidget):
    """The buttons in as many rows as they need, all of a row equally wide where they fit."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._buttons: list[KeyedButton] = []

    def set_buttons(self, buttons: list[KeyedButton]) -> None:
        for old in self._buttons:
            old.hide()
            old.deleteLater()
        self._buttons = buttons
        for button in buttons:
            button.show()

    def lay_out(self, width: int) -> int:
        """Place the buttons within the width and return the height they take."""
        y = 0
        for row in self._rows(width):
            high = max(button.sizeHint().height() for button in row)
            x = 0
            for button, wide in zip(row, self._widths(row, width), strict=True):
                button.setGeometry(x, y, wide, high)
                x += wide + Space.XS
            y += high + Space.XS
        return max(0, y - Space.XS)

    def _rows(self, width: int) -> list[list[KeyedButton]]:
        rows: list[list[KeyedButton]] = []
        for button in self._buttons:
            if rows and self._needed([*rows[-1], button]) <= width and len(rows[-1]) < 3:
                rows[-1].append(button)
            else:
                rows.append([button])
        return rows

    def _needed(self, row: list[KeyedButton]) -> int:
        return sum(one.minimumSizeHint().width() for one in row) + Space.XS * (len(row) - 1)

    def _widths(self, row: list[KeyedButton], width: int) -> list[int]:
        wanted = [one.minimumSizeHint().width() for one in row]
        # Three to a row, so that the buttons of a last, shorter row stand in the same columns.
        even = (width - 2 * Space.XS) // 3
        if len(row) <= 3 and max(wanted) <= even:
            return [even] * len(row)
        spare = (width - self._needed(row)) // len(row)
        return [one + max(0, spare) for one in wanted] if len(row) > 1 else wanted


class _Scroll(QScrollArea):
    """The part that scrolls when the panel is not high enough; arrow keys move it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._panel = parent
        self.setAccessibleName("Why")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        # See the rail for why the viewport is our own.
        self._paper = QWidget()
        self.setViewport(self._paper)
        self._paper.setBackgroundRole(QPalette.ColorRole.Window)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        use_slim_bar(self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the beginning or the end by Home and End, as PgUp and PgDown go by a page."""
        if not scrolls(self, event):
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Let the panel draw its ring."""
        super().focusInEvent(event)
        self._panel.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Let the panel take its ring away."""
        super().focusOutEvent(event)
        self._panel.update()


class WhyPanel(QWidget):
    """Tells why; `acted` tells the id of the button that was used."""

    acted = Signal(str)

    def __init__(self, nothing_selected: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._usual = self._nothing_selected = nothing_selected
        self._card: WhyCard | None = None
        # Until something was told it says nothing: a line may be chosen by then.
        self._is_waiting = True
        self._offered: tuple[WhyAction, ...] = ()
        self.setAccessibleName("Why panel")
        self.setAutoFillBackground(True)
        self._scroll = _Scroll(self)
        self._foot = _Foot(self)
        self.setFocusProxy(self._scroll)
        self._tell(None)

    @property
    def _nothing_told(self) -> str:
        return "" if self._is_waiting else self._nothing_selected

    @property
    def card(self) -> WhyCard | None:
        """What is told now."""
        return self._card

    @property
    def commands(self) -> tuple[str, ...]:
        """The commands whose keys act here, which stand under the buttons."""
        return tuple(one.id for one in self._offered)

    def set_nothing_selected(self, words: str = "") -> None:
        """Say this from now on where nothing is selected; without words the usual again."""
        wanted = words or self._usual
        if wanted != self._nothing_selected:
            self._nothing_selected = wanted
            if self._card is None and not self._is_waiting:
                self._tell(None)

    def show_card(self, card: WhyCard | None) -> None:
        """Tell this, or that nothing is selected; what is told already stays as it was scrolled."""
        if card != self._card or self._is_waiting:
            self._is_waiting = False
            self._tell(card)

    def _tell(self, card: WhyCard | None) -> None:
        self._card = card
        self._scroll.setWidget(self._content(card))
        self._scroll.setAccessibleDescription(_told(card) if card else self._nothing_told)
        actions = card.actions if card is not None else ()
        if actions != self._offered:
            # The next line mostly offers the same.
            self._offered = actions
            self._foot.set_buttons([self._button(action) for action in actions])
        self._lay_out()

    def set_metrics(self, metrics: Metrics) -> None:
        """Lay out again for the sizes of the window."""
        self._lay_out()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Do what a key does that stands under a button here: it is told where the keys are."""
        native = QKeySequence.SequenceFormat.NativeText
        pressed = QKeySequence(event.keyCombination()).toString(native)
        actions = self._card.actions if self._card is not None else ()
        found = next((one for one in actions if pressed and one.key == pressed), None)
        if found is None or event.isAutoRepeat():
            super().keyPressEvent(event)
            return
        event.accept()
        self.acted.emit(found.id)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the foot at the bottom and give the rest to what scrolls."""
        super().resizeEvent(event)
        self._lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the line to the content and, while the keys act here, the ring."""
        painter = QPainter(self)
        table = colours_of(self.palette())
        line = QRect(0, 0, table.hairline, self.height())
        paint_ground(painter, line, table[Role.LINE])
        if self._scroll.hasFocus():
            paint_focus_ring(painter, QRectF(self.rect()).adjusted(2, 2, -2, -2), table)

    def _lay_out(self) -> None:
        inside = self.width() - 2 * (Space.M + Space.XXS)
        foot = self._foot.lay_out(max(0, inside))
        top = self.height() - foot - (Space.S if foot else 0)
        self._foot.setGeometry(Space.M + Space.XXS, top, max(0, inside), foot)
        high = top - (Space.S if foot else 0) - Space.XXS
        self._scroll.setGeometry(Space.XXS, Space.XXS, self.width() - 2 * Space.XXS, max(0, high))

    def _button(self, action: WhyAction) -> KeyedButton:
        kind = ButtonKind.PRIMARY if action.is_primary else ButtonKind.PLAIN
        button = KeyedButton(action.id, action.text, action.key, kind, self._foot)
        button.pressed_id.connect(self.acted)
        return button

    def _content(self, card: WhyCard | None) -> QWidget:
        content = QWidget()
        column = QVBoxLayout(content)
        right = Space.M - BAR_WIDTH
        column.setContentsMargins(Space.M, Space.S, right, Space.M)
        column.setSpacing(0)
        if card is None:
            column.addWidget(CaptionLabel(self._nothing_told, parent=content))
        else:
            self._fill(column, content, card)
        column.addStretch(1)
        return content

    def _fill(self, column: QVBoxLayout, content: QWidget, card: WhyCard) -> None:
        if card.small:
            column.addLayout(self._head(content, card))
            column.addSpacing(Space.XXS)
        column.addWidget(HeadingLabel(card.title, parent=content))
        if card.reason:
            column.addSpacing(Space.XXS)
            column.addWidget(BodyLabel(card.reason, parent=content))
        if card.advice:
            column.addSpacing(Space.XS)
            column.addWidget(CaptionLabel(card.advice, parent=content))
        if card.refusal:
            column.addSpacing(Space.M)
            column.addWidget(Notice(Mark.REFUSED, card.refusal, Role.OVERDUE_SOFT, content))
        if card.numbers:
            column.addSpacing(Space.M)
            column.addWidget(FactRows(card.numbers_title, card.numbers, content))
        if card.last_times:
            column.addSpacing(Space.M)
            title = "Last five times" if len(card.last_times) == 5 else "Last times"
            column.addWidget(HistoryRows(title, card.last_times, content))
        if card.caution:
            column.addSpacing(Space.M)
            column.addWidget(Notice(Mark.CAUTION, card.caution, Role.AMBER_SOFT, content))

    def _head(self, content: QWidget, card: WhyCard) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(Space.XS)
        if card.mark is not None:
            row.addWidget(MarkBox(card.mark, content), 0, Qt.AlignmentFlag.AlignTop)
        small = CaptionLabel(card.small, weight=Weight.MEDIUM, parent=content)
        row.addWidget(small, 1)
        return row


def _told(card: WhyCard) -> str:
    """Return the card as sentences, for a screen reader that stands on the panel."""
    parts = [card.small, card.title, card.reason, card.advice, card.refusal or "", card.caution]
    return ". ".join(part.rstrip(".") for part in parts if part) + "."
