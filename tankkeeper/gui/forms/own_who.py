"""Who did the work of one line, where a form is about the work of several people."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from tankkeeper.core.household import Household
from tankkeeper.gui.forms.choices import WhoField

_SEVERAL = 2


class OwnWho(WhoField):
    """Says what the form's field of who says, until it is chosen by itself.

    It is hidden while nothing of its line was done.
    """

    def __init__(self, line: str, household: Household, parent: QWidget) -> None:
        super().__init__(household, None, parent)
        self.setAccessibleName(f"Who, {line}")
        self.is_own = False
        self._follows = False
        self.currentIndexChanged.connect(self._on_choice)
        self.hide()

    def follow(self, person_id: str | None) -> None:
        """Take the person of the whole form, unless another was chosen here."""
        if not self.is_own:
            self._follows = True
            self.choose(person_id)
            self._follows = False

    def say(self, person_id: str | None) -> None:
        """Let this be of a person, whoever the form says."""
        self.choose(person_id)
        self.is_own = True

    def _on_choice(self) -> None:
        self.is_own = self.is_own or not self._follows


def own_who(line: str, household: Household, parent: QWidget) -> OwnWho | None:
    """Return the field of a line, None where the form's says it of all."""
    several = len(household.people) >= _SEVERAL
    return OwnWho(line, household, parent) if several else None
