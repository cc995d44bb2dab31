"""The one form that stands over a page of work, and what gets the keys once it is closed."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.key_turns import KeyTurns

if TYPE_CHECKING:
    from tankkeeper.gui.forms.form import Form
    from tankkeeper.gui.work_page import WorkPage


class FormOverPage(QObject):
    """Opens a form and forgets it once it is closed; `stands` tells a form that was opened.

    `page` tells which page gets the keys back. `form` is None while none stands.
    """

    stands = Signal(object)

    def __init__(self, keys: KeyTurns, page: Callable[[], WorkPage], parent: QObject) -> None:
        super().__init__(parent)
        self._keys = keys
        self._page = page
        self.form: Form | None = None
        # What gets the keys once the form is closed, None for the page.
        self._returns_to: QWidget | None = None
        # What follows once it is closed, by whether what it asked for was kept.
        self._closed: Callable[[bool], None] | None = None

    def show(
        self,
        form: Form,
        *,
        returns_to: QWidget | None = None,
        closed: Callable[[bool], None] | None = None,
    ) -> None:
        """Open a form; the keys go back to the page, or to this.

        `closed` is called with whether it was kept, before the keys go there: it may open another.
        """
        self.form = form
        self._returns_to = returns_to
        self._closed = closed
        form.finished.connect(self._on_finished)
        form.open()
        self.stands.emit(form)

    def close(self) -> None:
        """Close the form, because what it asked for was written."""
        if self.form is not None:
            self.form.accept()

    def _on_finished(self, result: int) -> None:
        form, self.form = self.form, None
        closed, self._closed = self._closed, None
        if form is not None:
            form.deleteLater()
        if closed is not None:
            closed(bool(result))
        if self._returns_to is not None:
            self._returns_to.setFocus()
        else:
            self._page().take_keys()
        if form is not None:
            self._keys.hand_on(form)
