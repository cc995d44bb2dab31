"""Keys that are pressed for a form before it stands wait for it, and never act beneath it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from PySide6.QtCore import QEvent, QKeyCombination, QObject, Qt, QTimer
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.core.values import dataclass
from tankkeeper.gui import turn_taking
from tankkeeper.gui.shortcuts import Command, shortcut

LEFT_OUT = "What was typed before the form stood was left out."
_KEYS = (QEvent.Type.ShortcutOverride, QEvent.Type.KeyPress, QEvent.Type.KeyRelease)
# They say nothing by themselves.
_MODIFIERS = (Qt.Key.Key_Shift, Qt.Key.Key_Control, Qt.Key.Key_Alt, Qt.Key.Key_Meta)


@dataclass(frozen=True, slots=True)
class _Pressed:
    key: int
    modifiers: Qt.KeyboardModifier
    text: str


class KeysAhead(QObject):
    """Holds what is typed from the key that opens a form until the form has the keys.

    That key may be one that keeps a form, after which another one comes. Where no form comes of
    it, or not for longer than a person still means it, what was held is dropped, and `left_out` is
    told so. The key that ends the program is meant all the same, where nothing else was typed.
    """

    def __init__(self, left_out: Callable[[], None], parent: QObject) -> None:
        super().__init__(parent)
        self._left_out = left_out
        self._held: list[_Pressed] = []
        self._is_holding = False
        self._past: QWidget | None = None
        # The key of which the first of its two events has come.
        self._overriding: _Pressed | None = None
        self._end = QTimer(self)
        self._end.setSingleShot(True)
        self._end.timeout.connect(self.drop)

    def hold(self, past: QWidget | None = None) -> None:
        """Keep all keys from now on; the form `past` gets none of them any more."""
        self._past = past
        if not self._is_holding:
            self._is_holding = True
            self._watch()
            _app().focusChanged.connect(self._on_focus)
        self._end.start(round(1000 * turn_taking.LONGEST_WISH_S))

    @contextmanager
    def making(self) -> Iterator[None]:
        """Look away while the form is made.

        No key comes in before that is done, but thousands of events of its widgets do, each of
        which would be looked at.
        """
        _app().removeEventFilter(self)
        try:
            yield
        finally:
            if self._is_holding:
                self._watch()

    def hand_over(self) -> None:
        """Give what was held to the form that stands by now, as soon as it has the keys."""
        form = QApplication.activeModalWidget()
        if self._is_holding and (form is None or form is self._past):
            self.drop()
        self._on_focus()

    def hand_on(self, past: QWidget) -> None:
        """Give what was held behind this form to the one after it, if anything was."""
        if self._past is past:
            self.hand_over()

    def go_on(self, form: QWidget) -> None:
        """Give what was held behind this form to what it asks by now."""
        if self._past is form:
            self._past = None
            # Only once it is told that the form before was kept.
            QTimer.singleShot(0, self, self.hand_over)

    def drop(self) -> None:
        """Keep no keys any more, and say so if any were pressed."""
        held = self._let_go()
        ending = _ending() if held and all(_ends(one) for one in held) else None
        if ending is not None:
            ending.trigger()
        elif held:
            self._left_out()

    def _on_focus(self) -> None:
        form, focus = QApplication.activeModalWidget(), QApplication.focusWidget()
        if not self._is_holding or form is None or form is self._past:
            return
        if focus is None or focus.window() is not form:
            return
        for one in self._let_go():
            self._give(one, form, focus)

    def _give(self, one: _Pressed, form: QWidget, focus: QWidget) -> None:
        if self._is_holding:
            # The key before it kept this form, and it is meant for the next.
            self._held.append(one)
            return
        # Each key may hand the keys on to another field.
        to = QApplication.focusWidget() or focus
        shortcut = _shortcut_for(one, form)
        if shortcut is not None:
            shortcut.activated.emit()
            return
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            _app().sendEvent(to, QKeyEvent(kind, one.key, one.modifiers, one.text))

    def _watch(self) -> None:
        _app().installEventFilter(self)

    def _let_go(self) -> list[_Pressed]:
        held, self._held = self._held, []
        self._past = None
        self._end.stop()
        if self._is_holding:
            self._is_holding = False
            _app().removeEventFilter(self)
            _app().focusChanged.disconnect(self._on_focus)
        return held

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep each key, wherever it was meant to go."""
        if event.type() not in _KEYS or not isinstance(event, QKeyEvent):
            return super().eventFilter(watched, event)
        # One that is held down too long was pressed once; the next form is not kept by it.
        if event.type() != QEvent.Type.KeyRelease and not event.isAutoRepeat():
            self._note(event)
        # So that no shortcut takes it either.
        event.accept()
        return True

    def _note(self, event: QKeyEvent) -> None:
        """Hold a key once, though two events tell of it.

        A window under a form is told only the first of them: whether a field takes the key before
        any shortcut does.
        """
        one = _Pressed(event.key(), event.modifiers(), event.text())
        is_told_again = event.type() == QEvent.Type.KeyPress and one == self._overriding
        self._overriding = one if event.type() == QEvent.Type.ShortcutOverride else None
        if not is_told_again and one.key not in _MODIFIERS:
            self._held.append(one)


def _shortcut_for(one: _Pressed, form: QWidget) -> QShortcut | None:
    """Return the shortcut of a form that a key means: Qt finds it only as the key is pressed."""
    keys = QKeySequence(QKeyCombination(one.modifiers, Qt.Key(one.key)))
    for found in form.findChildren(QShortcut):
        known = found.keys()
        if keys in known:
            return found
    return None


def _ends(one: _Pressed) -> bool:
    """Tell whether a key ends the program."""
    pressed = QKeySequence(QKeyCombination(one.modifiers, Qt.Key(one.key)))
    return any(QKeySequence(key) == pressed for key in shortcut(Command.QUIT).keys)


def _ending() -> QAction | None:
    """Return what ends the program from the window that has the keys."""
    window = QApplication.activeWindow()
    return None if window is None else window.findChild(QAction, Command.QUIT.value)


def is_form_open() -> bool:
    """Tell whether a form stands over the page."""
    return QApplication.activeModalWidget() is not None


def _app() -> QApplication:
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    return app
