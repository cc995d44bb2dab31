"""The text of a calendar rule (RFC 5545 section 3.3.10), read into checked parts.

Only what a household needs is let in: days and longer, and no combination that the standard
forbids or that programs read in different ways.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, time
from enum import StrEnum
from itertools import product

from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.values import dataclass

WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
INTERVAL_LIMIT = 3650
COUNT_LIMIT = 5000
_TEXT_LIMIT = 2000
_NUMBER = re.compile(r"[+-]?[0-9]{1,5}", re.ASCII)
_WEEKDAY = re.compile(r"([+-]?[0-9]{1,2})?(MO|TU|WE|TH|FR|SA|SU)", re.ASCII)
_UNTIL = re.compile(
    r"([0-9]{4})([0-9]{2})([0-9]{2})(?:T([0-9]{2})([0-9]{2})([0-9]{2})Z?)?", re.ASCII
)


class Freq(StrEnum):
    """The period a rule repeats in; finer ones are slots or intervals in hours."""

    DAILY = "DAILY"
    WEEKLY = "WEEKLY"
    MONTHLY = "MONTHLY"
    YEARLY = "YEARLY"


_ALWAYS_KNOWN = ("FREQ", "INTERVAL", "COUNT", "UNTIL", "WKST")
_BY_PARTS = ("BYDAY", "BYMONTHDAY", "BYMONTH", "BYSETPOS", "BYYEARDAY", "BYWEEKNO")
_SLOT_PARTS = ("BYHOUR", "BYMINUTE")
_KNOWN = frozenset((*_ALWAYS_KNOWN, *_BY_PARTS, *_SLOT_PARTS))
_TOO_FINE = ("HOURLY", "MINUTELY", "SECONDLY")
# What RFC 5545 section 3.3.10 (table of BYxxx parts) forbids at a frequency.
_FORBIDDEN = {
    Freq.DAILY: ("BYWEEKNO", "BYYEARDAY"),
    Freq.WEEKLY: ("BYWEEKNO", "BYYEARDAY", "BYMONTHDAY"),
    Freq.MONTHLY: ("BYWEEKNO", "BYYEARDAY"),
    Freq.YEARLY: (),
}


@dataclass(frozen=True, slots=True)
class RuleParts:
    """A rule as checked values; an empty tuple stands for a part that was not given.

    `weekdays` holds pairs of the number (0 for none) and the weekday (0 is Monday).
    """

    freq: Freq
    interval: int = 1
    count: int | None = None
    until: date | None = None
    weekdays: tuple[tuple[int, int], ...] = ()
    month_days: tuple[int, ...] = ()
    months: tuple[int, ...] = ()
    positions: tuple[int, ...] = ()
    year_days: tuple[int, ...] = ()
    weeks: tuple[int, ...] = ()
    week_begins: int = 0
    slots: tuple[time, ...] = ()

    @property
    def is_pure(self) -> bool:
        """Return whether the rule is a mere interval, without any BY part for days."""
        return not (self.weekdays or self.month_days or self.months or self.year_days or self.weeks)


def parse_rule(text: str) -> RuleParts:
    """Return the parts of a rule, or refuse it with the part that is at fault.

    >>> parse_rule("FREQ=WEEKLY;BYDAY=SA").weekdays
    ((0, 5),)
    """
    given = _split(text)
    freq = _freq(given)
    hours = _numbers(given, "BYHOUR", 0, 23)
    minutes = _numbers(given, "BYMINUTE", 0, 59)
    parts = RuleParts(
        freq=freq,
        interval=_single(given, "INTERVAL", INTERVAL_LIMIT) or 1,
        count=_single(given, "COUNT", COUNT_LIMIT),
        until=_until(given["UNTIL"]) if "UNTIL" in given else None,
        weekdays=_weekdays(given, freq),
        month_days=_signed(given, "BYMONTHDAY", 31),
        months=_numbers(given, "BYMONTH", 1, 12),
        positions=_signed(given, "BYSETPOS", 366),
        year_days=_signed(given, "BYYEARDAY", 366),
        weeks=_signed(given, "BYWEEKNO", 53),
        week_begins=_week_begins(given),
        slots=tuple(time(hour, minute) for hour, minute in product(hours, minutes or (0,))),
    )
    _check_together(parts, given)
    return parts


def rule_slots(text: str) -> tuple[time, ...]:
    """Return the times of day that BYHOUR and BYMINUTE name, in order; none if there are none.

    >>> rule_slots("FREQ=DAILY;BYHOUR=8,18;BYMINUTE=30")
    (datetime.time(8, 30), datetime.time(18, 30))
    """
    return parse_rule(text).slots


def without_slots(text: str) -> str:
    """Return the rule without BYHOUR and BYMINUTE, for a chore that keeps its slots itself."""
    kept = {name: value for name, value in _split(text).items() if name not in _SLOT_PARTS}
    return join_rule(kept)


def rewritten(text: str, changes: dict[str, str | None]) -> str:
    """Return the rule with some parts replaced, or removed where the new value is None."""
    given: dict[str, str | None] = {**_split(text), **changes}
    return join_rule({name: value for name, value in given.items() if value is not None})


def join_rule(given: dict[str, str]) -> str:
    """Return the text of a rule from its parts."""
    return ";".join(f"{name}={value}" for name, value in given.items())


def _split(text: str) -> dict[str, str]:
    """Return name and value of each part as written, in capitals."""
    cleaned = text.strip().upper().removeprefix("RRULE:")
    if not cleaned or len(cleaned) > _TEXT_LIMIT:
        raise UserFault("rule_unreadable", rule=text[:80], piece="")
    given: dict[str, str] = {}
    for piece in cleaned.removesuffix(";").split(";"):
        name, equals, value = piece.partition("=")
        if not equals or not name or not value:
            raise UserFault("rule_unreadable", rule=text, piece=piece)
        if name not in _KNOWN:
            raise UserFault("rule_part_unknown", rule=text, part=name)
        if name in given:
            raise UserFault("rule_part_twice", rule=text, part=name)
        given[name] = value
    return given


def _freq(given: dict[str, str]) -> Freq:
    """Return the period, telling a missing one, a finer one and an unknown one apart."""
    written = given.get("FREQ")
    if written is None:
        raise UserFault("rule_needs_freq", rule=join_rule(given))
    if written in _TOO_FINE:
        raise UserFault("rule_freq_too_fine", freq=written)
    try:
        return Freq(written)
    except ValueError as unknown:
        raise UserFault("rule_freq_unknown", freq=written) from unknown


def _number(name: str, written: str, low: int, high: int) -> int:
    """Return one whole number inside its limits."""
    if _NUMBER.fullmatch(written) is None:
        raise UserFault("rule_part_bad", part=name, value=written)
    number = int(written)
    if not low <= number <= high:
        raise out_of_range(name, number, low, high, hint="rule")
    return number


def _single(given: dict[str, str], name: str, high: int) -> int | None:
    """Return a number from 1 on, or None if the part is not there."""
    return _number(name, given[name], 1, high) if name in given else None


def _numbers(given: dict[str, str], name: str, low: int, high: int) -> tuple[int, ...]:
    """Return a sorted list of numbers without repetitions."""
    if name not in given:
        return ()
    return tuple(sorted({_number(name, piece, low, high) for piece in given[name].split(",")}))


def _signed(given: dict[str, str], name: str, high: int) -> tuple[int, ...]:
    """Return a sorted list of numbers that may count from the end; zero counts from neither."""
    numbers = _numbers(given, name, -high, high)
    if 0 in numbers:
        raise UserFault("rule_part_bad", part=name, value="0")
    return numbers


def _weekdays(given: dict[str, str], freq: Freq) -> tuple[tuple[int, int], ...]:
    """Return pairs of number and weekday, with numbers only where the period has them."""
    if "BYDAY" not in given:
        return ()
    highest = 53 if freq is Freq.YEARLY and "BYMONTH" not in given else 5
    pairs: set[tuple[int, int]] = set()
    for piece in given["BYDAY"].split(","):
        found = _WEEKDAY.fullmatch(piece)
        number = int(found[1] or 0) if found else 0
        if found is None or (found[1] and number == 0):
            raise UserFault("rule_part_bad", part="BYDAY", value=piece)
        if number and (freq in (Freq.DAILY, Freq.WEEKLY) or "BYWEEKNO" in given):
            raise UserFault("rule_weekday_numbered", freq=freq.value, value=piece)
        if abs(number) > highest:
            raise out_of_range("BYDAY", number, -highest, highest, hint="rule")
        pairs.add((number, WEEKDAYS.index(found[2])))
    if len({number != 0 for number, _ in pairs}) > 1:
        raise UserFault("rule_weekdays_mixed", value=given["BYDAY"])
    return tuple(sorted(pairs))


def _week_begins(given: dict[str, str]) -> int:
    """Return the weekday on which a week begins, Monday if nothing is said."""
    written = given.get("WKST", "MO")
    if written not in WEEKDAYS:
        raise UserFault("rule_part_bad", part="WKST", value=written)
    return WEEKDAYS.index(written)


def _until(written: str) -> date:
    """Return the last date; a date-time form is read for its date, as chores live in dates."""
    found = _UNTIL.fullmatch(written)
    if found is None:
        raise UserFault("rule_part_bad", part="UNTIL", value=written)
    year, month, day, hour, minute, second = (int(piece) for piece in found.groups(default="0"))
    try:
        time(hour, minute, second)
        return date(year, month, day)
    except ValueError as impossible:
        raise UserFault("rule_part_bad", part="UNTIL", value=written) from impossible


def _check_together(parts: RuleParts, given: dict[str, str]) -> None:
    """Refuse parts that are right alone and wrong in company."""
    if parts.count is not None and parts.until is not None:
        raise UserFault("rule_count_with_until")
    for name in _FORBIDDEN[parts.freq]:
        if name in given:
            raise UserFault("rule_part_not_here", part=name, freq=parts.freq.value)
    for fault, is_so in _CLASHES.items():
        if is_so(parts, given):
            raise UserFault(fault)


_CLASHES: dict[str, Callable[[RuleParts, dict[str, str]], bool]] = {
    # A position counts in a set that other parts make.
    "rule_setpos_alone": lambda parts, _: bool(parts.positions) and parts.is_pure,
    # Read as the whole week by some programs and as one day of it by others.
    "rule_weekno_needs_weekday": lambda parts, _: bool(parts.weeks) and not parts.weekdays,
    # The hour would come from a start that has none.
    "rule_minute_needs_hour": lambda _, given: "BYMINUTE" in given and "BYHOUR" not in given,
    # COUNT and BYSETPOS would count slots, not days.
    "rule_slots_counted": lambda parts, _: (
        len(parts.slots) > 1 and bool(parts.count or parts.positions)
    ),
}
