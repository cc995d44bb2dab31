"""How a day that was found is told: its name, and how far it is away."""

from __future__ import annotations

from datetime import date

from tankkeeper.reports.called_days import NAMED_DAYS
from tankkeeper.reports.numbers import counted
from tankkeeper.reports.words import MONTHS, SHORT_DATE_REACH, WEEKDAYS


def away_words(day: date, today: date) -> str:
    """Return how far a day near today is away, "in 6 days" or "yesterday"; else nothing."""
    away = (day - today).days
    named = next((name for name, days in NAMED_DAYS.items() if days == away), None)
    if named is not None:
        return named
    if abs(away) > SHORT_DATE_REACH:
        return ""
    return f"in {counted(away, 'day', 'days')}" if away > 0 else f"{-away} days ago"


def day_name(day: date) -> str:
    """Return "Friday 13 March"."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"
