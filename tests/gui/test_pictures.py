"""Views and forms look as they looked when somebody last looked at them."""

from pathlib import Path

import PySide6
import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.palette import Scheme
from tests.gui import pictures
from tests.gui.comparing import (
    DRAWN_WITH,
    SHARE_ALLOWED,
    TILE_ALLOWED,
    share_that_differs,
    told_difference,
    worst_tile,
)
from tests.gui.conftest import Wear
from tests.gui.pictures import BASELINES, README_PICTURE, README_SHOT, Shot, every_shot

pytestmark = pytest.mark.skipif(
    not PySide6.__version__.startswith(DRAWN_WITH),
    reason=f"the baselines were drawn with Qt {DRAWN_WITH}x; other versions draw letters otherwise",
)


def test_the_comparison_sees_a_line_that_moved() -> None:
    """The picture of the light round differs from itself moved by two pixels, or this is blind."""
    picture = QImage(str(BASELINES / "round-light.png"))

    moved = picture.copy(0, 2, picture.width(), picture.height())

    assert share_that_differs(picture, picture) == 0.0
    assert share_that_differs(picture, moved) > 2 * SHARE_ALLOWED


def test_the_comparison_sees_another_word(qapp: QApplication) -> None:
    """Far too few pixels for the share of the whole picture, and told with its place."""
    picture = QImage(str(BASELINES / "round-light.png")).convertToFormat(QImage.Format.Format_RGB32)
    other = picture.copy()
    painter = QPainter(other)
    painter.setPen(QColor("black"))
    painter.drawText(QRect(600, 780, 100, 20), 0, "elsewhere")
    painter.end()

    assert share_that_differs(picture, other) < SHARE_ALLOWED / 10
    assert worst_tile(picture, other)[2] > 1.5 * TILE_ALLOWED
    assert told_difference(picture, picture) == ""
    assert told_difference(other, picture).startswith("something differs at ")


@pytest.mark.parametrize("shot", every_shot(), ids=lambda shot: shot.name)
def test_the_round_looks_as_it_was_drawn(
    qapp: QApplication, wear: Wear, tmp_path: Path, shot: Shot
) -> None:
    """At most 0.5 % of the pixels differ from the baseline, and in no place a word.

    `python -m tests.gui.pictures` draws the baselines anew; a failure leaves both pictures.
    """
    wear(Scheme.LIGHT, 100)
    path = tmp_path / "sample.tankkeeper"
    shot.make(path)

    drawn = pictures.draw(qapp, qapp.font(), path, shot)

    expected = QImage(str(BASELINES / f"{shot.name}.png"))
    told = told_difference(drawn, expected)
    if told:
        drawn.save(str(tmp_path / "drawn.png"))
    assert told == "", f"what was drawn is in {tmp_path}"


def test_the_picture_of_the_readme_is_the_one_that_is_compared() -> None:
    """The README shows the program as it looks, not as it looked once."""
    shown = QImage(str(README_PICTURE))

    assert not shown.isNull()
    assert share_that_differs(shown, QImage(str(BASELINES / f"{README_SHOT.name}.png"))) == 0.0
