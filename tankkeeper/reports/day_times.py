"""The parts of a day that typed words name, with the hour that each stands for."""

from __future__ import annotations

from datetime import time
from typing import Final

# Common practice, no source: the hours at which such work is usually done.
DAY_TIMES: Final = {
    "morning": time(8),
    "noon": time(12),
    "midday": time(12),
    "afternoon": time(15),
    "evening": time(19),
    "night": time(22),
}
_ALONE: Final = {"tonight": "today night", "last night": "yesterday night"}
_TODAY: Final = ("", "this")


def split_day_time(text: str) -> tuple[str, time] | None:
    """Return what names the day, and the hour of its part; None where no part is named.

    >>> split_day_time("Monday evening"), split_day_time("this morning")
    (('monday', datetime.time(19, 0)), ('today', datetime.time(8, 0)))
    """
    plain = " ".join(text.casefold().replace(",", " ").split())
    day, _, part = _ALONE.get(plain, plain).rpartition(" ")
    wall = DAY_TIMES.get(part)
    if wall is None:
        return None
    day = day.removesuffix(" in the").removesuffix(" at")
    return ("today" if day in _TODAY else day), wall
