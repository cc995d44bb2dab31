"""What stands along the top: whose household it is, which moment, and who is at the window."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from tankkeeper.core.household import Household
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.reports.moment_words import moment_words
from tankkeeper.reports.people_names import shown_people

NOBODY = "Nobody named"
FIRST = "What is done in this window from now on is by {}."


class TopLine(QObject):
    """Keeps the top bar right; `person_chosen` tells that somebody else is at the window.

    `named` tells a sentence about who is, where that is so without having been chosen.
    """

    person_chosen = Signal()
    named = Signal(str)

    def __init__(self, frame: Frame, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self._wanted: str | None = None
        # Whether the household had people by the last reading, None before the first.
        self._had_people: bool | None = None
        frame.person_chosen.connect(self._on_person)

    def want(self, person: str | None) -> None:
        """Let this person be at the window, by id or name, as soon as the household is read."""
        self._wanted = person

    def show_reading(self, shown: Shown) -> None:
        """Tell household and people of a reading, and the time that it is by now.

        A reading is shown anew long after it was made, as when a page is left: its own moment would
        let the clock go back.
        """
        self._frame.set_household(shown.state.household.name)
        self._show_people()
        self.show_now()

    def show_now(self) -> None:
        """Tell the time that it is by now."""
        last = self._session.last
        if last is not None:
            now = self._session.desk.clock.now()
            self._frame.top.set_moments(moment_words(last.state.moment, now))

    def next_person(self) -> None:
        """Go on to the next person of the household."""
        household = self._session.household
        if household is None or not household.people:
            return
        ids = [person.id for person in household.people]
        at = ids.index(self._session.person_id) if self._session.person_id in ids else -1
        self._choose(ids[(at + 1) % len(ids)])

    def _show_people(self) -> None:
        household = self._session.household
        if household is None:
            return
        if self._wanted is not None:
            wanted = self._wanted.casefold()
            found = [one.id for one in household.people if wanted in (one.id, one.name.casefold())]
            self._session.set_person(found[0] if found else None)
            self._wanted = None
        self._heed_first(household)
        names = shown_people(household)
        name = names.get(self._session.person_id or "", NOBODY)
        self._frame.top.set_people(list(names.values()), name)

    def _heed_first(self, household: Household) -> None:
        """Let the first person that a household gets be at the window, and nobody without any.

        An undo takes that back with the adding.
        """
        had, self._had_people = self._had_people, bool(household.people)
        here = self._session.person_id
        if had and not household.people and here is not None:
            self._session.set_person(None)
            self.person_chosen.emit()
        is_first = had is False and len(household.people) == 1
        if is_first and here is None:
            (name,) = shown_people(household).values()
            self._session.set_person(household.people[0].id)
            self.person_chosen.emit()
            self.named.emit(FIRST.format(name))

    def _on_person(self, name: str) -> None:
        household = self._session.household
        if household is not None:
            found = [one for one, shown in shown_people(household).items() if shown == name]
            self._choose(found[0] if found else None)

    def _choose(self, person_id: str | None) -> None:
        self._session.set_person(person_id)
        self._show_people()
        self.person_chosen.emit()
