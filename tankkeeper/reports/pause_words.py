"""What is said of a pause: its last day, and what ends it."""

from __future__ import annotations

from datetime import date

from tankkeeper.core.pauses import Span
from tankkeeper.core.state import HouseholdState
from tankkeeper.reports.words import Words


def paused_until(span: Span, words: Words) -> str:
    """Return how a chore rests: "paused until 2 Dec", "paused" where somebody has to resume it."""
    return "paused" if span.until is None else f"paused until {words.short_date(span.until)}"


def pause_line(state: HouseholdState, chore_id: str, words: Words) -> str:
    """Return how a chore rests today, empty for one that is at work."""
    span = next((one.paused for one in state.chores if one.chore.id == chore_id), None)
    return "" if span is None else paused_until(span, words)


def paused_told(what: str, until: date | None, words: Words) -> str:
    """Return what was paused, with its last day: "Paused Bay to Wed 2 Dec."."""
    return f"Paused {what}{'' if until is None else f' to {words.weekday_and_number(until)}'}."


def goes_on_by(key: str, *, is_tank: bool) -> str:
    """Return what lets it go on before its last day, or at all."""
    where = "it in the list of tanks" if is_tank else "its line"
    return f"{key} on {where} lets it go on."
