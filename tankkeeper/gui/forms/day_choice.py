"""One of a few days; what is typed and names none of them is a day to be written beside it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.day_fields import DayField
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.reports.numbers import NBSP

_ACTING = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)


# Judgement, no source: who rests longer between two letters begins anew.
REST_MS = 2000


def is_typed(event: QKeyEvent) -> bool:
    """Tell whether a key types a sign, and is not held with one that makes a command of it."""
    sign = event.text()
    return bool(sign) and sign.isprintable() and not event.modifiers() & _ACTING


class DayChoice(ChoiceField):
    """A choice whose last entry lets a day be typed; typing anything else goes there as well.

    The beginning of a choice goes to it. Once what is typed begins none, `beside`, the field of
    the other day, goes on with all of it: "last tuesday" is read there as in every field. What was
    typed is forgotten after a rest.
    """

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self._typed = ""
        # When its last letter was typed, by the clock of the events.
        self._typed_at = 0
        self._beside: DayField | None = None

    def lead_to(self, beside: DayField) -> None:
        """Let what names no choice be typed on in this field."""
        self._beside = beside

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the choice that begins like what is typed, else let it be typed as a day."""
        if event.timestamp() - self._typed_at > REST_MS:
            self._typed = ""
        self._typed_at = event.timestamp()
        sign = event.text()
        # A space alone opens the choices.
        if self._beside is None or not is_typed(event) or not (self._typed + sign).strip():
            self._typed = ""
            super().keyPressEvent(event)
            return
        typed = self._typed + sign
        if self._typed and set(typed.casefold()) == {sign.casefold()}:
            # The same letter again goes on to the next choice that begins with it.
            super().keyPressEvent(event)
            return
        self._typed = typed
        at = self._beginning(typed)
        if at is None:
            self._go_beside(typed)
        elif not self._beginning_is_here(typed):
            self.setCurrentIndex(at)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Begin anew with what is typed next."""
        self._typed = ""
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
        self._typed = ""
        self.setCurrentIndex(self.count() - 1)
        self._beside.set_text(typed)
        self._beside.setFocus()
        self._beside.field.end(False)
