"""When what was done or left out comes next, in words."""

from __future__ import annotations

from collections.abc import Sequence

from tankkeeper.reports.numbers import listed
from tankkeeper.reports.words import Words
from tankkeeper.services.next_days import Coming

# The days of more chores than these are looked up where they stand.
_MOST_NEXT = 3


def next_words(coming: Sequence[Coming], settled: int, words: Words) -> str:
    """Return when chores come next: "Next on Thu 10 Dec.", of several days each with its name.

    `settled` is how many were done or left out: where not all of them come on that one day, those
    that do are named.
    """
    if not coming or len(coming) > _MOST_NEXT:
        return ""
    told = [(one.chore.name, _coming_on(one, words)) for one in coming]
    if len(told) == settled and len({when for _, when in told}) == 1:
        return f"Next {told[0][1]}."
    return f"Next: {listed([f'{name} {when}' for name, when in told])}."


def _coming_on(one: Coming, words: Words) -> str:
    """Return when a turn comes: "tomorrow at 07:00", "on Thu 10 Dec", "about Sat 28"."""
    day = words.weekday_and_number(one.day)
    if one.is_expected:
        return f"about {day}"
    near = {0: "today", 1: "tomorrow"}.get((one.day - words.today).days)
    at = f" at {words.clock(one.at)}" if one.at is not None else ""
    return f"{near or f'on {day}'}{at}"
