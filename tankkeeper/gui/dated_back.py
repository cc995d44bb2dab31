"""What is done for an earlier time tells what moves by it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from tankkeeper.core.logbook import Entry
from tankkeeper.reports.effect_words import effect_words
from tankkeeper.reports.words import Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.effects import Effects, with_effects

if TYPE_CHECKING:
    from tankkeeper.gui.deeds import Answer

Work = Callable[[], tuple[Entry, ...]]


def told_with_effects(desk: Desk, work: Work, answer: Answer, words: Words) -> tuple[Work, Answer]:
    """Return work that also finds what it changes, and the answer that tells it.

    What is done now changes what everybody expects, so of that nothing is told.
    """
    found: list[Effects] = []

    def with_it() -> tuple[Entry, ...]:
        now = desk.clock.now()
        entries, effects = with_effects(desk, lambda _desk: work())
        if any(one.at < now for one in entries):
            found.append(effects)
        return entries

    def moved() -> str:
        return " ".join(effect_words(one, words) for one in found)

    return with_it, replace(answer, moved=moved)
