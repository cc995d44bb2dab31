"""One table of a tank file: takes typed values out of it and notes what is wrong."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Callable, Collection, Iterator, Mapping
from datetime import UTC, date, datetime, time, timedelta
from enum import StrEnum
from typing import TypeVar

from tankkeeper.core.errors import UserFault
from tankkeeper.core.limits import HARD_RANGES
from tankkeeper.core.values import dataclass
from tankkeeper.services.tank_file.problems import Findings, Path, nearest
from tankkeeper.services.watching import Watch, unwatched

E = TypeVar("E", bound=StrEnum)
T = TypeVar("T")

EARLIEST = date(1990, 1, 1)
YEARS_AHEAD = 10
LATEST_EXPIRY = date(2200, 12, 31)
CLOCK_TOLERANCE = timedelta(minutes=5)
LONGEST_NAME = int(HARD_RANGES["name_length"].high)
LONGEST_NOTE = int(HARD_RANGES["note_length"].high)
# 2 ** 53: whole numbers above it are no longer exact once they are floating.
_LARGEST_WHOLE = 9_007_199_254_740_992


@dataclass(frozen=True, slots=True)
class Frame:
    """What days and moments a file may name, seen from now."""

    now: datetime
    today: date
    watch: Watch = unwatched

    @property
    def last_planned(self) -> date:
        """The last day that may be planned for."""
        return date(self.today.year + YEARS_AHEAD, self.today.month, min(self.today.day, 28))


class Table:
    """A table with its place; every key that is asked for is a known one."""

    def __init__(self, raw: Mapping[str, object], path: Path, findings: Findings, frame: Frame):
        self.raw = raw
        self.path = path
        self.findings = findings
        self.frame = frame
        self._known: set[str] = set()
        self._before = len(findings)

    def take(self, key: str) -> object:
        """Return the raw value of `key`, None when it is left out."""
        self._known.add(key)
        return self.raw.get(key)

    def know(self, keys: Collection[str]) -> None:
        """Make keys known that another form of this table would have."""
        self._known.update(keys)

    def fault(self, key: str | None, code: str, **values: object) -> None:
        """Note a problem with `key`, or with the table itself."""
        path = self.path if key is None or key not in self.raw else (*self.path, key)
        named = {"key": key} if key is not None and "field" not in values else {}
        self.findings.add(path, code, **named, **values)

    def require(self, key: str) -> None:
        """Note a problem when `key` is left out."""
        self._known.add(key)
        if key not in self.raw:
            self.fault(key, "missing_key")

    @property
    def is_sound(self) -> bool:
        """Whether nothing wrong was found in this table so far."""
        return len(self.findings) == self._before

    def close(self) -> None:
        """Note every key that nobody asked for."""
        for key in self.raw:
            if key not in self._known:
                self.findings.add(
                    (*self.path, key), "unknown_key", key=key, nearest=nearest(key, self._known)
                )

    def build(self, make: Callable[[], T]) -> T | None:
        """Close the table and return what `make` makes of it, None when something is wrong."""
        self.close()
        if not self.is_sound:
            return None
        return self.guarded(None, make)

    def guarded(self, key: str | None, make: Callable[[], T]) -> T | None:
        """Return what `make` makes, noting what the core refuses."""
        try:
            return make()
        except UserFault as refused:
            field = refused.values.get("field")
            place = key or (field if isinstance(field, str) else None)
            path = (*self.path, place) if place in self.raw and place else self.path
            self.findings.add_fault(path, refused)
            return None

    def _wrong(self, key: str, expected: str) -> None:
        self.fault(key, "wrong_type", expected=expected, found=_kind_of(self.raw[key]))

    # text

    def text(self, key: str, longest: int = LONGEST_NOTE) -> str | None:
        """Return text of several lines at most `longest` long, as it is."""
        value = self.take(key)
        if value is None:
            return None
        if not isinstance(value, str):
            self._wrong(key, "text")
            return None
        if len(value) > longest:
            self.fault(key, "too_long", length=len(value), longest=longest)
            return None
        if "\0" in value:
            self.fault(key, "bad_character", character="NUL")
            return None
        return value

    def name(self, key: str, longest: int = LONGEST_NAME) -> str | None:
        """Return text of one line in one spelling (NFC), without spaces around it."""
        value = self.text(key, 4 * longest)
        if value is None:
            return None
        cleaned = unicodedata.normalize("NFC", value).strip()
        if any(unicodedata.category(sign) in {"Cc", "Zl", "Zp"} for sign in cleaned):
            self.fault(key, "bad_character", character="control")
        elif not cleaned:
            self.fault(key, "empty_name")
        elif len(cleaned) > longest:
            self.fault(key, "too_long", length=len(cleaned), longest=longest)
        else:
            return cleaned
        return None

    def needed_name(self, key: str) -> str:
        """Return a name that must be there; empty when it is at fault."""
        self.require(key)
        return self.name(key) or ""

    def names(self, key: str) -> tuple[str, ...]:
        """Return a list of names, each named once."""
        value = self.take(key)
        if value is None:
            return ()
        if not isinstance(value, list):
            self._wrong(key, "list")
            return ()
        inner = Table(
            {str(place): one for place, one in enumerate(value)}, (), Findings(), self.frame
        )
        found = [inner.name(str(place)) for place in range(len(value))]
        for finding in inner.findings.all:
            step = int(str(finding.path[0])) if finding.path else 0
            self.findings.add((*self.path, key, step), finding.code, **finding.values)
        kept = tuple(one for one in found if one is not None)
        if len(set(kept)) < len(kept):
            self.fault(key, "named_twice")
        return kept

    def choice(self, key: str, words: type[E]) -> E | None:
        """Return one of the words of an enumeration."""
        value = self.take(key)
        if value is None:
            return None
        allowed = [word.value for word in words]
        if isinstance(value, str) and value in allowed:
            return words(value)
        self.refuse_choice(key, value, allowed)
        return None

    def refuse_choice(self, key: str, value: object, allowed: Collection[str]) -> None:
        """Note that `value` is none of the words allowed."""
        near = nearest(value, allowed) if isinstance(value, str) else None
        self.fault(key, "unknown_choice", value=value, allowed=tuple(allowed), nearest=near)

    # numbers

    def number(self, key: str, low: float, high: float) -> float | None:
        """Return a finite number from `low` to `high`."""
        value = self.take(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            self._wrong(key, "number")
            return None
        if isinstance(value, float) and not math.isfinite(value):
            self.fault(key, "number_not_finite")
            return None
        if not low <= value <= high:
            self.fault(key, "out_of_range", field=key, value=value, low=low, high=high)
            return None
        return float(value)

    def whole(self, key: str, low: int, high: int) -> int | None:
        """Return a whole number from `low` to `high`."""
        value = self.raw.get(key)
        if isinstance(value, float) and math.isfinite(value) and value != int(value):
            self._known.add(key)
            self._wrong(key, "whole number")
            return None
        found = self.number(key, low, min(high, _LARGEST_WHOLE))
        return None if found is None else int(found)

    def salinity(self, key: str) -> float | None:
        """Return a practical salinity; a specific gravity in its place is told."""
        value = self.raw.get(key)
        if isinstance(value, (int, float)) and not isinstance(value, bool) and 1 <= value <= 1.040:
            self._known.add(key)
            self.fault(key, "looks_like_specific_gravity", field=key, value=value)
            return None
        limits = HARD_RANGES["salinity"]
        return self.number(key, limits.low, limits.high)

    def temperature(self, key: str) -> float | None:
        """Return a temperature of water or air in degC."""
        limits = HARD_RANGES["temperature"]
        return self.number(key, limits.low, limits.high)

    def volume(self, key: str) -> float | None:
        """Return litres of something that holds or is water."""
        return self.number(key, 0.0, HARD_RANGES["volume"].high)

    def flag(self, key: str) -> bool | None:
        """Return yes or no."""
        value = self.take(key)
        if value is not None and not isinstance(value, bool):
            self._wrong(key, "true or false")
            return None
        return value

    # days and moments

    def day(self, key: str, latest: date | None = None) -> date | None:
        """Return a date from 1990 on, up to ten years ahead or to `latest`."""
        value = self.take(key)
        if value is None:
            return None
        if isinstance(value, datetime) or not isinstance(value, date):
            self._wrong(key, "date")
            return None
        high = latest or self.frame.last_planned
        if not EARLIEST <= value <= high:
            self.fault(key, "out_of_range", field=key, value=value, low=EARLIEST, high=high)
            return None
        return value

    def clock(self, key: str) -> time | None:
        """Return a time of day, written as 08:00:00 or as the text "08:00"."""
        return self.as_clock(key, self.take(key))

    def as_clock(self, key: str, value: object) -> time | None:
        """Return a raw value of `key` as a time of day in whole minutes."""
        if value is None:
            return None
        if isinstance(value, str) and len(value) == 5:
            try:
                value = time.fromisoformat(value)
            except ValueError:
                self.fault(key, "time_unreadable", value=value)
                return None
        if not isinstance(value, time):
            self.fault(key, "wrong_type", expected="time", found=_kind_of(value))
            return None
        if value.second or value.microsecond:
            self.fault(key, "time_unreadable", value=value)
            return None
        return value

    def moment(self, key: str) -> datetime | None:
        """Return a moment in UTC that has happened already."""
        value = self.take(key)
        if value is None:
            return None
        if not isinstance(value, datetime):
            self._wrong(key, "moment")
            return None
        if value.tzinfo is None:
            self.fault(key, "offset_missing", value=value)
            return None
        if not EARLIEST.year < value.year < self.frame.now.year + 2:
            self._out_of_time(key, value)
            return None
        found = value.astimezone(UTC)
        if found > self.frame.now + CLOCK_TOLERANCE:
            self._out_of_time(key, value)
            return None
        return found

    def _out_of_time(self, key: str, value: datetime) -> None:
        early = value.year <= EARLIEST.year
        code = "out_of_range" if early else "in_future"
        self.fault(key, code, field=key, value=value, low=EARLIEST, high=self.frame.now)

    # tables within

    def inner(self, key: str) -> Table | None:
        """Return the table `key`."""
        value = self.take(key)
        if value is None:
            return None
        if not isinstance(value, dict):
            self._wrong(key, "table")
            return None
        return Table(value, (*self.path, key), self.findings, self.frame)

    def rows(self, key: str, most: int | None = None) -> Iterator[Table]:
        """Yield the tables of the list `key` in order."""
        value = self.take(key)
        if value is None:
            return
        if not isinstance(value, list):
            self._wrong(key, "list of tables")
            return
        if most is not None and len(value) > most:
            self.fault(key, "too_many", count=len(value), most=most)
            return
        for place, row in enumerate(value):
            path = (*self.path, key, place)
            if isinstance(row, dict):
                yield Table(row, path, self.findings, self.frame)
            else:
                self.findings.add(path, "wrong_type", expected="table", found=_kind_of(row))


_KINDS: tuple[tuple[type, str], ...] = (
    (bool, "true or false"),
    (str, "text"),
    (int, "number"),
    (float, "number"),
    (datetime, "moment"),
    (date, "date"),
    (time, "time"),
    (list, "list"),
    (dict, "table"),
)


def _kind_of(value: object) -> str:
    """Return the word for the kind of a TOML value."""
    return next((word for kind, word in _KINDS if isinstance(value, kind)), "nothing")
