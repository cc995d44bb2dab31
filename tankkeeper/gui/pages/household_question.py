"""The question where the household is, in which units it sees sizes, and where its file lies."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from zoneinfo import available_timezones

from PySide6.QtCore import QLocale, Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from tankkeeper.gui.models.first_answers import UNIT_CHOICES, UnitChoice, units_of_locale
from tankkeeper.gui.pages.question_parts import add_head, add_row, choice_of, name_of
from tankkeeper.gui.typography import Space
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.labelled import Labelled
from tankkeeper.gui.widgets.labels import CaptionLabel

USUAL_NAME = "Home"
Places = Callable[[str], Path]


class HouseholdQuestion(QWidget):
    """Asks what is so for the whole household.

    `places` tells where a household of a name would lie by itself; without it, no place is asked.
    `changed` tells that the zone is another, `units_changed` that the units are, `place_asked`
    that the file shall lie somewhere else.
    """

    changed = Signal()
    units_changed = Signal()
    place_asked = Signal()

    def __init__(self, number: str, zone: str, places: Places | None, parent: QWidget) -> None:
        super().__init__(parent)
        self._places = places
        self.place: Path | None = None
        self.zone = choice_of("Time zone", sorted(available_timezones()), self)
        self.zone.setCurrentIndex(max(0, self.zone.findText(zone)))
        self.units = choice_of("Units", [one.text for one in UNIT_CHOICES], self)
        self.units.setCurrentIndex(UNIT_CHOICES.index(units_of_locale(QLocale())))
        self.name = name_of("Household", "household", self)
        self.name.set_text(USUAL_NAME)
        self.kept_in = CaptionLabel(wraps=False, parent=self)
        self.elsewhere = Button("Elsewhere", parent=self)
        self.elsewhere.setToolTip("Choose where the file of the household lies")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.XXS)
        add_head(column, "Where and in which units", number, self)
        add_row(column, Labelled("Time zone", self.zone), Labelled("Units", self.units))
        add_row(column, Labelled("Household", self.name), self._whereabouts())
        self.zone.currentIndexChanged.connect(self.changed)
        self.units.currentIndexChanged.connect(self.units_changed)
        self.name.value_changed.connect(self._show_place)
        self.elsewhere.clicked.connect(self.place_asked)
        self._show_place()

    def _whereabouts(self) -> QWidget:
        """Return where the file of the household will lie, and the button that changes it."""
        holder = QWidget(self)
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.XXS)
        column.addWidget(self.kept_in)
        column.addWidget(self.elsewhere, 0, Qt.AlignmentFlag.AlignLeft)
        holder.setVisible(self._places is not None)
        return holder

    @property
    def in_order(self) -> list[QWidget]:
        """What takes keys, in their order."""
        kept = [] if self._places is None else [self.elsewhere]
        return [self.zone, self.units, self.name, *kept]

    @property
    def standing(self) -> tuple[object, ...]:
        """All that is answered, as it stands there."""
        # A blank is nothing that leaving would lose.
        name = self.name.text.strip()
        return (self.place, self.zone.currentIndex(), self.units.currentIndex(), name)

    @property
    def unit_choice(self) -> UnitChoice:
        """The units that are chosen."""
        return UNIT_CHOICES[self.units.currentIndex()]

    @property
    def called(self) -> str:
        """How the household is called; empty where that cannot be read."""
        name = self.name.value
        return name if isinstance(name, str) else ""

    @property
    def lies_at(self) -> Path | None:
        """Where the file will lie, None where that is not asked."""
        if self._places is None:
            return None
        return self.place or self._places(self.called)

    def keep_at(self, place: Path) -> None:
        """Let the file lie there, whatever the household is called."""
        self.place = place
        self._show_place()

    def _show_place(self) -> None:
        place = self.lies_at
        if place is None:
            return
        self.kept_in.setText(f"Kept in {place.name}")
        self.kept_in.setToolTip(str(place))
        self.elsewhere.setAccessibleDescription(f"Kept in {place}")
