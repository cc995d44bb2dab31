"""Plain text in the five sizes: it wraps, is never cut and is never taken for markup."""

from __future__ import annotations

import math
import re
from functools import lru_cache

from PySide6.QtCore import QEvent, QPointF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPaintEvent, QTextLayout, QTextOption
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from tankkeeper.gui.palette import QT_ROLE, Role
from tankkeeper.gui.typography import TypeRole, Weight, line_height, type_font

_WIDEST = 16_000.0
# Not `str.split`, which also parts a number from its unit at the no-break space.
_BREAKS = re.compile(r"[ \t\n]+")


# The same words stand on many pages and in every form: what was measured once stays known.
@lru_cache(maxsize=1024)
def laid_out(text: str, font: QFont, width: float, line_px: float) -> QTextLayout:
    """Return the text broken into lines of `width` pixels that stand `line_px` apart.

    It is shared, so it is only to be read and drawn.
    """
    layout = QTextLayout(text.replace("\n", "\u2028"), font)
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout.setTextOption(option)
    layout.beginLayout()
    y = 0.0
    while (line := layout.createLine()).isValid():
        line.setLineWidth(width)
        line.setPosition(QPointF(0, y + (line_px - line.height()) / 2))
        y += line_px
    layout.endLayout()
    return layout


@lru_cache(maxsize=2048)
def _widest_line(text: str, font: QFont) -> int:
    metrics = QFontMetricsF(font)
    return math.ceil(max(metrics.horizontalAdvance(line) for line in text.split("\n"))) + 1


@lru_cache(maxsize=2048)
def _widest_word(text: str, font: QFont) -> int:
    metrics = QFontMetricsF(font)
    words = _BREAKS.split(text)
    return math.ceil(max((metrics.horizontalAdvance(word) for word in words), default=0.0)) + 1


def paint_line(painter: QPainter, text: str, font: QFont, at: QPointF, line_px: float) -> None:
    """Draw one line of text as a label would, with its left upper corner at `at`."""
    layout = laid_out(text, font, _WIDEST, line_px)
    layout.draw(painter, at)


def tip(text: str) -> str:
    """Return a text for a tool tip, which would take a name in angle brackets for markup."""
    escaped = text.replace("&", "&amp;").replace("<", "&lt;")
    return f"<p>{escaped}</p>"


class PlainLabel(QLabel):
    """A text in one of the five sizes and in the colour of a role.

    Its font is derived when it is drawn, so that it follows the font of the application; its
    colour is a role of the palette, so that it follows the scheme.
    """

    def __init__(
        self,
        text: str = "",
        *,
        size: TypeRole = TypeRole.BODY,
        weight: Weight = Weight.REGULAR,
        ink: Role = Role.INK,
        wraps: bool = True,
        align: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._size = size
        self._weight = weight
        self._font: QFont | None = None
        self._line_px = 0
        self._widest: tuple[str, int] = ("", 1)
        self._broken: tuple[str, int, int] = ("", -1, 0)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(wraps)
        self.setAlignment(align | Qt.AlignmentFlag.AlignTop)
        self.set_ink(ink)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(wraps)
        self.setSizePolicy(policy)
        self.setText(text)

    def set_ink(self, ink: Role) -> None:
        """Write in the colour of this role."""
        self.setForegroundRole(QT_ROLE[ink])

    def set_weight(self, weight: Weight) -> None:
        """Write in this weight."""
        self._weight = weight
        self._forget_sizes()
        self.update()

    def type_font(self) -> QFont:
        """Return the font the text is drawn in."""
        if self._font is None:
            self._font = type_font(self.font(), self._size, self._weight)
        return self._font

    def line_px(self) -> int:
        """Return the height of one line."""
        if self._line_px == 0:
            self._line_px = line_height(self.font(), self._size)
        return self._line_px

    def text_width(self) -> int:
        """Return the width of the text on one line."""
        text = self.text()
        if text != self._widest[0]:
            self._widest = (text, _widest_line(text, self.type_font()))
        return self._widest[1]

    def sizeHint(self) -> QSize:
        """Return the size of the text on one line, or wrapped where it is long."""
        if not self.text():
            return QSize(0, self.line_px())
        width = self.text_width()
        if not self.wordWrap():
            return QSize(width, self.line_px() * (self.text().count("\n") + 1))
        width = min(width, self.line_px() * 24)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        """Return the size below which a word would be cut."""
        if not self.wordWrap():
            return self.sizeHint()
        return QSize(_widest_word(self.text(), self.type_font()), self.line_px())

    def heightForWidth(self, width: int) -> int:
        """Return the height the text takes at this width."""
        if not self.wordWrap():
            return self.sizeHint().height()
        text = self.text()
        if "\n" not in text and self.text_width() <= width:
            return self.line_px()
        if self._broken[:2] != (text, width):
            layout = laid_out(text, self.type_font(), width, self.line_px())
            self._broken = (text, width, max(1, layout.lineCount()))
        return self._broken[2] * self.line_px()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the lines at their heights, in the ink of the role."""
        painter = QPainter(self)
        painter.setPen(self.palette().color(self.foregroundRole()))
        width = float(self.width()) if self.wordWrap() else _WIDEST
        layout = laid_out(self.text(), self.type_font(), width, self.line_px())
        is_right = bool(self.alignment() & Qt.AlignmentFlag.AlignRight)
        is_middle = bool(self.alignment() & Qt.AlignmentFlag.AlignHCenter)
        for number in range(layout.lineCount()):
            line = layout.lineAt(number)
            free = self.width() - line.naturalTextWidth()
            x = free if is_right else (free / 2 if is_middle else 0.0)
            line.draw(painter, QPointF(x, 0))

    def changeEvent(self, event: QEvent) -> None:
        """Measure again when the font of the application changed."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._forget_sizes()

    def _forget_sizes(self) -> None:
        self._font = None
        self._line_px = 0
        self._widest = ("", 1)
        self._broken = ("", -1, 0)
        self.updateGeometry()


class CaptionLabel(PlainLabel):
    """Small text in the second ink: labels, logs, key names."""

    def __init__(
        self,
        text: str = "",
        *,
        weight: Weight = Weight.REGULAR,
        ink: Role = Role.INK_2,
        wraps: bool = True,
        align: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(
            text,
            size=TypeRole.CAPTION,
            weight=weight,
            ink=ink,
            wraps=wraps,
            align=align,
            parent=parent,
        )


class BodyLabel(PlainLabel):
    """Text of rows, reasons and fields."""


class HeadingLabel(PlainLabel):
    """A tank's name in the round, the title of a panel."""

    def __init__(self, text: str = "", *, parent: QWidget | None = None) -> None:
        super().__init__(text, size=TypeRole.HEADING, weight=Weight.SEMIBOLD, parent=parent)


class FigureLabel(PlainLabel):
    """One of the large figures of a view; it does not wrap."""

    def __init__(self, text: str = "", *, parent: QWidget | None = None) -> None:
        super().__init__(
            text, size=TypeRole.FIGURE, weight=Weight.SEMIBOLD, wraps=False, parent=parent
        )


class TitleLabel(PlainLabel):
    """The title of a view, one for each."""

    def __init__(self, text: str = "", *, parent: QWidget | None = None) -> None:
        super().__init__(text, size=TypeRole.TITLE, weight=Weight.SEMIBOLD, parent=parent)
