"""What a person does with the lines of a page: each deed is one use case, told once it is kept."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry
from tankkeeper.gui.deeds import Answer
from tankkeeper.services import moving, noting, taking_back, ticking

if TYPE_CHECKING:
    from tankkeeper.gui.session import Session


class RoundDeeds:
    """Ticks, leaves out, puts off, pauses, notes and takes back, by who is at the window."""

    def __init__(self, session: Session) -> None:
        self._session = session

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
        desk, last = self._session.desk, self._session.last
        came: list[ticking.Outcome] = []

        def work() -> tuple[Entry, ...]:
            came[:] = ticking.tick(desk, ticks, keeps_told=in_form)
            return tuple(one.entry for one in came if not one.was_done_already)

        if as_it_came is not None:
            told, usual = as_it_came, answer

            def tell(entries: tuple[Entry, ...]) -> str:
                words = usual.words if usual.tell is None else usual.tell(entries)
                return told(tuple(came)) or words

            answer = replace(answer, tell=tell)

        if len(ticks) == 1 and last is not None:
            from tankkeeper.gui.dated_back import told_with_effects

            work, answer = told_with_effects(desk, work, answer, last.sheet.words)
        if last is not None:
            from tankkeeper.gui.left_told import told_with_left

            def said_of() -> Sequence[str]:
                if lines is not None:
                    return lines
                return [
                    one.item
                    for one, outcome in zip(ticks, came, strict=True)
                    if not (outcome.was_done_already or outcome.stays_open)
                ]

            work, answer = told_with_left(desk, work, answer, last.sheet.words, said_of)
        is_poured = any(one.litres is not None or one.as_proposed for one in ticks)
        if is_poured and last is not None:
            from tankkeeper.gui.rest_told import told_with_rest

            work, answer = told_with_rest(desk, work, answer, last.sheet.words)
        self._write_with_next(work, answer)

    def skip(self, items: Sequence[str], why: str, answer: Answer) -> None:
        """Leave turns out."""
        desk, by = self._session.desk, self._session.person_id

        def work() -> tuple[Entry, ...]:
            return tuple(one.entry for one in moving.skip(desk, items, why, by))

        self._write_with_next(work, answer)

    def put_off(self, items: Sequence[str], to: date, answer: Answer) -> None:
        """Put turns off to a day."""
        desk, by = self._session.desk, self._session.person_id
        self._move(lambda: moving.put_off_all(desk, items, to, by), answer)

    def pause_chore(self, item: str, until: date | None, answer: Answer) -> None:
        """Pause a chore."""
        desk, by = self._session.desk, self._session.person_id
        self._move(lambda: (moving.pause_chore(desk, item, until, by),), answer)

    def pause_tank(self, tank: Tank, until: date | None, answer: Answer) -> None:
        """Pause a tank."""
        desk, by = self._session.desk, self._session.person_id
        self._move(lambda: (moving.pause_tank(desk, tank, until, by),), answer)

    def resume_chore(self, item: str, answer: Answer) -> None:
        """End the pause of a chore."""
        desk, by = self._session.desk, self._session.person_id
        self._write_with_next(lambda: (moving.resume_chore(desk, item, by).entry,), answer)

    def resume_tank(self, tank: Tank, answer: Answer) -> None:
        """End the pause of a tank."""
        desk, by = self._session.desk, self._session.person_id
        self._move(lambda: (moving.resume_tank(desk, tank, by),), answer)

    def note(self, text: str, tank: Tank | None, answer: Answer) -> None:
        """Write a remark into the logbook."""
        stamp = noting.Stamp(by=self._session.person_id)
        self._session.write(lambda desk: (noting.log_note(desk, text, tank, stamp).entry,), answer)

    def take_back(self, entries: Sequence[str], answer: Answer) -> None:
        """Take back entries by adding rows; undo takes those rows back in turn."""
        by = self._session.person_id
        self._session.undoing.claim(entries)
        self._session.write(lambda desk: taking_back.take_back_all(desk, entries, by), answer)

    def _move(self, work: Callable[[], Sequence[moving.Moved]], answer: Answer) -> None:
        self._session.write(lambda _desk: tuple(one.entry for one in work()), answer)

    def _write_with_next(self, work: Callable[[], tuple[Entry, ...]], answer: Answer) -> None:
        """Write what is settled or goes on, and tell when it comes next."""
        last = self._session.last
        if last is not None:
            from tankkeeper.gui.next_told import told_with_next

            work, answer = told_with_next(self._session.desk, work, answer, last.sheet.words)
        self._session.write(lambda _desk: work(), answer)
