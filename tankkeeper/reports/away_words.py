"""The sentence of an absence, and the names of its days."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from tankkeeper.reports.words import SHORT_DATE_REACH, WEEKDAY_REACH, WEEKDAYS, Words
from tankkeeper.services.away import Absence

NOT_DONE = "Not done"
_PARTS = ((12, "morning"), (18, "afternoon"), (24, "evening"))


def absence_sentence(absence: Absence, words: Words, *, beside_one_tank: bool = False) -> str:
    """Return "Away since Sunday evening: 6 overdue, 9 due, 12 not written down.".

    Beside the round of one tank it is said that the whole house is meant.
    """
    counts = (
        (absence.overdue, "overdue"),
        (absence.due, "due"),
        (absence.lapsed, "not written down"),
    )
    piled = ", ".join(f"{count} {name}" for count, name in counts if count)
    where = " in the whole house" if beside_one_tank else ""
    return f"Away since {_since(absence.since, words)}: {piled}{where}."


def _since(at: datetime, words: Words) -> str:
    """Return "Sunday evening" or "the night to Mon 9" within a week, "24 February" beyond."""
    local = at.astimezone(words.moment.zone)
    day = local.date()
    if (words.today - day).days > WEEKDAY_REACH:
        return words.full_date(day)
    if words.night_to(at) is not None:
        return words.day_at(at, is_noun=True)
    part = next(name for end, name in _PARTS if local.hour < end)
    return f"{WEEKDAYS[day.weekday()]} {part}"


def done_every_day(days: Sequence[date], words: Words) -> str:
    """Return "Done Sun 8 to Wed 11" for all turns of these days.

    Days that do not follow each other are counted: a span would name days without a turn.
    """
    if len(days) > 1 and (days[-1] - days[0]).days >= len(days):
        return "Done on both days" if len(days) == 2 else f"Done on all {len(days)} days"
    # A narrow field has no room for two months in full.
    is_one_month = (days[0].year, days[0].month) == (days[-1].year, days[-1].month)
    is_near = is_one_month and (words.today - days[0]).days <= SHORT_DATE_REACH
    name = words.weekday_and_number if is_near else words.short_date
    first, last = name(days[0]), name(days[-1])
    return f"Done {first}" + (f" to {last}" if last != first else "")


def done_on(day: date, words: Words) -> str:
    """Return "Done Sat 14"."""
    return f"Done {words.weekday_and_number(day)}"
