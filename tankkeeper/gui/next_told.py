"""What was done, left out or let go on just now tells when it comes next."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tankkeeper.gui.dated_back import Work
from tankkeeper.reports.limit_words import skipped_limit_words
from tankkeeper.reports.next_words import next_words
from tankkeeper.services.desk import Desk
from tankkeeper.services.next_days import next_days, settled_by
from tankkeeper.services.skipped_limits import limits_passed

if TYPE_CHECKING:
    from tankkeeper.core.logbook import Entry
    from tankkeeper.gui.deeds import Answer
    from tankkeeper.reports.words import Words


def told_with_next(desk: Desk, work: Work, answer: Answer, words: Words) -> tuple[Work, Answer]:
    """Return work that also finds when what counts from it comes next, and the answer that says so.

    What is done for an earlier time tells that by what it moves.
    """
    found: list[str] = []

    def with_it() -> tuple[Entry, ...]:
        now = desk.clock.now()
        entries = work()
        fresh = [one for one in entries if one.at >= now]
        if fresh:
            state = desk.state()
            # The limit stands first: the end of a long foot is what is cut.
            found.append(skipped_limit_words(limits_passed(state, fresh), words))
            found.append(next_words(next_days(state, fresh), len(settled_by(fresh)), words))
        return entries

    def moved() -> str:
        before = "" if answer.moved is None else answer.moved()
        return " ".join(part for part in (*found, before) if part)

    return with_it, replace(answer, moved=moved)
