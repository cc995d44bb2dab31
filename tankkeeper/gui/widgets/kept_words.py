"""Words that are drawn again and again: shaped once, then only put down."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QStaticText, QTextLayout, QTransform

# From the Hebrew block on, words may run from right to left, which kept words are not laid out for.
_LEFT_TO_RIGHT_END: Final = "\u0590"
# Some months of nouns, names and minutes; a name costs about a kilobyte.
_MOST: Final = 4000
_WIDEST: Final = 16_000.0
_CLOSE: Final = 0.02


class KeptWords:
    """Shaped words by font and text; drawing them is as drawing the text, only faster.

    Shaping is two thirds of what it costs to draw a short text, and a calendar draws hundreds.
    Words that need another font's letters, or that may run to the left, are drawn as text.
    """

    def __init__(self) -> None:
        self._kept: dict[tuple[str, str], tuple[QStaticText, float] | None] = {}
        self._keys: dict[int, tuple[QFont, str]] = {}

    def __len__(self) -> int:
        return len(self._kept)

    def is_shaped(self, font: QFont, text: str) -> bool:
        """Tell whether a text that was drawn is kept shaped, and not drawn as text every time."""
        return self._kept.get((self._key_of(font), text)) is not None

    def draw(self, painter: QPainter, font: QFont, x: float, baseline: float, text: str) -> None:
        """Draw a text with its baseline at this height, in the pen's colour.

        `font` is kept by its identity, so that it must not be changed afterwards.
        """
        if not text:
            return
        painter.setFont(font)
        key = (self._key_of(font), text)
        try:
            kept = self._kept[key]
        except KeyError:
            kept = self._keep(key, font)
        if kept is None:
            painter.drawText(QPointF(x, baseline), text)
        else:
            words, ascent = kept
            painter.drawStaticText(QPointF(x, baseline - ascent), words)

    def _key_of(self, font: QFont) -> str:
        known = self._keys.get(id(font))
        if known is None:
            if len(self._keys) > 100:
                self._keys.clear()
            # The font is held, so that no other one gets its identity.
            known = self._keys[id(font)] = (font, font.key())
        return known[1]

    def _keep(self, key: tuple[str, str], font: QFont) -> tuple[QStaticText, float] | None:
        if len(self._kept) >= _MOST:
            self._kept.clear()
        kept = self._kept[key] = _shaped(key[1], font)
        return kept


def _shaped(text: str, font: QFont) -> tuple[QStaticText, float] | None:
    """Return shaped words with the height of their baseline, or None for what is drawn as text."""
    if max(text) >= _LEFT_TO_RIGHT_END:
        return None
    ascent = _ascent_of_line(text, font)
    # A letter of another font makes the line higher, and its baseline is then not ours.
    if abs(ascent - QFontMetricsF(font).ascent()) > _CLOSE:
        return None
    words = QStaticText(text)
    words.setTextFormat(Qt.TextFormat.PlainText)
    words.prepare(QTransform(), font)
    return words, ascent


def _ascent_of_line(text: str, font: QFont) -> float:
    """Return how far the baseline lies below the top of a line as Qt lays it out.

    The height of the line is no measure: it is rounded up to a pixel where no letter needs it.
    """
    layout = QTextLayout(text, font)
    layout.beginLayout()
    line = layout.createLine()
    line.setLineWidth(_WIDEST)
    layout.endLayout()
    return line.ascent()
