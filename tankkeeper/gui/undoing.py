"""What was done in this window and what was taken back: undo, and do again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from tankkeeper.core.errors import Surroundings, TankkeeperError
from tankkeeper.core.logbook import Entry
from tankkeeper.gui.deeds import Deed, Refused, TakenBack
from tankkeeper.gui.newest import (
    NOTHING,
    elsewhere_words,
    is_left_alone,
    left_alone_words,
    read_newest,
    undo_newest,
)
from tankkeeper.reports.logbook_words import entry_text
from tankkeeper.services import taking_back

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tankkeeper.gui.session import Session


class Undoing:
    """Keeps the deeds of a window in their order, and takes back the newest by adding rows."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._done: list[Deed] = []
        self._undone: list[Deed] = []
        # What was written here, or taken back here, however it stands by now.
        self._own: set[str] = set()

    @property
    def can_undo(self) -> bool:
        """Whether something done in this window can be taken back."""
        return bool(self._done)

    @property
    def can_redo(self) -> bool:
        """Whether something taken back in this window can be done again."""
        return bool(self._undone)

    @property
    def words(self) -> str:
        """What undo would take back, empty when nothing."""
        return self._done[-1].words if self._done else ""

    @property
    def page(self) -> object:
        """The page on which that was done which undo would take back, None where on none."""
        return self._done[-1].page if self._done else None

    def remember(self, deed: Deed) -> None:
        """Let undo take back what was done already."""
        self._done.append(deed)
        self._undone.clear()
        self._own.update(deed.entries)

    def claim(self, entries: Iterable[str]) -> None:
        """Take note that entries stand no more by this window."""
        self._own.update(entries)

    def is_own(self, entry: str) -> bool:
        """Tell whether it is by this window that an entry stands, or stands no more."""
        return entry in self._own

    def undo(self, refused: Refused) -> None:
        """Take back what was done last: in this window, else the newest entry of today."""
        if self._done:
            self._take_back(self._done, self._undone, _undone_words, refused)
        else:
            self._session.carry_out(self._undo_newest, self._on_undone, refused)

    def redo(self, refused: Refused) -> None:
        """Do again what was taken back last in this window."""
        if self._undone:
            self._take_back(self._undone, self._done, _redone_words, refused)
        else:
            self._session.did.emit("Nothing was undone in this window that could be done again.")

    def tell(self) -> None:
        """Say what undo would take back, and take nothing back."""
        if self._done:
            self._session.did.emit(elsewhere_words(self._done[-1].words))
        else:
            self._session.find_out(read_newest, self._on_newest)

    def take_back_key(self, number: int | None, told: TakenBack, refused: Refused) -> None:
        """Take back what a key did if that is the newest deed, and say what came of it."""
        if number is None or all(one.key != number for one in self._done):
            self._session.did.emit(told.nothing)
        elif self._done[-1].key == number:
            self._take_back(self._done, self._undone, lambda _deed: told.written, refused)

    def _take_back(
        self,
        source: list[Deed],
        onto: list[Deed],
        told: Callable[[Deed], str],
        refused: Refused,
    ) -> None:
        """Take back the entries of the newest deed; the rows that do so can be taken back too.

        Where only the surroundings stand in the way, the deed stays to be tried again.
        """
        deed, session = source.pop(), self._session

        def work() -> tuple[Entry, ...]:
            if deed.apart is not None:
                deed.apart.undo()
            if not deed.entries:
                return ()
            return taking_back.take_back_all(session.desk, deed.entries, session.person_id)

        def done(rows: tuple[Entry, ...]) -> None:
            ids = tuple(row.id for row in rows)
            apart = None if deed.apart is None else deed.apart.turned
            onto.append(replace(deed, entries=ids, apart=apart))
            if deed.stands is not None:
                deed.stands(onto is self._done)
            session.did.emit(told(deed))

        def failed(error: TankkeeperError) -> None:
            if isinstance(error, Surroundings):
                source.append(deed)
            refused(error)

        session.carry_out(work, done, failed)

    def _undo_newest(self) -> taking_back.TakenBack | Entry | None:
        last = self._session.last
        if last is None:
            return None
        return undo_newest(self._session.desk, self._session.person_id, last.state.moment)

    def _on_undone(self, taken: taking_back.TakenBack | Entry | None) -> None:
        session, last = self._session, self._session.last
        if taken is None or last is None:
            session.did.emit(NOTHING)
        elif isinstance(taken, taking_back.TakenBack):
            words = entry_text(taken.target, last.sheet.words, taken.taken_back)
            deed = Deed(f"{words}.", (taken.entry.id,))
            self._undone.append(deed)
            self._own.add(taken.target.id)
            session.did.emit(deed.undone_words)
        else:
            session.did.emit(left_alone_words(taken, session.person_id, last.sheet.words))

    def _on_newest(self, newest: Entry | None) -> None:
        session, last = self._session, self._session.last
        if newest is None or last is None:
            session.did.emit(NOTHING)
        elif is_left_alone(newest, session.person_id, last.state.moment):
            session.did.emit(left_alone_words(newest, session.person_id, last.sheet.words))
        else:
            session.did.emit(elsewhere_words(f"{entry_text(newest, last.sheet.words, {})}."))


def _undone_words(deed: Deed) -> str:
    return deed.undone_words


def _redone_words(deed: Deed) -> str:
    return deed.redone_words
