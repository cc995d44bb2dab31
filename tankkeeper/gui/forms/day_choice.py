"""One of a few days; what is typed and names none of them is a day to be written beside it."""

from __future__ import annotations

from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.day_fields import DayField
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.forms.typed_signs import TypedSigns
from tankkeeper.reports.numbers import NBSP


class DayChoice(ChoiceField):
    """A choice whose last entry lets a day be typed; typing anything else goes there as well.

    The beginning of a choice goes to it. Once what is typed begins none, `beside`, the field of
    the other day, goes on with all of it: "last tuesday" is read there as in every field. What was
    typed is forgotten after a rest.
    """

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self._typed = TypedSigns()
        self._beside: DayField | None = None

    def lead_to(self, beside: DayField) -> None:
        """Let what names no choice be typed on in this field."""
        self._beside = beside

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the choice that begins like what is typed, else let it be typed as a day."""
        # The same letter again goes on to the next choice that begins with it.
        if self._beside is None or not self._typed.take(event) or self._typed.is_again:
            super().keyPressEvent(event)
            return
        typed = self._typed.text
        at = self._beginning(typed)
        if at is None:
            self._go_beside(typed)
        elif not self._beginning_is_here(typed):
            self.setCurrentIndex(at)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Begin anew with what is typed next."""
        self._typed.end()
        super().focusOutEvent(event)

    def _words(self, at: int) -> str:
        return self.itemText(at).replace(NBSP, " ").casefold()

    def _beginning(self, typed: str) -> int | None:
        fits = (at for at in range(self.count()) if self._words(at).startswith(typed.casefold()))
        return next(fits, None)

    def _beginning_is_here(self, typed: str) -> bool:
        return self._words(self.currentIndex()).startswith(typed.casefold()) and len(typed) > 1

    def _go_beside(self, typed: str) -> None:
        assert self._beside is not None
        self._typed.end()
        self.setCurrentIndex(self.count() - 1)
        self._beside.set_text(typed)
        self._beside.setFocus()
        self._beside.field.end(False)
