"""Keys that are pressed for a form before it stands wait for it, and never act beneath it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.gui import turn_taking
from tankkeeper.gui.forms.standing_over import top_form
from tankkeeper.gui.pressed_keys import Pressed, give, is_key, keeps, pressed_by, the_app
from tankkeeper.gui.shortcuts import Command, shortcut

LEFT_OUT = "What was typed before the form stood was left out."


class KeysAhead(QObject):
    """Holds what is typed from the key that opens a form until the form has the keys.

    That key may be one that keeps a form, after which another one comes. Where no form comes of
    it, or not for longer than a person still means it, what was held is dropped, and `left_out` is
    told so. The key that ends the program is meant all the same, where nothing else was typed.
    """

    def __init__(self, left_out: Callable[[], None], parent: QObject) -> None:
        super().__init__(parent)
        self._left_out = left_out
        self._held: list[Pressed] = []
        self._is_holding = self._gives_back = False
        self._past: QWidget | None = None
        self._end = QTimer(self)
        self._end.setSingleShot(True)
        self._end.timeout.connect(lambda: self.drop())

    def hold(
        self, past: QWidget | None = None, *, gives_back: bool = False, lasts: bool = False
    ) -> None:
        """Keep all keys from now on; the form `past` gets none of them any more.

        What `lasts` is held until it is told whether a form comes; where none does, it goes to
        the page again if the key before it `gives_back`.
        """
        self._past, self._gives_back = past, gives_back
        if not self._is_holding:
            self._is_holding = True
            self._watch()
            the_app().focusChanged.connect(self._on_focus)
        if past is None and not lasts:
            self._end.start(round(1000 * turn_taking.LONGEST_WISH_S))
        else:
            # It is kept or refused, however long that takes: half a number would be left out else.
            self._end.stop()

    @contextmanager
    def making(self) -> Iterator[None]:
        """Look away while the form is made.

        No key comes in before that is done, but thousands of events of its widgets do, each of
        which would be looked at.
        """
        the_app().removeEventFilter(self)
        try:
            yield
        finally:
            if self._is_holding:
                self._watch()

    def hand_over(self) -> None:
        """Give what was held to the form that stands by now, as soon as it has the keys."""
        form = top_form()
        if self._is_holding and (form is None or form is self._past):
            if self._gives_back and form is None:
                self._go_back()
            else:
                self.drop()
        elif self._is_holding and not self._end.isActive():
            self._end.start(round(1000 * turn_taking.LONGEST_WISH_S))
        self._on_focus()

    def _go_back(self) -> None:
        """Let the page take what was held; one that waits once more holds what is behind it."""
        held, focus = self._let_go(), QApplication.focusWidget() or QApplication.activeWindow()
        if focus is not None:
            for one in held:
                self._gives(one, focus)
        elif held:
            self._left_out()

    def hand_on(self, past: QWidget) -> None:
        """Give what was held behind this form to the one after it, if anything was."""
        if self._past is past:
            self.hand_over()

    def go_on(self, form: QWidget) -> None:
        """Give what was held behind this form to what it asks by now."""
        if self._past is form:
            self._past = None
            # Only once it is told that the form before was kept.
            QTimer.singleShot(0, self, self._on_next)

    def _on_next(self) -> None:
        # Unless it was given already, and the form is being kept once more.
        if self._past is None:
            self.hand_over()

    def drop(self, *, tells: bool = True) -> None:
        """Keep no keys any more, and say so if any were pressed, unless that is told already."""
        held = self._let_go()
        ending = _ending() if held and all(_ends(one) for one in held) else None
        if ending is not None:
            ending.trigger()
        elif held and tells:
            self._left_out()

    def _on_focus(self) -> None:
        form, focus = top_form(), QApplication.focusWidget()
        if not self._is_holding or form is None or form is self._past:
            return
        if focus is None or focus.window() is not form:
            return
        held = self._let_go()
        while held:
            one = held.pop(0)
            ends = keeps(one)
            if self._gives(one, focus) and ends and held and not self._holds():
                # The form stays, with a question or a refusal: the rest is not meant for it.
                held.clear()
                self._left_out()

    def _gives(self, one: Pressed, focus: QWidget) -> bool:
        """Give a key to the form; tell whether it was not held once more."""
        if self._holds():
            # The key before it kept this form, and it is meant for the next.
            self._held.append(one)
            return False
        give(one, focus)
        return True

    def _holds(self) -> bool:
        return self._is_holding

    def _watch(self) -> None:
        the_app().installEventFilter(self)

    def _let_go(self) -> list[Pressed]:
        held, self._held = self._held, []
        self._past, self._gives_back = None, False
        self._end.stop()
        if self._is_holding:
            self._is_holding = False
            the_app().removeEventFilter(self)
            the_app().focusChanged.disconnect(self._on_focus)
        return held

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep each key, wherever it was meant to go."""
        if not is_key(event):
            return super().eventFilter(watched, event)
        assert isinstance(event, QKeyEvent)
        pressed = pressed_by(event)
        if pressed is not None:
            self._held.append(pressed)
        # So that no shortcut takes it either.
        event.accept()
        return True


def _ends(one: Pressed) -> bool:
    """Tell whether a key ends the program."""
    return any(QKeySequence(key) == one.sequence for key in shortcut(Command.QUIT).keys)


def _ending() -> QAction | None:
    """Return what ends the program from the window that has the keys."""
    window = QApplication.activeWindow()
    return None if window is None else window.findChild(QAction, Command.QUIT.value)


def is_form_open() -> bool:
    """Tell whether a form stands over the page."""
    return top_form() is not None
