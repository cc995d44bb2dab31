"""What a water change has ready for it, or has not, while it is set down."""

from __future__ import annotations

from collections.abc import Iterable

from tankkeeper.core.chores import Chore
from tankkeeper.core.making_ready import NotReady
from tankkeeper.reports.rhythms import rhythm_words
from tankkeeper.reports.words import Words
from tankkeeper.services.readiness import Readiness


def ready_line(found: Readiness, words: Words, key: str) -> str:
    """Return what follows, or which day has no water; `key` lets the mixing follow."""
    told = followed_words(found.followers)
    if found.prep is not None and found.change is not None and found.day is not None:
        day = words.on_day(found.day)
        told.append(
            f"No salt water is mixed for {found.change.name} {day}: "
            f"{found.prep.name} comes {rhythm_words(found.prep)}."
        )
        if found.can_follow:
            told.append(f"{key} lets it follow.")
    return " ".join(told)


def followed_words(followers: Iterable[Chore]) -> list[str]:
    """Return which rhythm follows another change: "Mix salt water follows: every Friday."."""
    return [f"{one.name} follows: {rhythm_words(one)}." for one in followers]


def unready_words(waits: NotReady, words: Words, *, is_short: bool = False) -> str:
    """Return that the water of a change is not mixed, or until when it is not ready.

    Where what stands there `is_short`, it is not said to be for this change.
    """
    if waits.ready_at is None:
        return f"No salt water is mixed for it: {unmixed_words(waits)}."
    which = "What was mixed last" if is_short else "Its salt water"
    return f"{which} is not ready until {words.at(waits.ready_at)}."


def unmixed_words(waits: NotReady) -> str:
    """Return why no water stands ready for a change: "Mix salt water is not done yet"."""
    if waits.falls_short:
        return f"what {waits.prep.name} made last is not enough for it"
    return f"{waits.prep.name} is not done yet"
