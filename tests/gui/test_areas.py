"""Which area of the window gets the keys next, and which part of a page."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from tankkeeper.gui.areas import Areas
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.widgets.focus import is_inside
from tests.gui.invented import a_frame


class Panel:
    """Says whether the why panel is one of the areas."""

    is_open = False


@pytest.fixture
def frame(qtbot: QtBot) -> Frame:
    """Return a window whose parts are gone round."""
    frame = a_frame()
    qtbot.addWidget(frame)
    frame.resize(1280, 800)
    with qtbot.waitActive(frame):
        frame.show()
    return frame


@pytest.fixture
def panel() -> Panel:
    """Return what says whether the panel is open."""
    return Panel()


@pytest.fixture
def areas(frame: Frame, panel: Panel) -> Areas:
    """Return the areas of that window."""
    return Areas(frame.top, frame.rail, frame.stack, frame.why, lambda: panel.is_open)


def test_from_outside_it_begins_with_the_first_or_the_last(
    frame: Frame, areas: Areas, panel: Panel
) -> None:
    """The last is the panel only where it is open."""
    frame.setFocus()
    areas.go_round(1)
    assert QApplication.focusWidget() is frame.top.views

    frame.setFocus()
    areas.go_round(-1)
    assert frame.stack.isAncestorOf(QApplication.focusWidget())

    panel.is_open = True
    areas.go_round(1)
    assert is_inside(QApplication.focusWidget(), frame.why)
    areas.go_round(1)
    assert QApplication.focusWidget() is frame.top.views


def test_of_a_page_the_first_part_that_can_be_seen_gets_the_keys(
    frame: Frame, areas: Areas
) -> None:
    """Where the page itself takes none; where nothing of it does, they stay."""
    page = QWidget()
    column = QVBoxLayout(page)
    hidden, seen = QLineEdit(page), QLineEdit(page)
    column.addWidget(hidden)
    column.addWidget(seen)
    hidden.hide()
    frame.stack.addWidget(page)
    frame.stack.setCurrentWidget(page)
    areas.go_to_content()
    assert QApplication.focusWidget() is seen

    frame.rail.setFocus()
    seen.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    areas.go_to_content()
    assert QApplication.focusWidget() is frame.rail
