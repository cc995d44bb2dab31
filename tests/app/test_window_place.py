"""A window stands where it was left, also after many starts, and never beyond its screen."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QMargins, QRect
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.app.window import frame_of, left_of, put_back, settle
from tankkeeper.app.window_state import Left
from tankkeeper.gui.palette import ContrastChoice, SchemeChoice


@pytest.fixture
def shell(qapp: QApplication) -> Iterator[QWidget]:
    """A top-level window that is not shown yet."""
    widget = QWidget()
    widget.setMinimumSize(200, 150)
    yield widget
    widget.close()
    widget.deleteLater()


def shown(shell: QWidget, was: Left, app: QApplication) -> None:
    """Start as the program does: put back, show, and settle once it stands."""
    put_back(shell, was, app)
    shell.show()
    app.processEvents()
    settle(shell, was, app)
    app.processEvents()


def free(app: QApplication) -> QRect:
    return app.primaryScreen().availableGeometry()


def with_frame(shell: QWidget) -> QRect:
    frame = frame_of(shell)
    assert frame is not None
    return shell.geometry().marginsAdded(frame)


def test_a_window_stays_where_it_is_over_many_starts(qapp: QApplication) -> None:
    """Also near an edge, where a frame that was only guessed moved it at every start."""
    was = Left()
    places = []
    for _ in range(4):
        shell = QWidget()
        shown(shell, was, qapp)
        if not places:
            shell.resize(500, 400)
            edge = free(qapp).bottom() - 402
            shell.move(10, edge)
            qapp.processEvents()
        was = left_of(shell, 100, SchemeChoice.FOLLOW, ContrastChoice.FOLLOW)
        places.append(shell.geometry())
        shell.close()
        shell.deleteLater()
    assert places[1:] == places[1:2] * 3
    assert was.frame is not None


def test_the_first_window_stands_wholly_on_the_screen(shell: QWidget, qapp: QApplication) -> None:
    """With the frame that the desktop has drawn around it."""
    shown(shell, Left(), qapp)
    assert free(qapp).contains(with_frame(shell))


def test_a_window_that_was_left_half_below_the_edge_comes_back_whole(
    shell: QWidget, qapp: QApplication
) -> None:
    """Its foot line tells what a key did."""
    below = QRect(30, free(qapp).bottom() - 100, 400, 300)
    shown(shell, Left(below, frame=QMargins(1, 20, 1, 5)), qapp)
    assert free(qapp).contains(with_frame(shell))
    assert shell.size() == below.size()


def test_a_place_that_the_desktop_took_for_that_of_its_frame_is_put_right(
    shell: QWidget, qapp: QApplication
) -> None:
    """Some put the frame where the window was to be, which then stands a title bar lower."""
    was = Left(QRect(60, 80, 400, 300))
    put_back(shell, was, qapp)
    shell.show()
    frame = frame_of(shell)
    assert frame is not None
    shell.setGeometry(QRect(60 + frame.left(), 80 + frame.top(), 400, 300))
    qapp.processEvents()

    settle(shell, was, qapp)

    assert shell.geometry() == was.place


def test_a_window_that_was_moved_meanwhile_stays(shell: QWidget, qapp: QApplication) -> None:
    """A person is quicker than the rows."""
    was = Left(QRect(60, 80, 400, 300))
    put_back(shell, was, qapp)
    shell.show()
    shell.setGeometry(QRect(90, 120, 420, 310))
    qapp.processEvents()

    settle(shell, was, qapp)

    assert shell.geometry() == QRect(90, 120, 420, 310)
