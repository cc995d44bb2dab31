"""The question what lives in a tank, or is to live in it."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from tankkeeper.core.communities import Community
from tankkeeper.gui.pages.question_parts import add_head
from tankkeeper.gui.palette import Role
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.announcing import announce
from tankkeeper.gui.widgets.chips import Chips
from tankkeeper.gui.widgets.labels import CaptionLabel
from tankkeeper.reports.in_sentences import capital

NO_COMMUNITY = "Choose what lives in the tank, or is to live in it."
ONE_CHOICE = "One choice: the most delicate of what lives in it. Arrow keys choose."
QUARANTINE_CHOICE = "It can wait: without a choice it is for fish only. Arrow keys choose."


class CommunityQuestion(QWidget):
    """Lets one be chosen; `changed` tells that one was. For quarantine it need not be."""

    changed = Signal()

    def __init__(self, number: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._is_needed = True
        self.choice = Chips("What lives in it", [capital(one.value) for one in Community], self)
        self.how_to_choose = CaptionLabel(ONE_CHOICE, parent=self)
        self.refusal = CaptionLabel(ink=Role.OVERDUE, parent=self)
        self.refusal.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.XXS)
        add_head(column, "What lives in it", number, self)
        column.addWidget(self.how_to_choose)
        column.addWidget(self.choice)
        column.addWidget(self.refusal)
        self.choice.chosen.connect(self.refusal.hide)
        self.choice.chosen.connect(self.changed)

    def ask_for(self, *, is_quarantine: bool) -> None:
        """Say how to choose, and whether that has to be chosen at all."""
        self._is_needed = not is_quarantine
        self.how_to_choose.setText(QUARANTINE_CHOICE if is_quarantine else ONE_CHOICE)
        self.choice.setAccessibleDescription(self.how_to_choose.text())
        self.refusal.hide()

    @property
    def chosen(self) -> Community | None:
        """What was chosen, None while nothing was."""
        number = self.choice.number
        return tuple(Community)[number] if number >= 0 else None

    def refuse_missing(self) -> bool:
        """Tell that it has to be chosen, where it was not."""
        is_missing = self._is_needed and self.chosen is None
        if is_missing:
            self.refusal.setText(NO_COMMUNITY)
            self.refusal.show()
            announce(self, NO_COMMUNITY)
        return is_missing

    def seen_with(self, now: QWidget) -> list[QWidget]:
        """Return what has to be seen with a chip, the most needed last."""
        told = [] if self.refusal.isHidden() else [self.refusal]
        return [self.how_to_choose, self.choice, *told, now]
