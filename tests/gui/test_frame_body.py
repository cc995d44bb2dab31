"""The ground of the window: where its hairlines are, and that it asks for its parts."""

from __future__ import annotations

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from tankkeeper.gui.typography import metrics_for
from tankkeeper.gui.widgets.frame_body import FrameBody


def test_the_hairlines_stand_on_the_inner_edges_of_the_parts(qtbot: QtBot) -> None:
    """Those of bar and rail lie inside these, that of the bottom line begins it."""
    around = QWidget()
    qtbot.addWidget(around)
    sizes = metrics_for(around.font(), 1280, 800)
    body = FrameBody(sizes, around)
    body.resize(1280, 800)
    bar, foot, rail = body.hairlines(1)

    assert bar == QRect(0, sizes.top_bar - 1, 1280, 1)
    assert foot == QRect(0, 800 - sizes.bottom_line, 1280, 1)
    assert rail.x() == sizes.rail_width - 1
    assert (rail.top(), rail.bottom()) == (bar.bottom() + 1, foot.top() - 1)


def test_with_another_size_it_asks_for_the_parts(qtbot: QtBot) -> None:
    """Nothing places them otherwise."""
    around = QWidget()
    qtbot.addWidget(around)
    body = FrameBody(metrics_for(around.font(), 0, 0), around)
    around.show()
    with qtbot.waitSignal(body.resized):
        body.resize(900, 600)
