"""The measures of the first tank: asked for its shape, and turned into other units as they are."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from tankkeeper.core.errors import UserFault
from tankkeeper.core.volume import Shape, ShapeKind
from tankkeeper.gui.models.first_answers import (
    EXTRAS,
    SHAPES,
    Measure,
    UnitChoice,
    reader_of,
    tell_in_units,
    text_in,
    unit_of,
)
from tankkeeper.gui.typography import Space, metrics_for
from tankkeeper.gui.widgets.labelled import Labelled
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.faults import fault_words

_LARGE_TYPE = 1.2


class FirstMeasures(QWidget):
    """Asks the sizes of one shape; `changed` tells that a size is another, `lit` which is typed.

    `left` tells that the keys went from one: what does not fit the others is told by then.

    What was typed stays for the same size of another shape. In other units it stands as the same
    size, and back in the units it was typed in as it was typed.
    """

    changed = Signal()
    typed = Signal()
    lit = Signal()
    left = Signal()

    def __init__(self, decimal_sign: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._decimal_sign = decimal_sign
        self._units: UnitChoice | None = None
        self._kind = ShapeKind.BOX
        self._asked: list[tuple[Measure, Labelled, QuantityField]] = []
        self._misfit: QuantityField | None = None
        self._unread: frozenset[str] = frozenset()
        # By field and unit: what was typed, and the size that it says.
        self._written: dict[tuple[str, str], tuple[str, object]] = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(Space.S)

    @property
    def fields(self) -> list[QuantityField]:
        """The fields, in the order of the keys."""
        return [field for _, _, field in self._asked]

    @property
    def names(self) -> list[str]:
        """The sizes that are asked, as `Shape` calls them, in the order of the keys."""
        return [measure.field for measure, _, _ in self._asked]

    @property
    def lit_field(self) -> str:
        """The size that is being typed, as `Shape` calls it; empty where none is."""
        return next((measure.field for measure, one, _ in self._asked if one.is_lit), "")

    def measure(self, name: str) -> QuantityField:
        """Return the field of a size."""
        return next(field for measure, _, field in self._asked if measure.field == name)

    def shape(self) -> Shape:
        """Return the shape as far as it is told."""
        return Shape(self._kind, **self.values())  # type: ignore[arg-type]

    def values(self) -> dict[str, object]:
        """Return the sizes that are told, by name and in their stored units."""
        return {
            measure.field: field.value
            for measure, _, field in self._asked
            if field.value is not None
        }

    @property
    def unread(self) -> frozenset[str]:
        """The sizes in whose fields something stands that gives none, as `Shape` calls them."""
        return frozenset(
            measure.field
            for measure, _, field in self._asked
            if field.text.strip() and field.value is None
        )

    def first_wrong(self) -> QuantityField | None:
        """Return the first field that cannot be read, None where all can; all of them tell why."""
        self._misfit = None
        wrong = [field for field in self.fields if not field.check()]
        return wrong[0] if wrong else None

    def refuse(self, fault: UserFault) -> QuantityField | None:
        """Say at its field what does not fit the others; return the field, None if it has none."""
        name = str(fault.values.get("field", ""))
        for measure, _, field in self._asked:
            if measure.field == name:
                field.show_fault(fault_words(self.labelled(fault)), stays=True)
                self._misfit = field
                return field
        return None

    def labelled(self, fault: UserFault) -> UserFault:
        """Call a size by the name that stands above its field."""
        asked = [one for one, _, _ in self._asked if one.field == fault.values.get("field")]
        if not asked:
            return fault
        if self._units is not None:
            tell_in_units(fault, asked[0], self._units)
        return fault.labelled(asked[0].words)

    def tell_again(self, fault: UserFault | None) -> None:
        """Say anew what was told not to fit: another size may have mended it."""
        field, self._misfit = self._misfit, None
        if field is None or field not in self.fields:
            return
        if fault is None or self.refuse(fault) is not field:
            field.check()

    def ask(self, kind: ShapeKind, units: UnitChoice) -> None:
        """Ask the sizes of a shape in these units."""
        self._kind = kind
        self._ask(SHAPES[kind][1], units)

    def ask_extras(self, units: UnitChoice) -> None:
        """Ask what stands in the water and beside it, which may wait."""
        self._ask(EXTRAS, units)

    def _ask(self, measures: Sequence[Measure], units: UnitChoice) -> None:
        before = self._take_away()
        self._units = units
        is_large = metrics_for(self.font()).scale > _LARGE_TYPE
        columns = 2 if is_large else 3 if len(measures) > 4 else 4
        for column in range(self._grid.columnCount()):
            self._grid.setColumnStretch(column, 0)
        for number, measure in enumerate(measures):
            self._grid.setColumnStretch(number % columns, 1)
            text = self._text_for(measure, units, before.get(measure.field))
            field = QuantityField(
                measure.words, unit_of(measure, units), reader_of(measure, units), fault_words, text
            )
            one = Labelled(measure.words, field, self)
            self._grid.addWidget(
                one, number // columns, number % columns, Qt.AlignmentFlag.AlignTop
            )
            one.show()
            field.value_changed.connect(self.changed)
            field.field.textChanged.connect(self._on_typed)
            field.field.left.connect(self.left)
            one.lit_changed.connect(self.lit)
            self._asked.append((measure, one, field))

    def _on_typed(self) -> None:
        self.typed.emit()
        was, self._unread = self._unread, self.unread
        if self._unread != was:
            # No value changes where one that cannot be read comes or goes.
            self.changed.emit()

    def _take_away(self) -> dict[str, tuple[str, object]]:
        """Take the fields away, and return what stood in each with the size that it says."""
        found: dict[str, tuple[str, object]] = {}
        for measure, one, field in self._asked:
            found[measure.field] = (field.text, field.value)
            if self._units is not None:
                key = (measure.field, unit_of(measure, self._units))
                self._written[key] = (field.text, field.value)
            self._grid.removeWidget(one)
            one.hide()
            one.deleteLater()
        self._asked = []
        return found

    def _text_for(
        self, measure: Measure, units: UnitChoice, before: tuple[str, object] | None
    ) -> str:
        unit = unit_of(measure, units)
        text, value = before or ("", None)
        if not isinstance(value, float):
            # Nothing, or what cannot be read: it stays as it was typed.
            return text
        was_typed, size = self._written.get((measure.field, unit), ("", None))
        if _is_same(size, value):
            return was_typed
        return text_in(value, measure, units, self._decimal_sign)


def _is_same(size: object, value: float) -> bool:
    """Tell whether two sizes are one, but for what rounding in other units took."""
    return isinstance(size, float) and abs(size - value) <= 1e-3 * value
