"""What is said of a day to which work may be put off, but that lies past its window."""

from __future__ import annotations

from datetime import date

from tankkeeper.reports.words import Words


def days_late(end: date | None, to: date) -> str:
    """Return "2 days late" for a day past the end of a window, empty for one inside."""
    days = (to - end).days if end is not None else 0
    if days <= 0:
        return ""
    return "1 day late" if days == 1 else f"{days} days late"


def past_window(end: date | None, to: date, words: Words) -> str:
    """Return the sentence that says how far a day lies past a window, empty for one inside."""
    late = days_late(end, to)
    if end is None or not late:
        return ""
    verb = "could" if end < words.today else "can"
    return f"That is {late}: it {verb} wait until {words.day(end)}."
