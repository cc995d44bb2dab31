"""Keys pressed before what they are meant for had the keys, and giving them to it then."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QKeyCombination, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.core.values import dataclass

_KEYS = (QEvent.Type.ShortcutOverride, QEvent.Type.KeyPress, QEvent.Type.KeyRelease)
# They say nothing by themselves.
_MODIFIERS = (Qt.Key.Key_Shift, Qt.Key.Key_Control, Qt.Key.Key_Alt, Qt.Key.Key_Meta)


@dataclass(frozen=True, slots=True)
class Pressed:
    """A key as it was pressed."""

    key: int
    modifiers: Qt.KeyboardModifier
    text: str

    @property
    def sequence(self) -> QKeySequence:
        """The key as shortcuts are named by it."""
        return QKeySequence(QKeyCombination(self.modifiers, Qt.Key(self.key)))


class PressedOnce:
    """Tells each key that is pressed once, though two events tell of it.

    The first of them only asks whether a field takes the key before any shortcut does.
    """

    def __init__(self) -> None:
        self._overriding: Pressed | None = None

    def pressed(self, event: QKeyEvent) -> Pressed | None:
        """Return the key that an event tells of for the first time, None where it tells of none.

        A key that is held down too long was pressed once; the next form is not kept by it.
        """
        if event.type() == QEvent.Type.KeyRelease or event.isAutoRepeat():
            return None
        one = Pressed(event.key(), event.modifiers(), event.text())
        is_told_again = event.type() == QEvent.Type.KeyPress and one == self._overriding
        self._overriding = one if event.type() == QEvent.Type.ShortcutOverride else None
        return None if is_told_again or one.key in _MODIFIERS else one


def is_key(event: QEvent) -> bool:
    """Tell whether an event is of the keyboard."""
    return event.type() in _KEYS and isinstance(event, QKeyEvent)


def give(one: Pressed, focus: QWidget) -> None:
    """Let a form take a key as if it were pressed now; it goes to what has the keys in it.

    A shortcut of the form is found as for a key that is pressed, and whoever holds keys by then
    holds this one as well.
    """
    # Each key may hand the keys on to another field.
    to = QApplication.focusWidget() or focus
    for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
        QApplication.sendEvent(to, QKeyEvent(kind, one.key, one.modifiers, one.text))
