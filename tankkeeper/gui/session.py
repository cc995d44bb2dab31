"""The open household as the window sees it: reads and writes in the worker, told as signals."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from tankkeeper.core.errors import Surroundings, TankkeeperError
from tankkeeper.core.household import Household, Tank
from tankkeeper.core.logbook import Entry
from tankkeeper.gui.deeds import Answer, Deed, Refused, TakenBack
from tankkeeper.gui.keys_ahead import LEFT_OUT, KeysAhead, is_form_open
from tankkeeper.gui.models.round_rows import ItemRow
from tankkeeper.gui.newest import (
    NOTHING,
    elsewhere_words,
    is_left_alone,
    left_alone_words,
    read_newest,
    undo_newest,
)
from tankkeeper.gui.reading import Shown, read_household
from tankkeeper.gui.turn_taking import TOO_LATE, TurnTaking
from tankkeeper.gui.worker import Worker
from tankkeeper.reports.logbook_words import entry_text
from tankkeeper.services import keeping, moving, noting, taking_back, ticking
from tankkeeper.services.desk import Change, Desk
from tankkeeper.services.logbook import last_times

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from tankkeeper.services.settling import Apart, SetDown

# What a page besides the round wants of every reading, read in the worker.
Beside = Callable[[Desk, Shown], object]
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
        self._done: list[Deed] = []
        self._undone: list[Deed] = []
        # What was written here, or taken back here, however it stands by now.
        self._own: set[str] = set()
        self._last: Shown | None = None
        # The newest reading that the worker made, which the window may not have taken yet.
        self._made: Shown | None = None
        self._turns = TurnTaking(self.behind.emit, lambda: self.did.emit(TOO_LATE))
        self._ahead = KeysAhead(lambda: self.did.emit(LEFT_OUT), self)
        # Keys of the page by their number: how many there were, which still wait for their turn,
        # and the one that acts now.
        self._key_count = 0
        self._keys_to_come: set[int] = set()
        self._key: int | None = None
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
        return self._turns.is_behind

    @property
    def turns(self) -> TurnTaking:
        """The order in which keys act."""
        return self._turns

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
            self._turns.begin()
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

    def in_turn(self, do: Callable[[], None], *, lasts: bool = False) -> None:
        """Do this now, or as soon as what is being written is shown: keys act in their order.

        What `lasts` is done however long the writing takes.
        """
        self._turns.do(do, lasts=lasts)

    def key_in_turn(
        self, do: Callable[[], None], *, opens: bool = False, lasts: bool = False
    ) -> None:
        """Do what a key of the page says in its turn, unless a form stands over the page by then.

        Where it `opens` a form, what is typed meanwhile waits for that. What `lasts` is meant
        however long the writing takes.
        """
        self._key_count += 1
        number = self._key_count
        self._keys_to_come.add(number)
        if opens:
            self._ahead.hold()

        def act() -> None:
            is_meant = number in self._keys_to_come
            self._keys_to_come.discard(number)
            if is_meant and is_form_open():
                self.did.emit(LEFT_OUT)
            elif is_meant and opens:
                with self._ahead.making():
                    do()
            elif is_meant:
                self._key = number
                try:
                    do()
                finally:
                    self._key = None
            if opens:
                self._ahead.hand_over()

        self._turns.do(act, lasts=lasts)

    @property
    def key_count(self) -> int:
        """How many keys of the page there were, which is the number of the newest."""
        return self._key_count

    def leave_key(self, number: int) -> bool:
        """Let a key do nothing that waits for its turn; tell whether it did."""
        is_to_come = number in self._keys_to_come
        self._keys_to_come.discard(number)
        return is_to_come

    def take_back_key(self, number: int | None, told: TakenBack, refused: Refused) -> None:
        """Take back what a key did if that is the newest deed, and say what came of it."""
        if number is None or all(one.key != number for one in self._done):
            self.did.emit(told.nothing)
        elif self._done[-1].key == number:
            self._take_back(self._done, self._undone, lambda _deed: told.written, refused)

    def keys_wait(self, past: QWidget) -> None:
        """Hold what is typed behind a form that is being kept for the form that follows it."""
        self._ahead.hold(past)

    def hand_keys_on(self, past: QWidget) -> None:
        """Give what was held behind a form to the one that stands by now; it tells where none."""
        self._ahead.hand_on(past)

    def ask_next(self, form: QWidget, ask: Callable[[], None]) -> None:
        """Let a form ask something else, and give it then what was held behind it."""
        with self._ahead.making():
            ask()
        self._ahead.go_on(form)

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

    def tick(
        self,
        ticks: Sequence[ticking.Tick],
        answer: Answer,
        as_it_came: Callable[[tuple[ticking.Outcome, ...]], str] | None = None,
        lines: Sequence[str] | None = None,
        *,
        in_form: bool = False,
    ) -> None:
        """Mark items as done; what one of an earlier time moves, or leaves, is told with it.

        What was told `in_form` of work that was done meanwhile is refused, and stays there.

        `as_it_came` tells it in other words where it came to something else, else in none. `lines`
        are those on which the key was pressed, by turn, where it is another turn that is ticked;
        none where that is told in another way.
        """
        came: list[ticking.Outcome] = []

        def work() -> tuple[Entry, ...]:
            came[:] = ticking.tick(self._desk, ticks, keeps_told=in_form)
            return tuple(one.entry for one in came if not one.was_done_already)

        if as_it_came is not None:
            told, usual = as_it_came, answer

            def tell(entries: tuple[Entry, ...]) -> str:
                words = usual.words if usual.tell is None else usual.tell(entries)
                return told(tuple(came)) or words

            answer = replace(answer, tell=tell)

        if len(ticks) == 1 and ticks[0].at is not None and self._last is not None:
            from tankkeeper.gui.dated_back import told_with_effects

            work, answer = told_with_effects(self._desk, work, answer, self._last.sheet.words)
        if self._last is not None:
            from tankkeeper.gui.left_told import told_with_left

            def said_of() -> Sequence[str]:
                if lines is not None:
                    return lines
                return [
                    one.item
                    for one, outcome in zip(ticks, came, strict=True)
                    if not (outcome.was_done_already or outcome.stays_open)
                ]

            work, answer = told_with_left(self._desk, work, answer, self._last.sheet.words, said_of)
        is_poured = any(one.litres is not None or one.as_proposed for one in ticks)
        if is_poured and self._last is not None:
            from tankkeeper.gui.rest_told import told_with_rest

            work, answer = told_with_rest(self._desk, work, answer, self._last.sheet.words)
        self._write_with_next(work, answer)

    def skip(self, items: Sequence[str], why: str, answer: Answer) -> None:
        """Leave turns out."""

        def work() -> tuple[Entry, ...]:
            skipped = moving.skip(self._desk, items, why, self._person_id)
            return tuple(one.entry for one in skipped)

        self._write_with_next(work, answer)

    def _write_with_next(self, work: Callable[[], tuple[Entry, ...]], answer: Answer) -> None:
        """Write what is settled or goes on, and tell when it comes next."""
        if self._last is not None:
            from tankkeeper.gui.next_told import told_with_next

            work, answer = told_with_next(self._desk, work, answer, self._last.sheet.words)
        self._write(work, answer)

    def put_off(self, items: Sequence[str], to: date, answer: Answer) -> None:
        """Put turns off to a day."""
        self._write_moved(
            lambda: moving.put_off_all(self._desk, items, to, self._person_id), answer
        )

    def pause_chore(self, item: str, until: date | None, answer: Answer) -> None:
        """Pause a chore."""
        self._write_moved(
            lambda: (moving.pause_chore(self._desk, item, until, self._person_id),), answer
        )

    def pause_tank(self, tank: Tank, until: date | None, answer: Answer) -> None:
        """Pause a tank."""
        self._write_moved(
            lambda: (moving.pause_tank(self._desk, tank, until, self._person_id),), answer
        )

    def resume_chore(self, item: str, answer: Answer) -> None:
        """End the pause of a chore."""
        self._write_with_next(
            lambda: (moving.resume_chore(self._desk, item, self._person_id).entry,), answer
        )

    def resume_tank(self, tank: Tank, answer: Answer) -> None:
        """End the pause of a tank."""
        self._write_moved(lambda: (moving.resume_tank(self._desk, tank, self._person_id),), answer)

    def note(self, text: str, tank: Tank | None, answer: Answer) -> None:
        """Write a remark into the logbook."""
        stamp = noting.Stamp(by=self._person_id)

        def work() -> tuple[Entry, ...]:
            return (noting.log_note(self._desk, text, tank, stamp).entry,)

        self._write(work, answer)

    def write(self, work: Callable[[Desk], tuple[Entry, ...]], answer: Answer) -> None:
        """Write what belongs together; one undo takes all its entries back."""
        self._write(lambda: work(self._desk), answer)

    def settle(self, write: Callable[[Desk], SetDown], answer: Answer) -> None:
        """Set down what the household is."""
        done: list[SetDown] = []

        def work() -> tuple[Entry, ...]:
            done.append(write(self._desk))
            return done[-1].entries

        self._write(work, answer, lambda: done[-1].apart)

    def change_apart(self, apart: Apart, answer: Answer) -> None:
        """Change something apart from the household; undo takes it back in its turn."""

        def work() -> tuple[Entry, ...]:
            apart.redo()
            return ()

        self._write(work, answer, lambda: apart)

    def remember(self, deed: Deed) -> None:
        """Let undo take back what was done already."""
        self._done.append(deed)
        self._undone.clear()
        self._own.update(deed.entries)

    def is_own(self, entry: str) -> bool:
        """Tell whether it is by this window that an entry stands, or stands no more."""
        return entry in self._own

    def take_back(self, entries: Sequence[str], answer: Answer) -> None:
        """Take back entries by adding rows; undo takes those rows back in turn."""
        self._own.update(entries)
        self._write(lambda: taking_back.take_back_all(self._desk, entries, self._person_id), answer)

    @property
    def can_undo(self) -> bool:
        """Whether something done in this window can be taken back."""
        return bool(self._done)

    @property
    def can_redo(self) -> bool:
        """Whether something taken back in this window can be done again."""
        return bool(self._undone)

    @property
    def undo_words(self) -> str:
        """What undo would take back, empty when nothing."""
        return self._done[-1].words if self._done else ""

    def undo(self, refused: Refused) -> None:
        """Take back what was done last: in this window, else the newest entry of today."""
        if self._done:
            self._take_back(self._done, self._undone, _undone_words, refused)
            return
        self._turns.begin()
        self._worker.run(self._undo_newest, self._on_undone, self._failing(refused))

    @property
    def undo_page(self) -> object:
        """The page on which that was done which undo would take back, None where on none."""
        return self._done[-1].page if self._done else None

    def tell_undo(self) -> None:
        """Say what undo would take back, and take nothing back."""
        if self._done:
            self.did.emit(elsewhere_words(self._done[-1].words))
        else:
            self._worker.run(lambda: read_newest(self._desk), self._on_newest, self._on_broke)

    def _on_newest(self, newest: Entry | None) -> None:
        last = self._last
        if newest is None or last is None:
            self.did.emit(NOTHING)
        elif is_left_alone(newest, self._person_id, last.state.moment):
            self.did.emit(left_alone_words(newest, self._person_id, last.sheet.words))
        else:
            self.did.emit(elsewhere_words(f"{entry_text(newest, last.sheet.words, {})}."))

    def redo(self, refused: Refused) -> None:
        """Do again what was taken back last in this window."""
        if self._undone:
            self._take_back(self._undone, self._done, _redone_words, refused)
        else:
            self.did.emit("Nothing was undone in this window that could be done again.")

    def last_times(self, row: ItemRow, told: Callable[[tuple[Entry, ...]], None]) -> None:
        """Read when a chore was done before."""
        chore = row.item.chore.id
        self._worker.run(lambda: last_times(self._desk, chore), told, self._on_broke)

    def back_up(self) -> None:
        """Write a rolling backup if something changed since the last one."""
        self._worker.run(self._roll, self._on_backed_up, self._on_broke)

    def leave(self) -> None:
        """Let the worker finish what is under way and close the household; nothing is told.

        What was written here since the last backup is backed up before, where it is worth it.
        """
        self._has_left = True
        self._turns.forget()
        self._ahead.drop()
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
        if not self._turns.is_behind:
            self._on_read(shown)

    def _on_narrowed(self, shown: Shown) -> None:
        """Show the lines of a tank, unless a reading follows that has them and what is written."""
        if not self._turns.is_several:
            self._on_read(shown)
        self._turns.end()

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
        self._turns.end()

    def _on_written_broke(self, error: Exception) -> None:
        self._turns.end()
        self._on_broke(error)

    def _write(
        self,
        work: Callable[[], tuple[Entry, ...]],
        answer: Answer,
        stands_apart: Callable[[], Apart | None] = lambda: None,
    ) -> None:
        """Write in the worker; what comes of it is told only after the commit."""
        page, key = self.page(), self._key

        def done(entries: tuple[Entry, ...]) -> None:
            words = answer.words if answer.tell is None else answer.tell(entries)
            apart = stands_apart()
            if entries or apart is not None:
                ids = tuple(entry.id for entry in entries)
                self.remember(Deed(words, ids, answer.undone, apart, answer.stands, page, key))
            if answer.kept is not None:
                answer.kept()
            moved = "" if answer.moved is None else answer.moved()
            self.did.emit(f"{words} {moved}".strip())
            self._show_written()

        self._turns.begin()
        self._worker.run(work, done, self._failing(answer.refused))

    def _write_moved(self, work: Callable[[], Sequence[moving.Moved]], answer: Answer) -> None:
        self._write(lambda: tuple(one.entry for one in work()), answer)

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
        deed = source.pop()

        def work() -> tuple[Entry, ...]:
            if deed.apart is not None:
                deed.apart.undo()
            if not deed.entries:
                return ()
            return taking_back.take_back_all(self._desk, deed.entries, self._person_id)

        def done(rows: tuple[Entry, ...]) -> None:
            ids = tuple(row.id for row in rows)
            apart = None if deed.apart is None else deed.apart.turned
            onto.append(replace(deed, entries=ids, apart=apart))
            if deed.stands is not None:
                deed.stands(onto is self._done)
            self.did.emit(told(deed))
            self._show_written()

        def failed(error: TankkeeperError) -> None:
            if isinstance(error, Surroundings):
                source.append(deed)
            refused(error)

        self._turns.begin()
        self._worker.run(work, done, self._failing(failed))

    def _undo_newest(self) -> taking_back.TakenBack | Entry | None:
        last = self._last
        if last is None:
            return None
        return undo_newest(self._desk, self._person_id, last.state.moment)

    def _on_undone(self, taken: taking_back.TakenBack | Entry | None) -> None:
        last = self._last
        if taken is None or last is None:
            self.did.emit(NOTHING)
        elif isinstance(taken, taking_back.TakenBack):
            words = entry_text(taken.target, last.sheet.words, taken.taken_back)
            deed = Deed(f"{words}.", (taken.entry.id,))
            self._undone.append(deed)
            self._own.add(taken.target.id)
            self.did.emit(deed.undone_words)
        else:
            self.did.emit(left_alone_words(taken, self._person_id, last.sheet.words))
        self._show_written()


def _undone_words(deed: Deed) -> str:
    return deed.undone_words


def _redone_words(deed: Deed) -> str:
    return deed.redone_words


def _no_page() -> object:
    return None


def _nothing(_closed: None) -> None:
    """Take note of nothing: there is nobody left to tell."""


def _raised(error: Exception) -> None:
    raise error
