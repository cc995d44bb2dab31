"""A sheet of fields in groups, on which a thing is set down; it follows what is typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any, Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QGridLayout, QVBoxLayout, QWidget

from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.forms.many_field import ManyField
from tankkeeper.gui.forms.sheet_travel import (
    go_a_page_on,
    go_to_group,
    goes_on_from_view,
    show_field,
)
from tankkeeper.gui.forms.specs import (
    LISTS,
    Group,
    Kind,
    Spec,
    parse,
    sign_of,
    text_of,
    value_at,
    with_values,
)
from tankkeeper.gui.palette import Role
from tankkeeper.gui.typography import Space, metrics_for
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.labels import CaptionLabel, HeadingLabel
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.words import Words

LONGEST_TYPED: Final = 1_000_000
# What stands in fields by their paths: a text where it is typed, else what is chosen.
Draft = dict[str, object]
_CHOSEN = (Kind.CHOICE, Kind.FLAG)
_COLUMN_PX: Final = 230
_PAGES: Final = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}


class SpecField(QWidget):
    """One field with its name above and its note below; `changed` tells another value."""

    changed = Signal()

    def __init__(self, spec: Spec, words: Words, thing: Any, parent: QWidget) -> None:
        super().__init__(parent)
        self.spec = spec
        self._note = spec.note
        self._apart = () if spec.apart is None else spec.apart(thing)
        self._words = words
        self._values: list[object] = []
        self._as_shown: tuple[str | None, object] = (None, None)
        # What stood in it before anything was typed or chosen.
        self.shown: object = None
        self.choice: ChoiceField | None = None
        self.typed: QuantityField | None = None
        self.many: ManyField | None = None
        self._told: CaptionLabel | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(CaptionLabel(spec.label, parent=self))
        if spec.kind in _CHOSEN:
            self.choice = self._make_choice()
        elif spec.kind is Kind.MANY:
            self.many = self._make_many()
        else:
            self.typed = self._make_typed()
        inside = self.choice or self.typed or self.many
        assert inside is not None
        column.addWidget(inside)
        self._note_label: CaptionLabel | None = None
        if spec.note or spec.note_of is not None:
            self._note_label = CaptionLabel(spec.note, ink=Role.INK_3, parent=self)
            column.addWidget(self._note_label)
        column.addStretch(1)
        self._inside = column
        self.setFocusProxy(inside)
        self.changed.connect(self._forget_fault)

    def _make_choice(self) -> ChoiceField:
        choice = ChoiceField(self.spec.label, self)
        choice.setAccessibleDescription(self.spec.note)
        rows = () if self.spec.choices is None else self.spec.choices(self._words)
        for name, value in rows:
            choice.addItem(name)
            self._values.append(value)
        choice.currentIndexChanged.connect(self.changed)
        return choice

    def _make_many(self) -> ManyField:
        rows = () if self.spec.choices is None else self.spec.choices(self._words)
        rows = tuple(row for row in rows if row[1] not in self._apart)
        many = ManyField(self.spec.label, rows, self)
        many.changed.connect(self.changed)
        return many

    def _make_typed(self) -> QuantityField:
        field = QuantityField(
            self.spec.label, sign_of(self.spec, self._words), self._parse, self._word, parent=self
        )
        # What is too long is refused where it is kept; what was typed is never cut here.
        field.field.setMaxLength(LONGEST_TYPED)
        field.set_help(self.spec.note)
        field.field.textChanged.connect(self.changed)
        return field

    def _parse(self, text: str) -> object:
        if text == self._as_shown[0]:
            # What a file brought may be what nobody could type; it stands until it is changed.
            return self._as_shown[1]
        return parse(self.spec, text, self._words)

    def _word(self, fault: UserFault) -> str:
        return self.words_for(fault)

    def words_for(self, fault: TankkeeperError) -> str:
        """Return the sentence of a fault in the words of this field."""
        if isinstance(fault, UserFault) and "label" not in fault.values:
            fault.labelled(self.spec.named)
            if self.spec.unit:
                fault.values["unit"] = fault.values.get("unit") or self.spec.unit
        return fault_words(fault, self._words)

    @property
    def value(self) -> object:
        """The value typed or chosen, None where it is not known."""
        if self.choice is not None:
            place = self.choice.currentIndex()
            return self._values[place] if 0 <= place < len(self._values) else None
        if self.many is not None:
            return self.many.value
        assert self.typed is not None
        if self.spec.kind is Kind.TEXT:
            return self.typed.text
        if self.typed.text == self._as_shown[0]:
            # Shown in other units or rounded, it is still what it was.
            return self._as_shown[1]
        if (self.spec.kind in LISTS or self.spec.kind is Kind.RANGES) and self.typed.value is None:
            return ()
        return self.typed.value

    @property
    def least_width(self) -> int:
        """The width without which something that can be chosen would be cut."""
        return self.choice.widest() if self.choice is not None else 0

    @property
    def fault(self) -> str:
        """The sentence that stands at it, empty when there is none."""
        if self.typed is not None:
            return self.typed.fault
        return self._told.text() if self._told is not None else ""

    @property
    def is_sound(self) -> bool:
        """Whether what was typed can be read; where not, it is told."""
        return self.typed is None or self.typed.check()

    def show_value(self, value: object) -> None:
        """Show a value as if it had been typed or chosen."""
        if self.choice is not None:
            self.choice.setCurrentIndex(self._values.index(value) if value in self._values else 0)
        elif self.many is not None:
            self.many.show_value(value)
        elif self.typed is not None:
            text = text_of(self.spec, value, self._words)
            self._as_shown = (text, value)
            self.typed.set_text(text)

    def follow(self, thing: Any) -> None:
        """Let the note tell what follows from what stands in all fields."""
        if self.spec.note_of is None or self._note_label is None:
            return
        self._note = " ".join(filter(None, [self.spec.note, self.spec.note_of(thing, self._words)]))
        self._note_label.setText(self._note)
        if self.typed is not None:
            self.typed.set_help(self._note)

    def go_to(self) -> None:
        """Let the keys act in it; what is typed next takes the place of what stands there."""
        self.setFocus()
        if self.typed is not None:
            self.typed.field.selectAll()

    @property
    def standing(self) -> object:
        """What stands in it, be it a value or not: the text that is typed, or what is chosen."""
        return self.typed.text if self.typed is not None else self.value

    def stand(self, standing: object) -> None:
        """Let this stand in it as it was typed or chosen."""
        if self.typed is not None:
            self.typed.set_text(str(standing))
        elif self.many is not None:
            self.many.show_value(standing)
        elif self.choice is not None and standing in self._values:
            self.choice.setCurrentIndex(self._values.index(standing))

    def tell(self, sentence: str) -> None:
        """Tell what is wrong with it."""
        if self.typed is not None:
            self.typed.show_fault(sentence, stays=True)
        else:
            self._show_fault(sentence)

    def announce_fault(self) -> None:
        """Have a screen reader say what is wrong with it, which a field of text does by itself."""
        if self.typed is None:
            announce(self, self.fault)

    def _show_fault(self, sentence: str) -> None:
        """Mark a choice or a list of boxes, which know of no faults themselves."""
        if self._told is None:
            self._told = CaptionLabel(ink=Role.OVERDUE, parent=self)
            inside = self.choice or self.many
            assert inside is not None
            self._inside.insertWidget(self._inside.indexOf(inside) + 1, self._told)
        self._told.setText(sentence)
        self._told.setVisible(bool(sentence))
        if self.choice is not None:
            self.choice.set_fault(bool(sentence))
            self.choice.setAccessibleDescription(sentence or self._note)
        elif self.many is not None:
            self.many.setAccessibleDescription(sentence)

    def _forget_fault(self) -> None:
        if self._told is not None:
            self._show_fault("")


class SheetForm(QWidget):
    """The fields of one thing in their groups; `changed` tells that something else stands there.

    `thing` is what stands in the fields; where one cannot be read, its value is not known.
    """

    changed = Signal()

    def __init__(
        self,
        groups: Sequence[Group],
        words: Words,
        thing: Any,
        parts: Mapping[str, type[Any]] | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._parts = parts or {}
        self._base = thing
        self._is_filling = False
        self.fields: dict[str, SpecField] = {}
        self._grids: list[tuple[QWidget, QGridLayout, list[SpecField]]] = []
        self._columns = 0
        self._told_at: tuple[SpecField | None, str] = (None, "")
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.L, 0, Space.L, Space.L)
        column.setSpacing(Space.XS)
        for group in groups:
            column.addWidget(self._make_group(group, words))
        column.addStretch(1)
        self.show_thing(thing)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._on_focus)

    def _on_focus(self, _before: QWidget | None, now: QWidget | None) -> None:
        """Bring the field that gets the keys into view, from wherever they come."""
        while now is not None and not isinstance(now, SpecField):
            now = now.parentWidget()
        if now is not None and self.isAncestorOf(now):
            show_field(self, now)

    def _make_group(self, group: Group, words: Words) -> QWidget:
        box = QWidget(self)
        inside = QVBoxLayout(box)
        inside.setContentsMargins(0, Space.XS, 0, Space.XS)
        inside.setSpacing(Space.XXS)
        inside.addWidget(HeadingLabel(group.title, parent=box))
        if group.sentence:
            inside.addWidget(CaptionLabel(group.sentence, ink=Role.INK_2, parent=box))
        grid = QGridLayout()
        grid.setHorizontalSpacing(Space.M)
        grid.setVerticalSpacing(Space.S)
        inside.addLayout(grid)
        made = [SpecField(spec, words, self._base, box) for spec in group.specs]
        for field in made:
            self.fields[field.spec.path] = field
            field.changed.connect(self._on_changed)
            if field.typed is not None and field.spec.fills:
                field.typed.value_changed.connect(partial(self._fill, field.spec.fills))
            if field.choice is not None and field.spec.then:
                field.choice.activated.connect(partial(self._on_chosen, field))
        self._grids.append((box, grid, made))
        return box

    @property
    def thing(self) -> Any:
        """What stands in the fields; what is not asked of such a thing stays as it was."""
        values = {path: self._value_of(path, field) for path, field in self.fields.items()}
        return with_values(self._base, values, self._parts)

    def thing_without(self, fields: Sequence[SpecField]) -> Any:
        """Return what stands in the fields, but for these, which stay as they were."""
        values = {
            path: self._value_of(path, field)
            for path, field in self.fields.items()
            if field not in fields
        }
        return with_values(self._base, values, self._parts)

    def _value_of(self, path: str, field: SpecField) -> object:
        was, value = value_at(self._base, path), field.value
        if field.isHidden():
            return was
        # A number that was left alone stays what it is, though it is shown rounded.
        return was if _is_same(was, value) else value

    @property
    def base(self) -> Any:
        """What stood in them before anything was typed."""
        return self._base

    @property
    def is_changed(self) -> bool:
        """Whether something else was typed than stood there."""
        has_fault = any(one.typed is not None and one.fault for one in self.fields.values())
        return has_fault or self.thing != self._base

    def show_thing(self, thing: Any) -> None:
        """Show another thing, as it stands."""
        self._base = thing
        self._is_filling = True
        for path, field in self.fields.items():
            field.show_value(value_at(thing, path))
            field.shown = field.standing
        self._is_filling = False
        self._show_asked()

    def take_as_base(self, thing: Any) -> None:
        """Count from here on as changed what differs from this."""
        self._base = thing
        for field in self.fields.values():
            field.shown = field.standing
            if field.typed is not None:
                field.typed.field.forget_typing()

    def unsound(self) -> list[SpecField]:
        """Return the fields that cannot be read; all of them tell why."""
        return [one for one in self.fields.values() if not one.isHidden() and not one.is_sound]

    def draft(self) -> Draft:
        """Return what stands in the fields and was not there before, read or not."""
        return {
            path: standing
            for path, field in self.fields.items()
            if (standing := field.standing) != field.shown
        }

    def put(self, draft: Draft) -> None:
        """Let this stand in the fields again, as it was typed and chosen."""
        # What is chosen decides which of the others are asked.
        for path, standing in draft.items():
            if path in self.fields:
                self.fields[path].stand(standing)
        self._show_asked()
        self.unsound()

    def tell_at(self, fault: UserFault | None) -> None:
        """Tell at its field what does not fit the others, and let the keys act where they do.

        It goes once it fits, wherever that was mended.
        """
        field, sentence = self._told_at
        if fault is None and field is not None and field.typed is not None:
            if field.typed.fault == sentence:
                field.typed.show_fault("")
            self._told_at = (None, "")
        found = None if fault is None else self._at_place(str(fault.values.get("field", "")))
        if found is not None and found.typed is not None and fault is not None:
            self._told_at = (found, found.words_for(fault))
            found.typed.show_fault(self._told_at[1], stays=True)

    def refuse_at(
        self, fault: TankkeeperError, unsound: Sequence[SpecField] = ()
    ) -> tuple[int, list[TankkeeperError]]:
        """Tell each refusal at the field it is about, in its words, and go to the first of them.

        Returns how many fields tell one, and the refusals that are about none of them. Fields that
        are `unsound` tell theirs already.
        """
        faults = [fault, *(fault.also if isinstance(fault, UserFault) else ())]
        told = {one.spec.path: one for one in unsound}
        apart: list[TankkeeperError] = []
        for one in faults:
            found = self._about(one)
            if found is None:
                apart.append(one)
            elif found.spec.path not in told:
                told[found.spec.path] = found
                found.tell(found.words_for(one))
        first = next((one for path, one in self.fields.items() if path in told), None)
        if first is not None:
            first.go_to()
            first.announce_fault()
        return len(told), apart

    def words_for(self, fault: TankkeeperError, words: Words) -> str:
        """Return the sentence of a fault, in the words of the field it is about if there is one."""
        found = self._about(fault)
        return fault_words(fault, words) if found is None else found.words_for(fault)

    def _about(self, fault: TankkeeperError) -> SpecField | None:
        field, place = (str(fault.values.get(name, "")) for name in ("field", "place"))
        return self._at_place(place) or self._at_place(field)

    def _at_place(self, place: str) -> SpecField | None:
        """Return the field for a place such as "animals[1].lost.count", or for one around it.

        What stands within a field that is shown as one, such as the litres of an amount, is told
        there.
        """
        asked = [one for one in self.fields.values() if not one.isHidden()]
        steps = place.split(".")
        # The first step of a longer place names the thing itself.
        for end in range(len(steps), 1 if len(steps) > 1 else 0, -1):
            around = "." + ".".join(steps[:end])
            fitting = [
                (len(key), one)
                for one in asked
                for key in (one.spec.path, one.spec.path.rpartition(".")[2], *one.spec.keys)
                if around.endswith(f".{key}")
            ]
            if fitting:
                return max(fitting, key=lambda each: each[0])[1]
        return None

    @property
    def _groups(self) -> list[tuple[QWidget, list[SpecField]]]:
        return [(box, made) for box, _grid, made in self._grids]

    def go_to_group(self, by: int) -> None:
        """Let the keys act in the next group of fields, or in the one before."""
        go_to_group(self, self._groups, by)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the keys along where a key scrolls, so that Tab goes on from what is seen."""
        by = _PAGES.get(Qt.Key(event.key()))
        if by is None or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
            return
        go_a_page_on(self, self._groups, by)

    def focusNextPrevChild(self, next_: bool) -> bool:
        """Go on from what is seen where the field with the keys was scrolled away."""
        is_moved = goes_on_from_view(self, self._groups, next_)
        return is_moved or super().focusNextPrevChild(next_)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay out as many fields side by side as there is room for."""
        super().resizeEvent(event)
        self._lay_out()

    def _fill(self, paths: Sequence[str], value: object) -> None:
        """Put what was typed for several fields into each of them."""
        if self._is_filling or value is None:
            return
        self._is_filling = True
        for path in paths:
            self.fields[path].show_value(value)
        self._is_filling = False

    def _empty_what_fills(self) -> None:
        """Leave no value for several fields where these differ by now."""
        self._is_filling = True
        for field in self.fields.values():
            values = [self.fields[path].value for path in field.spec.fills]
            if field.typed is not None and len(set(values)) > 1 and field.typed.text:
                field.show_value(None)
        self._is_filling = False

    def _on_changed(self) -> None:
        if not self._is_filling:
            self._empty_what_fills()
            self._show_asked()
            self.changed.emit()

    def _on_chosen(self, field: SpecField, _place: int) -> None:
        """Show what goes with a choice: what stood there with the first one, else its usual."""
        is_first = field.value == value_at(self._base, field.spec.path)
        for path, usual in field.spec.then:
            self.fields[path].show_value(value_at(self._base, path) if is_first else usual)

    def _show_asked(self) -> None:
        """Show only the fields that this thing is asked for."""
        thing = self.thing
        is_moved = False
        for field in self.fields.values():
            field.follow(thing)
            asked = field.spec.shown
            hidden = asked is not None and not asked(thing)
            if field.isHidden() != hidden:
                field.setHidden(hidden)
                is_moved = True
        if is_moved or not self._columns:
            self._columns = 0
            self._lay_out()

    def _lay_out(self) -> None:
        room = self.width() - 2 * Space.L + Space.M
        columns = max(1, room // (metrics_for(self.font()).px(_COLUMN_PX) + Space.M))
        if columns == self._columns:
            return
        self._columns = columns
        wide = (room - columns * Space.M) // columns
        for _box, grid, made in self._grids:
            for field in made:
                grid.removeWidget(field)
            shown = [field for field in made if not field.isHidden()]
            place = 0
            for field in shown:
                if field.spec.is_wide:
                    place = -(-place // columns) * columns
                    grid.addWidget(field, place // columns, 0, 1, columns)
                    place += columns
                else:
                    span = 2 if columns > 1 and field.least_width > wide else 1
                    # What takes two places stands in one line.
                    place += columns - place % columns if place % columns + span > columns else 0
                    grid.addWidget(field, place // columns, place % columns, 1, span)
                    place += span
            for number in range(12):
                grid.setColumnStretch(number, 1 if number < columns else 0)


def _is_same(was: object, value: object) -> bool:
    if isinstance(was, float) and isinstance(value, float):
        return abs(was - value) <= 2e-6 * max(1.0, abs(was))
    return was == value
