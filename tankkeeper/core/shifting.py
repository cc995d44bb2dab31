"""Moving a calendar rule as a whole: the version that begins at a new date."""

from __future__ import annotations

from calendar import monthrange
from datetime import date

from tankkeeper.core.errors import UserFault
from tankkeeper.core.monthend import month_day_parts
from tankkeeper.core.recurrence import compile_rule
from tankkeeper.core.rule_text import WEEKDAYS, Freq, RuleParts, rewritten

_SHORTEST_MONTH = 28


def shift_rule(text: str, start: date, occurrence: date, to: date) -> tuple[str, date]:
    """Return text and start of the rule version that begins at `to` in place of `occurrence`.

    A mere interval takes the new start, a single weekday follows the new one, and COUNT keeps
    what is left of it. Where several days are named it is not clear which of them moves; that
    needs a person and the editor.

    >>> shift_rule("FREQ=WEEKLY;BYDAY=SA", date(2026, 3, 7), date(2026, 3, 14), date(2026, 3, 15))
    ('FREQ=WEEKLY;BYDAY=SU', datetime.date(2026, 3, 15))
    """
    rule = compile_rule(text, start)
    ordinal = occurrence.toordinal()
    if not rule.has(ordinal):
        raise UserFault("not_a_date_of_the_rule", day=occurrence, rule=text)
    changes = _moved_parts(rule.parts, to)
    if rule.parts.count is not None:
        before = rule.count(rule.first_day, ordinal - 1)
        changes["COUNT"] = str(rule.parts.count - before)
    shifted = rewritten(text, changes) if changes else text
    compile_rule(shifted, to)
    return shifted, to


def _moved_parts(parts: RuleParts, to: date) -> dict[str, str | None]:
    """Return the parts that change so that the rule yields `to`."""
    if parts.is_pure:
        return _month_end_parts(parts.freq, to)
    by_one_weekday = len(parts.weekdays) == 1 and not (
        parts.month_days or parts.months or parts.year_days or parts.weeks or parts.positions
    )
    if not by_one_weekday:
        raise UserFault("shift_needs_editor", day=to)
    number, _ = parts.weekdays[0]
    return {"BYDAY": f"{_moved_number(number, parts.freq, to) or ''}{WEEKDAYS[to.weekday()]}"}


def _month_end_parts(freq: Freq, to: date) -> dict[str, str | None]:
    """Return the last-day form where the new start is a day that some months or years lack."""
    if freq is Freq.MONTHLY and to.day > _SHORTEST_MONTH:
        return _parts_of(month_day_parts(to.day))
    if freq is Freq.YEARLY and (to.month, to.day) == (2, 29):
        return _parts_of(f"BYMONTH=2;{month_day_parts(to.day)}")
    return {}


def _parts_of(written: str) -> dict[str, str | None]:
    """Return name and value of parts written one after another."""
    return {name: value for name, _, value in (part.partition("=") for part in written.split(";"))}


def _moved_number(number: int, freq: Freq, to: date) -> int:
    """Return which weekday of its month `to` is, counted from the end the rule counts from."""
    if number == 0:
        return 0
    if freq is Freq.YEARLY:
        raise UserFault("shift_needs_editor", day=to)
    length = monthrange(to.year, to.month)[1]
    moved = (to.day - 1) // 7 + 1 if number > 0 else -((length - to.day) // 7 + 1)
    if abs(moved) == 5 != abs(number):
        # A fifth weekday is missing in most months, so the series would thin out unseen.
        raise UserFault("shift_needs_editor", day=to)
    return moved
