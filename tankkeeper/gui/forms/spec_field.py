"""One field of a sheet: its name, what is typed or chosen, its unit, a note, a refusal."""

from __future__ import annotations

from typing import Any, Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.forms.many_field import ManyField
from tankkeeper.gui.forms.specs import (
    LISTS,
    Kind,
    Spec,
    parse,
    shown_text_of,
    sign_of,
    tell_in_shown,
    unit_of,
)
from tankkeeper.gui.palette import Role
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.focus import is_inside
from tankkeeper.gui.widgets.labels import CaptionLabel
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.words import Words

LONGEST_TYPED: Final = 1_000_000
_CHOSEN = (Kind.CHOICE, Kind.FLAG)


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
        self._rows: tuple[tuple[str, object], ...] = ()
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
        column.addWidget(CaptionLabel(spec.label_in(words), parent=self))
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

    def offer_again(self, words: Words) -> None:
        """Offer what can be chosen by now; what is chosen stays where it still can be."""
        self._words = words
        if self.spec.choices is None:
            return
        if self.choice is not None:
            self._offer(self.choice, self.value)
        elif self.many is not None and tuple(self.spec.choices(words)) != self._rows:
            self._replace_many(self.many, self.value)

    def _offer(self, choice: ChoiceField, value: object) -> bool:
        """Offer what such a thing can have, and what stands there; tell if that is another list."""
        rows = self._rows_with(value)
        if rows == self._rows:
            return False
        stood = self.value
        was_blocked = choice.blockSignals(True)
        choice.clear()
        self._values = [one for _name, one in rows]
        choice.addItems([name for name, _one in rows])
        choice.setCurrentIndex(self._values.index(stood) if stood in self._values else 0)
        choice.blockSignals(was_blocked)
        self._rows = rows
        return True

    def _rows_with(self, value: object) -> tuple[tuple[str, object], ...]:
        """Return the rows of a choice; a value that stands there is one of them in any case."""
        rows = () if self.spec.choices is None else self.spec.choices(self._words)
        return tuple(row for row in rows if row[1] == value or row[1] not in self._apart)

    def _choose(self, choice: ChoiceField, value: object) -> None:
        """Choose a value, the first one where there is none such."""
        self._offer(choice, value)
        choice.setCurrentIndex(self._values.index(value) if value in self._values else 0)

    def _replace_many(self, old: ManyField, value: object) -> None:
        had_keys = is_inside(QApplication.focusWidget(), old)
        new = self.many = self._make_many()
        self._inside.replaceWidget(old, new)
        before: QWidget = old.boxes[-1] if old.boxes else old
        for box in filter(None, [new.all, *new.boxes]):
            QWidget.setTabOrder(before, box)
            before = box
        self.setFocusProxy(new)
        offered = {one for _name, one in self._rows}
        kept = tuple(one for one in value if one in offered) if isinstance(value, tuple) else ()
        was_blocked = self.blockSignals(True)
        new.show_value(kept)
        self.blockSignals(was_blocked)
        if had_keys:
            new.setFocus()
        old.hide()
        old.deleteLater()

    def take_as_shown(self, value: object) -> None:
        """Count this as what stood in it, and leave what is typed or chosen."""
        if self.typed is not None:
            self.shown = shown_text_of(self.spec, value, self._words)
            self._as_shown = (str(self.shown), value)
        elif self.many is not None:
            self.shown = value if isinstance(value, tuple) else ()
        else:
            there = [one for _name, one in self._rows_with(value)]
            self.shown = value if value in there else next(iter(there), None)

    def _make_choice(self) -> ChoiceField:
        choice = ChoiceField(self.spec.label_in(self._words), self)
        choice.setAccessibleDescription(self.spec.note)
        self._rows = self._rows_with(None)
        for name, value in self._rows:
            choice.addItem(name)
            self._values.append(value)
        choice.currentIndexChanged.connect(self.changed)
        return choice

    def _make_many(self) -> ManyField:
        rows = () if self.spec.choices is None else self.spec.choices(self._words)
        self._rows = tuple(rows)
        rows = tuple(row for row in rows if row[1] not in self._apart)
        many = ManyField(self.spec.label_in(self._words), rows, self)
        many.changed.connect(self.changed)
        return many

    def _make_typed(self) -> QuantityField:
        field = QuantityField(
            self.spec.label_in(self._words),
            sign_of(self.spec, self._words),
            self._parse,
            self._word,
            parent=self,
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
            fault.labelled(self.spec.named_in(self._words))
            tell_in_shown(self.spec, fault, self._words)
            if self.spec.unit:
                own = unit_of(self.spec, self._words)
                fault.values["unit"] = fault.values.get("unit") or own
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
    def is_unread(self) -> bool:
        """Whether something is typed that gives no value, be it told by now or not."""
        typed = self.typed
        if typed is None or self.spec.kind is Kind.TEXT or typed.text == self._as_shown[0]:
            return False
        return bool(typed.text.strip()) and typed.value is None

    @property
    def is_sound(self) -> bool:
        """Whether what was typed can be read; where not, it is told."""
        return self.typed is None or self.typed.check()

    def show_value(self, value: object) -> None:
        """Show a value as if it had been typed or chosen."""
        if self.choice is not None:
            self._choose(self.choice, value)
        elif self.many is not None:
            self.many.show_value(value)
        elif self.typed is not None:
            text = shown_text_of(self.spec, value, self._words)
            self._as_shown = (text, value)
            self.typed.set_text(text)

    def follow(self, thing: Any) -> bool:
        """Offer and note what follows from what stands in all fields; tell if that is another."""
        is_other = False
        if self.choice is not None and self.spec.apart is not None:
            self._apart = self.spec.apart(thing)
            is_other = self._offer(self.choice, self.value)
        return self._note_follows(thing) or is_other

    def _note_follows(self, thing: Any) -> bool:
        if self.spec.note_of is None or self._note_label is None:
            return False
        before = self._note_label.text()
        self._note = " ".join(filter(None, [self.spec.note, self.spec.note_of(thing, self._words)]))
        self._note_label.setText(self._note)
        # Without a word it takes no room.
        self._note_label.setVisible(bool(self._note))
        if self.typed is not None:
            self.typed.set_help(self._note)
        return self._note != before

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
        elif self.choice is not None:
            self._offer(self.choice, standing)
            if standing in self._values:
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
