"""Ids made from names: short, plain, and the same for equal names in equal order."""

from __future__ import annotations

import unicodedata
from collections.abc import Container
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from uuid import UUID

from tankkeeper.core.patterns import Pattern

HOUSE = "house"
LONGEST_SLUG = 60
_READ_UP_TO = 1000
_TIMED_VERSION = 7
# Letters that Unicode does not take apart into a plain letter and a mark.
_LETTERS = str.maketrans({"ø": "o", "æ": "ae", "œ": "oe", "ß": "ss", "ł": "l", "đ": "d", "þ": "th"})
_GAPS = Pattern(r"[^a-z0-9]+")


def slug(name: str, taken: Container[str], kind: str = "item") -> str:
    """Return an id for `name` that is not in `taken`: its plain words joined by "-".

    A name without any plain letter or digit takes the word of its kind.

    >>> slug("Living room", ()), slug("Lagoon", ("lagoon",)), slug("水槽", (), "tank")
    ('living-room', 'lagoon-2', 'tank')
    """
    return _free(_plain(name) or kind, taken)


def tank_slug(name: str, taken: Container[str]) -> str:
    """Return an id for a tank; "house" stays free for the chores of the household.

    >>> tank_slug("House", ())
    'tank-house'
    """
    plain = _plain(name) or "tank"
    return _free(f"tank-{HOUSE}" if plain == HOUSE else plain, taken)


def chore_slug(tank: str | None, name: str, taken: Container[str]) -> str:
    """Return an id for a chore of the tank with the id `tank`, or of the household.

    >>> chore_slug("lagoon", "Change water", ()), chore_slug(None, "Mix salt", ())
    ('lagoon.change-water', 'house.mix-salt')
    """
    return _free(f"{tank or HOUSE}.{_plain(name) or 'chore'}", taken)


def moment_in(entry_id: str) -> datetime | None:
    """Return the moment that an id of the logbook was made for, None where it tells none.

    UUIDs of version 7 begin with milliseconds since 1970 (RFC 9562, 2024, section 5.7).

    >>> moment_in("017f22e2-79b0-7000-8000-000000000000"), moment_in("e1")
    (datetime.datetime(2022, 2, 22, 19, 22, 22, tzinfo=datetime.timezone.utc), None)
    """
    try:
        found = UUID(entry_id)
    except ValueError:
        return None
    if found.version != _TIMED_VERSION:
        return None
    return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(milliseconds=found.int >> 80)


def _plain(name: str) -> str:
    """Return the words of `name` in lower-case ASCII joined by "-", empty when it has none."""
    return _joined(name[:_READ_UP_TO])


# The catalogue asks for the same names at every letter that is typed on the first page.
@lru_cache(maxsize=256)
def _joined(name: str) -> str:
    apart = unicodedata.normalize("NFKD", name.lower().translate(_LETTERS))
    words = _GAPS.sub("-", apart.encode("ascii", "ignore").decode("ascii"))
    return words.strip("-")[:LONGEST_SLUG].rstrip("-")


def _free(base: str, taken: Container[str]) -> str:
    """Return `base`, or `base` with the first number from 2 on that makes it free."""
    found, number = base, 2
    while found in taken:
        found, number = f"{base}-{number}", number + 1
    return found
