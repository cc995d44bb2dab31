"""The small forms of a tank: its stage with what follows from it, and the name of a copy."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from tankkeeper.core.household import Stage
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.palette import Role
from tankkeeper.gui.widgets.labels import BodyLabel
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.in_sentences import capital


class StageForm(Form):
    """Asks for a stage, and says what follows from it before it is kept."""

    def __init__(
        self, name: str, stage: Stage, follows: Callable[[Stage], str], parent: QWidget
    ) -> None:
        super().__init__(f"{name}: stage", "", "Keep", parent)
        self._follows = follows
        self.choice = ChoiceField("Stage", self)
        for one in Stage:
            self.choice.addItem(capital(one.value))
        self.add_field("&Stage", self.choice)
        self.sentence = BodyLabel(ink=Role.INK_2, parent=self)
        self.fields.addRow(self.sentence)
        self.choice.setCurrentIndex(list(Stage).index(stage))
        self.choice.currentIndexChanged.connect(self._on_choice)
        self._on_choice()
        self.choice.setFocus()

    @property
    def stage(self) -> Stage:
        """The stage that is chosen."""
        return list(Stage)[self.choice.currentIndex()]

    def _on_choice(self) -> None:
        self.sentence.setText(self._follows(self.stage))
        self.choice.setAccessibleDescription(self.sentence.text())


class NameForm(Form):
    """Asks for a name."""

    def __init__(self, title: str, sentence: str, keep: str, parent: QWidget) -> None:
        super().__init__(title, sentence, keep, parent)
        self.name = QuantityField("Name", "", str, fault_words, parent=self)
        self.name.field.setMaxLength(1_000_000)
        self.add_field("&Name", self.name)
        self.keep_typing(title)
        self.name.setFocus()
