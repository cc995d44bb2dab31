"""The calendar looks as it looked when somebody last looked at it, in every state."""

from pathlib import Path

import PySide6
import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.palette import Scheme
from tests.gui import pictures
from tests.gui.calendar_pictures import HERE, SHOTS, CalendarShot
from tests.gui.comparing import DRAWN_WITH, SHARE_ALLOWED, share_that_differs, told_difference
from tests.gui.conftest import Wear
from tests.gui.small_png import save_small

MOST_BYTES = 100_000

pytestmark = pytest.mark.skipif(
    not PySide6.__version__.startswith(DRAWN_WITH),
    reason=f"the baselines were drawn with Qt {DRAWN_WITH}x; other versions draw letters otherwise",
)


@pytest.mark.parametrize("one", SHOTS, ids=lambda one: one.name)
def test_the_calendar_looks_as_it_was_drawn(
    qapp: QApplication, wear: Wear, tmp_path: Path, one: CalendarShot
) -> None:
    """At most 0.5 % of the pixels differ from the baseline, and in no place a word.

    `python -m tests.gui.calendar_pictures` draws the baselines anew; a failure leaves the picture.
    """
    wear(Scheme.LIGHT, 100)
    path = tmp_path / "house.tankkeeper"
    one.make(path)

    drawn = pictures.draw(qapp, qapp.font(), path, one.shot)

    told = told_difference(drawn, QImage(str(HERE / f"{one.name}.png")))
    if told:
        drawn.save(str(tmp_path / "drawn.png"))
    assert told == "", f"what was drawn is in {tmp_path}"


def test_every_picture_is_small_and_is_compared() -> None:
    """Under 100 kB each, and none is left over from a shot that is gone."""
    files = {file.stem: file.stat().st_size for file in HERE.glob("*.png")}

    assert sorted(files) == sorted(one.name for one in SHOTS)
    assert max(files.values()) < MOST_BYTES


def test_the_calendar_is_the_same_where_the_system_writes_from_the_right() -> None:
    """The words are English, and numbers stand before their units."""
    there = QImage(str(HERE / "month-right-to-left.png"))

    assert share_that_differs(there, QImage(str(HERE / "month-sample-light.png"))) == 0.0


def test_fewer_colours_are_no_difference_to_the_comparison(tmp_path: Path) -> None:
    """What is saved small differs from what was drawn by less than is compared."""
    drawn = QImage(str(pictures.BASELINES / "round-light.png"))
    file = tmp_path / "small.png"

    save_small(drawn, file)

    assert share_that_differs(drawn, QImage(str(file))) < SHARE_ALLOWED / 10
    assert file.stat().st_size < MOST_BYTES
