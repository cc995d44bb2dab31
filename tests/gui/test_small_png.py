"""A picture in few colours shows the grounds in their own."""

from pathlib import Path

from PySide6.QtGui import QColor, QImage

from tests.gui.small_png import save_small


def test_grounds_that_are_alike_keep_their_colours(tmp_path: Path) -> None:
    """Two dark grounds, and a few dots of a colour between them and others."""
    grounds, dot = ("#0d171b", "#131f24"), "#1e1d1f"
    picture = QImage(200, 200, QImage.Format.Format_RGB32)
    picture.fill(QColor(grounds[0]))
    for y in range(50):
        for x in range(200):
            picture.setPixelColor(x, y, QColor(grounds[1]))
    for x in range(5):
        picture.setPixelColor(x, 150, QColor(dot))

    save_small(picture, tmp_path / "small.png")

    small = QImage(str(tmp_path / "small.png"))
    assert small.pixelColor(100, 25).name() == grounds[1]
    assert small.pixelColor(100, 100).name() == grounds[0]
