"""Typed columns: one line says the kind, its CHECK, and how a value goes in and comes out."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from enum import StrEnum
from functools import lru_cache
from typing import Any

from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.values import dataclass
from tankkeeper.store.faults import Undecodable

LONGEST_NAME = 1_000
LONGEST_TEXT = 10_000
LONGEST_JSON = 100_000


class Kind(StrEnum):
    """The kinds of value that a column of a strict table keeps."""

    TEXT = "TEXT"
    INTEGER = "INTEGER"
    REAL = "REAL"


def storable(field: str, value: str, longest: int = LONGEST_NAME) -> str:
    """Return `value` when it can be stored: no NUL, no half character, not too long."""
    if not value.isascii():
        try:
            value.encode("utf-8")
        except UnicodeEncodeError as half:
            raise UserFault("text_not_storable", field=field, value=repr(value)[:80]) from half
    if "\0" in value:
        raise UserFault("text_not_storable", field=field, value=repr(value)[:80])
    if len(value) > longest:
        raise UserFault("text_too_long", field=field, length=len(value), longest=longest)
    return value


def _same(value: Any) -> Any:
    return value


@dataclass(frozen=True, slots=True)
class Field:
    """A column, the attribute it keeps, and the two ways between them."""

    name: str
    kind: Kind
    encode: Callable[[Any], Any]
    decode: Callable[[Any], Any] = _same
    optional: bool = False
    check: str = ""
    refers_to: str | None = None
    key: bool = False

    def put(self, value: Any) -> Any:
        """Return what is stored for `value`."""
        if value is None:
            if self.optional:
                return None
            raise UserFault("missing", field=self.name)
        return self.encode(value)

    @property
    def is_kept_as_it_is(self) -> bool:
        """Whether what is stored is the value itself."""
        return self.decode is _same

    def get(self, stored: Any) -> Any:
        """Return the value of what is stored."""
        try:
            return self.decode(stored)
        except (ValueError, TypeError, KeyError, UserFault) as failure:
            raise Undecodable(f"{self.name}: {stored!r}"[:200]) from failure


def text(
    name: str,
    *,
    longest: int = LONGEST_NAME,
    optional: bool = False,
    refers_to: str | None = None,
    key: bool = False,
) -> Field:
    """Return a column of text."""
    return Field(
        name, Kind.TEXT, lambda value: storable(name, value, longest),
        optional=optional, refers_to=refers_to, key=key,
    )  # fmt: skip


def number(name: str, low: float, high: float, *, optional: bool = True) -> Field:
    """Return a column of a finite number between `low` and `high`, both included."""

    def encode(value: float) -> float:
        as_float = float(value)
        if not (math.isfinite(as_float) and low <= as_float <= high):
            raise out_of_range(name, value, low, high)
        return as_float

    check = f"{name} BETWEEN {low!r} AND {high!r}"
    return Field(name, Kind.REAL, encode, optional=optional, check=check)


def whole(name: str, low: int, high: int, *, optional: bool = False, key: bool = False) -> Field:
    """Return a column of a whole number between `low` and `high`, both included."""

    def encode(value: int) -> int:
        if not low <= value <= high:
            raise out_of_range(name, value, low, high)
        return int(value)

    check = f"{name} BETWEEN {low} AND {high}"
    return Field(name, Kind.INTEGER, encode, optional=optional, check=check, key=key)


def yes_no(name: str, *, optional: bool = False) -> Field:
    """Return a column of yes or no."""
    return Field(name, Kind.INTEGER, int, bool, optional=optional, check=f"{name} IN (0, 1)")


def day(name: str, *, optional: bool = False) -> Field:
    """Return a column of a calendar day, as ISO text."""
    check = f"length({name}) = 10"
    return Field(name, Kind.TEXT, date.isoformat, date.fromisoformat, optional, check)


def clock_time(name: str, *, optional: bool = False) -> Field:
    """Return a column of a time of day, as ISO text."""
    return Field(name, Kind.TEXT, time.isoformat, time.fromisoformat, optional)


def moment(name: str) -> Field:
    """Return a column of a UTC moment with microseconds, as ISO text that sorts by time."""
    return Field(name, Kind.TEXT, utc_text, datetime.fromisoformat, check=f"length({name}) = 32")


def utc_text(at: datetime) -> str:
    """Return a moment as text that sorts by time.

    >>> utc_text(datetime(2026, 3, 20, 18, 10, tzinfo=UTC))
    '2026-03-20T18:10:00.000000+00:00'
    """
    if at.utcoffset() is None:
        raise ValueError("a moment needs its offset from UTC")
    return at.astimezone(UTC).isoformat(timespec="microseconds")


def choice(name: str, of: type[StrEnum], *, optional: bool = False) -> Field:
    """Return a column of one of the words of an enumeration."""
    return Field(name, Kind.TEXT, lambda value: of(value).value, of, optional)


def words(name: str) -> Field:
    """Return a column of a list of texts, as JSON."""
    return as_json(name, list, tuple)


def as_json(
    name: str,
    to_plain: Callable[[Any], Any],
    from_plain: Callable[[Any], Any],
    *,
    optional: bool = False,
) -> Field:
    """Return a column of a small value of several parts, as JSON text."""

    def encode(value: Any) -> str:
        try:
            plain = json.dumps(to_plain(value), ensure_ascii=False, allow_nan=False)
        except ValueError as not_finite:
            raise UserFault("not_finite", field=name) from not_finite
        if "\\u0000" in plain:
            raise UserFault("text_not_storable", field=name, value=plain[:80])
        return storable(name, plain, LONGEST_JSON)

    # Most rows hold the same few texts, and what comes out cannot be changed.
    @lru_cache(maxsize=1024)
    def decode(stored: str) -> Any:
        return from_plain(json.loads(stored))

    return Field(name, Kind.TEXT, encode, decode, optional)
