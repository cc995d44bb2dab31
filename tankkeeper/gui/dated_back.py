"""What is done tells what else moves by it, of an earlier time all, and what was done already."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tankkeeper.core.logbook import Entry
from tankkeeper.gui.beside import ticked_words
from tankkeeper.reports.effect_words import effect_words
from tankkeeper.reports.window_words import done_already
from tankkeeper.reports.words import Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.effects import Effects, brought_to, with_effects

if TYPE_CHECKING:
    from tankkeeper.gui.deeds import Answer
    from tankkeeper.gui.models.round_rows import ItemRow
    from tankkeeper.services.ticking import Outcome

Work = Callable[[], tuple[Entry, ...]]


def told_with_effects(desk: Desk, work: Work, answer: Answer, words: Words) -> tuple[Work, Answer]:
    """Return work that also finds what it changes, and the answer that tells it.

    What is done now changes what everybody expects, so of that only other work is told that it
    brings to today: a line appears where none was foretold.
    """
    found: list[Effects] = []

    def with_it() -> tuple[Entry, ...]:
        now = desk.clock.now()
        entries, effects = with_effects(desk, lambda _desk: work())
        if any(one.at < now for one in entries):
            found.append(effects)
        else:
            found.append(brought_to(words.today, effects, entries))
        return entries

    def moved() -> str:
        return " ".join(effect_words(one, words) for one in found)

    return with_it, replace(answer, moved=moved)


def told_as_it_came(
    came: Sequence[Outcome],
    rows: Sequence[ItemRow],
    names: Sequence[str],
    when: str,
    words: Words,
) -> str:
    """Return what ticks came to where some wrote nothing or another hour, empty where none did."""
    said = list(zip(came, rows, names, strict=True))
    done, hours = [], []
    for one, row, name in said:
        if one.was_done_already:
            done.append(done_already(name, one.entry, words))
        elif one.entry.completes and one.entry.completes[0].slot != row.item.turn.slot:
            hours.append(name)
    if not done and not hours:
        return ""
    ticked = [
        _with_hour(one, name, name in hours) for one, _, name in said if not one.was_done_already
    ]
    beside = [name for one, _, name in said if one.is_beside and not one.was_done_already]
    first = [ticked_words(", ".join(ticked), beside, when)] if ticked else []
    return " ".join((*first, *done))


def _with_hour(one: Outcome, name: str, is_other: bool) -> str:
    slot = one.entry.completes[0].slot if is_other else None
    return name if slot is None else f"{name} at {slot:%H:%M}"
