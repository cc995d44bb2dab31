"""Kept words look on the screen as the same text drawn by the painter does."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QFont, QImage, QPainter
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.typography import TypeRole, Weight, type_font
from tankkeeper.gui.widgets.kept_words import KeptWords
from tests.gui import pictures
from tests.gui.conftest import Wear

# Latin with kerning, accents and composed letters, other scripts, letters of other fonts.
TEXTS = (
    "1 min",
    "AVATAR To.",
    "Küche, señor, fjörð",
    "e\u0301a\u0308",
    "Ω 25\N{NO-BREAK SPACE}°C ≥ 7½",
    "Аквариум",
    "בדיקה 12",
    "مرجان",
    "\N{TROPICAL FISH} fish",
    "水槽",
    "a\u202eb",
    "",
)


@pytest.fixture
def dressed(qapp: QApplication, wear: Wear) -> QFont:
    """The shipped font, at its usual size; put back afterwards."""
    wear(Scheme.LIGHT, 100)
    return pictures.dress(qapp)


def painted(text: str, font: QFont, x: float, words: KeptWords | None) -> QImage:
    image = QImage(240, 40, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    painter.setPen(Qt.GlobalColor.darkBlue)
    if words is None:
        painter.setFont(font)
        painter.drawText(QPointF(x, 25.4), text)
    else:
        words.draw(painter, font, x, 25.4, text)
    painter.end()
    return image


@pytest.mark.parametrize("weight", [Weight.REGULAR, Weight.MEDIUM, Weight.SEMIBOLD])
@pytest.mark.parametrize("text", TEXTS)
def test_kept_words_are_the_text_to_the_pixel(dressed: QFont, text: str, weight: Weight) -> None:
    words = KeptWords()
    font = type_font(dressed, TypeRole.CAPTION, weight)
    for x in (8.0, 8.37, 21.75):
        drawn = painted(text, font, x, None)
        # The second time they come from what was kept.
        assert painted(text, font, x, words) == drawn
        assert painted(text, font, x, words) == drawn
        assert not text or drawn != painted("", font, x, None)


@pytest.mark.parametrize("px", [12, 14, 15, 17, 18, 21, 24, 28])
def test_words_in_the_shipped_font_are_shaped_once_at_every_size(dressed: QFont, px: int) -> None:
    """Else a month takes twice as long; only what may need another font is drawn as text."""
    words = KeptWords()
    base = QFont(dressed)
    base.setPixelSize(px)
    for weight in (Weight.REGULAR, Weight.MEDIUM, Weight.SEMIBOLD):
        font = type_font(base, TypeRole.CAPTION, weight)
        for text in ("1 min", "AVATAR To.", "K\u00fcche, se\u00f1or, fj\u00f6r\u00f0"):
            assert painted(text, font, 8.37, words) == painted(text, font, 8.37, None)
            assert words.is_shaped(font, text)
        painted("\N{TROPICAL FISH} fish", font, 8, words)
        painted("\u05d1\u05d3\u05d9\u05e7\u05d4 12", font, 8, words)
        assert not words.is_shaped(font, "\u05d1\u05d3\u05d9\u05e7\u05d4 12")


def test_two_fonts_keep_the_same_text_apart(dressed: QFont) -> None:
    words = KeptWords()
    plain = type_font(dressed, TypeRole.CAPTION)
    strong = type_font(dressed, TypeRole.CAPTION, Weight.SEMIBOLD)
    first = painted("Feed", plain, 8, words)
    second = painted("Feed", strong, 8, words)
    assert first != second
    assert second == painted("Feed", strong, 8, None)
    assert len(words) == 2


def test_what_is_kept_does_not_grow_for_ever(dressed: QFont) -> None:
    words = KeptWords()
    font = type_font(dressed, TypeRole.CAPTION)
    image = QImage(240, 40, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    for number in range(9000):
        words.draw(painter, font, 8, 25, str(number))
    painter.end()
    assert 0 < len(words) <= 4000
