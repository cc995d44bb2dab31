"""The only field for numbers: comma and point are both decimal marks, and a unit may be typed."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QMargins, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QFontMetrics,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QLineEdit, QSizePolicy, QVBoxLayout, QWidget

from tankkeeper.core.errors import UserFault
from tankkeeper.gui.palette import Role, colours_of
from tankkeeper.gui.typography import Space, TypeRole, metrics_for, type_font
from tankkeeper.gui.widgets.focus import RADIUS, paint_focus_ring
from tankkeeper.gui.widgets.labels import CaptionLabel

Parse = Callable[[str], object]
WordFault = Callable[[UserFault], str]


class Field(QLineEdit):
    """A line of input with a border that keeps 3 : 1, a unit behind the text, and a fault."""

    left = Signal()

    def __init__(self, unit: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._unit = unit
        self._has_fault = False
        self.setFrame(False)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._make_room()

    @property
    def unit(self) -> str:
        """The unit behind the text."""
        return self._unit

    def set_unit(self, unit: str) -> None:
        """Show another unit behind the text."""
        self._unit = unit
        self._make_room()
        self.update()

    def set_fault(self, has_fault: bool) -> None:
        """Draw the border of a field in error, or the usual one."""
        self._has_fault = has_fault
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for nine digits and the unit."""
        metrics = QFontMetrics(self.font())
        width = metrics.horizontalAdvance("000000000") + 2 * Space.XS + self._unit_width()
        return QSize(width, metrics_for(self.font()).button_height)

    def minimumSizeHint(self) -> QSize:
        """Return room for four digits and the unit."""
        metrics = QFontMetrics(self.font())
        width = metrics.horizontalAdvance("00000") + 2 * Space.XS + self._unit_width()
        return QSize(width, metrics_for(self.font()).button_height)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the text on its ground, then border, ring and unit."""
        super().paintEvent(event)
        table = colours_of(self.palette())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        whole = QRectF(self.rect())
        width = 2.0 if self._has_fault else float(table.hairline)
        painter.setPen(QPen(table[Role.OVERDUE if self._has_fault else Role.EDGE], width))
        half = width / 2
        painter.drawRoundedRect(whole.adjusted(half, half, -half, -half), RADIUS, RADIUS)
        if self.hasFocus() and not self._has_fault:
            paint_focus_ring(painter, whole, table)
        elif self.hasFocus():
            paint_focus_ring(painter, whole.adjusted(3, 3, -3, -3), table, RADIUS - 3)
        painter.end()
        self._paint_unit()

    def changeEvent(self, event: QEvent) -> None:
        """Measure the unit again when the font of the application changed."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._make_room()

    def event(self, event: QEvent) -> bool:
        """Leave undo and redo to the window where nothing was typed that they could change."""
        if isinstance(event, QKeyEvent) and event.type() is QEvent.Type.ShortcutOverride:
            is_undo = event.matches(QKeySequence.StandardKey.Undo)
            is_redo = event.matches(QKeySequence.StandardKey.Redo)
            if (is_undo and not self.isUndoAvailable()) or (is_redo and not self.isRedoAvailable()):
                event.ignore()
                return False
        return super().event(event)

    def forget_typing(self) -> None:
        """Take what stands here as what was there: it is kept, and undo is the window's again."""
        at = self.cursorPosition()
        self.setText(self.text())
        self.setCursorPosition(at)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tell that the field was left."""
        super().focusOutEvent(event)
        self.left.emit()

    def _unit_width(self) -> int:
        if not self._unit:
            return 0
        return QFontMetrics(self.font()).horizontalAdvance(self._unit) + Space.XS

    def _make_room(self) -> None:
        self.setTextMargins(QMargins(Space.XS, 0, Space.XS + self._unit_width(), 0))

    def _paint_unit(self) -> None:
        if not self._unit:
            return
        painter = QPainter(self)
        painter.setFont(type_font(self.font(), TypeRole.BODY))
        painter.setPen(colours_of(self.palette())[Role.INK_2])
        area = self.rect().adjusted(0, 0, -Space.XS - 2, 0)
        painter.drawText(
            area, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, self._unit
        )


class QuantityField(QWidget):
    """A number with its unit, read by `parse`; what is wrong stands right below, in words.

    `parse` returns the value or raises `UserFault`; `word_fault` makes the sentence. An empty
    field is "not known" (None), never zero. A fault is told when the field is left or `check` is
    called; from then on it follows each key, and goes as soon as the text can be read.
    `value_changed` tells the value or None, `fault_changed` the sentence or an empty text.
    """

    value_changed = Signal(object)
    fault_changed = Signal(str)

    def __init__(
        self,
        name: str,
        unit: str,
        parse: Parse,
        word_fault: WordFault,
        text: str = "",
        parent: QWidget | None = None,
        line: Field | None = None,
    ) -> None:
        super().__init__(parent)
        self._name = name
        self._parse = parse
        self._word_fault = word_fault
        self._value: object = None
        self._fault = ""
        self._help = ""
        self._stays = False
        self._sentence: CaptionLabel | None = None
        self.field = Field(unit, self) if line is None else line
        self._build()
        self._connect()
        self.set_text(text)

    def _build(self) -> None:
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(Space.XXS)
        self._column.addWidget(self.field)
        self.setFocusProxy(self.field)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        self._tell_reader()

    def _connect(self) -> None:
        self.field.textChanged.connect(self._on_text)
        self.field.left.connect(self._on_left)
        self.field.returnPressed.connect(self._on_return)

    @property
    def value(self) -> object:
        """The value that was read, None when empty or not to be read."""
        return self._value

    @property
    def text(self) -> str:
        """What was typed."""
        return self.field.text()

    @property
    def fault(self) -> str:
        """The sentence that is shown, empty when there is none."""
        return self._fault

    @property
    def reading_fault(self) -> str:
        """Why its text cannot be read, told by now or not; empty where it can."""
        return self._read()

    def set_text(self, text: str) -> None:
        """Show this text as if it had been typed."""
        self.field.setText(text)

    def set_unit(self, unit: str) -> None:
        """Show another unit behind the text."""
        self.field.set_unit(unit)
        self._tell_reader()

    def set_help(self, sentence: str) -> None:
        """Describe the field to a screen reader while there is no fault."""
        self._help = sentence
        self._tell_reader()

    def go_to(self) -> None:
        """Let the keys act in it; what is typed next takes the place of what stands there."""
        self.setFocus()
        self.field.selectAll()

    def check(self) -> bool:
        """Show what is wrong, if anything, and return whether the text can be read."""
        self._stays = False
        self._show(self._read())
        return not self._fault

    def show_fault(self, sentence: str, *, stays: bool = False) -> None:
        """Show a fault that only shows with the other fields; the text is kept.

        One that `stays` is there until something else is typed, or all is checked anew.
        """
        is_same = sentence == self._fault
        self._show(sentence)
        self._stays = bool(sentence) and (stays or (self._stays and is_same))

    def _read(self) -> str:
        """Read the text into the value and return the sentence of the fault, if any."""
        text = self.field.text().strip()
        try:
            value = self._parse(text) if text else None
        except UserFault as fault:
            self._take(None)
            return self._word_fault(fault)
        self._take(value)
        return ""

    def _take(self, value: object) -> None:
        if value != self._value:
            self._value = value
            self.value_changed.emit(value)

    def _on_text(self) -> None:
        self._stays = False
        sentence = self._read()
        if not sentence or self._fault:
            # What is told is of what stands there, and not of what stood there before.
            self._show(sentence)

    def _on_left(self) -> None:
        if not self._stays:
            self.check()

    def _on_return(self) -> None:
        """Check, and let what is typed next take the place of what is refused."""
        self._on_left()
        if self._fault:
            self.field.selectAll()

    def _show(self, sentence: str) -> None:
        if sentence == self._fault:
            return
        self._fault = sentence
        self.field.set_fault(bool(sentence))
        if sentence and self._sentence is None:
            self._sentence = CaptionLabel(ink=Role.OVERDUE, parent=self)
            self._column.addWidget(self._sentence)
        if self._sentence is not None:
            self._sentence.setText(sentence)
            self._sentence.setVisible(bool(sentence))
        self._tell_reader()
        self.fault_changed.emit(sentence)

    def _tell_reader(self) -> None:
        unit = self.field.unit
        self.field.setAccessibleName(f"{self._name}, {unit}" if unit else self._name)
        self.field.setAccessibleDescription(self._fault or self._help)
