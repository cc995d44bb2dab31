"""Where the banner stands beneath a page, without any window around it."""

from __future__ import annotations

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from tankkeeper.gui.foot_banner import FootBanner
from tankkeeper.gui.widgets.banner import Banner

ROOM = QRect(200, 40, 300, 200)
LONG = "The reef has not been looked after for a while, and much of it can wait no longer. " * 3


class CoveredPage(QWidget):
    """A page that notes how much of its foot is covered."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.covered: list[int] = []

    def cover_foot(self, high: int) -> None:
        """Take note of it."""
        self.covered.append(high)


def _body(qtbot: QtBot) -> tuple[QWidget, CoveredPage]:
    body = QWidget()
    qtbot.addWidget(body)
    body.resize(500, 260)
    body.show()
    return body, CoveredPage(body)


def test_without_a_banner_the_page_has_all_the_room(qtbot: QtBot) -> None:
    """Nor does one that tells nothing take any."""
    body, page = _body(qtbot)
    foot = FootBanner(body)
    assert foot.place(ROOM, page) == 0

    foot.hold(Banner())
    assert foot.place(ROOM, page) == 0
    assert page.covered == [0, 0]


def test_it_takes_a_quarter_at_most_and_stands_at_the_foot(qtbot: QtBot) -> None:
    """What is cut to that covers nothing of the page."""
    body, page = _body(qtbot)
    foot, banner = FootBanner(body), Banner()
    foot.hold(banner)
    banner.show_sentences("", LONG)
    taken = foot.place(ROOM, page)

    assert 0 < taken <= body.height() // 4
    assert banner.parentWidget() is body
    assert banner.geometry() == QRect(200, 240 - taken, 300, taken)
    assert page.covered == [0]


def test_read_whole_it_lies_over_the_page_which_is_told(qtbot: QtBot) -> None:
    """The page keeps its room; a page that cannot be told is covered all the same."""
    body, page = _body(qtbot)
    foot, banner = FootBanner(body), Banner()
    foot.hold(banner)
    banner.show_sentences("", LONG)
    taken = foot.place(ROOM, page)
    assert banner.toggle_whole()

    assert foot.place(ROOM, page) == taken
    assert page.covered[-1] == banner.height() - taken > 0
    assert banner.y() + banner.height() == 240
    assert foot.place(ROOM, None) == taken
