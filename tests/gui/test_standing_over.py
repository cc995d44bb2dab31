"""Nothing is done at the window under a form, and the keys that come to it are the form's."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPointF, Qt
from PySide6.QtGui import QCloseEvent, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.forms.standing_over import top_form
from tankkeeper.gui.forms.tick_form import TickForm
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands
from tests.gui.test_keys_ahead import read_values, three_tests

_NO_MODIFIER = Qt.KeyboardModifier.NoModifier


def _under(hands: Hands) -> QObject:
    """Return the window under the form as the desktop knows it."""
    handle = hands.window.shell.windowHandle()
    assert handle is not None
    return handle


def _press(at: QObject, text: str) -> None:
    """Press keys as the desktop does at a window: each is told twice, and then let go."""
    for sign in text:
        key = Qt.Key.Key_Return if sign == "\r" else Qt.Key(ord(sign))
        for kind in (
            QEvent.Type.ShortcutOverride,
            QEvent.Type.KeyPress,
            QEvent.Type.KeyRelease,
        ):
            QApplication.sendEvent(at, QKeyEvent(kind, key, _NO_MODIFIER, sign))


def test_what_is_typed_at_the_window_goes_into_the_form(live_in: LiveIn) -> None:
    """The desktop gives the keys to a form some time after it stands; none is lost or doubled."""
    hands = three_tests(live_in)
    form = hands.form()
    assert isinstance(form, TickForm)

    _press(_under(hands), "55.2")
    hands.settle()

    assert next(iter(form.values.values())).text == "555.2"


def test_several_numbers_typed_at_the_window_are_kept_line_by_line(live_in: LiveIn) -> None:
    """Whoever types from paper is through before the first form has the keys."""
    hands = three_tests(live_in)

    _press(_under(hands), "\r8\r420\r")
    # What is kept of one line lets the next one begin.
    for _ in range(3):
        hands.settle()

    assert not hands.has_form()
    assert read_values(hands) == {"reef-nitrate": 5.0, "nook-nitrate": 8.0, "nook-calcium": 420.0}


def test_the_next_line_is_asked_in_the_same_window(live_in: LiveIn) -> None:
    """One that closed and another that opened would leave the keys to nobody for a moment."""
    hands = three_tests(live_in)
    form = hands.form()
    is_hidden: list[bool] = []

    class Watch(QObject):
        def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
            is_hidden.extend([True] * (event.type() == QEvent.Type.Hide))
            return False

    watch = Watch()
    form.installEventFilter(watch)
    hands.press("Return")

    assert hands.form() is form
    assert form.windowTitle() == "Test nitrate, Nook"
    assert hands.focus().window() is form
    assert is_hidden == []


def test_a_click_at_the_window_under_a_form_does_nothing(live_in: LiveIn) -> None:
    """Not until the form is closed."""
    hands = three_tests(live_in)
    before = [row.id for row in hands.list.item_rows()], hands.list.currentIndex().row()
    list_ = hands.list
    at = list_.mapTo(hands.window.shell, list_.rect().center())
    for kind in (QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonRelease):
        button = Qt.MouseButton.LeftButton
        where = QPointF(at)
        event = QMouseEvent(kind, where, where, where, button, button, _NO_MODIFIER)
        QApplication.sendEvent(_under(hands), event)
    hands.settle()

    after = [row.id for row in hands.list.item_rows()], hands.list.currentIndex().row()
    assert after == before
    assert top_form() is hands.form()


def test_a_person_does_not_close_the_window_under_a_form(live_in: LiveIn) -> None:
    """What was typed in the form would be gone; the program itself may close it."""
    hands = three_tests(live_in)
    event = QCloseEvent()

    QApplication.sendEvent(hands.window.shell, event)

    assert not event.isAccepted()
    assert hands.has_form()
    hands.press("Esc")
    assert top_form() is None
