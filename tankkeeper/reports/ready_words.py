"""What a water change has ready for it, or has not, while it is set down."""

from __future__ import annotations

from collections.abc import Iterable

from tankkeeper.core.amounts import AmountDue
from tankkeeper.core.chores import Chore
from tankkeeper.core.making_ready import NotReady
from tankkeeper.core.mixed_batches import CLOSEST_L
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


def unready_words(
    waits: NotReady, words: Words, amount: AmountDue | None = None, *, is_short: bool = False
) -> str:
    """Return that the water of a change is not mixed, or until when it is not ready.

    `amount` is what it takes, where that is known. Where what stands there `is_short`, it is not
    said to be for this change.
    """
    if waits.ready_at is None:
        stands = stands_words(waits, amount, words)
        told = f"Only {stands}" if stands else "No salt water is mixed for it"
        return f"{told}: {unmixed_words(waits)}."
    which = "What was mixed last" if is_short else "Its salt water"
    return f"{which} is not ready until {words.at(waits.ready_at)}."


def stands_words(waits: NotReady, amount: AmountDue | None, words: Words) -> str:
    """Return what stands mixed for a change and what is missing, empty where nothing stands."""
    if amount is None or amount.unit != "L" or waits.stands_l <= CLOSEST_L:
        return ""
    missing = words.litres(amount.value - waits.stands_l)
    return f"{words.litres(waits.stands_l)} stands mixed for it and {missing} is missing"


def unmixed_words(waits: NotReady) -> str:
    """Return why no water stands ready for a change: "Mix salt water is not done yet"."""
    if waits.falls_short:
        return f"what {waits.prep.name} made last is not enough for it"
    return f"{waits.prep.name} is not done yet"
