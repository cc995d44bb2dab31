"""What a form does to the window under it: nothing there can be used, and its keys are the form's.

A window that the desktop's library blocks drops its keys, and it has them until the desktop gives
them to the form. Here they wait for the form instead.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QKeyEvent, QWindow
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import isValid

from tankkeeper.gui.pressed_keys import Pressed, give, is_key, pressed_by, the_app

_KIND = QEvent.Type
# What a hand or the desktop does at a window. That it is shown, sized and painted goes on.
_DONE_AT_IT = frozenset(
    (
        _KIND.MouseButtonPress,
        _KIND.MouseButtonRelease,
        _KIND.MouseButtonDblClick,
        _KIND.MouseMove,
        _KIND.Wheel,
        _KIND.Enter,
        _KIND.TouchBegin,
        _KIND.TouchUpdate,
        _KIND.TouchEnd,
        _KIND.TabletPress,
        _KIND.TabletMove,
        _KIND.TabletRelease,
        _KIND.NativeGesture,
        _KIND.ContextMenu,
        _KIND.DragEnter,
        _KIND.DragMove,
        _KIND.Drop,
    )
)
_open: list[QWidget] = []


def top_form() -> QWidget | None:
    """Return the form, or the dialog of the system, that stands over all others; None if none."""
    modal = QApplication.activeModalWidget()
    if modal is not None:
        return modal
    return next((one for one in reversed(_open) if isValid(one) and one.isVisible()), None)


class StandingOver(QObject):
    """Keeps all that is done at the window under a form from it while the form stands."""

    def __init__(self, form: QWidget) -> None:
        super().__init__(form)
        self._form = form
        self._under: QWindow | None = None
        self._held: list[Pressed] = []

    def begin(self) -> None:
        """Take what is done at the window under the form, from now on."""
        under = self._form.parentWidget()
        # What went with its window, without being closed before.
        _open[:] = [one for one in _open if isValid(one) and one is not self._form]
        _open.append(self._form)
        handle = None if under is None else under.window().windowHandle()
        if handle is not None and self._under is None:
            self._under = handle
            handle.installEventFilter(self)
            the_app().focusChanged.connect(self._on_focus)

    def end(self) -> None:
        """Leave the window under the form to whoever is there."""
        self._held.clear()
        if self._form in _open:
            _open.remove(self._form)
        if self._under is not None:
            the_app().focusChanged.disconnect(self._on_focus)
            self._under.removeEventFilter(self)
            self._under = None

    def _on_focus(self) -> None:
        """Give the form what was pressed before it had the keys."""
        focus = QApplication.focusWidget()
        if focus is None or focus.window() is not self._form:
            return
        held, self._held = self._held, []
        while held and top_form() is self._form:
            give(held.pop(0), focus)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Hold each key for the form, and let nothing else be done either."""
        kind = event.type()
        if is_key(event):
            assert isinstance(event, QKeyEvent)
            pressed = pressed_by(event)
            if pressed is not None:
                self._held.append(pressed)
                self._on_focus()
            # So that no shortcut takes it either.
            event.accept()
            return True
        if kind in (_KIND.FocusIn, _KIND.MouseButtonPress):
            top = top_form()
            if top is not None:
                top.raise_()
                top.activateWindow()
        if kind in _DONE_AT_IT:
            event.ignore()
            return True
        return super().eventFilter(watched, event)
