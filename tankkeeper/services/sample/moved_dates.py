"""Moves every date of the definitions, so that the sample always looks alike."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from typing import Any, TypeVar

from tankkeeper.core.household import Household
from tankkeeper.services.tank_file import read_tank_file

T = TypeVar("T")

# The day for which the dates in the definitions are written; its head says the same.
WRITTEN_FOR = date(2026, 3, 2)


def household_on(definitions: str, today: date) -> Household:
    """Return the household of `definitions` as it stands when it is opened on `today`."""
    noon = datetime(WRITTEN_FOR.year, WRITTEN_FOR.month, WRITTEN_FOR.day, 12, tzinfo=UTC)
    written = read_tank_file(definitions, now=noon, today=WRITTEN_FOR)
    return moved(written.household, (today - WRITTEN_FOR).days)


def moved(value: T, days: int) -> T:
    """Return `value` with every date inside it moved by `days`; rules and seasons stay.

    >>> moved((date(2026, 3, 2), "text"), 3)
    (datetime.date(2026, 3, 5), 'text')
    """
    return _moved(value, timedelta(days=days))  # type: ignore[no-any-return]


def _moved(value: Any, by: timedelta) -> Any:
    if isinstance(value, date) and not isinstance(value, datetime):
        return value + by
    if isinstance(value, tuple) and type(value) is tuple:
        return tuple(_moved(one, by) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        changes = {
            name: after
            for name in _names(type(value))
            if (after := _moved(before := getattr(value, name), by)) is not before
        }
        return replace(value, **changes) if changes else value
    return value


@lru_cache(maxsize=128)
def _names(kind: Any) -> tuple[str, ...]:
    return tuple(one.name for one in fields(kind))
