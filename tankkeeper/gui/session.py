"""The open household as the window sees it: reads and writes in the worker, told as signals."""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, Signal

from tankkeeper.core.errors import Surroundings, TankkeeperError
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry
from tankkeeper.gui.deeds import Answer, Deed, Refused
from tankkeeper.gui.key_turns import KeyTurns
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.reading import Shown, read_household
from tankkeeper.gui.round_deeds import RoundDeeds
from tankkeeper.gui.undoing import Undoing
from tankkeeper.gui.worker import Worker
from tankkeeper.services import keeping
from tankkeeper.services.desk import Change, Desk
from tankkeeper.services.logbook import last_times

if TYPE_CHECKING:
    from tankkeeper.services.settling import Apart, SetDown

# What a page besides the round wants of every reading, read in the worker.
Beside = Callable[[Desk, Shown], object]
T = TypeVar("T")
_log = logging.getLogger(__name__)


class Session(QObject):
    """Keeps the desk in the worker; `shown` tells a new reading, `did` what was done.

    `broke` tells a failure that belongs to no form: of the surroundings, or a bug. `behind` tells
    whether something is being written that is not shown yet.
    """

    shown = Signal(object)
    did = Signal(str)
    broke = Signal(object)
    behind = Signal(bool)

    def __init__(
        self,
        worker: Worker,
        desk: Desk,
        decimal_sign: str = ".",
        parent: QObject | None = None,
        tank_id: str | None = None,
    ) -> None:
        super().__init__(parent)
        self._worker = worker
        self._desk = desk
        self._decimal_sign = decimal_sign
        self._tank_id = tank_id
        self._person_id: str | None = None
        self._last: Shown | None = None
        # The newest reading that the worker made, which the window may not have taken yet.
        self._made: Shown | None = None
        self.keys = KeyTurns(self.behind.emit, self.did.emit, self)
        self.undoing = Undoing(self)
        self.deeds = RoundDeeds(self)
        self._beside: Beside | None = None
        self._is_changed = False
        self._has_left = False
        # The page of setting down that is shown, None while there is none.
        self.page: Callable[[], object] = _no_page
        # Whether the household is worth a backup; the sample is not.
        self.backs_up = True
        desk.listeners.append(self._on_change)

    @property
    def is_behind(self) -> bool:
        """Whether something is being written that is not shown yet."""
        return self.keys.turns.is_behind

    @property
    def last(self) -> Shown | None:
        """The newest reading."""
        return self._last

    @property
    def household(self) -> Household | None:
        """The definitions of the newest reading."""
        return self._last.state.household if self._last is not None else None

    @property
    def person_id(self) -> str | None:
        """Who is at the window, or None."""
        return self._person_id

    @property
    def desk(self) -> Desk:
        """The desk, for work that is run in the worker."""
        return self._desk

    def set_person(self, person_id: str | None) -> None:
        """Let what is done from now on be done by this person, and tell what that one lifts."""
        is_new = person_id != self._person_id
        self._person_id = person_id
        if is_new and self._last is not None:
            self.refresh()

    def set_tank(self, tank_id: str | None) -> None:
        """Narrow what is shown to one tank, or widen it to the whole house."""
        if tank_id != self._tank_id and not self._has_left:
            self._tank_id = tank_id
            self.keys.turns.begin()
            self._worker.run(self._read, self._on_narrowed, self._on_written_broke)

    @property
    def tank_id(self) -> str | None:
        """The tank to which what is shown is narrowed, or None."""
        return self._tank_id

    @property
    def is_narrowing(self) -> bool:
        """Whether a tank was chosen whose lines are not shown yet."""
        last = self._last
        return self.is_behind and last is not None and last.sheet.narrowed_to != self._tank_id

    def set_beside(self, read: Beside | None) -> None:
        """Let every reading from now on also hold what this gives, as its `beside`."""
        self._beside = read

    def read_with(
        self,
        read: Beside,
        told: Callable[[object], None],
        failed: Callable[[Exception], None] | None = None,
    ) -> None:
        """Read one such thing, as the newest reading has the household when its turn has come.

        What cannot be read is told by the window, where nobody takes it that `failed`. What it
        gives is never of an older reading than `last`: that the worker made before, in its order.
        """

        def work() -> object:
            assert self._made is not None
            return read(self._desk, self._made)

        if self._last is not None:
            self._worker.run(work, told, failed or self._on_broke)

    def refresh(self) -> None:
        """Read the household anew."""
        if self._has_left:
            return
        self._worker.run(self._read, self._on_looked, self._on_broke)

    def look(self) -> None:
        """Read anew only if somebody else wrote, or if the hour changes what is shown."""
        if self._has_left:
            return
        self._worker.run(self._read_if_changed, self._on_looked, self._on_broke)

    def write(
        self,
        work: Callable[[Desk], tuple[Entry, ...]],
        answer: Answer,
        stands_apart: Callable[[], Apart | None] = lambda: None,
    ) -> None:
        """Write what belongs together; one undo takes all its entries back.

        What comes of it is told only after the commit. Something may stand apart from the
        household, which undo takes back in its turn.
        """
        page, key = self.page(), self.keys.acting

        def done(entries: tuple[Entry, ...]) -> None:
            words = answer.words if answer.tell is None else answer.tell(entries)
            apart = stands_apart()
            if entries or apart is not None:
                ids = tuple(entry.id for entry in entries)
                deed = Deed(words, ids, answer.undone, apart, answer.stands, page, key)
                self.undoing.remember(deed)
            if answer.kept is not None:
                answer.kept()
            moved = "" if answer.moved is None else answer.moved()
            self.did.emit(f"{words} {moved}".strip())

        self.carry_out(lambda: work(self._desk), done, answer.refused)

    def settle(self, write: Callable[[Desk], SetDown], answer: Answer) -> None:
        """Set down what the household is."""
        done: list[SetDown] = []

        def work(desk: Desk) -> tuple[Entry, ...]:
            done.append(write(desk))
            return done[-1].entries

        self.write(work, answer, lambda: done[-1].apart)

    def change_apart(self, apart: Apart, answer: Answer) -> None:
        """Change something apart from the household; undo takes it back in its turn."""

        def work(_desk: Desk) -> tuple[Entry, ...]:
            apart.redo()
            return ()

        self.write(work, answer, lambda: apart)

    def carry_out(self, work: Callable[[], T], done: Callable[[T], None], refused: Refused) -> None:
        """Do in the worker what writes, tell what came of it, and show it then."""

        def and_show(result: T) -> None:
            done(result)
            self._show_written()

        self.keys.turns.begin()
        self._worker.run(work, and_show, self._failing(refused))

    def find_out(self, read: Callable[[Desk], T], told: Callable[[T], None]) -> None:
        """Read something once in the worker."""
        self._worker.run(lambda: read(self._desk), told, self._on_broke)

    def last_times(self, row: ItemRow, told: Callable[[tuple[Entry, ...]], None]) -> None:
        """Read when a chore was done before."""
        chore = row.item.chore.id
        self.find_out(lambda desk: last_times(desk, chore), told)

    def back_up(self) -> None:
        """Write a rolling backup if something changed since the last one."""
        self._worker.run(self._roll, self._on_backed_up, self._on_broke)

    def leave(self) -> None:
        """Let the worker finish what is under way and close the household; nothing is told.

        What was written here since the last backup is backed up before, where it is worth it.
        """
        self._has_left = True
        self.keys.forget()
        self._worker.forget()
        self._worker.run(self._close, _nothing, _raised)

    def _close(self) -> None:
        try:
            if self.backs_up and self._is_changed:
                keeping.rolling_backup(self._desk)
        except (Surroundings, OSError) as failure:
            # Nobody is left to tell; the log has it, and the next start shows the older backup.
            _log.warning("no backup could be written on leaving", exc_info=failure)
        finally:
            self._desk.store.close()

    def _on_change(self, _change: Change) -> None:
        """Take note, in whatever thread writes, that there is something to back up."""
        self._is_changed = True

    def _read(self) -> Shown:
        shown = read_household(self._desk, self._tank_id, self._decimal_sign, self._person_id)
        self._made, beside = shown, self._beside
        return shown if beside is None else replace(shown, beside=beside(self._desk, shown))

    def _read_if_changed(self) -> Shown | None:
        last = self._last
        if last is None:
            return None
        now = self._desk.clock.now()
        is_same = self._desk.store.change_mark() == last.change_mark
        if is_same and last.state.moment.now <= now < last.changes_at:
            return None
        return self._read()

    def _on_looked(self, shown: Shown | None) -> None:
        """Show a reading, unless one follows that also holds what is being written.

        The keys would not go on from a line that is not closed yet, and the next press would take
        back what the one before had done.
        """
        if not self.keys.turns.is_behind:
            self._on_read(shown)

    def _on_narrowed(self, shown: Shown) -> None:
        """Show the lines of a tank, unless a reading follows that has them and what is written."""
        if not self.keys.turns.is_several:
            self._on_read(shown)
        self.keys.turns.end()

    def _on_read(self, shown: Shown | None) -> None:
        if shown is not None:
            self._last = shown
            self.shown.emit(shown)

    def _on_broke(self, error: Exception) -> None:
        self.broke.emit(error)

    def _roll(self) -> object:
        path = keeping.rolling_backup(self._desk)
        # Here in the worker, where all is written: what comes after it is changed again.
        self._is_changed = False
        return path

    def _on_backed_up(self, path: object) -> None:
        if path is not None:
            self.refresh()

    def _failing(self, refused: Refused) -> Callable[[Exception], None]:
        """Return what tells a refusal to whoever asked, and everything else to the window."""

        def failed(error: Exception) -> None:
            if isinstance(error, TankkeeperError):
                refused(error)
            else:
                self.broke.emit(error)
            self._show_written()

        return failed

    def _show_written(self) -> None:
        """Read what a deed came to; only then do the keys that were pressed meanwhile act."""
        self._worker.run(self._read, self._on_written_read, self._on_written_broke)

    def _on_written_read(self, shown: Shown) -> None:
        self._on_read(shown)
        self.keys.turns.end()

    def _on_written_broke(self, error: Exception) -> None:
        self.keys.turns.end()
        self._on_broke(error)


def _no_page() -> object:
    return None


def _nothing(_closed: None) -> None:
    """Take note of nothing: there is nobody left to tell."""


def _raised(error: Exception) -> None:
    raise error
