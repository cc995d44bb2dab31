"""The fields of what is written down: a readings table, and the fields that each kind asks for."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import StrEnum
from typing import Final

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household, Tank
from tankkeeper.core.parameters import PARAMETERS, ReadingValue, parse_reading, to_stored
from tankkeeper.core.units import Dimension, in_unit, parse_quantity
from tankkeeper.gui.typography import Space, metrics_for
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.numbers import unit_sign
from tankkeeper.reports.words import Words
from tankkeeper.services.litres_limits import LitresLimits

_COLUMNS: Final = 2


class What(StrEnum):
    """What can be written down outside the round; the values stand in the form."""

    TOP_OFF = "Top-off"
    WATER_CHANGE = "Water change"
    READINGS = "Readings"
    DOSE = "Dose"
    RESERVOIR = "Reservoir"
    FEEDING = "Feeding"
    NOTE = "Note"


def kinds_for(household: Household, tank: Tank | None) -> list[What]:
    """Return what can be written down of a tank, of any where it is None.

    A reservoir only where the tank has one.
    """
    if not household.tanks:
        return [What.NOTE]
    asked = household.tanks if tank is None else (tank,)
    has_reservoir = any(one.has_automatic_top_off for one in asked)
    return [what for what in What if what is not What.RESERVOIR or has_reservoir]


def reader(name: str, unit: str) -> Callable[[str], object]:
    """Return what reads one parameter from a text; a bare number is in the shown unit."""

    def read(text: str) -> object:
        return parse_reading(name, text, unit or None)

    return read


def litres_in(text: str, unit: str, limits: LitresLimits) -> float:
    """Return the litres in a text; what no volume can be is refused by what this entry can be."""
    try:
        return to_stored(parse_quantity(text, Dimension.VOLUME, unit))
    except UserFault as fault:
        if fault.code == "out_of_range":
            typed_in = str(fault.values.get("unit") or unit)
            ends = (in_unit(limits.low, typed_in), in_unit(limits.high, typed_in))
            fault.values |= {"field": "litres", "low": ends[0], "high": ends[1]}
            fault.values["hint"] = limits.why
        raise


class ReadingsField(QWidget):
    """A field for every parameter, two beside each other; what is left empty was not measured."""

    typed = Signal()

    def __init__(self, words: Words, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = words
        self.fields: dict[str, QuantityField] = {}
        self._grid = QGridLayout(self)
        self._build()

    def _build(self) -> None:
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(Space.S)
        self._grid.setVerticalSpacing(Space.XS)
        rows = -(-len(PARAMETERS) // _COLUMNS)
        for at, (name, parameter) in enumerate(PARAMETERS.items()):
            column, row = divmod(at, rows)
            unit = self._words.unit_of(parameter)
            field = QuantityField(
                parameter.display, unit_sign(unit), reader(name, unit), self._word, parent=self
            )
            field.field.textChanged.connect(self.typed)
            label = QLabel(parameter.display, self)
            label.setFixedHeight(metrics_for(self.font()).button_height)
            top = Qt.AlignmentFlag.AlignTop
            self._grid.addWidget(label, row, 2 * column, top)
            self._grid.addWidget(field, row, 2 * column + 1, top)
            self._grid.setColumnStretch(2 * column + 1, 1)
            self.fields[name] = field
        self.setFocusProxy(next(iter(self.fields.values())))

    def _word(self, fault: UserFault) -> str:
        return fault_words(fault, self._words)

    @property
    def values(self) -> tuple[ReadingValue, ...]:
        """What was typed and could be read."""
        found = (field.value for field in self.fields.values())
        return tuple(one for one in found if isinstance(one, ReadingValue))

    def event(self, event: QEvent) -> bool:
        """Give each field the height of its sentence, and the table that of its fields."""
        is_done = super().event(event)
        if event.type() in (QEvent.Type.LayoutRequest, QEvent.Type.Resize, QEvent.Type.Show):
            for field in self.fields.values():
                field.setMinimumHeight(max(0, field.heightForWidth(field.width())))
            self.setMinimumHeight(self._grid.totalMinimumSize().height())
        return is_done


def first_unsound(fields: Iterable[QuantityField]) -> QuantityField | None:
    """Show what is wrong in each field, and return the first in which something is."""
    unsound = [field for field in fields if not field.check()]
    return unsound[0] if unsound else None
