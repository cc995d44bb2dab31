"""Fields described by where their value stands in a thing: read out of it, and put into it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import fields, replace
from datetime import date, time
from enum import StrEnum
from typing import Any, TypeVar

from tankkeeper.core.errors import UserFault
from tankkeeper.core.parameters import from_stored, to_stored
from tankkeeper.core.shown_digits import exact_decimals, poured_value
from tankkeeper.core.units import (
    Dimension,
    Quantity,
    parse_number,
    parse_quantity,
    plain_text,
    stored_value,
)
from tankkeeper.core.values import dataclass
from tankkeeper.gui.forms import typed_lists
from tankkeeper.gui.forms.day_fields import local_style
from tankkeeper.gui.forms.range_texts import ranges_in, ranges_text
from tankkeeper.gui.forms.rates import litres_a_day_in, litres_an_hour_in
from tankkeeper.reports.called_days import the_day_called
from tankkeeper.reports.numbers import SPOKEN_UNITS, UNIT_SIGNS
from tankkeeper.reports.typed_days import day_text, whole_day
from tankkeeper.reports.words import Words

T = TypeVar("T")


class Kind(StrEnum):
    """What is typed or chosen in a field."""

    TEXT = "text"
    NUMBER = "number"
    WHOLE = "whole"
    PERCENT = "percent"
    VOLUME = "volume"
    DAILY = "volume a day"
    HOURLY = "volume an hour"
    TEMPERATURE = "temperature"
    LENGTH = "length"
    THICKNESS = "thickness"
    AREA = "area"
    MASS = "mass"
    PER_VOLUME = "of each litre"
    PER_MASS = "of each kilogram"
    SALINITY = "salinity"
    DAY = "day"
    CLOCK = "clock"
    CHOICE = "choice"
    FLAG = "flag"
    MANY = "many"
    TIMES = "times"
    MONTH_DAYS = "month days"
    SEASONS = "seasons"
    RANGES = "ranges"


@dataclass(frozen=True, slots=True)
class Spec:
    """One field: `path` is where its value stands, such as "shape.length_cm".

    `choices` are words with their values, made from the household; `shown` says for which things
    it is asked at all; `note` says what it is good for, or what holds while it is not known. `then`
    are fields with what usually stands in them once something else was chosen here. `short` is its
    name in sentences where the label is long; `keys` are what a refusal calls it where that is not
    the end of its path, such as "uses[1]" for the first of a list. `apart` are the choices that
    such a thing does not have, where one is chosen by what stands in the other fields by now;
    `note_of` is a note that follows what stands in the fields.
    What is said of a litre or a kilogram has "{volume}" or "{mass}" in its words, for the unit of
    the household. `fills` are fields that get what is typed here, as long as they are all alike.
    `usual` is what is chosen here until a person chooses, by what stands in the other fields. One
    that `begins_line` stands at the left edge, so that the rows of a list lie beneath one another.
    """

    path: str
    label: str
    kind: Kind = Kind.NUMBER
    unit: str = ""
    note: str = ""
    is_wide: bool = False
    choices: Callable[[Words], tuple[tuple[str, object], ...]] | None = None
    shown: Callable[[Any], bool] | None = None
    then: tuple[tuple[str, object], ...] = ()
    short: str = ""
    keys: tuple[str, ...] = ()
    apart: Callable[[Any], Collection[object]] | None = None
    note_of: Callable[[Any, Words], str] | None = None
    fills: tuple[str, ...] = ()
    usual: Callable[[Any], object] | None = None
    begins_line: bool = False

    @property
    def named(self) -> str:
        """Its name as it stands in a sentence."""
        return self.short or self.label

    def label_in(self, words: Words) -> str:
        """Its name as it stands above it."""
        return in_units(self.label, words)

    def named_in(self, words: Words) -> str:
        """Its name as it stands in a sentence."""
        return in_units(self.named, words)


@dataclass(frozen=True, slots=True)
class Group:
    """Fields that a person would look for together.

    Of a list, `row` gives the fields of one place, counted from 0; one more row stands as soon as
    the last one is filled.
    """

    title: str
    specs: tuple[Spec, ...]
    sentence: str = ""
    row: Callable[[int], tuple[Spec, ...]] | None = None


_DIMENSIONS = {
    Kind.VOLUME: Dimension.VOLUME,
    Kind.DAILY: Dimension.VOLUME,
    Kind.HOURLY: Dimension.VOLUME,
    Kind.TEMPERATURE: Dimension.TEMPERATURE,
    Kind.LENGTH: Dimension.LENGTH,
    Kind.THICKNESS: Dimension.LENGTH,
    Kind.AREA: Dimension.AREA,
    Kind.MASS: Dimension.MASS,
    Kind.SALINITY: Dimension.SALINITY,
}
# What is said of each unit of these, and which part of a litre or a kilogram the stored unit is.
_PER: Mapping[Kind, tuple[str, float]] = {
    Kind.PER_VOLUME: ("volume", 1.0),
    Kind.PER_MASS: ("mass", 0.001),
}
# What is poured, or runs; its typed text has no more digits than one can pour to.
_POURED = frozenset({Kind.VOLUME, Kind.DAILY, Kind.HOURLY})
# Decimals that somebody may have typed; more come from a conversion.
_TYPED = 2
# Common practice, no source: an inch of a rule is parted into sixteen.
_OF_A_RULE = 16
_RATES: Mapping[Kind, Callable[[str, str], float]] = {
    Kind.DAILY: litres_a_day_in,
    Kind.HOURLY: litres_an_hour_in,
}
# Millimetres in the centimetre of lengths, kilograms in the gram of masses: a tank is told in the
# former.
_OF_STORED = {Kind.THICKNESS: 10.0, Kind.MASS: 0.001}
# What is typed as a list: read from the text, and written as it is read.
LISTS: Mapping[Kind, tuple[Callable[[str], Any], Callable[[Any], str]]] = {
    Kind.TIMES: (typed_lists.times_in, typed_lists.times_text),
    Kind.MONTH_DAYS: (typed_lists.month_days_in, typed_lists.month_days_text),
    Kind.SEASONS: (typed_lists.seasons_in, typed_lists.seasons_text),
}
FLAGS: tuple[tuple[str, object], ...] = (("Not said", None), ("Yes", True), ("No", False))


def in_units(text: str, words: Words) -> str:
    """Return words about each litre or kilogram in the units of the household."""
    units = words.units
    volume, mass = SPOKEN_UNITS[units.volume][0], SPOKEN_UNITS[units.mass][0]
    return text.replace("{volume}", volume).replace("{mass}", mass)


def tanks_of(words: Words) -> tuple[tuple[str, object], ...]:
    """Return the tanks of the household as rows of a choice."""
    return tuple((one.name, one.id) for one in words.household.tanks)


def unit_of(spec: Spec, words: Words) -> str:
    """Return the name of the unit in which a field is typed."""
    units = words.units
    by_kind = {
        Kind.VOLUME: units.volume,
        Kind.DAILY: units.volume,
        Kind.HOURLY: units.volume,
        Kind.TEMPERATURE: units.temperature,
        Kind.LENGTH: units.length,
        Kind.THICKNESS: units.thickness,
        Kind.AREA: units.area,
        Kind.MASS: units.mass,
        Kind.SALINITY: units.salinity,
        Kind.PERCENT: "%",
    }
    return by_kind.get(spec.kind, in_units(spec.unit, words))


def sign_of(spec: Spec, words: Words) -> str:
    """Return the unit as it stands behind the field."""
    unit = unit_of(spec, words)
    sign = UNIT_SIGNS.get(unit, unit)
    return f"{sign}/h" if spec.kind is Kind.HOURLY else sign


def parse(spec: Spec, text: str, words: Words) -> object:
    """Return the value of what was typed, or refuse it."""
    field = spec.path.rpartition(".")[2]
    if spec.kind in _RATES:
        return _RATES[spec.kind](text, unit_of(spec, words))
    if spec.kind in _DIMENSIONS:
        typed = to_stored(parse_quantity(text, _DIMENSIONS[spec.kind], unit_of(spec, words)))
        return typed * _OF_STORED.get(spec.kind, 1.0)
    if spec.kind in _PLAIN:
        return _PLAIN[spec.kind](text, words)
    if spec.kind in LISTS:
        return LISTS[spec.kind][0](text)
    if spec.kind is Kind.RANGES:
        return ranges_in(text, words)
    value = parse_number(text.removesuffix("%").rstrip() if spec.kind is Kind.PERCENT else text)
    if spec.kind is Kind.PERCENT:
        if not 0.0 <= value <= 100.0:
            raise UserFault(
                "out_of_range", field=field, value=value, low=0.0, high=100.0, hint="", unit="%"
            )
        return value / 100.0
    if spec.kind in _PER:
        return value / _each(spec, words)
    return _whole(value, field) if spec.kind is Kind.WHOLE else value


def _whole(value: float, field: str) -> int:
    if value != int(value):
        raise UserFault("not_whole", field=field, value=value)
    return int(value)


def text_of(spec: Spec, value: object, words: Words) -> str:
    """Return a value as it would be typed."""
    if value is None:
        return ""
    if isinstance(value, date):
        return day_text(value)
    if isinstance(value, time):
        return f"{value:%H:%M}"
    if isinstance(value, str):
        return value
    if spec.kind in LISTS:
        return LISTS[spec.kind][1](value)
    if spec.kind is Kind.RANGES:
        assert isinstance(value, tuple)
        return ranges_text(value, words)
    assert isinstance(value, (int, float))
    if spec.kind in _DIMENSIONS:
        number = _in_shown(spec, float(value), words)
        return _shortest(spec, number, float(value), words)
    if spec.kind in _PER and _each(spec, words) != 1.0:
        return _shortest(spec, float(value) * _each(spec, words), float(value), words)
    number = 100.0 * value if spec.kind is Kind.PERCENT else float(value)
    return plain_text(round(number, 9)).replace(".", words.decimal_sign)


def shown_text_of(spec: Spec, value: object, words: Words) -> str:
    """Return a value as its field shows it: in gallons with the digits that a bucket shows.

    Inches have hundredths, or the sixteenths that were typed: 80 cm are 31.5 in.
    A field whose text nobody touches still holds the value to its last digit.
    """
    text = text_of(spec, value, words)
    decimals = len(text.partition(words.decimal_sign)[2])
    if not isinstance(value, (int, float)) or decimals <= _TYPED:
        return text
    if spec.kind in _PER and _each(spec, words) != 1.0:
        number = float(value) * _each(spec, words)
        digits = max(_TYPED, exact_decimals(number))
        return plain_text(round(number, digits)).replace(".", words.decimal_sign)
    if unit_of(spec, words) == "in":
        return _inches(_in_shown(spec, float(value), words), text, words)
    if spec.kind not in _POURED:
        return text
    told = poured_value(_in_shown(spec, float(value), words), unit_of(spec, words))
    return plain_text(told).replace(".", words.decimal_sign) if told else text


def _inches(number: float, text: str, words: Words) -> str:
    """Return inches as a rule tells them, the whole text where little else would be left."""
    if abs(_OF_A_RULE * number - round(_OF_A_RULE * number)) <= 1e-4:
        return text
    return (
        plain_text(round(number, _TYPED)).replace(".", words.decimal_sign)
        if number >= 0.1
        else text
    )


def _each(spec: Spec, words: Words) -> float:
    """Return how many litres or kilograms the unit has of which something is said."""
    kind, of_stored = _PER[spec.kind]
    dimension = Dimension.VOLUME if spec.kind is Kind.PER_VOLUME else Dimension.MASS
    return of_stored * stored_value(Quantity(1.0, getattr(words.units, kind), dimension))


def _in_shown(spec: Spec, value: float, words: Words) -> float:
    stored = value / _OF_STORED.get(spec.kind, 1.0)
    return from_stored(stored, _DIMENSIONS[spec.kind], unit_of(spec, words))


def tell_in_shown(spec: Spec, fault: UserFault, words: Words) -> None:
    """Let a refusal of the value of a field tell its numbers in the unit in which it is typed."""
    name = str(fault.values.get("field", "")).rpartition(".")[2]
    if name != spec.path.rpartition(".")[2]:
        return
    if spec.kind in _PER:
        fault.tell_in(unit_of(spec, words), lambda stored: stored * _each(spec, words))
    if spec.kind in _DIMENSIONS:
        fault.tell_in(unit_of(spec, words), lambda stored: _in_shown(spec, stored, words))


def _shortest(spec: Spec, number: float, stored: float, words: Words) -> str:
    """Return the shortest text that is read as the stored value, to a millionth part."""
    for decimals in range(10):
        text = plain_text(round(number, decimals)).replace(".", words.decimal_sign)
        try:
            read = parse(spec, text, words)
        except UserFault:
            continue
        if isinstance(read, float) and abs(read - stored) <= 1e-6 * max(1.0, abs(stored)):
            return text
    return plain_text(number).replace(".", words.decimal_sign)


def _day(text: str, words: Words) -> date:
    """Return a day as it is shown here, or one in words: "yesterday", "24 nov"."""
    style = local_style()
    found = whole_day(text.strip().casefold(), style)
    if found is None:
        found = the_day_called(text, words.today, style.order)
    if found is None:
        raise UserFault("not_a_day", text=text[:80])
    return found


_PLAIN: Mapping[Kind, Callable[[str, Words], object]] = {
    Kind.DAY: _day,
    Kind.CLOCK: lambda text, _words: typed_lists.clock_in(text),
    Kind.TEXT: lambda text, _words: text,
}


def value_at(thing: object, path: str) -> object:
    """Return what stands at a path, None where a part on the way is missing."""
    found: Any = thing
    for step in path.split("."):
        if found is None:
            return None
        if isinstance(found, tuple):
            found = found[int(step)] if int(step) < len(found) else None
        else:
            found = getattr(found, step)
    return found


def blank_at(parts: Mapping[str, type[Any]], path: str) -> object:
    """Return what stands in an empty row of a list at a path, None for what is in no list."""
    head, _, rest = path.partition(".")
    place, _, name = rest.partition(".")
    return value_at(parts[head](), name) if place.isdigit() and head in parts else None


def with_values(thing: T, values: Mapping[str, object], parts: Mapping[str, type[Any]]) -> T:
    """Return the thing with these values at their paths.

    `parts` are the classes of optional parts: one in which nothing is known any more goes. They are
    those of the rows of a list, too: what is added to it ends with the last row that is not empty.
    """
    own = {path: value for path, value in values.items() if "." not in path}
    heads = dict.fromkeys(path.partition(".")[0] for path in values if "." in path)
    for head in heads:
        inside = {
            path.partition(".")[2]: value
            for path, value in values.items()
            if path.startswith(f"{head}.")
        }
        own[head] = _with_part(getattr(thing, head), inside, parts.get(head))
    return replace(thing, **own)  # type: ignore[type-var]


def _with_part(part: Any, values: Mapping[str, object], of: type[Any] | None) -> Any:
    if isinstance(part, tuple):
        if of is not None:
            return _with_rows(part, values, of)
        return tuple(values.get(str(place), one) for place, one in enumerate(part))
    if of is None:
        return replace(part, **values)
    known = {} if part is None else {one.name: getattr(part, one.name) for one in fields(part)}
    known |= values
    if "kind" in known and known["kind"] is None:
        return None
    if all(value in (None, "") for value in known.values()):
        return None
    return of(**{name: value for name, value in known.items() if value is not None})


def _with_rows(rows: tuple[Any, ...], values: Mapping[str, object], of: type[Any]) -> Any:
    """Return the rows of a list with these values, each at the place before its path."""
    inside: dict[int, dict[str, object]] = {}
    for path, value in values.items():
        place, _, name = path.partition(".")
        inside.setdefault(int(place), {})[name] = value
    found = [
        replace(rows[place] if place < len(rows) else of(), **inside.get(place, {}))
        for place in range(max(len(rows), *(place + 1 for place in inside), 0))
    ]
    while len(found) > len(rows) and found[-1] == of():
        found.pop()
    return tuple(found)
