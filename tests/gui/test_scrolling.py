"""The slim bar is dragged by its thumb and pages beside it."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QListWidget, QScrollBar

from tankkeeper.gui.widgets.scrolling import use_slim_bar


@pytest.fixture
def bar(qtbot) -> QScrollBar:  # type: ignore[no-untyped-def]
    """The bar of a list with more rows than fit."""
    rows = QListWidget()
    rows.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
    use_slim_bar(rows)
    rows.addItems([str(number) for number in range(200)])
    rows.resize(200, 300)
    qtbot.addWidget(rows)
    with qtbot.waitExposed(rows):
        rows.show()
    made = rows.verticalScrollBar()
    made.rows_kept = rows  # type: ignore[attr-defined]
    return made


def test_the_thumb_is_dragged_to_the_end_and_back(qtbot, bar) -> None:  # type: ignore[no-untyped-def]
    """Pulling the thumb down as far as it goes shows the last row."""
    assert bar.maximum() > 0

    qtbot.mousePress(bar, Qt.MouseButton.LeftButton, pos=QPoint(6, 4))
    qtbot.mouseMove(bar, QPoint(6, bar.height() - 2))
    assert bar.value() == bar.maximum()
    qtbot.mouseMove(bar, QPoint(6, 2))
    qtbot.mouseRelease(bar, Qt.MouseButton.LeftButton, pos=QPoint(6, 2))

    assert bar.value() == bar.minimum()


def test_a_click_beside_the_thumb_goes_on_by_a_page(qtbot, bar) -> None:  # type: ignore[no-untyped-def]
    """And a click above it goes back."""
    qtbot.mouseClick(bar, Qt.MouseButton.LeftButton, pos=QPoint(6, bar.height() - 4))
    assert bar.value() == bar.pageStep()

    qtbot.mouseClick(bar, Qt.MouseButton.LeftButton, pos=QPoint(6, 1))
    assert bar.value() == 0
