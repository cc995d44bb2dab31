"""The form in which a proposed chore is changed before it is accepted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget

from tankkeeper.core.adjusting import Adjustment, adjustment_of, most_early_days
from tankkeeper.core.catalogue import Proposal
from tankkeeper.core.chores import Amount
from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.units import parse_number
from tankkeeper.gui.forms.amount_field import amount_reader, amount_text, unit_shown
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.forms.many_field import ManyField
from tankkeeper.gui.forms.typed_lists import times_in, times_text
from tankkeeper.gui.typography import metrics_for
from tankkeeper.gui.widgets.labels import BodyLabel
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.words import WEEKDAYS, Words

_AFTER, _DAYS = "Some days after it was last done", "On days of the week"
_MOST_DAYS, _MOST_WEEKS, _MOST_MINUTES, _MOST_WINDOW = 3650, 521, 1440, 366


class ProposalForm(Form):
    """Asks how a chore shall come; `chosen` tells the `Adjustment`.

    `preview` words when it would come next, or raises what cannot be. How much it takes is asked
    of what is proposed with an amount; emptied, it is the proposed one.
    """

    chosen = Signal(object)

    def __init__(
        self,
        proposal: Proposal,
        words: Words,
        preview: Callable[[Adjustment], str],
        parent: QWidget,
    ) -> None:
        super().__init__(proposal.chore.name, "", "Take over", parent)
        now = adjustment_of(proposal)
        self._preview = preview
        self._stated = proposal.chore.amount
        self._own_amount = now.amount
        self._by_water = now.every is None
        self.way = ChoiceField("It comes", self)
        self.way.addItems([_AFTER, _DAYS])
        self.way.setCurrentIndex(1 if now.weekdays else 0)
        self.every = self._number("Every", "days", 1, _MOST_DAYS, now.every)
        rows = [(name[:3], day) for day, name in enumerate(WEEKDAYS)]
        self.days = ManyField("On", rows, self)
        self.days.show_value(now.weekdays)
        self.times = QuantityField("At", "", times_in, fault_words, times_text(now.slots), self)
        self.times.field.setPlaceholderText("Any time, or such as 8, 18:30")
        self.early = self._number("Early", "days", 0, _MOST_WINDOW, now.early_days)
        self.late = self._number("Late", "days", 0, _MOST_WINDOW, now.late_days)
        self.minutes = self._number("Takes", "min", 0, _MOST_MINUTES, now.minutes)
        self.amount = self._how_much(words)
        self.follows = BodyLabel(parent=self)
        self._shown_amount = self.amount.text
        # How many days before it may be done by what was proposed or typed; its rhythm may let
        # fewer stand for a while.
        self._early_wished = now.early_days
        self._place()
        self.setMinimumWidth(metrics_for(self.font()).px(520))
        self.asked.connect(self._on_asked)
        self._show_asked()
        (self.early if self._by_water else self.way).setFocus()

    def _number(
        self, name: str, unit: str, low: int, high: int, value: int | None
    ) -> QuantityField:
        def read(text: str) -> int:
            number = parse_number(text)
            if number != int(number):
                raise UserFault("not_whole", field=name.lower(), value=number)
            if not low <= number <= high:
                raise out_of_range(name.lower(), number, low, high)
            return int(number)

        text = "" if value is None else str(value)
        return QuantityField(name, unit, read, fault_words, text, self)

    def _how_much(self, words: Words) -> QuantityField:
        stated = self._stated
        if stated is None:
            return QuantityField("Amount", "", str, fault_words, parent=self)
        unit, text = unit_shown(stated, words), amount_text(stated, words)
        field = QuantityField("Amount", unit, amount_reader(stated, words), fault_words, text, self)
        field.field.setPlaceholderText("As we propose it")
        return field

    def _place(self) -> None:
        for label, field in (
            ("&It comes", self.way),
            ("&Every", self.every),
            ("&On", self.days),
            ("&At", self.times),
            ("Days &before", self.early),
            ("Days a&fter", self.late),
            ("&Takes", self.minutes),
            ("A&mount", self.amount),
        ):
            self.add_field(label, field)
        self.fields.setRowVisible(self.amount, self._stated is not None)
        self.fields.addRow(self.follows)
        self.way.currentIndexChanged.connect(self._on_way)
        self.days.changed.connect(self._show_next)
        self.early.field.textEdited.connect(self._on_early)
        for field in (self.every, self.times, self.early, self.late, self.minutes, self.amount):
            # With each key: what cannot be read has no value that could change.
            field.field.textChanged.connect(self._show_next)
        self.way.currentIndexChanged.connect(self._forget_refusal)
        self.days.changed.connect(self._forget_refusal)
        for field in (self.every, self.times, self.early, self.late, self.minutes, self.amount):
            field.field.textEdited.connect(self._forget_refusal)

    def showEvent(self, event: QShowEvent) -> None:
        """Stand as high as the boxes need in the width that there is."""
        super().showEvent(event)
        QTimer.singleShot(0, self, lambda: self.fit(shrinks=True))

    def _forget_refusal(self) -> None:
        """Take the refusal away, which is about what stood there before."""
        self.refuse("")

    def _on_early(self) -> None:
        value = self.early.value
        self._early_wished = value if isinstance(value, int) else 0

    def _on_way(self) -> None:
        self.every.set_text("1" if self.way.currentIndex() else "7")
        self._show_asked()

    def _show_asked(self) -> None:
        is_weekly = bool(self.way.currentIndex()) and not self._by_water
        self.fields.setRowVisible(self.way, not self._by_water)
        self.fields.setRowVisible(self.every, not self._by_water)
        # What the water decides comes on its last safe day.
        self.fields.setRowVisible(self.late, not self._by_water)
        for field in (self.days, self.times):
            self.fields.setRowVisible(field, is_weekly)
        self.every.set_unit("weeks" if is_weekly else "days")
        if self.isVisible():
            QTimer.singleShot(0, self, lambda: self.fit(shrinks=True))
        self._show_next()

    def _wanted(self) -> Adjustment:
        """Return what stands in the fields; what is empty is none."""

        def whole(field: QuantityField) -> int:
            return field.value if isinstance(field.value, int) else 0

        is_weekly = bool(self.way.currentIndex()) and not self._by_water
        days = tuple(day for day in self.days.value if isinstance(day, int))
        if is_weekly and not days:
            raise UserFault("missing", field="weekdays")
        times = self.times.value if isinstance(self.times.value, tuple) else ()
        return Adjustment(
            every=None if self._by_water else whole(self.every),
            weekdays=days if is_weekly else (),
            slots=times if is_weekly else (),
            early_days=whole(self.early),
            late_days=whole(self.late),
            minutes=whole(self.minutes) if self.minutes.text.strip() else None,
            amount=self._amount_wanted(),
        )

    def _amount_wanted(self) -> Amount | None:
        """Return the amount that somebody said, None where it is to follow the tank."""
        if self._stated is None or not self.amount.text.strip():
            return None
        value = self.amount.value
        is_as_shown = self.amount.text == self._shown_amount
        return self._own_amount if is_as_shown or not isinstance(value, Amount) else value

    def _show_next(self) -> None:
        unread = next((one for one in self._typed() if one.reading_fault), None)
        if unread is not None:
            # Where it is told at the field by now, once is enough.
            self.follows.setText("" if unread.fault else unread.reading_fault)
            return
        try:
            wanted = self._wanted()
            most = most_early_days(wanted)
            told = ""
            if not self.early.field.hasFocus():
                # Another rhythm leaves less room; what is typed here is told instead.
                shown = min(most, self._early_wished)
                if shown != wanted.early_days:
                    self.early.set_text(str(shown))
                wanted = replace(wanted, early_days=shown)
                if shown < self._early_wished:
                    told = f" {_room_before(shown)}: it would count for the turn before."
            self.follows.setText(f"{self._preview(wanted)}{told}")
        except UserFault as fault:
            field = self._field_of(fault)
            is_told = field is not None and bool(field.fault)
            self.follows.setText("" if is_told else self._worded(fault))

    def _typed(self) -> list[QuantityField]:
        """Return the fields that are asked and typed in."""
        typed = (self.every, self.times, self.early, self.late, self.minutes, self.amount)
        return [one for one in typed if self.fields.isRowVisible(one)]

    def _field_of(self, fault: UserFault) -> QuantityField | None:
        """Return the field that a refusal is about."""
        if fault.values.get("hint") == "whole_tank":
            return self.amount
        fields = {"early_days": self.early, "late_days": self.late, "minutes": self.minutes}
        return fields.get(str(fault.values.get("field")))

    def _worded(self, fault: UserFault) -> str:
        """Return the sentence of a fault in the words of this form."""
        names = {self.early: "Days before", self.late: "Days after", self.amount: "Amount"}
        field = self._field_of(fault)
        if field in names and "label" not in fault.values:
            fault.labelled(names[field])
        return fault_words(fault)

    def _on_asked(self) -> None:
        wrong = next((one for one in self._typed() if not one.check()), None)
        if wrong is not None:
            wrong.go_to()
            return
        try:
            wanted = self._wanted()
            self._preview(wanted)
        except UserFault as fault:
            field = self._field_of(fault)
            if field is not None:
                field.show_fault(self._worded(fault), stays=True)
                field.go_to()
                self.follows.setText("")
                return
            # What follows says it already; a screen reader hears it, and the keys go where it is.
            self.refuse(self._worded(fault))
            self.follows.setText("")
            return
        self.accept()
        self.chosen.emit(wanted)


def _room_before(days: int) -> str:
    """Return how early it can be done, up to the reason."""
    if not days:
        return "It cannot be done before its day"
    return f"It can be done at most {counted(days, 'day', 'days')} before, and no sooner"
