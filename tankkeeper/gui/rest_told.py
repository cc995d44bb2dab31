"""A part of the fresh water that was missing tells when its rest comes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tankkeeper.core.logbook import Entry
from tankkeeper.gui.dated_back import Work
from tankkeeper.reports.noted_words import left_to_mix, rest_words
from tankkeeper.reports.words import Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.fresh_rest import is_part, rest_of
from tankkeeper.services.mixed_amounts import parts_mixed, rest_of_mixing

if TYPE_CHECKING:
    from tankkeeper.gui.deeds import Answer


def told_with_rest(desk: Desk, work: Work, answer: Answer, words: Words) -> tuple[Work, Answer]:
    """Return work that also finds what a part of today left open, and the answer that tells it."""
    found: list[str] = []

    def with_it() -> tuple[Entry, ...]:
        entries = work()
        parts = [one for one in entries if is_part(one) and one.day == words.today]
        if parts:
            state = desk.state()
            rests = [rest_of(state, one) for one in parts]
            found.extend(rest_words(rest, words) for rest in rests if rest is not None)
        for chore in dict.fromkeys(one for entry in entries for one in parts_mixed(entry)):
            left_l = rest_of_mixing(desk.state(), chore)
            found.extend([] if left_l is None else [left_to_mix(left_l, words)])
        return entries

    def moved() -> str:
        more = "" if answer.moved is None else answer.moved()
        return " ".join(part for part in (*found, more) if part)

    return with_it, replace(answer, moved=moved)
