"""Undos that were made at once, as one line: who takes back a deed of many rows did one thing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tankkeeper.core.logbook import Entry, PutOff, Revoke, Shift, Skip
from tankkeeper.reports.log_words import taken_back_by, undo_verb
from tankkeeper.reports.logbook_words import (
    DID_AGAIN,
    TAKEN_BACK,
    done_names,
    text_inside,
    what_was_undone,
)
from tankkeeper.reports.numbers import counted, listed
from tankkeeper.reports.words import Words
from tankkeeper.services.log_search import FoundEntry

_NAMES_TOLD = 3


def gathered(found: Iterable[FoundEntry]) -> list[tuple[FoundEntry, ...]]:
    """Return entries in their order, undos of one moment together where they stand together."""
    groups: list[list[FoundEntry]] = []
    for one in found:
        if groups and are_one(groups[-1][-1], one):
            groups[-1].append(one)
        else:
            groups.append([one])
    return [tuple(group) for group in groups]


def taken_back_words(text: str) -> str:
    """Return what is told once a line of the logbook is taken back: of an undo it is no undo.

    >>> taken_back_words("Clean the glass"), taken_back_words("Taken back: Clean the glass")
    ('Taken back: Clean the glass', 'Holds again: Clean the glass')
    """
    if text.startswith(f"{TAKEN_BACK}: "):
        return f"Holds again: {text.removeprefix(f'{TAKEN_BACK}: ')}"
    return f"{TAKEN_BACK}: {text.removeprefix(f'{DID_AGAIN}: ')}"


def are_one(above: FoundEntry, below: FoundEntry) -> bool:
    """Tell whether two entries that follow each other are undos of one deed.

    They were written at the same moment by the same person, hold alike, and did the same.
    """
    one, other = above.entry, below.entry
    if not isinstance(one.fact, Revoke) or not isinstance(other.fact, Revoke):
        return False
    return (
        (one.at, one.by) == (other.at, other.by)
        and abs(one.seq - other.seq) == 1
        and _fate(above) == _fate(below)
        and undo_verb(above) == undo_verb(below)
    )


def together_text(found: Sequence[FoundEntry], words: Words) -> str:
    """Return what several undos say as one: "Taken back: 34 entries of Feed and 2 more"."""
    done = [entry for one in found if (entry := _done(one)) is not None]
    # In the order in which it was done, whichever way it was taken back.
    names = dict.fromkeys(_name(one, words) for one in sorted(done, key=lambda one: one.seq))
    told = list(names)[:_NAMES_TOLD]
    more = len(names) - len(told)
    of = listed([*told, f"{more} more"] if more else told)
    count = counted(len(found), "entry", "entries")
    return f"{undo_verb(found[0])}: {count} of {of}" if of else f"{undo_verb(found[0])}: {count}"


def _done(found: FoundEntry) -> Entry | None:
    fact = found.entry.fact
    assert isinstance(fact, Revoke)
    return what_was_undone(fact, taken_back_by(found))[1]


def _name(done: Entry, words: Words) -> str:
    """Return by what name an undone entry is known: the chore, else what it says."""
    if isinstance(done.fact, Skip | PutOff | Shift):
        return words.chore_name(done.fact.turn.chore)
    return ", ".join(done_names(done, words)) or text_inside(done, words)


def _fate(found: FoundEntry) -> object:
    by = found.revoked_by
    return None if by is None else (by.at, by.by)
