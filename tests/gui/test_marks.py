"""Marks tell states by shape: in grey, on light and on dark, no two look alike."""

from itertools import combinations

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.marks import STATES, Mark, MarkSize, mark_role, paint_mark, paint_mark_in
from tankkeeper.gui.palette import Role, Scheme, colours, contrast


def _drawn(mark: Mark, size: int, ratio: float = 1.0, at: float = 0.0) -> QImage:
    side = round((size + 2 * at) * ratio)
    image = QImage(side, side, QImage.Format.Format_Grayscale8)
    image.setDevicePixelRatio(ratio)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    paint_mark_in(painter, mark, QPointF(at, at), size, QColor(0, 0, 0))
    painter.end()
    return image


def _darkness(image: QImage) -> list[float]:
    return [
        1 - image.pixelColor(x, y).lightnessF()
        for y in range(image.height())
        for x in range(image.width())
    ]


@pytest.mark.parametrize("size", MarkSize)
@pytest.mark.parametrize(("one", "other"), list(combinations(Mark, 2)))
def test_no_two_marks_look_alike_in_one_grey(size: MarkSize, one: Mark, other: Mark) -> None:
    """A tenth of the square differs in tone even at the smallest size and without any colour."""
    a, b = _darkness(_drawn(one, size)), _darkness(_drawn(other, size))

    difference = sum(abs(x - y) for x, y in zip(a, b, strict=True)) / len(a)

    assert difference >= 0.06


def test_the_heavier_the_state_the_more_ink() -> None:
    """What is overdue weighs most, then due, then what may wait, then what is only projected."""
    order = [Mark.OVERDUE, Mark.DUE, Mark.MAY_WAIT, Mark.PROJECTED]

    ink = [sum(_darkness(_drawn(mark, 48))) for mark in order]

    # The diamond has 128 of the 256 squares of the grid, the disc 133, but corners at the edge.
    assert ink[1] > ink[2] > ink[3]
    assert ink[0] > ink[2]


def test_only_the_diamond_of_overdue_reaches_the_four_edges() -> None:
    """Its corners on the edge of the grid make it the only pointed mark among the states."""
    for mark in STATES:
        image = _drawn(mark, 48)
        middle = 24
        edge = [(middle, 0), (middle, 47), (0, middle), (47, middle)]
        reaches = all(image.pixelColor(x, y).lightnessF() < 0.95 for x, y in edge)
        assert reaches is (mark is Mark.OVERDUE), mark


@pytest.mark.parametrize("mark", Mark)
@pytest.mark.parametrize("size", MarkSize)
def test_a_mark_stays_in_its_square(mark: Mark, size: MarkSize) -> None:
    """A mark that spilled would touch the word beside it."""
    image = _drawn(mark, size, at=2)
    outside = [
        (x, y)
        for x in range(image.width())
        for y in range(image.height())
        if min(x, y) < 2 or max(x, y) >= image.width() - 2
    ]

    assert all(image.pixelColor(x, y).lightnessF() > 0.97 for x, y in outside)


@pytest.mark.parametrize("ratio", [1.0, 1.5, 2.0])
def test_the_bars_of_a_pause_are_sharp_at_any_density(ratio: float) -> None:
    """Straight edges fall on device pixels, also from a place between two pixels."""
    image = QImage(round(20 * ratio), round(20 * ratio), QImage.Format.Format_Grayscale8)
    image.setDevicePixelRatio(ratio)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    paint_mark_in(painter, Mark.PAUSED, QPointF(1.3, 1.4), 16, QColor(0, 0, 0))
    painter.end()
    row = [image.pixelColor(x, image.height() // 2).lightnessF() for x in range(image.width())]

    blurred = [tone for tone in row if 0.02 < tone < 0.98]

    assert len(blurred) <= (0 if ratio != 1.5 else 4)


@pytest.mark.parametrize("scheme", Scheme)
@pytest.mark.parametrize("mark", Mark)
def test_a_mark_stands_out_from_every_ground(scheme: Scheme, mark: Mark) -> None:
    """Marks keep 3 : 1 against what they stand on (WCAG 2.2, criterion 1.4.11)."""
    table = colours(scheme)

    for ground in (Role.SURFACE, Role.GROUND, Role.SEA_SOFT):
        assert contrast(table[mark_role(mark)], table[ground]) >= 3.0


def test_the_colour_is_that_of_the_role(qapp: QApplication) -> None:
    """A mark is painted with the colours it is handed."""
    image = QImage(16, 16, QImage.Format.Format_ARGB32)
    painter = QPainter(image)
    paint_mark(painter, Mark.DUE, QPointF(0, 0), 16, colours(Scheme.DARK))
    painter.end()

    assert image.pixelColor(8, 8) == colours(Scheme.DARK)[Role.SEA]


def test_states_and_signs_are_told_apart() -> None:
    """Seven states; caution, refusal and the two signs of a range are none."""
    assert [mark for mark in Mark if mark.is_state] == list(STATES)
    assert len(STATES) == 7
