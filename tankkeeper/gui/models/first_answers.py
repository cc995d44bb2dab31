"""What the first page asks: units by the system's locale, the measures of each shape."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

from PySide6.QtCore import QLocale

from tankkeeper.core.errors import UserFault, out_of_range
from tankkeeper.core.household import ShownUnits
from tankkeeper.core.units import Dimension, in_unit, parse_number, parse_quantity, stored_value
from tankkeeper.core.volume import LARGEST_SIZE_CM, LARGEST_VOLUME_L, ShapeKind

Parse = Callable[[str], object]


class UnitChoice(NamedTuple):
    """A set of units that goes together."""

    text: str
    shown: ShownUnits
    length: str


UNIT_CHOICES: Final = (
    UnitChoice("Litres, cm, °C", ShownUnits(), "cm"),
    UnitChoice("US gallons, inches, °F", ShownUnits("US gal", "degF"), "in"),
    UnitChoice("Imperial gallons, inches, °C", ShownUnits("imp gal"), "in"),
)


def units_of_locale(locale: QLocale) -> UnitChoice:
    """Return the units that people use where the system says it is."""
    is_us = locale.measurementSystem() is QLocale.MeasurementSystem.ImperialUSSystem
    return UNIT_CHOICES[1 if is_us else 0]


def units_like(shown: ShownUnits) -> UnitChoice:
    """Return the units of a household, with the lengths that go with its volumes."""
    return UnitChoice("", shown, shown.length)


def first_weekday_of(locale: QLocale) -> int:
    """Return the day on which the week begins there, Monday being 0."""
    return locale.firstDayOfWeek().value - 1


class Measure(NamedTuple):
    """One size of a tank: the field of `Shape`, its words, and what it measures."""

    field: str
    words: str
    dimension: Dimension = Dimension.LENGTH


_HIGH = (Measure("height_cm", "Height"), Measure("water_depth_cm", "Water up to"))
_LONG = Measure("length_cm", "Length")
SHAPES: Final[dict[ShapeKind, tuple[str, tuple[Measure, ...]]]] = {
    ShapeKind.BOX: ("Box", (_LONG, Measure("width_cm", "Width"), *_HIGH)),
    ShapeKind.BOW_FRONT: (
        "Bow front",
        (_LONG, Measure("width_cm", "Width at the side"), Measure("bow_cm", "Bow adds"), *_HIGH),
    ),
    ShapeKind.CYLINDER: ("Cylinder", (Measure("diameter_cm", "Diameter"), *_HIGH)),
    ShapeKind.POLYGON: (
        "Equal sides",
        (
            Measure("sides", "Sides", Dimension.PLAIN),
            Measure("edge_cm", "Length of a side"),
            *_HIGH,
        ),
    ),
    ShapeKind.OTHER: (
        "Other, or volume only",
        (Measure("litres", "Water in it", Dimension.VOLUME), *_HIGH[:1]),
    ),
}


MOST_KG: Final = 100_000.0
# What is good to know and may wait: the figures are surer with it, and chores for it come along.
EXTRAS: Final = (
    Measure("rock_dry_kg", "Rock", Dimension.MASS),
    Measure("sand_dry_kg", "Sand", Dimension.MASS),
    Measure("sump_l", "Water in the sump", Dimension.VOLUME),
    Measure("reservoir_l", "Top-off reservoir", Dimension.VOLUME),
)


def unit_of(measure: Measure, units: UnitChoice) -> str:
    """Return the unit that a measure is asked in."""
    if measure.dimension is Dimension.PLAIN:
        return ""
    if measure.dimension is Dimension.MASS:
        return units.shown.mass
    return units.length if measure.dimension is Dimension.LENGTH else units.shown.volume


def reader_of(measure: Measure, units: UnitChoice) -> Parse:
    """Return what reads a measure into its stored unit."""

    def read(text: str) -> object:
        if measure.dimension is Dimension.PLAIN:
            return _whole(text)
        try:
            quantity = parse_quantity(text, measure.dimension, unit_of(measure, units))
            is_mass = measure.dimension is Dimension.MASS
            # Stored in grams, but a tank's rock is told in kilograms.
            value = stored_value(quantity) / (1000.0 if is_mass else 1.0)
            most = {Dimension.LENGTH: LARGEST_SIZE_CM, Dimension.MASS: MOST_KG}.get(
                measure.dimension, LARGEST_VOLUME_L
            )
            if not 0.0 < value <= most:
                refused = out_of_range(measure.field, value, 0.0, most, "more_than_zero")
                tell_in_units(refused, measure, units)
                raise refused
        except UserFault as fault:
            if fault.code == "out_of_range" and fault.values.get("low") == 0.0:
                # No size is nothing, though a number of its kind may be.
                fault.values["hint"] = "more_than_zero"
            # Called by the name above the field, not by what is measured.
            raise fault.labelled(measure.words) from None
        return value

    return read


def text_in(value: float, measure: Measure, units: UnitChoice, decimal_sign: str = ".") -> str:
    """Return a stored size as it is written in these units: four digits, no more than it needs.

    A quarter of a millimetre in a metre is less than a ruler tells.

    >>> text_in(59.0, SHAPES[ShapeKind.BOX][1][0], UNIT_CHOICES[1])
    '23.23'
    """
    number = _in_shown(value, measure, units)
    text = f"{number:.4g}" if abs(number) < 1000.0 else f"{number:.0f}"
    return text.replace(".", decimal_sign)


def tell_in_units(fault: UserFault, measure: Measure, units: UnitChoice) -> None:
    """Let a refusal of a size tell its numbers in the unit in which it is asked."""
    if measure.dimension is not Dimension.PLAIN:
        fault.tell_in(unit_of(measure, units), lambda stored: _in_shown(stored, measure, units))


def _in_shown(value: float, measure: Measure, units: UnitChoice) -> float:
    is_mass = measure.dimension is Dimension.MASS
    return in_unit(value * (1000.0 if is_mass else 1.0), unit_of(measure, units))


def _whole(text: str) -> int:
    value = parse_number(text, "sides")
    if value != round(value) or not 3 <= value <= 100:
        raise UserFault("out_of_range", field="sides", value=value, low=3, high=100, hint="")
    return round(value)
