"""The days that typed words name, looked for on both sides of today."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Final

from tankkeeper.core.patterns import Pattern
from tankkeeper.core.values import dataclass
from tankkeeper.reports.words import MONTHS, WEEKDAYS

NAMED_DAYS: Final = {"yesterday": -1, "today": 0, "tomorrow": 1}
# Less of a weekday or a month could as well be the beginning of a chore.
_SHORTEST_NAME: Final = 3
# Within 28 years every weekday falls on every day of the year.
_DAYS_SEARCHED: Final = 366 * 28
_TWO_NUMBERS = Pattern(r"([0-9]{1,2})([./-])([0-9]{1,2})\.?")
# A day and its month without a space between them; "13th" names no month.
_GLUED: Final = Pattern(r"([0-9]{1,2})([a-z]{3,}\.?)|([a-z]{3,})([0-9]{1,2})")
_SIDES: Final = {"last": -1, "next": 1}
_UNITS: Final = {"day": 1, "days": 1, "week": 7, "weeks": 7}
_ONE: Final = ("a", "an", "one")
_LONGEST_COUNT: Final = 4


@dataclass(frozen=True, slots=True)
class DayParts:
    """What words say of a day; None where they say nothing."""

    weekday: int | None = None
    number: int | None = None
    month: int | None = None
    year: int | None = None

    @property
    def is_day(self) -> bool:
        """Whether more than a month or a year is said."""
        return self.weekday is not None or self.number is not None

    @property
    def is_number_alone(self) -> bool:
        """Whether only the number of a day is said."""
        return (self.weekday, self.month, self.year) == (None, None, None)

    def fit(self, day: date) -> bool:
        """Tell whether a day is as it is said."""
        return (
            self.number in (None, day.day)
            and self.month in (None, day.month)
            and self.weekday in (None, day.weekday())
            and self.year in (None, day.year)
        )


def days_called(tokens: Sequence[str], today: date, order: str = "dmy") -> list[date]:
    """Return the days that words name: "tomorrow", "last friday", "3 days ago", "13 march", "13/3".

    Where the year is not said these are the one before and the one after today, the nearer first,
    and before both today itself. Two numbers are in the `order` of the locale.
    """
    if len(tokens) == 1:
        near = [away for name, away in NAMED_DAYS.items() if _begins(name, tokens[0])]
        if near:
            return [today + timedelta(days=away) for away in near]
        written = _iso(tokens[0])
        if written is not None:
            return [written]
        tokens = _numbers(tokens[0], order) or tokens
    away = _days_away(tokens)
    if away is not None:
        return _moved(today, away)
    side = _SIDES.get(tokens[0]) if len(tokens) > 1 else None
    wanted = _parts(tokens if side is None else tokens[1:])
    if wanted is None:
        return []
    if wanted.year is not None:
        first = date(wanted.year, 1, 1).toordinal()
        return _first(wanted, range(first, first + 366))
    here = today.toordinal()
    if side is not None:
        return _first(wanted, _away(here, side))
    after, before = _first(wanted, _away(here, 1)), _first(wanted, _away(here, -1))
    around = sorted([*after, *before], key=lambda day: abs(day.toordinal() - here))
    return [*([today] if wanted.fit(today) else []), *around]


def the_day_called(
    text: str, today: date, order: str = "dmy", *, is_past: bool | None = None
) -> date | None:
    """Return the one day that words in a form mean, None where they name none.

    Where several could be meant it is the nearest, or the nearest on the side that is asked for.
    A number alone is only the beginning of a day.
    """
    tokens = text.casefold().replace(",", " ").split()
    wanted = _parts(tokens)
    if not tokens or (wanted is not None and wanted.is_number_alone):
        return None
    days = days_called(tokens, today, order)
    if is_past is not None:
        fit = [day for day in days if (day <= today if is_past else day >= today)]
        days = fit or days
    return min(days, key=lambda day: abs(day - today), default=None)


def _away(here: int, side: int) -> range:
    return range(here + side, here + side * (_DAYS_SEARCHED + 1), side)


def _first(wanted: DayParts, among: Iterable[int]) -> list[date]:
    """Return the first of some days that fits, or nothing; the calendar ends on both sides."""
    last = date.max.toordinal()
    for ordinal in among:
        if not 1 <= ordinal <= last:
            break
        day = date.fromordinal(ordinal)
        if wanted.fit(day):
            return [day]
    return []


def parts_called(tokens: Sequence[str], order: str = "dmy") -> DayParts | None:
    """Return what words say of days: also "nov", "tue" or "2026" alone, None where nothing."""
    return _any_parts((_numbers(tokens[0], order) if len(tokens) == 1 else []) or tokens)


def is_of_today(tokens: Sequence[str]) -> bool:
    """Tell whether words name a day by today: "yesterday", "last friday", "3 days ago"."""
    if len(tokens) == 1:
        return any(_begins(name, tokens[0]) for name in NAMED_DAYS)
    return len(tokens) > 1 and (tokens[0] in _SIDES or _days_away(tokens) is not None)


def _days_away(tokens: Sequence[str]) -> int | None:
    """Return how many days "3 days ago" or "in 2 weeks" are away, None for other words."""
    if len(tokens) != 3 or not (tokens[2] == "ago" or tokens[0] == "in"):
        return None
    is_past = tokens[2] == "ago"
    count, unit = tokens[:2] if is_past else tokens[1:]
    is_number = count.isascii() and count.isdigit() and len(count) <= _LONGEST_COUNT
    number = 1 if count in _ONE else int(count) if is_number else None
    step = _UNITS.get(unit)
    return None if number is None or step is None else number * (-step if is_past else step)


def day_counted(text: str, today: date) -> date | None:
    """Return the day that is counted from today, "3 days ago" or "in 2 weeks", None for others."""
    away = _days_away(text.casefold().split())
    return None if away is None else next(iter(_moved(today, away)), None)


def _moved(today: date, away: int) -> list[date]:
    try:
        return [today + timedelta(days=away)]
    except OverflowError:
        # The calendar ends there.
        return []


def is_day_alone(tokens: Sequence[str], order: str = "dmy") -> bool:
    """Tell whether words can hardly mean anything but a day, so that nothing else is looked for.

    One word has to be written out: "tom" is somebody's name, "yesterday" is not.
    """
    if not tokens:
        return False
    if len(tokens) == 1 and not _TWO_NUMBERS.fullmatch(tokens[0]):
        return tokens[0] in NAMED_DAYS or tokens[0].capitalize() in WEEKDAYS
    if is_of_today(tokens):
        return True
    parts = parts_called(tokens, order)
    return parts is not None and parts.is_day and not parts.is_number_alone


def _parts(tokens: Sequence[str]) -> DayParts | None:
    """Return what the words say of a day, None where they say no day."""
    found = _any_parts(tokens)
    # A month or a year alone is no day.
    return found if found is not None and found.is_day else None


def _any_parts(tokens: Sequence[str]) -> DayParts | None:
    weekday = number = month = year = None
    for token in tokens:
        is_number = _number(token)
        as_weekday, as_month = _named(token, WEEKDAYS), _named(token, MONTHS)
        if is_number is not None and 1 <= is_number <= 31 and number is None:
            number = is_number
        elif is_number is not None and 1900 <= is_number <= 2200 and year is None:
            year = is_number
        elif as_weekday is not None and weekday is None:
            weekday = as_weekday
        elif as_month is not None and month is None:
            month = as_month + 1
        else:
            return None
    return DayParts(weekday, number, month, year)


def _number(token: str) -> int | None:
    """Return the number in "13", "13." or "13th"."""
    bare = token.rstrip(".,")
    for ending in ("st", "nd", "rd", "th"):
        bare = bare.removesuffix(ending)
    return int(bare) if bare.isascii() and bare.isdigit() and len(bare) <= 4 else None


def _numbers(token: str, order: str) -> list[str]:
    """Return the words for two numbers such as "24/11" or "24.11.", or for "24nov"; else none.

    With a point the day comes first, wherever it is written so.
    """
    glued = _GLUED.fullmatch(token)
    if glued is not None:
        return [part for part in glued.groups() if part]
    found = _TWO_NUMBERS.fullmatch(token)
    if found is None:
        return []
    pair = (found[1], found[3])
    has_point = found[2] == "." and order != "ymd"
    number, month = pair if has_point or order == "dmy" else pair[::-1]
    at = int(month) - 1
    return [number, MONTHS[at].casefold()] if 0 <= at < len(MONTHS) else []


def _named(token: str, names: Sequence[str]) -> int | None:
    bare = token.rstrip(".,")
    found = [at for at, name in enumerate(names) if _begins(name.casefold(), bare)]
    return found[0] if len(found) == 1 else None


def _begins(name: str, token: str) -> bool:
    return len(token) >= _SHORTEST_NAME and name.startswith(token)


def _iso(token: str) -> date | None:
    try:
        return date.fromisoformat(token) if token.isascii() and token.count("-") == 2 else None
    except ValueError:
        # Typed only in part so far: no day yet.
        return None
