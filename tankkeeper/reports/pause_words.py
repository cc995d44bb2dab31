"""What is said of a pause: its last day, and what ends it."""

from __future__ import annotations

from datetime import date

from tankkeeper.core.household import Stage, Tank
from tankkeeper.core.pauses import SLEEPING_STAGES, Span
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


def stage_and_pause(tank: Tank, span: Span | None, words: Words) -> str:
    """Return the stage of a tank, and the pause that the log tells where the two differ.

    Such as "The tank is running." or "It has been paused since Sun 29; its stage is running."
    The stage stands last, since what is said next may be what changes it.
    """
    stage = tank.stage
    if span is None and stage is Stage.PAUSED:
        return "It was let go on; its stage is paused."
    if span is None or stage in SLEEPING_STAGES:
        return f"The tank is {stage.value}."
    since = words.day(date.fromordinal(span.first))
    until = "" if span.until is None else f", until {words.day(span.until)}"
    return f"It has been paused since {since}{until}; its stage is {stage.value}."


def goes_on_by(key: str, *, is_tank: bool) -> str:
    """Return what lets it go on before its last day, or at all."""
    where = "it in the list of tanks" if is_tank else "its line"
    return f"{key} on {where} lets it go on."
