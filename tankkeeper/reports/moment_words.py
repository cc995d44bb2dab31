"""How now is told at the head of the window and of the command line."""

from __future__ import annotations

from datetime import date, datetime

from tankkeeper.core.moment import Moment
from tankkeeper.reports.words import MONTHS, WEEKDAYS, wall_time


def moment_words(moment: Moment, now: datetime) -> tuple[str, ...]:
    """Return the date and the time on the household's wall, at length first, then in short.

    After midnight its day is still the one before; that is said, with the hour when it ends.
    """
    local, day = now.astimezone(moment.zone), moment.day_of(now)
    on = f"{_weekday(local.date())} {MONTHS[local.month - 1]}"
    clock = f"{local:%H:%M}"
    if day == local.date():
        return (f"{on}, {clock}",)
    ends = wall_time(moment.day_begins)
    return (
        f"{on}, {clock}  \N{MIDDLE DOT}  the day of {_weekday(day)} runs until {ends}",
        f"{clock}, {_weekday(day)} until {ends}",
        clock,
    )


def _weekday(day: date) -> str:
    return f"{WEEKDAYS[day.weekday()][:3]} {day.day}"
