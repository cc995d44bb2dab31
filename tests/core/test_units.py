"""What people type: units, numbers, the mistakes that are caught, and the table of parameters."""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.communities import Community, default_ranges, largest_daily_swing_c
from tankkeeper.core.errors import UserFault
from tankkeeper.core.parameters import (
    PARAMETERS,
    ReadingValue,
    from_stored,
    parse_reading,
    reading_quantity,
    to_stored,
)
from tankkeeper.core.units import (
    HARD_RANGES,
    UNITS,
    Dimension,
    Quantity,
    check_range,
    format_quantity,
    in_unit,
    parse_number,
    parse_quantity,
    stored_value,
    unusual,
)

LINEAR = [unit for unit in UNITS if unit.is_linear]

# The list of text that has broken programs before, typed into every field of this one.
HOSTILE = [
    "'; DROP TABLE tanks; --",
    "<img src=x>",
    "=1+1",
    "%s{}",
    "9" * 10_000,
    "\u202e35.5",
    "\U0001f468\u200d\U0001f469\u200d\U0001f467",
    "e\u0301",
    "3\x005",
    "\ud800",
    "   ",
    "",
    "3\n5",
    "con",
    "../x",
    "--5",
    "5-",
    ".",
    ",",
    "+",
    "0x10",
    "5 5",
]


@pytest.mark.parametrize(
    ("text", "dimension", "stored"),
    [
        # NIST Special Publication 811 (2008), Appendix B: exact factors.
        ("55 US gal", Dimension.VOLUME, 208.19764812),
        ("55 imp gal", Dimension.VOLUME, 250.03495),
        ("10 in", Dimension.LENGTH, 25.4),
        ("2 lb", Dimension.MASS, 907.18474),
        ("77 F", Dimension.TEMPERATURE, 25.0),
        # Definition of the degree of hardness, 10 mg/L CaO; CIAAW/IUPAC abridged weights.
        ("1 meq/L", Dimension.ALKALINITY, 2.80385),
        ("17.8480 mg/L CaCO3", Dimension.ALKALINITY, 1.0),
        ("500 ml", Dimension.VOLUME, 0.5),
        ("20 kg", Dimension.MASS, 20_000.0),
        ("55 mm", Dimension.LENGTH, 5.5),
    ],
)
def test_a_typed_quantity_is_stored_by_the_published_factor(
    text: str, dimension: Dimension, stored: float
) -> None:
    """Conversions follow published definitions."""
    quantity = parse_quantity(text, dimension, "")

    assert stored_value(quantity) == pytest.approx(stored, rel=5e-6)


@pytest.mark.parametrize(
    ("unit", "name"),
    [
        ("US gal", "gallon"),
        ("imp gal", "imperial_gallon"),
        ("ml", "milliliter"),
        ("lb", "pound"),
        ("kg", "kilogram"),
        ("in", "inch"),
        ("mm", "millimeter"),
    ],
)
def test_factors_agree_with_a_general_unit_library(unit: str, name: str) -> None:
    """Pint, a library that knows nothing of tanks, gives the same factor."""
    known = next(each for each in UNITS if each.name == unit)
    stored = {"volume": "liter", "mass": "gram", "length": "centimeter"}[known.dimension]

    factor = pint.UnitRegistry()(name).to(stored).magnitude

    assert known.factor == pytest.approx(factor, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "expected"),
    [
        ("9.5 l", Dimension.VOLUME, Quantity(9.5, "L", Dimension.VOLUME)),
        ("2,5 gal US", Dimension.VOLUME, Quantity(2.5, "US gal", Dimension.VOLUME)),
        ("25.4°C", Dimension.TEMPERATURE, Quantity(25.4, "degC", Dimension.TEMPERATURE)),
        ("77℉", Dimension.TEMPERATURE, Quantity(77.0, "degF", Dimension.TEMPERATURE)),
        ("8.2dKH", Dimension.ALKALINITY, Quantity(8.2, "dKH", Dimension.ALKALINITY)),
        ("146 ppm CaCO3", Dimension.ALKALINITY, Quantity(146, "mg/L CaCO3", Dimension.ALKALINITY)),
        ("12 ppm", Dimension.CONCENTRATION, Quantity(12.0, "mg/L", Dimension.CONCENTRATION)),
        ("35 ppt", Dimension.SALINITY, Quantity(35.0, "practical", Dimension.SALINITY)),
        ("53 mS/cm", Dimension.SALINITY, Quantity(53.0, "mS/cm", Dimension.SALINITY)),
        (
            "1.0264sg25/25@25.4C",
            Dimension.SALINITY,
            Quantity(1.0264, "sg 25/25", Dimension.SALINITY, 25.4),
        ),
        ("1,025 sg 60F/60F", Dimension.SALINITY, Quantity(1.025, "sg 60F/60F", Dimension.SALINITY)),
        ("8.1", Dimension.PH, Quantity(8.1, "pH", Dimension.PH)),
        ("\N{MINUS SIGN}1,5 C", Dimension.TEMPERATURE, Quantity(-1.5, "degC", "temperature")),
    ],
)
def test_quantities_are_read_as_people_write_them(
    text: str, dimension: Dimension, expected: Quantity
) -> None:
    """Comma or point, with or without a space, in the trade's ways to write a unit."""
    default = "pH" if dimension is Dimension.PH else ""

    assert parse_quantity(text, dimension, default) == expected


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("1.234,5", "group_separator"),
        ("1,234,567", "group_separator"),
        ("1_000", "group_separator"),
        ("1 000", "group_separator"),
        ("1'000", "group_separator"),
        ("nan", "number_not_finite"),
        ("Infinity", "number_not_finite"),
        ("-inf", "number_not_finite"),
        ("1e999", "number_with_exponent"),
        ("1e2", "number_with_exponent"),
        ("３５", "digits_not_plain"),
        ("٣٥", "digits_not_plain"),
        ("3５", "digits_not_plain"),
        ("½", "digits_not_plain"),
        ("", "number_missing"),
        ("  ", "number_missing"),
        ("thirty", "not_a_number"),
        ("9" * 400, "entry_too_long"),
    ],
)
@pytest.mark.parametrize("unit", ["", " L"])
def test_a_number_that_could_be_misread_is_refused(text: str, code: str, unit: str) -> None:
    """float() takes most of these; the one parser takes none, with a unit or without."""
    with pytest.raises(UserFault) as alone:
        parse_number(text)
    assert alone.value.code == code

    with pytest.raises(UserFault) as behind:
        parse_quantity(text + unit, Dimension.VOLUME, "L")
    assert behind.value.code == (code if text.strip() or not unit else "not_a_number")


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("dimension", list(Dimension))
def test_hostile_text_is_refused_with_a_short_fault(text: str, dimension: Dimension) -> None:
    """Nothing typed gets through as a number, and the fault does not carry a whole page."""
    with pytest.raises(UserFault) as refused:
        parse_quantity(text, dimension, "")

    assert all(len(value) <= 60 for value in refused.value.values.values() if type(value) is str)


@given(text=st.text(max_size=80), dimension=st.sampled_from(Dimension))
def test_any_text_gives_a_finite_number_or_a_fault(text: str, dimension: Dimension) -> None:
    """No other failure than UserFault leaves the parser."""
    try:
        quantity = parse_quantity(text, dimension, "")
    except UserFault:
        return
    assert math.isfinite(quantity.value)


@pytest.mark.parametrize(
    ("text", "dimension", "unit", "code"),
    [
        ("1.026", Dimension.SALINITY, "practical", "looks_like_specific_gravity"),
        ("1.000 ppt", Dimension.SALINITY, "practical", "looks_like_specific_gravity"),
        ("35", Dimension.SALINITY, "sg 25/25", "looks_like_salinity"),
        ("20 sg25/25", Dimension.SALINITY, "practical", "looks_like_salinity"),
        ("55 gal", Dimension.VOLUME, "L", "ambiguous_unit"),
        ("55 gallons", Dimension.VOLUME, "L", "ambiguous_unit"),
        ("5 stone", Dimension.MASS, "g", "unknown_unit"),
        ("5 kg", Dimension.VOLUME, "L", "unknown_unit"),
        ("1.026 sg95/25", Dimension.SALINITY, "practical", "unknown_unit"),
        ("35 ppt @25C", Dimension.SALINITY, "practical", "sample_temperature_not_wanted"),
        ("1.026 sg25/25@", Dimension.SALINITY, "practical", "number_missing"),
        ("-2 L", Dimension.VOLUME, "L", "out_of_range"),
        ("60", Dimension.SALINITY, "practical", "out_of_range"),
        ("1.050 sg25/25", Dimension.SALINITY, "practical", "out_of_range"),
        ("71 mS/cm", Dimension.SALINITY, "practical", "out_of_range"),
        ("15", Dimension.PH, "pH", "out_of_range"),
    ],
)
def test_a_likely_mistake_is_named(text: str, dimension: Dimension, unit: str, code: str) -> None:
    """The fault says which mistake it probably is."""
    with pytest.raises(UserFault) as refused:
        parse_quantity(text, dimension, unit)

    assert refused.value.code == code


def test_a_temperature_above_45_degrees_asks_for_fahrenheit() -> None:
    """78 typed into a Celsius field is nearly always Fahrenheit."""
    with pytest.raises(UserFault) as hot:
        parse_quantity("78", Dimension.TEMPERATURE, "degC")
    with pytest.raises(UserFault) as boiling:
        parse_quantity("212 F", Dimension.TEMPERATURE, "degC")

    assert hot.value.values["hint"] == "fahrenheit"
    assert boiling.value.values["hint"] == ""
    assert boiling.value.values["high"] == pytest.approx(113.0)
    assert stored_value(parse_quantity("113 F", Dimension.TEMPERATURE, "degC")) == pytest.approx(45)


@given(
    unit=st.sampled_from(LINEAR),
    value=st.floats(min_value=0.001, max_value=14.0, allow_subnormal=False),
)
def test_a_formatted_quantity_reads_back_the_same(unit: object, value: float) -> None:
    """format_quantity and parse_quantity are inverse, whatever the default unit is."""
    assert isinstance(unit, type(UNITS[0]))
    if unit.name == "practical" and 1.0 <= value <= 1.04:
        value += 1.0
    quantity = Quantity(value, unit.name, unit.dimension)
    quantity = Quantity(value + 40, "degF", unit.dimension) if unit.name == "degF" else quantity

    assert parse_quantity(format_quantity(quantity), unit.dimension, "") == quantity


@given(
    gravity=st.floats(min_value=0.996, max_value=1.034),
    sample_c=st.one_of(st.none(), st.floats(min_value=0.0, max_value=40.0)),
    unit=st.sampled_from(["sg 25/25", "sg 20/20", "sg 60F/60F", "sg 25/4", "sg 15.6/15.6"]),
)
def test_a_specific_gravity_reads_back_with_its_temperatures(
    gravity: float, sample_c: float | None, unit: str
) -> None:
    """Both reference temperatures and the sample's survive a file."""
    if sample_c is not None:
        sample_c = round(sample_c, 3)
    quantity = Quantity(gravity, unit, Dimension.SALINITY, sample_c)

    assert parse_quantity(format_quantity(quantity), Dimension.SALINITY, "") == quantity


@given(unit=st.sampled_from(LINEAR), stored=st.floats(min_value=-2.0, max_value=1e5))
def test_converting_there_and_back_changes_nothing(unit: object, stored: float) -> None:
    """stored_value undoes in_unit to the last digits."""
    assert isinstance(unit, type(UNITS[0]))

    back = stored_value(Quantity(in_unit(stored, unit.name), unit.name, unit.dimension))

    assert back == pytest.approx(stored, rel=1e-12, abs=1e-12)


def test_a_specific_gravity_without_reference_is_read_as_25_over_25_and_says_so() -> None:
    """The commonest marking is an assumption that can be shown (common practice, no source)."""
    assumed = parse_quantity("1.0264 sg", Dimension.SALINITY, "practical")
    told = parse_quantity("1.0264 sg 25/25", Dimension.SALINITY, "practical")

    assert (assumed.unit, assumed.reference_is_assumed) == ("sg 25/25", True)
    assert not told.reference_is_assumed


@pytest.mark.parametrize(
    ("entry", "value", "last", "asked"),
    [
        ("salinity", 24.0, None, True),
        ("salinity", 35.0, None, False),
        ("temperature", 31.0, None, True),
        ("ph", 7.4, None, True),
        ("specific_gravity", 1.017, None, True),
        ("volume", 41.0, 4.0, True),
        ("volume", 39.0, 4.0, False),
        ("volume", 9000.0, None, False),
        ("evaporation_share", 0.06, None, True),
    ],
)
def test_an_unusual_entry_is_asked_about_not_refused(
    entry: str, value: float, last: float | None, asked: bool
) -> None:
    """A possible but unlikely value gives data for a question."""
    check_range(entry, value)

    assert (unusual(entry, value, last) is not None) == asked


@pytest.mark.parametrize("entry", sorted(HARD_RANGES))
def test_hard_ranges_hold_their_ends_and_refuse_beyond(entry: str) -> None:
    """Both ends are allowed; a step outside is not, nor is a number that is none."""
    limits = HARD_RANGES[entry]

    check_range(entry, limits.low)
    check_range(entry, limits.high)
    for wrong in (limits.low - 0.01, limits.high * 1.001, math.nan, math.inf):
        with pytest.raises(UserFault, match="out_of_range"):
            check_range(entry, wrong)


def test_a_reading_keeps_what_was_typed_beside_the_stored_value() -> None:
    """The stored value is in one unit; number and unit as typed stay."""
    assert parse_reading("Alkalinity", "2,9 meq/L") == ReadingValue(
        "alkalinity", pytest.approx(8.1312, abs=1e-4), "meq/L", 2.9
    )
    assert parse_reading("nitrate", "12").unit == "mg/L"
    assert parse_reading("temperature", "77", "degF").value == pytest.approx(25.0)


def test_a_specific_gravity_reading_becomes_practical_salinity() -> None:
    """1.026 at 25/25 is 34.5065 (gsw 3.6.23, TEOS-10)."""
    reading = parse_reading("salinity", "1.026 sg25/25")

    assert reading.value == pytest.approx(34.5065, abs=0.02)
    assert to_stored(reading_quantity(reading)) == reading.value
    assert from_stored(reading.value, Dimension.SALINITY, reading.unit) == pytest.approx(1.026)


def test_an_unknown_parameter_names_the_nearest() -> None:
    """A slip of the pen is met with the name that was probably meant."""
    with pytest.raises(UserFault) as slip:
        parse_reading("alkalinty", "8")
    with pytest.raises(UserFault) as strange:
        parse_reading("zzz", "8")

    assert slip.value.code == "unknown_parameter"
    assert slip.value.values["nearest"] == "alkalinity"
    assert strange.value.values["nearest"] is None


def test_a_reading_beyond_its_parameter_is_refused() -> None:
    """Each parameter has limits of its own beside those of its dimension."""
    with pytest.raises(UserFault) as refused:
        parse_reading("nitrite", "450")

    assert refused.value.values["field"] == "nitrite"


@pytest.mark.parametrize("community", list(Community))
def test_every_community_has_a_range_inside_the_limits_of_every_parameter(
    community: Community,
) -> None:
    """The defaults can be typed in as a person's own (common practice, no source)."""
    ranges = default_ranges(community)

    assert set(ranges) == set(PARAMETERS)
    for name, span in ranges.items():
        limits = PARAMETERS[name].limits
        assert span.high is not None
        assert limits.low <= (span.low or limits.low) < span.high <= limits.high
    assert 0.5 < largest_daily_swing_c(community) < 2.0


def test_natural_sea_water_lies_in_the_range_of_a_stony_coral_tank() -> None:
    """Millero, Feistel, Wright & McDougall 2008, Reference Composition: Ca 412.1 and Mg 1283.7
    mg/kg at salinity 35; 1.02334 kg/L at 25 degC (gsw 3.6.23)."""
    ranges = default_ranges(Community.SMALL_POLYP_STONY)

    for name, mg_per_kg in (("calcium", 412.1), ("magnesium", 1283.7)):
        low, high = ranges[name].low, ranges[name].high
        assert low is not None
        assert high is not None
        assert low <= mg_per_kg * 1.02334 <= high
