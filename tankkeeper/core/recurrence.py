"""Calendar rules: compiled once, then asked for their days in any window.

The start is a lower bound; it is a date of the rule only if the rule yields it. Days are ordinals
(`date.toordinal`), because windows of many rules are added up as plain numbers.
"""

from __future__ import annotations

from dataclasses import field
from datetime import date, datetime
from functools import lru_cache

from tankkeeper.core.errors import UserFault
from tankkeeper.core.expansion import Expansion, expansion_of
from tankkeeper.core.rule_text import RuleParts, parse_rule, rule_slots, without_slots
from tankkeeper.core.values import dataclass

__all__ = ["Rule", "compile_rule", "rule_slots", "without_slots"]

EARLIEST_START = date(1900, 1, 1)
LATEST_START = date(2200, 12, 31)
# No rule goes further; it leaves room for every sum of days below the last date there is.
_LAST_DAY = date(9989, 12, 31).toordinal()
_HORIZON_DAYS = 12 * 366
_COUNT_REACH_DAYS = 200 * 366


@dataclass(frozen=True, slots=True)
class Rule:
    """A compiled rule with its start: `days`, `count` and the neighbours of a day."""

    text: str
    start: date
    parts: RuleParts = field(compare=False, repr=False)
    first_day: int = field(compare=False)
    last_day: int = field(compare=False)
    _expansion: Expansion = field(compare=False, repr=False)

    def days(self, a: int, b: int) -> list[int]:
        """Return the days of the rule from `a` to `b`, both included, in order."""
        if a < self.first_day:
            a = self.first_day
        if b > self.last_day:
            b = self.last_day
        return self._expansion.days(a, b) if a <= b else []

    def count(self, a: int, b: int) -> int:
        """Return how many days the rule has from `a` to `b`, both included."""
        return len(self.days(a, b))

    def has(self, day: int) -> bool:
        """Return whether the rule yields this day."""
        return bool(self.days(day, day))

    def first_on_or_after(self, ordinal: int) -> int | None:
        """Return the nearest day of the rule from `ordinal` on, or None if it has ended.

        Windows grow from one period on. None also stands for a gap longer than any the calendar
        makes (40 years, for a weekday on 29 February around 2100).
        """
        low, width = max(ordinal, self.first_day), self._expansion.period_days
        end = min(self.last_day, low + width * self._expansion.periods_to_search)
        while low <= end:
            found = self.days(low, min(low + width - 1, end))
            if found:
                return found[0]
            low, width = low + width, width * 2
        return None

    def last_on_or_before(self, ordinal: int) -> int | None:
        """Return the nearest day of the rule up to `ordinal`, or None if there is none yet."""
        high, width = min(ordinal, self.last_day), self._expansion.period_days
        end = max(self.first_day, high - width * self._expansion.periods_to_search)
        while high >= end:
            found = self.days(max(high - width + 1, end), high)
            if found:
                return found[-1]
            high, width = high - width, width * 2
        return None


@lru_cache(maxsize=65_536)
def compile_rule(text: str, start: date) -> Rule:
    """Return the rule ready to be asked, or refuse it with what is at fault.

    >>> rule = compile_rule("FREQ=WEEKLY;BYDAY=TU", date(2026, 1, 1))
    >>> date.fromordinal(rule.first_on_or_after(rule.first_day))
    datetime.date(2026, 1, 6)
    """
    if isinstance(start, datetime):
        raise TypeError("a rule starts on a date, not at a moment")
    if not EARLIEST_START <= start <= LATEST_START:
        # Nobody's aquarium is older, and a mistyped year shows at once.
        raise UserFault(
            "rule_start_out_of_range", start=start, low=EARLIEST_START, high=LATEST_START
        )
    parts = parse_rule(text)
    until = parts.until.toordinal() if parts.until else _LAST_DAY
    unlimited = Rule(
        text,
        start,
        parts,
        start.toordinal(),
        min(until, _LAST_DAY),
        expansion_of(parts, start),
    )
    _refuse_if_never(unlimited)
    return unlimited if parts.count is None else _counted(unlimited, parts.count)


def _refuse_if_never(rule: Rule) -> None:
    """Refuse a rule that has no date in the twelve years from its start."""
    first = rule.first_on_or_after(rule.first_day)
    if first is None or first > rule.first_day + _HORIZON_DAYS:
        raise UserFault("rule_without_dates", rule=rule.text, start=rule.start)


def _counted(rule: Rule, count: int) -> Rule:
    """Return the rule ended on its `count`th day, so that COUNT costs nothing later."""
    low, width, wanting = rule.first_day, rule._expansion.period_days * count, count
    end = min(rule.last_day, rule.first_day + _COUNT_REACH_DAYS)
    while low <= end:
        found = rule.days(low, min(low + width - 1, end))
        if len(found) >= wanting:
            last = found[wanting - 1]
            return Rule(rule.text, rule.start, rule.parts, rule.first_day, last, rule._expansion)
        wanting -= len(found)
        low += width
    raise UserFault("rule_ends_too_late", rule=rule.text, count=count)
