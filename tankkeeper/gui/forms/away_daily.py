"""The lines of the form after days off for what lapsed in them, such as feedings and doses."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date

from PySide6.QtWidgets import QVBoxLayout, QWidget

from tankkeeper.core.chores import ChoreKind
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.forms.own_who import OwnWho, own_who
from tankkeeper.gui.models.round_rows import HOUSEHOLD
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.away_words import NOT_DONE, done_every_day, done_on
from tankkeeper.reports.numbers import listed
from tankkeeper.reports.words import Words
from tankkeeper.services.lapsed import Lapsed
from tankkeeper.services.ticking import Tick

AS_BELOW = "As chosen below"


def all_of(kinds: Collection[ChoreKind]) -> str:
    """Return what the lines are together, and nothing that stands among the others.

    >>> all_of({ChoreKind.FEEDING, ChoreKind.OTHER})
    'All feedings and daily work'
    """
    named = {ChoreKind.FEEDING: "feedings", ChoreKind.DOSE: "doses"}
    parts = [words for kind, words in named.items() if kind in kinds]
    return f"All {listed([*parts, 'daily work'] if set(kinds) - set(named) else parts)}"


class DailyLine(QWidget):
    """One chore: not done, done every time, or done on one of the days."""

    def __init__(self, lapsed: Lapsed, words: Words, parent: QWidget) -> None:
        super().__init__(parent)
        self.lapsed = lapsed
        tank = lapsed.tank.name if lapsed.tank is not None else HOUSEHOLD
        self.name = f"{lapsed.chore.name}, {tank}"
        self.choice = ChoiceField(self.name, self)
        self.choice.addItem(NOT_DONE)
        self.choice.addItem(done_every_day(lapsed.days, words))
        # With one day there is nothing to choose among.
        self._days = lapsed.days if len(lapsed.days) > 1 else ()
        for day in self._days:
            self.choice.addItem(done_on(day, words))
        self.who = own_who(self.name, words.household, self)
        _put(self, self.choice, self.who)
        self.choice.currentIndexChanged.connect(self._on_choice)

    def _on_choice(self, at: int) -> None:
        if self.who is not None:
            self.who.setVisible(at > 0)

    @property
    def key(self) -> str:
        """What names the line."""
        return f"every:{self.lapsed.chore.id}"

    @property
    def answer(self) -> tuple[date | None, tuple[str, ...]]:
        """The day that is chosen, or whether every time is."""
        at = self.choice.currentIndex()
        return (self._days[at - 2], ()) if at > 1 else (None, ("every",) if at else ())

    def fill(self, day: date | None, texts: Sequence[str]) -> None:
        """Choose what was answered before, as far as it can still be."""
        if day in self._days:
            self.choice.setCurrentIndex(self._days.index(day) + 2)
        elif texts:
            self.choice.setCurrentIndex(1)

    def fields(self) -> list[QuantityField]:
        """Return no field: nothing has to be written down."""
        return []

    def ticks(self, by: str | None) -> list[Tick]:
        """Return a tick for each turn that was done, `by` whom where the line does not say it."""
        by = by if self.who is None else self.who.person_id
        at = self.choice.currentIndex()
        day = self._days[at - 2] if at > 1 else None
        done = [one for one in self.lapsed.turns if at and day in (None, one.day)]
        return [Tick(one.turn.id, at=one.at, by=by) for one in done]


class AllLine(QWidget):
    """One choice for all lines whose turns lapsed, so that one key says it of all."""

    def __init__(self, lines: Sequence[DailyLine], parent: QWidget) -> None:
        super().__init__(parent)
        self._lines = tuple(lines)
        self.name = all_of({one.lapsed.chore.kind for one in lines})
        self._is_setting = False
        self.choice = ChoiceField(self.name, self)
        for option in (AS_BELOW, "Done every time", NOT_DONE):
            self.choice.addItem(option)
        self.who: OwnWho | None = None
        _put(self, self.choice)
        self.choice.currentIndexChanged.connect(self._on_choice)
        for line in self._lines:
            line.choice.currentIndexChanged.connect(self._on_other)

    def fields(self) -> list[QuantityField]:
        """Return no field."""
        return []

    def _on_choice(self, at: int) -> None:
        if not at:
            return
        self._is_setting = True
        for line in self._lines:
            line.choice.setCurrentIndex(2 - at)
        self._is_setting = False

    def _on_other(self) -> None:
        """Say nothing of all lines any more once one of them is chosen by itself."""
        if not self._is_setting:
            self.choice.setCurrentIndex(0)


def _put(line: QWidget, *fields: QWidget | None) -> None:
    column = QVBoxLayout(line)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(Space.XXS)
    for field in fields:
        if field is not None:
            column.addWidget(field)
