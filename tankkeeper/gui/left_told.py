"""What was done for an earlier time tells which turn it leaves as it was."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tankkeeper.gui.dated_back import Work
from tankkeeper.reports.noted_words import left_words
from tankkeeper.services.desk import Desk
from tankkeeper.services.turns_left import turns_left

if TYPE_CHECKING:
    from tankkeeper.core.logbook import Entry
    from tankkeeper.gui.deeds import Answer
    from tankkeeper.reports.words import Words


def told_with_left(
    desk: Desk, work: Work, answer: Answer, words: Words, lines: Callable[[], Sequence[str]]
) -> tuple[Work, Answer]:
    """Return work that also finds which lines it was said of and leaves, and the answer with that.

    `lines` are turns or chores by id, asked for once the work is done. What is done now is of the
    turn that stood under the keys.
    """
    found: list[str] = []

    def with_it() -> tuple[Entry, ...]:
        now = desk.clock.now()
        entries = work()
        if any(one.at < now for one in entries):
            said_of = lines()
            left = turns_left(desk.state(), said_of, entries)
            found.append(left_words(left, len(said_of), words))
        return entries

    def moved() -> str:
        before = "" if answer.moved is None else answer.moved()
        return " ".join(part for part in (*found, before) if part)

    return with_it, replace(answer, moved=moved)
