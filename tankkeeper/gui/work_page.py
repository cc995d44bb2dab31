"""What a page of work is to what acts on its lines."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from tankkeeper.core.turns import State
    from tankkeeper.gui.models.in_hand import InHand
    from tankkeeper.gui.models.round_rows import ItemRow
    from tankkeeper.gui.shortcuts import Command
    from tankkeeper.services.calendar import CalendarDay


class WorkPage(Protocol):
    """A page that shows lines of work on which the keys act."""

    def in_hand(self) -> InHand | None:
        """Tell of which tank the line is on which the keys act, None where there is none."""

    @property
    def day_listed(self) -> date | None:
        """The one day whose lines are shown, None where they are of no single day."""

    @property
    def form_command(self) -> Command:
        """The command whose key opens the form of a line here."""

    def day_in_hand(self) -> CalendarDay | None:
        """Return the day of a calendar that has the keys, None where the page has no days."""

    def selected(self) -> list[ItemRow]:
        """Return the lines on which the keys act."""

    def rows(self) -> list[ItemRow]:
        """Return all lines."""

    def go_on(self) -> None:
        """Go to the next line that is still to do where the current one was closed."""

    def show_row(self, row_id: str) -> bool:
        """Select a line and bring it into view; tell whether it is there."""

    def step_on(self, was: State | None = None, /) -> None:
        """Go to the next line that is still to do, from one that leaves its place or stays open.

        `was` is how that stood before what was done.
        """

    def take_keys(self) -> None:
        """Let the keys act in the lines."""
