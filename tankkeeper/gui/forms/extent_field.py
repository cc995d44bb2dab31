"""How far fresh water went: all the way unless something else is chosen, and asked about once."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtWidgets import QWidget

from tankkeeper.core.amounts import AmountDue
from tankkeeper.core.chores import ChoreKind
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.services.fresh_fills import Extent, is_todays_part
from tankkeeper.services.mixed_amounts import is_part_of

ALL_MIXED, REST_STAYS = "All of it", "A part, the rest stays to mix"
TO_MARK, A_PART = "To the mark", "A part"
UNTIL_FULL, SOME, HOLDS = "Until full", "Some, it is not full", "Not full; it now holds"
CHOOSE: Final = "Choose"
# Beside the litres of what a reservoir holds, which are not those that went in.
HOLDS_HINT: Final = "in it now"
# What is asked once less went in than was missing.
MARK_OR_PART: Final = "To the mark, or a part?"
FULL_OR_NOT: Final = "Until full, or some?"

Choices = Sequence[tuple[str, Extent]]
_OF_TOP_OFF: Final[Choices] = ((TO_MARK, Extent.FULL), (A_PART, Extent.PART))
_OF_MIXING: Final[Choices] = ((ALL_MIXED, Extent.FULL), (REST_STAYS, Extent.PART))
_OF_RESERVOIR: Final[Choices] = (
    (UNTIL_FULL, Extent.FULL),
    (SOME, Extent.PART),
    (HOLDS, Extent.HOLDS),
)


class ExtentField(ChoiceField):
    """How far the water went; a question takes the choice away until somebody makes one."""

    def __init__(
        self, name: str, choices: Choices, question: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(name, parent)
        self._question = question
        for words, extent in choices:
            self.addItem(words, extent)
        self.setPlaceholderText(CHOOSE)
        self._usual = self._before = 0
        self._is_touched = False
        self._answered: float | None = None
        self.activated.connect(self._on_activated)
        self.currentIndexChanged.connect(lambda _at: self.set_fault(False))

    @property
    def extent(self) -> Extent | None:
        """How far it went, None while that is asked."""
        chosen = self.currentData()
        return Extent(chosen) if chosen is not None else None

    @property
    def is_usual(self) -> bool:
        """Whether it is what a bare tick means."""
        return self.currentIndex() == self._usual

    def follow(self, amount: AmountDue | None, litres: float | None) -> None:
        """Show what a bare tick of these litres means, until somebody chooses; ask no more."""
        self._usual = 1 if self._means_part(amount, litres) else 0
        if not self._is_touched:
            self.setCurrentIndex(self._usual)
        self.ask_no_more()

    def _means_part(self, amount: AmountDue | None, litres: float | None) -> bool:
        if litres is None:
            return amount is not None and amount.is_split
        return is_todays_part(amount, litres)

    def ask_no_more(self) -> None:
        """Forget what was asked: other litres were typed."""
        self._answered = None
        if self.currentIndex() < 0:
            self.setCurrentIndex(self._before)

    def begin(self, extent: Extent) -> None:
        """Let this stand there, whatever is typed."""
        self._usual = self._before = self.findData(extent)
        self.setCurrentIndex(self._usual)

    def question(self, litres: float | None, short: str, more: str = "") -> str:
        """Return what is to be answered here before these litres are kept, empty where nothing is.

        `short` tells that fewer went in than were missing, `more` that more did.
        """
        told = {Extent.FULL: short, Extent.PART: more}.get(self.extent or Extent.HOLDS, "")
        if litres is None or not told or self._answered == litres:
            return ""
        return f"{told} {self._question}"

    def take_away(self, litres: float | None) -> None:
        """Let somebody choose how far these litres went."""
        self._answered, self._before = litres, self.currentIndex()
        self.setCurrentIndex(-1)
        self.setFocus()

    def is_missing(self) -> bool:
        """Tell whether a choice is still to be made, and show where."""
        if self.currentIndex() >= 0:
            return False
        self.set_fault(True)
        self.setFocus()
        return True

    def _on_activated(self) -> None:
        self._is_touched = True


class MixedField(ExtentField):
    """Whether all was mixed or a part; the litres tell until somebody chooses."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("How far", _OF_MIXING, "", parent)

    def _means_part(self, amount: AmountDue | None, litres: float | None) -> bool:
        return is_part_of(amount, litres)


def how_far(kind: ChoreKind, parent: QWidget | None = None) -> ExtentField:
    """Return the field of a ticked top-off or reservoir."""
    if kind is ChoreKind.RESERVOIR:
        return ExtentField("How far", _OF_RESERVOIR, FULL_OR_NOT, parent)
    return ExtentField("How far", _OF_TOP_OFF, MARK_OR_PART, parent)
