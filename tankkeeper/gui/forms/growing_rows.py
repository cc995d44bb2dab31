"""Rows of fields for a list: one more stands as soon as the last one is filled."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from tankkeeper.gui.forms.spec_field import SpecField
from tankkeeper.gui.forms.specs import Spec


class GrowingRows:
    """The rows of one list in their box; `made` are all fields of the box and grow with them."""

    def __init__(
        self, specs: Callable[[int], tuple[Spec, ...]], box: QWidget, made: list[SpecField]
    ) -> None:
        self._specs, self._box, self._made = specs, box, made
        self._rows: list[Sequence[SpecField]] = []
        self._empty: list[object] = []

    @property
    def is_full(self) -> bool:
        """Whether no row is left empty at the end."""
        return not self._rows or [one.standing for one in self._rows[-1]] != self._empty

    def add(
        self, make: Callable[[Spec, QWidget], SpecField], blank: Callable[[str], object]
    ) -> Sequence[SpecField]:
        """Make one more row, to which Tab comes after the one before; `blank` empties a field."""
        row = [make(spec, self._box) for spec in self._specs(len(self._rows))]
        if self._rows:
            stops = [_stop(one) for one in (self._rows[-1][-1], *row)]
            for before, widget in pairwise(stops):
                QWidget.setTabOrder(before, widget)
        for one in row:
            one.show_value(blank(one.spec.path))
            one.show()
        self._empty = [one.standing for one in row]
        self._rows.append(row)
        self._made += row
        return row


def _stop(field: SpecField) -> QWidget:
    """Return what of a field gets the keys."""
    inside = field.findChildren(QWidget)
    return next(one for one in inside if one.focusPolicy() & Qt.FocusPolicy.TabFocus)
