"""Keys pressed before what they are meant for had the keys, and giving them to it then."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QKeyCombination, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

from tankkeeper.core.values import dataclass

_KEYS = (QEvent.Type.ShortcutOverride, QEvent.Type.KeyPress, QEvent.Type.KeyRelease)
# They say nothing by themselves.
_MODIFIERS = (Qt.Key.Key_Shift, Qt.Key.Key_Control, Qt.Key.Key_Alt, Qt.Key.Key_Meta)


@dataclass(frozen=True, slots=True)
class Pressed:
    """A key as it was pressed, and at which moment of the desktop, 0 where that is not known."""

    key: int
    modifiers: Qt.KeyboardModifier
    text: str
    stamp: int = 0

    @property
    def sequence(self) -> QKeySequence:
        """The key as shortcuts are named by it."""
        return QKeySequence(QKeyCombination(self.modifiers, Qt.Key(self.key)))


def pressed_by(event: QKeyEvent) -> Pressed | None:
    """Return the key that an event presses, None where it presses none.

    A key that is held down too long was pressed once; the next form is not kept by it.
    """
    is_pressed = event.type() == QEvent.Type.KeyPress and not event.isAutoRepeat()
    if not is_pressed or is_modifier(event):
        return None
    return Pressed(event.key(), event.modifiers(), event.text(), event.timestamp())


def is_modifier(event: QKeyEvent) -> bool:
    """Tell whether a key only changes what others say."""
    return event.key() in _MODIFIERS


def is_key(event: QEvent) -> bool:
    """Tell whether an event is of the keyboard."""
    return event.type() in _KEYS and isinstance(event, QKeyEvent)


def keeps(one: Pressed) -> bool:
    """Tell whether a key keeps what stands in the field that has the keys.

    What follows it is meant for what comes after the form, which may stay with a question.
    """
    is_line = isinstance(QApplication.focusWidget(), QLineEdit)
    return is_line and one.key in (Qt.Key.Key_Return, Qt.Key.Key_Enter)


def give(one: Pressed, focus: QWidget) -> None:
    """Let a form take a key as if it were pressed now; it goes to what has the keys in it.

    A shortcut of the form is found as for a key that is pressed, and whoever holds keys by then
    holds this one as well.
    """
    # Each key may hand the keys on to another field.
    to = QApplication.focusWidget() or _under(focus)
    for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
        event = QKeyEvent(kind, one.key, one.modifiers, one.text)
        event.setTimestamp(one.stamp)
        QApplication.sendEvent(to, event)


def _under(focus: QWidget) -> QWidget:
    """Return what has the keys in the window under a form that was left, else in the form."""
    parent = None if focus.isVisible() else focus.window().parentWidget()
    beneath = None if parent is None else parent.window().focusWidget()
    return focus if beneath is None else beneath


def the_app() -> QApplication:
    """Return the application, past which every key goes."""
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    return app
