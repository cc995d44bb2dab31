"""Buttons in two kinds, and the button that carries its key beneath."""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QPushButton, QSizePolicy, QVBoxLayout, QWidget

from tankkeeper.gui.palette import Colours, Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, Weight, metrics_for, type_font
from tankkeeper.gui.widgets.focus import RADIUS, RING, paint_focus_ring
from tankkeeper.gui.widgets.labels import CaptionLabel

_LEAST_PAD = 6
_RETURN = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class ButtonKind(StrEnum):
    """The one button that is meant, and the others."""

    PRIMARY = "primary"
    PLAIN = "plain"


def without_mnemonic(text: str) -> str:
    """Return a text in which Qt sees no hidden key.

    >>> without_mnemonic("Salt & sand")
    'Salt && sand'
    """
    return text.replace("&", "&&")


class Button(QPushButton):
    """A flat button, 36 px high at 14 px type; it takes the text as it is written."""

    def __init__(
        self, text: str, kind: ButtonKind = ButtonKind.PLAIN, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._kind = kind
        self._words = text
        self.setText(without_mnemonic(text))
        self.setSizePolicy(QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Fixed)

    def set_words(self, text: str) -> None:
        """Show another text."""
        self._words = text
        self.setText(without_mnemonic(text))

    @property
    def words(self) -> str:
        """The text as it is read."""
        return self._words

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Press it by Return as well as by Space, which is all that Qt does outside dialogs."""
        if event.key() in _RETURN and not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            event.accept()
            self.click()
        else:
            super().keyPressEvent(event)

    def sizeHint(self) -> QSize:
        """Return room for the words and the ring."""
        return self._room(2 * Space.S)

    def minimumSizeHint(self) -> QSize:
        """Return the room below which the words would touch the ring."""
        return self._room(2 * _LEAST_PAD)

    def _room(self, pad: int) -> QSize:
        words = QFontMetrics(self._font()).horizontalAdvance(self._words)
        height = metrics_for(self.font()).button_height
        return QSize(max(words + pad, height), height)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw ground, border, words and, with the focus, the ring."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        table = colours_of(self.palette())
        self._paint_ground(painter, table)
        painter.setFont(self._font())
        painter.setPen(self._ink(table))
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, self._words)

    def _font(self) -> QFont:
        return type_font(self.font(), TypeRole.BODY, Weight.SEMIBOLD)

    def _is_filled(self) -> bool:
        return self._kind is ButtonKind.PRIMARY and self.isEnabled()

    def _ink(self, table: Colours) -> QColor:
        if self._is_filled():
            return table[Role.ON_SEA]
        return table[Role.INK if self.isEnabled() else Role.INK_3]

    def _paint_ground(self, painter: QPainter, table: Colours) -> None:
        whole = QRectF(self.rect())
        has_ring = self.hasFocus()
        if self._is_filled():
            # The ring stands 2 px off a filled button, so the button gives way to it.
            inset = 2 * RING if has_ring else 0.0
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(table[Role.INK if self.isDown() else Role.SEA])
            painter.drawRoundedRect(whole.adjusted(inset, inset, -inset, -inset), RADIUS, RADIUS)
        else:
            is_tinted = self.isDown() or self.isChecked() or self.underMouse()
            painter.setBrush(table[Role.SEA_SOFT if is_tinted else Role.SURFACE])
            painter.setPen(QPen(table[Role.EDGE], table.hairline))
            painter.drawRoundedRect(whole.adjusted(0.5, 0.5, -0.5, -0.5), RADIUS, RADIUS)
        if has_ring:
            paint_focus_ring(painter, whole, table)


class KeyedButton(QWidget):
    """A button with the name of its key beneath; `pressed_id` tells the id it was made with."""

    pressed_id = Signal(str)

    def __init__(
        self,
        action_id: str,
        text: str,
        key: str,
        kind: ButtonKind = ButtonKind.PLAIN,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._id = action_id
        self.button = Button(text, kind, self)
        self.button.clicked.connect(self._on_clicked)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.XXS)
        column.addWidget(self.button)
        if key:
            self.button.setAccessibleDescription(key)
            self.button.setToolTip(f"{text} ({key})")
            caption = CaptionLabel(
                key, wraps=False, align=Qt.AlignmentFlag.AlignHCenter, parent=self
            )
            column.addWidget(caption)
        column.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Fixed)

    def _on_clicked(self) -> None:
        self.pressed_id.emit(self._id)
