"""How high a form stands by its fields, and where it stays when it grows, without any form."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from tankkeeper.gui.forms.fields_area import FieldsArea
from tankkeeper.gui.forms.form_room import FormRoom

LONG = "A sentence that takes several lines where there is little room beside it. " * 4


class _Small(QWidget):
    """What stands over a window, with a title and nothing but fields under it."""

    def __init__(self, under: QWidget) -> None:
        super().__init__(under)
        self.column = QVBoxLayout(self)
        title = QLabel("Title", self)
        title.setWordWrap(True)
        self.column.addWidget(title)
        self.area = FieldsArea(self)
        self.column.addWidget(self.area)
        self.room = FormRoom(self, self.column, self.area, self.area.heighten)
        self.resize(300, 40)

    def add_lines(self, count: int) -> None:
        """Ask so many fields, each on a line."""
        for number in range(count):
            self.area.fields.addRow(f"Field {number}", QLineEdit(self))
        QApplication.processEvents()


Over = Callable[[int, int], _Small]


@pytest.fixture
def over(qtbot: QtBot) -> Over:
    """Return what puts one over a window of a size."""

    def put(width: int, height: int) -> _Small:
        under = QWidget()
        qtbot.addWidget(under)
        under.resize(width, height)
        under.show()
        small = _Small(under)
        small.show()
        return small

    return put


def test_it_is_as_high_as_its_fields_and_lower_where_some_go(over: Over) -> None:
    """What is gone leaves its room only where it is said that the form shrinks."""
    small = over(600, 780)
    small.add_lines(6)
    small.room.fit(shrinks=False)
    high = small.height()
    assert small.area.height() == small.area.needed() > 0

    for _ in range(3):
        small.area.fields.removeRow(0)
    small.room.fit(shrinks=False)
    assert small.height() == high
    small.room.fit(shrinks=True)
    assert small.height() < high


def test_without_fields_there_is_no_area(over: Over) -> None:
    """A sentence alone has nothing to scroll."""
    small = over(600, 780)
    small.room.fit(shrinks=True)
    assert small.area.isHidden()


def test_fields_scroll_where_the_window_is_not_high_enough(over: Over) -> None:
    """The form itself is never higher than there is room."""
    small = over(600, 780)
    small.add_lines(60)
    small.room.fit(shrinks=True)
    assert small.area.height() < small.area.needed()
    assert small.height() <= 780


def test_it_is_no_wider_than_its_window(over: Over) -> None:
    """Large type would like it to be."""
    small = over(320, 780)
    small.setMinimumWidth(500)
    small.room.fit(shrinks=True)
    assert small.minimumWidth() == small.width() == 320


@pytest.mark.parametrize(
    ("high", "most", "expected"),
    [pytest.param(20, 5, 5, id="no more than are wanted"), pytest.param(900, 5, 2, id="at least")],
)
def test_rows_of_a_list(over: Over, high: int, most: int, expected: int) -> None:
    """As many as can be seen, and never less than two."""
    assert over(600, 780).room.rows_that_fit(high, most, 0) == expected


def test_a_form_that_grew_below_the_screen_goes_up(over: Over) -> None:
    """Its foot has the buttons."""
    small = over(600, 780)
    small.setParent(None)
    small.show()
    bottom = small.screen().availableGeometry().bottom()
    small.resize(300, 200)
    small.move(QPoint(0, bottom - 50))
    small.room.stay_on_screen()
    assert small.frameGeometry().bottom() == bottom
    small.close()
    small.deleteLater()


def test_a_sentence_among_the_fields_has_all_its_lines(over: Over, qapp: QApplication) -> None:
    """A form layout leaves it two of them; whoever has the area is told that it came."""
    small = over(600, 780)
    told: list[int] = []
    small.area.grown.connect(lambda: told.append(1))
    small.room.fit(shrinks=True)
    sentence = QLabel(LONG, small)
    sentence.setWordWrap(True)
    small.area.fields.addRow(sentence)
    sentence.show()
    qapp.processEvents()
    assert told
    small.room.fit(shrinks=True)
    small.area.heighten()
    assert sentence.minimumHeight() == sentence.heightForWidth(small.area.viewport().width())
    assert sentence.minimumHeight() > 3 * sentence.fontMetrics().height()


def test_the_field_that_gets_the_keys_comes_into_view(over: Over, qapp: QApplication) -> None:
    """Whatever stands elsewhere moves nothing."""
    small = over(600, 780)
    small.add_lines(60)
    small.room.fit(shrinks=True)
    qapp.processEvents()
    last, bar = small.area.findChildren(QLineEdit)[-1], small.area.verticalScrollBar()
    small.area.follow(small)
    assert bar.value() == 0
    small.area.follow(last)
    assert bar.value() > 0
    assert small.area.holds(last)
    assert not small.area.holds(small)
