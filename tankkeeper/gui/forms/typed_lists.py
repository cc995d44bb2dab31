"""Short lists as they are typed in one field: times of day, days of the month, seasons."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import time

from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.intervals import MonthDay, Season, parse_interval
from tankkeeper.core.patterns import Pattern
from tankkeeper.reports.rhythms import season_words
from tankkeeper.reports.words import MONTHS, wall_time

LAST_DAY = -1
_SEASON = Pattern(r"(?:every\s+)?(.+?)\s+from\s+([0-9]{1,2})\s+(\w+)\s+to\s+([0-9]{1,2})\s+(\w+)")
# What people write between two times of day.
_BETWEEN = Pattern(r"\s*(?:[,;]|\s+and\s+|\s+)\s*")
_HOUR = Pattern(r"([0-9]{1,2})(?:[:.]([0-9]{2}))?")


def clock_in(text: str) -> time:
    """Return the time of day in a text such as "8", "8:30" or "18.00"."""
    found = _HOUR.fullmatch(text.strip())
    if found is None or int(found[1]) > 23 or int(found[2] or 0) > 59:
        raise UserFault("time_unreadable", value=text[:80])
    return time(int(found[1]), int(found[2] or 0))


def times_in(text: str) -> tuple[time, ...]:
    """Return the times of day in a text such as "8, 18:30" or "8 and 18", in order, or refuse it.

    >>> times_in("at 8 and 18"), times_in("8;18.30") == times_in("8 18:30")
    ((datetime.time(8, 0), datetime.time(18, 0)), True)
    """
    plain = text.strip().removeprefix("at ")
    found = [clock_in(part) for part in _parts(_BETWEEN.sub(",", plain), ",")]
    if len(set(found)) < len(found):
        raise UserFault("named_twice")
    return tuple(sorted(found))


def times_text(times: Iterable[time]) -> str:
    """Return times of day as they are typed."""
    return ", ".join(wall_time(one) for one in times)


def month_days_in(text: str) -> tuple[int, ...]:
    """Return the days of the month in a text such as "1, 15, last", -1 for the last."""
    return tuple(_month_day(part) for part in _parts(text, ","))


def _month_day(text: str) -> int:
    if text.casefold() in ("last", "last day"):
        return LAST_DAY
    if not (text.isascii() and text.isdigit() and len(text) <= 3):
        raise UserFault("not_a_month_day", text=text[:80])
    if not 1 <= int(text) <= 31:
        raise out_of_range("day of the month", int(text), 1, 31)
    return int(text)


def month_days_text(days: Iterable[int]) -> str:
    """Return days of the month as they are typed; days counted from the end keep their sign."""
    return ", ".join("last" if day == LAST_DAY else str(day) for day in days)


def seasons_in(text: str) -> tuple[Season, ...]:
    """Return the seasons in a text such as "10 days from 1 June to 15 September", parted by ";"."""
    return tuple(_season(part) for part in _parts(text, ";"))


def _season(text: str) -> Season:
    found = _SEASON.fullmatch(text.replace("\u00a0", " "))
    if found is None:
        raise UserFault("season_unreadable", text=text[:80])
    first, last = _day_of_year(found[2], found[3]), _day_of_year(found[4], found[5])
    return Season(first, last, parse_interval(found[1]))


def _day_of_year(day: str, month: str) -> MonthDay:
    wanted = month.casefold()
    fitting = [n for n, name in enumerate(MONTHS, 1) if name.casefold().startswith(wanted)]
    if len(wanted) < 3 or len(fitting) != 1:
        raise UserFault("season_unreadable", text=f"{day} {month}"[:80])
    return MonthDay(fitting[0], int(day))


def seasons_text(seasons: Iterable[Season]) -> str:
    """Return seasons as they are typed."""
    return "; ".join(season_words(one).replace("\u00a0", " ") for one in seasons)


def _parts(text: str, sign: str) -> list[str]:
    return [part.strip() for part in text.split(sign) if part.strip()]
