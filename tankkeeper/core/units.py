"""Units, exact factors, and the one reader for every number a person types or imports."""

from __future__ import annotations

import difflib
import math
import re
import unicodedata
from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType

from tankkeeper.core.errors import UserFault
from tankkeeper.core.limits import HARD_RANGES as HARD_RANGES
from tankkeeper.core.limits import Limits as Limits
from tankkeeper.core.limits import Unusual as Unusual
from tankkeeper.core.limits import unusual as unusual
from tankkeeper.core.patterns import Pattern
from tankkeeper.core.values import dataclass

# Exact by definition: NIST Special Publication 811, 2008, Appendix B (from memory).
US_GALLON_L = 3.785411784
IMPERIAL_GALLON_L = 4.54609
INCH_CM = 2.54
POUND_G = 453.59237

# One degree of carbonate hardness is 10 mg/L CaO by definition; CaO and CaCO3 carry two
# equivalents a mole. Molar masses from the abridged CIAAW/IUPAC atomic weights.
_CAO_G_PER_MOL = 40.078 + 15.999
_CACO3_G_PER_MOL = 40.078 + 12.011 + 3 * 15.999
MEQ_PER_DKH = 20.0 / _CAO_G_PER_MOL
CACO3_MG_PER_DKH = 10.0 * _CACO3_G_PER_MOL / _CAO_G_PER_MOL

LONGEST_ENTRY = 60


class Dimension(StrEnum):
    """What kind of quantity a number is; each is stored in one unit of its own."""

    VOLUME = "volume"
    TEMPERATURE = "temperature"
    SALINITY = "salinity"
    ALKALINITY = "alkalinity"
    CONCENTRATION = "concentration"
    MASS = "mass"
    LENGTH = "length"
    AREA = "area"
    PH = "ph"
    PLAIN = "plain"


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit with its way to the stored unit: stored = (value - zero) * factor."""

    name: str
    dimension: Dimension
    factor: float = 1.0
    zero: float = 0.0
    aliases: tuple[str, ...] = ()
    is_linear: bool = True


UNITS: tuple[Unit, ...] = (
    Unit("L", Dimension.VOLUME, aliases=("l", "litre", "litres", "liter", "liters")),
    Unit("ml", Dimension.VOLUME, 0.001, aliases=("ml", "millilitre", "millilitres")),
    Unit(
        "US gal",
        Dimension.VOLUME,
        US_GALLON_L,
        aliases=("usgal", "galus", "usgallon", "usgallons", "gallonsus", "gallonus"),
    ),
    Unit(
        "imp gal",
        Dimension.VOLUME,
        IMPERIAL_GALLON_L,
        aliases=("impgal", "galimp", "ukgal", "galuk", "imperialgallon", "imperialgallons"),
    ),
    Unit("degC", Dimension.TEMPERATURE, aliases=("c", "degc", "celsius")),
    Unit("degF", Dimension.TEMPERATURE, 1 / 1.8, 32.0, ("f", "degf", "fahrenheit")),
    Unit("practical", Dimension.SALINITY, aliases=("practical", "psu", "ppt", "sp", "‰")),
    Unit("mS/cm", Dimension.SALINITY, aliases=("ms/cm",), is_linear=False),
    Unit("dKH", Dimension.ALKALINITY, aliases=("dkh", "kh")),
    Unit("meq/L", Dimension.ALKALINITY, 1 / MEQ_PER_DKH, aliases=("meq/l",)),
    Unit(
        "mg/L CaCO3",
        Dimension.ALKALINITY,
        1 / CACO3_MG_PER_DKH,
        aliases=("mg/lcaco3", "ppmcaco3"),
    ),
    Unit("mg/L", Dimension.CONCENTRATION, aliases=("mg/l", "ppm")),
    Unit("g", Dimension.MASS, aliases=("g", "gram", "grams")),
    Unit("kg", Dimension.MASS, 1000.0, aliases=("kg",)),
    Unit("lb", Dimension.MASS, POUND_G, aliases=("lb", "lbs", "pound", "pounds")),
    Unit("cm", Dimension.LENGTH, aliases=("cm",)),
    Unit("mm", Dimension.LENGTH, 0.1, aliases=("mm",)),
    Unit("in", Dimension.LENGTH, INCH_CM, aliases=("in", "inch", "inches", '"')),
    Unit("cm²", Dimension.AREA, aliases=("cm2", "cm^2", "sqcm")),
    Unit("in²", Dimension.AREA, INCH_CM**2, aliases=("in2", "in^2", "sqin")),
    Unit("pH", Dimension.PH, aliases=("ph",)),
    Unit("", Dimension.PLAIN),
)
_BY_NAME = MappingProxyType({unit.name: unit for unit in UNITS})
_BY_ALIAS = MappingProxyType(
    {(unit.dimension, alias): unit for unit in UNITS for alias in unit.aliases}
)
STORED_UNIT: Mapping[Dimension, str] = MappingProxyType(
    {unit.dimension: unit.name for unit in reversed(UNITS)}
)
_AMBIGUOUS = frozenset({"gal", "gals", "gallon", "gallons"})


# A part of a volume (a dose, a top-off) may be smaller than the smallest tank.
_TYPED_LIMITS: Mapping[Dimension, Limits] = MappingProxyType(
    {
        Dimension.VOLUME: Limits(0.0, 100_000.0),
        Dimension.TEMPERATURE: HARD_RANGES["temperature"],
        Dimension.SALINITY: HARD_RANGES["salinity"],
        Dimension.ALKALINITY: Limits(0.0, 100.0),
        Dimension.CONCENTRATION: Limits(0.0, 100_000.0),
        Dimension.MASS: Limits(0.0, 10_000_000.0),
        Dimension.LENGTH: Limits(0.0, 10_000.0),
        Dimension.AREA: Limits(0.0, 100_000_000.0),
        Dimension.PH: HARD_RANGES["ph"],
    }
)


@dataclass(frozen=True, slots=True)
class SgReference:
    """The two temperatures of a specific gravity: of the sample, and of the fresh water."""

    sample_c: float
    reference_c: float


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number as typed, with the name of its unit and, for a density, its sample temperature."""

    value: float
    unit: str
    dimension: Dimension
    sample_temperature_c: float | None = None
    reference_is_assumed: bool = False


def _refused(code: str, text: str, field: str) -> UserFault:
    return UserFault(code, field=field, text=text[:LONGEST_ENTRY])


_NUMBER = Pattern(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)")
_EXPONENT = Pattern(r"[+-]?[0-9.,]+[eE][+-]?[0-9]+")
_NOT_FINITE = Pattern(r"[+-]?(?:nan|inf)", re.IGNORECASE)
_GROUPED = Pattern(r"[+-]?[0-9][0-9.,_'\u2019\s]*")


def _why_no_number(text: str) -> str:
    """Return the code of the fault that `text` holds."""
    if not text:
        return "number_missing"
    if any(sign.isnumeric() and not sign.isascii() for sign in text):
        return "digits_not_plain"
    if _NOT_FINITE.match(text):
        return "number_not_finite"
    if _EXPONENT.match(text):
        return "number_with_exponent"
    if _GROUPED.fullmatch(text):
        return "group_separator"
    return "not_a_number"


def parse_number(text: str, field: str = "number") -> float:
    """Return the number in `text`; comma and point are both the decimal sign, nothing groups.

    >>> parse_number("2,5"), parse_number("1.025")
    (2.5, 1.025)
    """
    if len(text) > LONGEST_ENTRY:
        raise _refused("entry_too_long", text, field)
    plain = text.strip().replace("\N{MINUS SIGN}", "-")
    if not _NUMBER.fullmatch(plain):
        raise _refused(_why_no_number(plain), text, field)
    value = float(plain.replace(",", "."))
    if not math.isfinite(value):
        raise _refused("number_not_finite", text, field)
    return value


_LEADING_NUMBER = Pattern(r"\s*([+\-\N{MINUS SIGN}]?[0-9.,]+)(.*)", re.DOTALL)
_SG = Pattern(
    r"(?:sg|specificgravity)(?:([0-9]+(?:[.,][0-9]+)?)([cf]?)/([0-9]+(?:[.,][0-9]+)?)([cf]?))?"
)


def _bare(text: str) -> str:
    """Return unit text without case, spaces and degree signs, for comparing."""
    for sign in "°º˚":
        text = text.replace(sign, "")
    folded = unicodedata.normalize("NFKC", text).casefold().replace("°", "")
    return "".join(folded.split())


def _sg_side(number: str, scale: str) -> tuple[str, float]:
    value = float(number.replace(",", "."))
    if scale == "f":
        return f"{value:g}F", (value - 32.0) / 1.8
    return f"{value:g}", value


def _sg_unit(text: str) -> tuple[str, SgReference] | None:
    """Return name and temperatures of a specific-gravity unit; None when it is not one."""
    found = _SG.fullmatch(_bare(text))
    if not found or len(text) > LONGEST_ENTRY:
        return None
    if found[1] is None:
        return "sg 25/25", SgReference(25.0, 25.0)
    scale = found[2] or found[4]
    sample, sample_c = _sg_side(found[1], scale)
    reference, reference_c = _sg_side(found[3], found[4] or scale)
    if not (0.0 <= sample_c <= 40.0 and 0.0 <= reference_c <= 40.0):
        return None
    return f"sg {sample}/{reference}", SgReference(sample_c, reference_c)


def sg_reference(unit: str) -> SgReference | None:
    """Return the temperatures of a specific-gravity unit, None when `unit` is not one.

    "sg 25/4" is the density of the sample at 25 degC over that of fresh water at 4 degC.
    """
    found = _sg_unit(unit)
    return found[1] if found else None


def find_unit(text: str, dimension: Dimension) -> str:
    """Return the name of the unit that `text` means among the units of `dimension`.

    >>> find_unit("gal US", Dimension.VOLUME)
    'US gal'
    """
    bare = _bare(text[:LONGEST_ENTRY])
    unit = _BY_ALIAS.get((dimension, bare))
    if unit is not None:
        return unit.name
    if dimension is Dimension.SALINITY and (found := _sg_unit(text)):
        return found[0]
    if dimension is Dimension.VOLUME and bare in _AMBIGUOUS:
        raise UserFault("ambiguous_unit", unit=text.strip(), choices=("US gal", "imp gal"))
    raise _unknown_unit(text, dimension)


def _unknown_unit(text: str, dimension: Dimension) -> UserFault:
    choices = units_of(dimension)
    near = difflib.get_close_matches(text[:LONGEST_ENTRY].strip(), choices, n=1)
    return UserFault(
        "unknown_unit",
        unit=text.strip()[:LONGEST_ENTRY],
        dimension=str(dimension),
        choices=choices,
        nearest=near[0] if near else None,
    )


def units_of(dimension: Dimension) -> tuple[str, ...]:
    """Return the names of the units of `dimension`, the stored one first."""
    names = tuple(unit.name for unit in UNITS if unit.dimension is dimension and unit.name)
    more = ("sg 25/25", "sg 20/20", "sg 60F/60F") if dimension is Dimension.SALINITY else ()
    return names + more


def _split(text: str, field: str) -> tuple[float, str, str]:
    """Return number, unit text and sample-temperature text of an entry."""
    found = _LEADING_NUMBER.fullmatch(text)
    if len(text) > LONGEST_ENTRY or not found:
        return parse_number(text, field), "", ""
    rest = found[2].strip()
    if _EXPONENT.match(found[1] + found[2]):
        raise _refused("number_with_exponent", text, field)
    if rest and (rest[0].isnumeric() or rest[0] in "_'\u2019"):
        raise _refused(_why_no_number(found[1] + rest[:1]), text, field)
    unit, at, sample = rest.partition("@")
    if at and not sample.strip():
        raise _refused("number_missing", text, "sample_temperature")
    return parse_number(found[1], field), unit.strip(), sample.strip()


def parse_quantity(text: str, dimension: Dimension, default_unit: str) -> Quantity:
    """Return the quantity in `text`; a number without a unit is in `default_unit`.

    >>> parse_quantity("2,5 gal US", Dimension.VOLUME, "L").unit
    'US gal'
    """
    field = str(dimension)
    value, unit_text, sample_text = _split(text, field)
    unit = find_unit(unit_text or default_unit, dimension) if unit_text or default_unit else ""
    sample_c = None
    if sample_text:
        if sg_reference(unit) is None:
            raise UserFault("sample_temperature_not_wanted", field=field, unit=unit)
        sample_c = stored_value(parse_quantity(sample_text, Dimension.TEMPERATURE, "degC"))
    assumed = _bare(unit_text or default_unit) in {"sg", "specificgravity"}
    quantity = Quantity(value, unit, dimension, sample_c, assumed)
    check_quantity(quantity)
    return quantity


def check_quantity(quantity: Quantity) -> None:
    """Refuse a quantity that cannot be, or that is in another unit than it says."""
    if quantity.dimension is Dimension.SALINITY and quantity.unit != "practical":
        is_sg = sg_reference(quantity.unit) is not None
        if is_sg and 20.0 <= quantity.value <= 45.0:
            raise UserFault("looks_like_salinity", value=quantity.value, unit=quantity.unit)
        field = "specific_gravity" if is_sg else "conductivity"
        check_range(field, quantity.value, quantity.unit)
        return
    if quantity.dimension is Dimension.SALINITY and 1.0 <= quantity.value <= 1.040:
        raise UserFault("looks_like_specific_gravity", value=quantity.value)
    limits = _TYPED_LIMITS.get(quantity.dimension)
    if limits is not None:
        _check(str(quantity.dimension), quantity.value, quantity.unit, limits)


def _check(field: str, value: float, unit: str, limits: Limits) -> None:
    """Refuse a `value` in `unit` outside `limits` in the stored unit."""
    known = _BY_NAME.get(unit, Unit(unit, Dimension.PLAIN))
    low, high = (limit / known.factor + known.zero for limit in (limits.low, limits.high))
    # 1e-9: 113 degF is 45 degC, but not to the last bit.
    slack = 1e-9 * max(1.0, abs(high))
    if not low - slack <= value <= high + slack:
        hint = limits.hint_above if value > high and known.zero == 0.0 else ""
        raise UserFault(
            "out_of_range", field=field, value=value, low=low, high=high, hint=hint, unit=unit
        )


def check_range(entry: str, value: float, unit: str = "") -> None:
    """Refuse a `value` outside the hard range of `entry`, in the stored unit or in `unit`."""
    _check(entry, value, unit, HARD_RANGES[entry])


def _linear_unit(name: str) -> Unit:
    unit = _BY_NAME.get(name)
    if unit is None or not unit.is_linear:
        raise ValueError(f"{name!r} has no fixed factor")
    return unit


def stored_value(quantity: Quantity) -> float:
    """Return the value in the stored unit; density and conductivity need `seawater` instead."""
    unit = _linear_unit(quantity.unit)
    return (quantity.value - unit.zero) * unit.factor


def in_unit(stored: float, unit: str) -> float:
    """Return a value in the stored unit as a number of `unit`; the inverse of `stored_value`."""
    known = _linear_unit(unit)
    return stored / known.factor + known.zero


def plain_text(value: float) -> str:
    """Return the shortest text without exponent that reads back as the same number."""
    return format(Decimal(repr(value)), "f").removesuffix(".0")


def format_quantity(quantity: Quantity) -> str:
    """Return text that `parse_quantity` reads back as the same quantity, for files."""
    text = f"{plain_text(quantity.value)} {quantity.unit}".strip()
    if quantity.sample_temperature_c is not None:
        text += f" @{plain_text(quantity.sample_temperature_c)}C"
    return text
