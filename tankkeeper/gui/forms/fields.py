"""Fields of the forms in the look of the window: their borders keep 3 : 1."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QFontMetricsF,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QWheelEvent,
)
from PySide6.QtWidgets import QComboBox, QPlainTextEdit, QWidget

from tankkeeper.gui.forms.type_ahead import meant_by
from tankkeeper.gui.forms.typed_signs import TypedSigns, is_sign
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, metrics_for, type_font
from tankkeeper.gui.widgets.focus import RADIUS, paint_focus_ring
from tankkeeper.gui.widgets.labels import tip
from tankkeeper.gui.widgets.letters import is_plain

CHEVRON = 8
_PAGING = (Qt.Key.Key_PageDown, Qt.Key.Key_PageUp)
_OPENING = (Qt.Key.Key_Down, Qt.Key.Key_Up)


def is_opening_key(event: QEvent) -> bool:
    """Tell whether a key that wants to act in the window opens what hangs from a field instead."""
    return (
        isinstance(event, QKeyEvent)
        and event.type() == QEvent.Type.ShortcutOverride
        and event.key() in _OPENING
        and event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        == Qt.KeyboardModifier.AltModifier
    )


def paint_chevron(painter: QPainter, widget: QWidget, x: float, middle: float) -> None:
    """Draw the mark of what opens below a field, from `x` on."""
    wide = metrics_for(widget.font()).px(CHEVRON)
    y = middle - wide / 4
    chevron = [QPointF(x, y), QPointF(x + wide / 2, y + wide / 2), QPointF(x + wide, y)]
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(colours_of(widget.palette())[Role.INK_2], 1.5))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolyline(QPolygonF(chevron))


def paint_border(painter: QPainter, widget: QWidget, *, has_fault: bool = False) -> None:
    """Draw the border of a field, or the ring while the keys act in it; at fault, both."""
    table, area = colours_of(widget.palette()), QRectF(widget.rect())
    if widget.hasFocus() and not has_fault:
        paint_focus_ring(painter, area, table)
        return
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    width = 2.0 if has_fault else float(table.hairline)
    half = width / 2
    painter.setPen(QPen(table[Role.OVERDUE if has_fault else Role.EDGE], width))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRoundedRect(area.adjusted(half, half, -half, -half), RADIUS, RADIUS)
    if widget.hasFocus():
        paint_focus_ring(painter, area.adjusted(3, 3, -3, -3), table, RADIUS - 3)


class ChoiceField(QComboBox):
    """One of a few; the arrow keys go through them, and what is chosen is cut last.

    What is typed goes to the entry that is called so. No key of the window takes a sign of it.
    """

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._has_fault = False
        self._ahead = TypedSigns()
        self._opened: QObject | None = None
        self.setAccessibleName(name)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)

    def event(self, event: QEvent) -> bool:
        """Keep what is typed from acting in the window, and Alt with Down and Up, which open it."""
        is_asked = event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent)
        if is_opening_key(event) or (is_asked and is_sign(event)):  # type: ignore[arg-type]
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go where what is typed leads; leave the keys that scroll to the page around it."""
        if event.key() in _PAGING:
            event.ignore()
            return
        is_typed, at = self._typed_to(event, self.currentIndex())
        if at is not None:
            self.setCurrentIndex(at)
            # It was chosen by hand, as by the arrow keys.
            self.activated.emit(at)
        if not is_typed:
            super().keyPressEvent(event)

    def _typed_to(self, event: QKeyEvent, current: int) -> tuple[bool, int | None]:
        """Tell whether a key types on, and return the entry that is meant, None where none is.

        A space that goes on with no entry opens what can be chosen.
        """
        if not self._ahead.take(event, has_backspace=True):
            return False, None
        typed = self._ahead.text
        at = meant_by(typed, [self.itemText(at) for at in range(self.count())], current)
        if at is None and typed.endswith(" "):
            self._ahead.end()
            return False, None
        return True, at

    def showPopup(self) -> None:
        """Let what is typed lead to the same entries where they are listed."""
        super().showPopup()
        self._ahead.end()
        if self._opened is None:
            self._opened = self.view()
            self._opened.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take what is typed on the list of entries; what else is pressed there acts as usual."""
        if watched is not self._opened or event.type() != QEvent.Type.KeyPress:
            return super().eventFilter(watched, event)
        assert isinstance(event, QKeyEvent)
        is_typed, at = self._typed_to(event, self.view().currentIndex().row())
        if at is not None:
            self.view().setCurrentIndex(self.model().index(at, self.modelColumn()))
        return is_typed

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Begin anew with what is typed next."""
        self._ahead.end()
        super().focusOutEvent(event)

    def set_fault(self, has_fault: bool) -> None:
        """Draw the border of a field in error, or the usual one."""
        self._has_fault = has_fault
        self.update()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Let the wheel move the page; it would choose something else in passing."""
        event.ignore()

    def sizeHint(self) -> QSize:
        """Return the height of a button."""
        return QSize(super().sizeHint().width(), metrics_for(self.font()).button_height)

    def minimumSizeHint(self) -> QSize:
        """Return the height of a button."""
        return QSize(super().minimumSizeHint().width(), metrics_for(self.font()).button_height)

    def widest(self) -> int:
        """Return the width that the longest of its choices needs in full."""
        measure = QFontMetricsF(type_font(self.font(), TypeRole.BODY))
        texts = (self.itemText(at) for at in range(self.count()))
        words = max((measure.horizontalAdvance(text) for text in texts), default=0.0)
        return round(words) + 1 + metrics_for(self.font()).px(CHEVRON) + 3 * Space.XS + 4

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw ground, text and chevron like the other fields."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        table, sizes = colours_of(self.palette()), metrics_for(self.font())
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(table[Role.SURFACE])
        painter.drawRoundedRect(QRectF(self.rect()), RADIUS, RADIUS)
        wide = sizes.px(CHEVRON)
        inside = QRectF(self.rect()).adjusted(Space.XS + 2, 0, -Space.XS - 2, 0)
        is_left = self.layoutDirection() is Qt.LayoutDirection.LeftToRight
        room = inside.adjusted(0, 0, -wide - Space.XS, 0)
        if not is_left:
            room = inside.adjusted(wide + Space.XS, 0, 0, 0)
        self._paint_text(painter, room)
        x = inside.right() - wide if is_left else inside.left()
        paint_chevron(painter, self, x, inside.center().y())
        paint_border(painter, self, has_fault=self._has_fault)

    def _paint_text(self, painter: QPainter, room: QRectF) -> None:
        font = type_font(self.font(), TypeRole.BODY)
        painter.setFont(font)
        is_chosen = self.currentIndex() >= 0
        painter.setPen(colours_of(self.palette())[Role.INK if is_chosen else Role.INK_2])
        shown = self.currentText() if is_chosen else self.placeholderText()
        text = QFontMetricsF(font).elidedText(shown, Qt.TextElideMode.ElideRight, room.width())
        side = Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(room, side, text)
        whole = "" if text == shown else tip(shown)
        if self.toolTip() != whole:
            self.setToolTip(whole)


class NoteField(QPlainTextEdit):
    """A text that may have several lines; Tab leaves it, Return is `entered` as in any field.

    Few need a second line, which Shift+Return begins.
    """

    entered = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setTabChangesFocus(True)
        self.setFrameShape(QPlainTextEdit.Shape.NoFrame)
        self.document().setDocumentMargin(Space.XS)
        self.setMinimumHeight(metrics_for(self.font()).px(96))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Tell Return, which ends what is written; with Shift it begins a line."""
        is_return = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if is_return and is_plain(event):
            if not event.isAutoRepeat():
                self.entered.emit()
            return
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Draw all of the ring: by itself only the line of the cursor is drawn anew."""
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Draw all of the border again."""
        super().focusOutEvent(event)
        self.viewport().update()

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        """Let the border stand while the text moves."""
        super().scrollContentsBy(dx, dy)
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the text, then the border around it."""
        super().paintEvent(event)
        painter = QPainter(self.viewport())
        table = colours_of(self.palette())
        area = QRectF(self.viewport().rect())
        if self.hasFocus():
            paint_focus_ring(painter, area, table)
            return
        half = table.hairline / 2
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(table[Role.EDGE], table.hairline))
        painter.drawRoundedRect(area.adjusted(half, half, -half, -half), RADIUS, RADIUS)
