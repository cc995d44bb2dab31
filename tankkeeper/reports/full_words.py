"""That nothing is missing of a moment after which a tank or its reservoir was filled up."""

from __future__ import annotations

from datetime import datetime

from tankkeeper.core.chores import Chore
from tankkeeper.core.logbook import Entry, ReservoirCheck
from tankkeeper.core.state import HouseholdState
from tankkeeper.reports.words import Words
from tankkeeper.services.fresh_fills import full_since


def full_already(state: HouseholdState, chore: Chore, at: datetime | None, words: Words) -> str:
    """Return what is so where a chore was filled up at a moment or since, else an empty text."""
    filled = full_since(state, chore, at)
    return "" if filled is None else full_since_words(filled, words)


def full_since_words(filled: Entry, words: Words) -> str:
    """Return that a fill made up for what was missing until it."""
    how_far = "until full" if isinstance(filled.fact, ReservoirCheck) else "to the mark"
    when = f"{words.on_day_at(filled.at)} at {words.clock(filled.at)}"
    return f"It was filled {how_far} {when}, which made up for all that was missing before."
