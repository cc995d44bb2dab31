"""Days and moments as they are typed: whole, in numbers or with the name of the month, or in words.

They are shown with the name of the month, as in all sentences: which of two numbers is the month
can be taken wrong.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime, time
from typing import Final

from tankkeeper.core.errors import UserFault
from tankkeeper.core.moment import Moment
from tankkeeper.core.patterns import Pattern
from tankkeeper.core.values import dataclass
from tankkeeper.reports.called_days import days_called, is_of_today, the_day_called
from tankkeeper.reports.day_times import DAY_TIMES, split_day_time
from tankkeeper.reports.words import MONTHS

_LONGEST_SHOWN: Final = 60
# What can be written in words, by the side on which the day has to lie.
_CALLED: Final = {
    True: "yesterday, last friday or 3 days ago",
    False: "tomorrow, next friday or in 3 days",
    None: "today, last friday or in 3 days",
}
_PARTS: Final = ("d", "m", "y")
_BETWEEN: Final = r"(?:\s*[./-]\s*|\s+)"
_NUMBERS = Pattern(rf"([0-9]{{1,4}}){_BETWEEN}([0-9]{{1,2}}){_BETWEEN}([0-9]{{1,4}})\.?")
_RUN = Pattern(r"[0-9]{8}")
_DAY_AND_NAME = Pattern(r"([0-9]{1,2})[\s.-]*([^\W\d_]{3,})[\s.,-]*([0-9]{4})")
_NAME_AND_DAY = Pattern(r"([^\W\d_]{3,})\.?\s*([0-9]{1,2}),?\s+([0-9]{4})")
_HALF: Final = r"\s*([ap]\.?m\.?)"
# A "t" stands between day and time where the international form is typed.
_HOUR: Final = r"(.*?)(?:(?<=[0-9])t|[\s,]*)(?<![0-9])([0-9]{1,2})"
_CLOCK = Pattern(rf"{_HOUR}[:.h]([0-9]{{2}})(?::[0-9]{{2}})?(?:{_HALF})?")
_ALONE = Pattern(rf"([0-9]{{1,2}}):([0-9]{{2}})(?:{_HALF})?")
# An hour that is called one.
_CALLED_HOUR: Final = r"\s*([ap]\.?m\.?|h)"
_FULL_HOUR = Pattern(rf"{_HOUR}{_CALLED_HOUR}")
_HOUR_ALONE = Pattern(rf"([0-9]{{1,2}}){_CALLED_HOUR}")
_BARE_HOUR = Pattern(r"(.*[^\s,])[\s,]+([0-9]{1,2})")
_NUMBER = Pattern(r"[0-9]{1,2}")
_CLOCK_RUN = Pattern(r"(.*[0-9])\s*(?:\s|(?<=[0-9]{8}))([0-9]{2})([0-9]{2})")


@dataclass(frozen=True, slots=True)
class DayStyle:
    """How days in numbers are read here: the order of their parts."""

    order: str = "dmy"


def day_text(day: date) -> str:
    """Return a day as it stands in a field: "24 Nov 2026"."""
    return f"{day.day} {MONTHS[day.month - 1][:3]} {day.year:04}"


def moment_text(at: datetime) -> str:
    """Return a wall clock time as it stands in a field: "24 Nov 2026 18:00"."""
    return f"{day_text(at.date())} {at:%H:%M}"


def style_of(pattern: str) -> DayStyle:
    """Return the style of a locale's short date, such as "dd/MM/yyyy".

    >>> style_of("dd.MM.yy"), style_of("M/d/yy")
    (DayStyle(order='dmy'), DayStyle(order='mdy'))
    """
    plain = pattern.split("'")[0] if pattern.count("'") > 1 else pattern
    order = "".join(dict.fromkeys(one for one in plain.lower() if one in _PARTS))
    if order not in ("dmy", "mdy", "ymd"):
        order = "ymd"
    return DayStyle(order)


def day_in(text: str, style: DayStyle, today: date, *, is_past: bool | None = None) -> date:
    """Return the day in a text, whole or in words; `today` gives the example where there is none.

    Of the days that words may mean it is the nearest, on the side that is asked for.
    """
    plain = text.strip()
    timed = split_day_time(plain)
    for one in (plain, *(() if timed is None else timed[:1])):
        found = whole_day(one, style) or the_day_called(one, today, style.order, is_past=is_past)
        if found is not None:
            break
    if found is None:
        raise UserFault(
            "not_a_day_here",
            text=text[:_LONGEST_SHOWN],
            example=day_text(today),
            called=_CALLED[is_past],
        )
    return found


def days_meant(tokens: Sequence[str], style: DayStyle, today: date) -> list[date]:
    """Return all days that typed words may mean, the nearest first: whole, or called by name."""
    whole = whole_day(" ".join(tokens), style)
    return days_called(tokens, today, style.order) if whole is None else [whole]


def moment_in(text: str, style: DayStyle, now: Moment, of_day: date | None = None) -> datetime:
    """Return the wall clock time in a text; `now` gives the example where there is none in it.

    A day without an hour is the usual hour of its round, or now where that is still to come; an
    hour or a part of the day alone is of today, or of the day that is asked about. A number alone
    is refused where it can be an hour or the day of a month; how either is written is told.
    """
    plain = " ".join(word for word in text.split() if word.casefold() != "at")
    found = _moment(plain, style, now, now.day if of_day is None else of_day)
    if found is None:
        meant = _day_of_number(plain, now.day)
        if meant is not None:
            raise UserFault(
                "hour_or_day",
                text=plain,
                hour=f"{int(plain):02}:00",
                day=f"{meant.day} {MONTHS[meant.month - 1][:3]}",
            )
        raise UserFault(
            "not_a_moment_here",
            text=text[:_LONGEST_SHOWN],
            example=moment_text(_wall_of(now, now.now)),
            called="monday evening, yesterday 18:00 or 3 days ago",
        )
    return found


def is_whole(text: str, style: DayStyle, *, has_time: bool) -> bool:
    """Tell whether a day, or a moment, stands there with all its parts, and not in words."""
    if not has_time:
        return whole_day(text.strip(), style) is not None
    return _timed(text.strip(), lambda one: whole_day(one, style)) is not None


def day_length(text: str, style: DayStyle) -> int:
    """Return how many signs of a text name the day before the time."""
    timed = _parted(text, lambda one: whole_day(one, style))
    return len(text) if timed is None else len(timed[0])


def _wall_of(now: Moment, at: datetime) -> datetime:
    return at.astimezone(now.zone).replace(tzinfo=None, second=0, microsecond=0)


def _moment(text: str, style: DayStyle, now: Moment, alone_on: date) -> datetime | None:
    """Return a moment: whole, a day in words with an hour or a part of it, one of them alone."""

    def day_of(one: str) -> date | None:
        return whole_day(one, style) or the_day_called(one, now.day, style.order, is_past=True)

    timed = _timed(text, day_of)
    if timed is not None:
        return timed
    part = split_day_time(text)
    named = alone_on if text.casefold() in DAY_TIMES else None if part is None else day_of(part[0])
    if part is not None and named is not None:
        return datetime.combine(named, part[1])
    day = day_of(text)
    if day is not None:
        at = now.round_on(day)
        return _wall_of(now, now.now if day == now.day and at > now.now else at)
    wall = _hour_alone(text.casefold())
    return (
        _at_bare_hour(text, style, now) if wall is None else _wall_of(now, now.at(alone_on, wall))
    )


def _hour_alone(text: str) -> time | None:
    """Return the hour of "18:30", "7 pm" or "23h"."""
    clock, full = _ALONE.fullmatch(text), _HOUR_ALONE.fullmatch(text)
    if clock is not None:
        return _wall(int(clock[1]), int(clock[2]), clock[3])
    return None if full is None else _wall(int(full[1]), 0, full[2])


def _at_bare_hour(text: str, style: DayStyle, now: Moment) -> datetime | None:
    """Return the moment of "yesterday 23": a number behind a day that is whole without it.

    Behind a weekday it is the day of a month, behind a month it may be a year.
    """
    found = _BARE_HOUR.fullmatch(text)
    if found is None:
        return None
    day, tokens = whole_day(found[1], style), found[1].casefold().split()
    if day is None and is_of_today(tokens):
        day = the_day_called(found[1], now.day, style.order, is_past=True)
    wall = _wall(int(found[2]), 0, None)
    return None if day is None or wall is None else datetime.combine(day, wall)


def _day_of_number(text: str, today: date) -> date | None:
    """Return the last day of that number, None where it is none or can be no hour."""
    if _NUMBER.fullmatch(text) is None or _wall(int(text), 0, None) is None:
        return None
    days = [one for one in days_called([text], today) if one <= today]
    return max(days, default=None)


def _timed(text: str, day_of: Callable[[str], date | None]) -> datetime | None:
    parted = _parted(text, day_of)
    return None if parted is None else parted[1]


def _parted(text: str, day_of: Callable[[str], date | None]) -> tuple[str, datetime | None] | None:
    """Return the part of a text that names the day, and its moment if its time can be."""
    for pattern in (_CLOCK, _FULL_HOUR, _CLOCK_RUN):
        found = pattern.fullmatch(text.casefold())
        day = None if found is None else day_of(found[1].strip())
        if found is None or day is None:
            continue
        # What is matched with small letters has no other length: all of it is plain.
        half = found[len(found.groups())] if pattern is not _CLOCK_RUN else None
        minute = int(found[3]) if pattern is not _FULL_HOUR else 0
        wall = _wall(int(found[2]), minute, half)
        return found[1].rstrip(), None if wall is None else datetime.combine(day, wall)
    return None


def _wall(hour: int, minute: int, half: str | None) -> time | None:
    if half is not None and half != "h":
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half.startswith("p") else 0)
    return time(hour, minute) if hour < 24 and minute < 60 else None


def whole_day(text: str, style: DayStyle) -> date | None:
    """Return the day that stands there with all its parts, None where there is none."""
    numbers, run = _NUMBERS.fullmatch(text), _RUN.fullmatch(text)
    if run is not None:
        wide = [4 if part == "y" else 2 for part in style.order]
        ends = [sum(wide[: at + 1]) for at in range(3)]
        return _by_order(
            [text[end - one : end] for end, one in zip(ends, wide, strict=True)], style
        )
    if numbers is not None:
        return _by_order([numbers[1], numbers[2], numbers[3]], style)
    for pattern, day, month in ((_DAY_AND_NAME, 1, 2), (_NAME_AND_DAY, 2, 1)):
        found = pattern.fullmatch(text)
        number = None if found is None else _month(found[month])
        if found is not None and number is not None:
            return _date(int(found[3]), number, int(found[day]))
    return None


def _by_order(parts: list[str], style: DayStyle) -> date | None:
    """Return the day of three numbers; a year in front is the international order everywhere."""
    order = "ymd" if len(parts[0]) == 4 else style.order
    by_part = dict(zip(order, parts, strict=True))
    # With three digits, or with four that are no year's, nobody knows what was meant.
    if len(by_part["y"]) not in (2, 4) or len(by_part["d"]) > 2 or len(by_part["m"]) > 2:
        return None
    year = int(by_part["y"])
    return _date(
        year if len(by_part["y"]) == 4 else 2000 + year, int(by_part["m"]), int(by_part["d"])
    )


def _month(name: str) -> int | None:
    fits = [n for n, one in enumerate(MONTHS, 1) if one.casefold().startswith(name.casefold())]
    return fits[0] if len(fits) == 1 else None


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
