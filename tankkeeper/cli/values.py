"""Reads days, moments and quantities as they are typed on the command line."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import Protocol
from zoneinfo import ZoneInfo

from tankkeeper.core.days import instant_of, parse_zone
from tankkeeper.core.errors import UserFault
from tankkeeper.core.moment import Moment
from tankkeeper.core.parameters import (
    PARAMETERS,
    ReadingValue,
    full_name,
    own_unit,
    parse_reading,
)
from tankkeeper.core.patterns import Pattern
from tankkeeper.core.units import Dimension, parse_number, parse_quantity, stored_value
from tankkeeper.reports.called_days import day_counted, the_day_called
from tankkeeper.reports.typed_days import DayStyle, whole_day

# A choice of this project: nobody logs what was before.
EARLIEST = datetime(1990, 1, 1, tzinfo=UTC)
# Dates are counted years ahead from now, and the calendar ends with the year 9999.
LATEST = datetime(2200, 1, 1, tzinfo=UTC)
LONGEST_SHOWN = 60
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_WALL = Pattern(r"([01]?[0-9]|2[0-3]):([0-5][0-9])")
_NOTHING = Pattern(r"0+(?:[.,]0*)?\s*[Ll]?")
_DATE = Pattern(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


class Hours(Protocol):
    """What a bare date needs to become a moment."""

    @property
    def zone(self) -> str:
        """The zone of the household."""

    @property
    def round_at(self) -> time:
        """The usual hour of the round."""


def day_of(text: str, moment: Moment, *, is_past: bool = False) -> date:
    """Return the day that `text` names: an ISO date, today and its neighbours, a coming weekday.

    It may be counted from today as well, or called by its month: "3 days ago", "25 dec". With
    `is_past` a weekday is the last one, and of what words may mean it is the one before today.
    """
    word = text.strip().casefold()
    near = {"today": 0, "tomorrow": 1, "yesterday": -1}
    if word in near:
        return moment.day + timedelta(days=near[word])
    for number, name in enumerate(_WEEKDAYS):
        if len(word) >= 3 and name.startswith(word):
            # A weekday is the next one, never today: "today" says that better.
            coming = (number - moment.day.weekday() - 1) % 7 + 1
            return moment.day + timedelta(days=coming - 7 if is_past else coming)
    return day_counted(text, moment.day) or _called(text, moment, is_past) or _iso_date(text)


def _called(text: str, moment: Moment, is_past: bool) -> date | None:
    """Return the day of words with a name; which of two bare numbers is the month nobody knows."""
    if not any(one.isalpha() for one in text):
        return None
    whole = whole_day(text.strip(), DayStyle())
    return whole or the_day_called(text, moment.day, is_past=is_past)


def _iso_date(text: str) -> date:
    try:
        if _DATE.fullmatch(text.strip()):
            return date.fromisoformat(text.strip())
    except ValueError as wrong:
        raise UserFault("not_a_day", text=text[:LONGEST_SHOWN]) from wrong
    raise UserFault("not_a_day", text=text[:LONGEST_SHOWN])


def when(text: str | None, moment: Moment) -> datetime | None:
    """Return the moment at which something was done, None where nothing is said.

    A bare date means the usual hour of the round on that day, or now when it is today and that
    hour has not come; an hour alone is that hour of today.
    """
    if text is None:
        return None
    said = text.strip()
    wall = _WALL.fullmatch(said)
    if said.casefold() == "now":
        return moment.now
    if wall is not None:
        at = moment.at(moment.day, time(int(wall[1]), int(wall[2])))
    elif _is_moment(said):
        at = _moment(said, moment.zone)
    else:
        at = _on_day(past_day(said, moment), moment)
    if at < EARLIEST:
        raise UserFault("too_long_ago", at=at, earliest=EARLIEST)
    return at


def past_day(text: str, moment: Moment) -> date:
    """Return a day that has begun where a weekday is named: the last one, not the next."""
    return day_of(text, moment, is_past=True)


def _on_day(day: date, moment: Moment) -> datetime:
    at = moment.round_on(day)
    return moment.now if day == moment.day and at > moment.now else at


def _is_moment(said: str) -> bool:
    return len(said) > len("2026-03-02") and said[:4].isdigit()


def _moment(said: str, zone: ZoneInfo) -> datetime:
    try:
        found = datetime.fromisoformat(said)
    except ValueError as wrong:
        raise UserFault("not_a_moment", text=said[:LONGEST_SHOWN]) from wrong
    if found.tzinfo is not None:
        try:
            return found.astimezone(UTC)
        except (OverflowError, ValueError) as wrong:
            raise UserFault("not_a_moment", text=said[:LONGEST_SHOWN]) from wrong
    return instant_of(found.date(), found.time(), zone)


def given_now(text: str, hours: Hours) -> datetime:
    """Return the moment that `--now` says; a bare date is the usual round of that day."""
    said, zone = text.strip(), parse_zone(hours.zone)
    if _DATE.fullmatch(said):
        at = instant_of(_iso_date(said), hours.round_at, zone)
    elif _is_moment(said):
        at = _moment(said, zone)
    else:
        raise UserFault("not_a_moment", text=said[:LONGEST_SHOWN])
    if not EARLIEST <= at <= LATEST:
        raise UserFault("out_of_range", field="now", value=at, low=EARLIEST, high=LATEST)
    return at


def litres(text: str | None) -> float | None:
    """Return litres; a bare number is in litres."""
    if text is None:
        return None
    return stored_value(parse_quantity(text, Dimension.VOLUME, "L"))


def needed_litres(text: str) -> float:
    """Return litres that must be said."""
    return stored_value(parse_quantity(text, Dimension.VOLUME, "L"))


def litres_left(text: str) -> float:
    """Return litres of which there may be none."""
    nothing = _NOTHING.fullmatch(text.strip())
    return 0.0 if nothing else needed_litres(text)


def salinity(text: str | None) -> float | None:
    """Return practical salinity; a bare number is practical salinity."""
    return None if text is None else parse_reading("salinity", text).value


def grams(text: str) -> float:
    """Return grams; a bare number is in grams."""
    return stored_value(parse_quantity(text, Dimension.MASS, "g"))


def number(text: str | None, field: str) -> float | None:
    """Return a bare number."""
    return None if text is None else parse_number(text, field)


def readings(texts: list[str]) -> tuple[ReadingValue, ...]:
    """Return readings written as NAME=VALUE[UNIT]."""
    return tuple(_reading(text) for text in texts)


def _reading(text: str) -> ReadingValue:
    name, sign, value = text.partition("=")
    if not sign or not name.strip() or not value.strip():
        raise UserFault("not_a_reading", text=text[:LONGEST_SHOWN])
    found = PARAMETERS.get(full_name(name))
    return parse_reading(found.name if found is not None else name, value, own_unit(name))
