"""A sheet of fields in groups, on which a thing is set down; it follows what is typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QGridLayout, QVBoxLayout, QWidget

from tankkeeper.gui.forms.field_in_view import FieldInView
from tankkeeper.gui.forms.growing_rows import GrowingRows
from tankkeeper.gui.forms.sheet_columns import SheetColumns
from tankkeeper.gui.forms.sheet_faults import SheetFaults
from tankkeeper.gui.forms.sheet_travel import (
    PAGES,
    go_a_page_on,
    go_to_group,
    goes_on_from_view,
)
from tankkeeper.gui.forms.spec_field import SpecField
from tankkeeper.gui.forms.specs import (
    Group,
    Spec,
    blank_at,
    value_at,
    with_values,
)
from tankkeeper.gui.palette import Role
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.labels import CaptionLabel, HeadingLabel
from tankkeeper.reports.words import Words

# What stands in fields by their paths: a text where it is typed, else what is chosen.
Draft = dict[str, object]


class SheetForm(QWidget):
    """The fields of one thing in their groups; `changed` tells that something else stands there.

    `thing` is what stands in the fields; where one cannot be read, its value is not known.
    `faults` tells at the fields what cannot be kept.
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
        self.faults = SheetFaults(self.fields)
        self._columns = SheetColumns(self)
        self._in_view = FieldInView(self)
        self._words = words
        self._growing: list[GrowingRows] = []
        # What a person chose themselves, and what is usual for what stands in the other fields.
        self._chosen: set[str] = set()
        self._usual: dict[str, object] = {}
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
        self._in_view.follow(now)

    def event(self, event: QEvent) -> bool:
        """Watch what scrolls the sheet, and keep the field with the keys in view."""
        is_done = super().event(event)
        kind, parent = event.type(), self.parentWidget()
        if kind == QEvent.Type.ParentChange and parent is not None:
            parent.installEventFilter(self)
        elif kind in (QEvent.Type.LayoutRequest, QEvent.Type.Resize):
            self._in_view.show_again()
        return is_done

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep the field with the keys in view where the room around it gets less."""
        if event.type() == QEvent.Type.Resize:
            self._in_view.show_again()
        return super().eventFilter(watched, event)

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
        made = [self._make_field(spec, box) for spec in group.specs]
        self._columns.add_group(box, grid, made)
        if group.row is not None:
            self._growing.append(GrowingRows(group.row, box, made))
        return box

    def _make_field(self, spec: Spec, box: QWidget) -> SpecField:
        field = SpecField(spec, self._words, self._base, box)
        self.fields[spec.path] = field
        field.changed.connect(self._on_changed)
        if field.typed is not None and spec.fills:
            field.typed.value_changed.connect(partial(self._fill, spec.fills))
        if field.choice is not None and spec.then:
            field.choice.activated.connect(partial(self._on_chosen, field))
        if field.choice is not None and spec.usual is not None:
            field.choice.activated.connect(partial(self._on_own_choice, spec.path))
        return field

    def _grow(self) -> None:
        """Let each list end with a row that is empty."""
        was_filling, self._is_filling = self._is_filling, True
        for rows in self._growing:
            while rows.is_full:
                for field in rows.add(self._make_field, partial(blank_at, self._parts)):
                    self._show_in(field)
                self._columns.forget()
        self._is_filling = was_filling

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
        fields = self.fields.values()
        has_fault = any(one.typed is not None and one.fault for one in fields)
        is_unread = any(one.is_unread and not one.isHidden() for one in fields)
        return has_fault or is_unread or self.thing != self._base

    def show_thing(self, thing: Any) -> None:
        """Show another thing, as it stands."""
        self._base = thing
        self._is_filling = True
        self._chosen.clear()
        for field in self.fields.values():
            self._show_in(field)
            if field.spec.usual is not None:
                self._usual[field.spec.path] = field.spec.usual(thing)
        self._grow()
        self._is_filling = False
        self._show_asked()

    def follow(self, thing: Any, words: Words) -> None:
        """Show what a thing is by now in every field that was left alone, and offer anew.

        What was typed or chosen stays, and a list in which something was, as a whole.
        """
        touched = self._touched()
        is_filling, self._is_filling = self._is_filling, True
        if words.household is not self._words.household and words.units == self._words.units:
            self._words = words
            for field in self.fields.values():
                before = field.standing
                field.offer_again(words)
                if field.standing != before:
                    # What was chosen can be chosen no more.
                    touched.discard(field.spec.path)
                    field.shown = field.standing
        # What was left alone may have been chosen anew only because it is offered again.
        is_other = thing != self._base
        self._base = thing
        for path, field in self.fields.items():
            if path in touched:
                field.take_as_shown(self._shown_at_path(path))
            elif is_other or (field.typed is None and field.value != self._shown_at_path(path)):
                self._show_in(field)
        self._grow()
        self._is_filling = is_filling
        self._show_asked()

    def _touched(self) -> set[str]:
        """Return the paths of what was typed or chosen; a list counts as a whole."""
        paths = {path for path, field in self.fields.items() if field.standing != field.shown}
        lists = {path.partition(".")[0] for path in paths if self._is_of_list(path)}
        return paths | {
            path
            for path in self.fields
            if self._is_of_list(path) and path.partition(".")[0] in lists
        }

    def _is_of_list(self, path: str) -> bool:
        head, _, rest = path.partition(".")
        return head in self._parts and rest.partition(".")[0].isdigit()

    def _shown_at_path(self, path: str) -> object:
        value = value_at(self._base, path)
        return blank_at(self._parts, path) if value is None else value

    def _show_in(self, field: SpecField) -> None:
        field.show_value(self._shown_at_path(field.spec.path))
        field.shown = field.standing

    def take_as_base(self, thing: Any) -> None:
        """Count from here on as changed what differs from this."""
        self._base = thing
        for field in self.fields.values():
            field.shown = field.standing
            if field.typed is not None:
                field.typed.field.forget_typing()

    def draft(self) -> Draft:
        """Return what stands in the fields and was not there before, read or not."""
        return {
            path: standing
            for path, field in self.fields.items()
            if (standing := field.standing) != field.shown or path in self._chosen
        }

    def put(self, draft: Draft) -> None:
        """Let this stand in the fields again, as it was typed and chosen."""
        self._chosen |= {path for path in draft if path in self._usual}
        # What is chosen decides which of the others are asked.
        for path, standing in draft.items():
            if path in self.fields:
                self.fields[path].stand(standing)
        self._show_asked()
        self.faults.unsound()

    def go_to_first(self) -> None:
        """Let the keys act in the first field.

        What was typed and not kept yet goes on; what is kept is typed over, as after Tab.
        """
        goes_on, reasons = self.is_changed, Qt.FocusReason
        first = next(iter(self.fields.values()))
        first.setFocus(reasons.OtherFocusReason if goes_on else reasons.TabFocusReason)
        if not goes_on:
            # Qt may have given it the keys already, when the list that had them went.
            first.go_to()

    def go_to_group(self, by: int) -> bool:
        """Let the keys act in the next group of fields, or the one before; tell if there is one."""
        return go_to_group(self, self._columns.groups, by)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the keys along where a key scrolls, so that Tab goes on from what is seen."""
        by = PAGES.get(Qt.Key(event.key()))
        if by is None or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
            return
        go_a_page_on(self, self._columns.groups, by)

    def focusNextPrevChild(self, next_: bool) -> bool:
        """Go on from what is seen where the field with the keys was scrolled away."""
        is_moved = goes_on_from_view(self, self._columns.groups, next_)
        return is_moved or super().focusNextPrevChild(next_)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay out as many fields side by side as there is room for."""
        super().resizeEvent(event)
        self._columns.lay_out()

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
            if field.typed is None or field.typed.field.hasFocus():
                # What is being typed stays, also where it is none yet.
                continue
            if len(set(values)) > 1 and field.typed.text:
                field.show_value(None)
        self._is_filling = False

    def _on_changed(self) -> None:
        if not self._is_filling:
            self._empty_what_fills()
            self._grow()
            self._choose_usual()
            self._show_asked()
            self.changed.emit()

    def _on_own_choice(self, path: str, _place: int) -> None:
        """Choose nothing else there of itself from now on."""
        self._chosen.add(path)

    def _on_chosen(self, field: SpecField, _place: int) -> None:
        """Show what goes with a choice: what stood there with the first one, else its usual."""
        is_first = field.value == value_at(self._base, field.spec.path)
        for path, usual in field.spec.then:
            self.fields[path].show_value(value_at(self._base, path) if is_first else usual)

    def _choose_usual(self) -> None:
        """Choose what is usual for what stands in the other fields now, unless it was chosen."""
        thing, self._is_filling = self.thing, True
        for path, before in self._usual.items():
            spec = self.fields[path].spec
            assert spec.usual is not None
            self._usual[path] = usual = spec.usual(thing)
            if path not in self._chosen and usual != before:
                self.fields[path].show_value(usual)
        self._is_filling = False

    def _show_asked(self) -> None:
        """Show only the fields that this thing is asked for."""
        thing = self.thing
        is_moved = False
        for field in self.fields.values():
            is_moved |= field.follow(thing)
            asked = field.spec.shown
            hidden = asked is not None and not asked(thing)
            if field.isHidden() != hidden:
                field.setHidden(hidden)
                is_moved = True
        if is_moved or not self._columns.is_laid_out:
            self._columns.forget()
            self._columns.lay_out()


def _is_same(was: object, value: object) -> bool:
    if isinstance(was, float) and isinstance(value, float):
        return abs(was - value) <= 2e-6 * max(1.0, abs(was))
    return was == value
