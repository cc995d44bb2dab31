"""The field that has the keys in a sheet, kept in view while the room around it changes."""

from __future__ import annotations

from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.gui.forms.sheet_travel import area_of, show_field
from tankkeeper.gui.forms.spec_field import SpecField


class FieldInView:
    """Brings a field of the sheet into view; one that a person scrolled away stays there."""

    def __init__(self, sheet: QWidget) -> None:
        self._sheet = sheet
        # The field with the keys, and how far the sheet was scrolled to show it.
        self._shown_at: tuple[QWidget | None, int] = (None, 0)

    def follow(self, now: QWidget | None) -> None:
        """Bring the field that gets the keys into view, from wherever they come."""
        while now is not None and not isinstance(now, SpecField):
            now = now.parentWidget()
        if now is not None and self._sheet.isAncestorOf(now):
            self._show(now)

    def show_again(self) -> None:
        """Show the field with the keys where it stands by now, unless it was scrolled away."""
        (field, before), now = self._shown_at, QApplication.focusWidget()
        area = area_of(self._sheet)
        if field is None or area is None or now is None or not field.isAncestorOf(now):
            return
        if area.verticalScrollBar().value() == before:
            self._show(field)

    def _show(self, field: QWidget) -> None:
        show_field(self._sheet, field)
        area = area_of(self._sheet)
        self._shown_at = (field, 0 if area is None else area.verticalScrollBar().value())
