"""TOML text in our own layout: values, inline tables, keys in a fixed order."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from datetime import date, datetime, time
from enum import StrEnum

Pair = tuple[str, str | None]

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+", re.ASCII)
_PLAIN = re.compile(r"[ !#-\[\]-~]*")
_SHORT = {"\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r", '"': '\\"', "\\": "\\\\"}
# Signs that change the order in which other signs are shown, so that text looks like other text.
_TURNING = frozenset(
    "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff"
)
# From here on neighbouring whole numbers are no longer told apart by a float.
_WHOLE_UNTIL = 2.0**53


def text(value: str) -> str:
    """Return a basic string; what cannot be seen is escaped.

    >>> text('a "b"')
    '"a \\\\"b\\\\""'
    """
    if _PLAIN.fullmatch(value):
        return f'"{value}"'
    return '"' + "".join(map(_sign, value)) + '"'


def _sign(sign: str) -> str:
    if sign in _SHORT:
        return _SHORT[sign]
    if sign in _TURNING or unicodedata.category(sign) in {"Cc", "Zl", "Zp"}:
        return f"\\u{ord(sign):04X}"
    return sign


def number(value: float | None) -> str | None:
    """Return a number as short as it reads back the same, whole ones without a point.

    >>> number(35.0), number(0.1), number(None)
    ('35', '0.1', None)
    """
    if value is None:
        return None
    if isinstance(value, float) and not (value.is_integer() and abs(value) < _WHOLE_UNTIL):
        return repr(value)
    return str(int(value))


def known_text(value: str | None) -> str | None:
    """Return text that says something, None for text left empty."""
    return text(value) if value else None


def word(value: StrEnum | None) -> str | None:
    """Return the word of an enumeration."""
    return None if value is None else f'"{value.value}"'


def flag(value: bool | None) -> str | None:
    """Return yes or no."""
    if value is None:
        return None
    return "true" if value else "false"


def day(value: date | None) -> str | None:
    """Return a date."""
    return None if value is None else value.isoformat()


def moment(value: datetime) -> str:
    """Return a moment with its offset."""
    return value.isoformat()


def clock(value: time) -> str:
    """Return a time of day."""
    return value.isoformat("seconds")


def slot(value: time) -> str:
    """Return a slot, as people write it.

    >>> slot(time(8))
    '"08:00"'
    """
    return f'"{value:%H:%M}"'


def listed(values: Iterable[str]) -> str | None:
    """Return a list on one line, None for an empty one."""
    inside = ", ".join(values)
    return f"[{inside}]" if inside else None


def texts(values: Iterable[str]) -> str | None:
    """Return a list of texts on one line, None for an empty one."""
    return listed(text(value) for value in values)


def inline(pairs: Iterable[Pair]) -> str:
    """Return an inline table; keys without a value are left out.

    >>> inline([("litres", "40"), ("grams", None)])
    '{ litres = 40 }'
    """
    inside = ", ".join(f"{key(name)} = {value}" for name, value in pairs if value is not None)
    return f"{{ {inside} }}" if inside else "{}"


def key(name: str) -> str:
    """Return a key, quoted where TOML asks for it."""
    return name if _BARE_KEY.fullmatch(name) else text(name)


def table(head: str, pairs: Iterable[Pair]) -> list[str]:
    """Return the lines of a table; `head` holds its brackets."""
    lines = [head]
    lines.extend(f"{key(name)} = {value}" for name, value in pairs if value is not None)
    return lines
