"""What was given at a feeding, in the words in which the logbook keeps it."""

from __future__ import annotations

from tankkeeper.reports.words import Words
from tankkeeper.services.fed import Fed


def fed_as_read(amount: float | str | None, food: str, words: Words) -> Fed:
    """Return what was given: grams, or how many of what else, and of which food.

    `amount` is as `fed_amount` reads it, None where none was said.
    """
    if isinstance(amount, float):
        return Fed(amount, words.grams(amount), food)
    return Fed(None, amount or "", food)
