"""How much water a tank holds, by closed forms and by limits that every shape must meet."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.errors import UserFault
from tankkeeper.core.volume import (
    Displaced,
    Measured,
    Shape,
    ShapeKind,
    Sump,
    drain_down_litres,
    gross_litres,
    is_glass_guessed,
    level_area_cm2,
    net_water,
    rock_litres,
    sand_litres,
    spare_sump_litres,
    surface_cm2,
)

BOX = Shape(ShapeKind.BOX, length_cm=120, width_cm=55, height_cm=55, water_depth_cm=50)
OUTSIDE_BOX = Shape(
    ShapeKind.BOX,
    Measured.OUTSIDE,
    length_cm=120,
    width_cm=50,
    height_cm=50,
    water_depth_cm=50 - 1.2 - 3.0,
    glass_mm=10,
    base_mm=12,
)
CYLINDER = Shape(
    ShapeKind.CYLINDER,
    Measured.OUTSIDE,
    diameter_cm=60,
    height_cm=80,
    water_depth_cm=80 - 1.0 - 4.0,
    glass_mm=8,
    base_mm=10,
)
BOW_FRONT = Shape(ShapeKind.BOW_FRONT, length_cm=90, width_cm=40, bow_cm=10, water_depth_cm=45)
HEXAGON = Shape(ShapeKind.POLYGON, sides=6, edge_cm=30, water_depth_cm=50)
OTHER = Shape(ShapeKind.OTHER, litres=80, surface_cm2=2400)


@pytest.mark.parametrize(
    ("shape", "litres"),
    [
        (OUTSIDE_BOX, (120 - 2) * (50 - 2) * (50 - 1.2 - 3) / 1000),
        (CYLINDER, math.pi * 29.2**2 * 75 / 1000),
        (HEXAGON, 3 * math.sqrt(3) / 2 * 30**2 * 50 / 1000),
        (BOX, 330.0),
        (OTHER, 80.0),
        (Shape(ShapeKind.OTHER, surface_cm2=2400, water_depth_cm=40), 96.0),
    ],
)
def test_gross_volume_follows_school_geometry(shape: Shape, litres: float) -> None:
    """Closed forms: base area times depth; glass is taken off outside measures once."""
    assert gross_litres(shape) == pytest.approx(litres, rel=1e-12)


def test_a_bow_front_agrees_with_counting_strips_under_its_arc() -> None:
    """The segment of a circle, integrated by Simpson's rule, beside the closed form."""
    half, s = 45.0, 10.0
    r = (half**2 + s**2) / (2 * s)
    strips = 2000
    heights = [
        math.sqrt(r**2 - (-half + 2 * half * i / strips) ** 2) - (r - s) for i in range(strips + 1)
    ]
    inner = 4 * sum(heights[1:-1:2]) + 2 * sum(heights[2:-1:2])
    segment = (heights[0] + inner + heights[-1]) * (2 * half / strips) / 3

    assert surface_cm2(BOW_FRONT) == pytest.approx(90 * 40 + segment, rel=1e-6)
    assert gross_litres(BOW_FRONT) == pytest.approx((90 * 40 + segment) * 45 / 1000, rel=1e-6)


def test_a_polygon_of_many_sides_is_nearly_a_cylinder() -> None:
    """Limit of the regular polygon: the circle with the same circumference."""
    edge = math.pi * 60 / 100
    polygon = Shape(ShapeKind.POLYGON, sides=100, edge_cm=edge, water_depth_cm=50)
    circle = Shape(ShapeKind.CYLINDER, diameter_cm=60, water_depth_cm=50)

    assert gross_litres(polygon) == pytest.approx(gross_litres(circle), rel=5e-4)


@given(glass_mm=st.floats(min_value=0.0, max_value=30.0))
def test_a_polygon_measured_outside_loses_its_glass_on_every_side(glass_mm: float) -> None:
    """A square given as a polygon is the box of the same edge."""
    square = Shape(
        ShapeKind.POLYGON,
        Measured.OUTSIDE,
        sides=4,
        edge_cm=60,
        water_depth_cm=40,
        glass_mm=glass_mm,
    )
    box = Shape(
        ShapeKind.BOX,
        Measured.OUTSIDE,
        length_cm=60,
        width_cm=60,
        water_depth_cm=40,
        glass_mm=glass_mm,
    )

    assert gross_litres(square) == pytest.approx(gross_litres(box), rel=1e-9)


@pytest.mark.parametrize(
    "unknown",
    [
        replace(BOX, length_cm=None),
        replace(BOX, water_depth_cm=None, height_cm=None),
        replace(BOW_FRONT, bow_cm=None),
        replace(HEXAGON, sides=None),
        replace(CYLINDER, diameter_cm=None),
        Shape(ShapeKind.OTHER),
    ],
)
def test_a_missing_size_means_not_known(unknown: Shape) -> None:
    """Nothing is guessed where a size is missing: no number, and no zero."""
    assert gross_litres(unknown) is None
    assert net_water(unknown) is None
    assert net_water(None) is None


def test_glass_of_unknown_thickness_is_taken_with_a_span() -> None:
    """12 mm, and 6 to 19 mm in the span: a choice of this project.

    Box of 120 x 50 cm outside, 46 cm of water, a glass of 12 mm: 117.6 x 47.6 cm.
    """
    unknown = Shape(ShapeKind.BOX, Measured.OUTSIDE, length_cm=120, width_cm=50, water_depth_cm=46)
    bare = Displaced(rock_dry_kg=0.0, sand_depth_cm=0.0)
    known = net_water(replace(unknown, glass_mm=12), bare)
    guessed = net_water(unknown, bare)
    thin, thick = (gross_litres(replace(unknown, glass_mm=mm)) for mm in (6, 19))

    assert surface_cm2(unknown) == pytest.approx(117.6 * 47.6)
    assert known is not None
    assert guessed is not None
    assert thin is not None
    assert thick is not None
    assert guessed.value == pytest.approx(known.value)
    assert guessed.high - guessed.low > known.high - known.low
    assert guessed.low < thick < thin < guessed.high
    assert is_glass_guessed(unknown)
    assert not is_glass_guessed(replace(unknown, glass_mm=12))


@pytest.mark.parametrize(
    "tiny",
    [
        Shape(ShapeKind.BOX, Measured.OUTSIDE, length_cm=2, width_cm=30, height_cm=30),
        Shape(ShapeKind.CYLINDER, Measured.OUTSIDE, diameter_cm=2.4, height_cm=30),
        Shape(ShapeKind.POLYGON, Measured.OUTSIDE, sides=6, edge_cm=1, height_cm=30),
        Shape(ShapeKind.BOX, Measured.OUTSIDE, length_cm=30, width_cm=30, height_cm=3),
    ],
)
def test_where_the_usual_glass_leaves_no_room_nothing_is_known(tiny: Shape) -> None:
    """What was guessed refuses nothing."""
    assert gross_litres(tiny) is None


def test_with_the_height_alone_the_level_is_assumed_and_the_span_wider() -> None:
    """The rim gap is a guess, and the estimate says how far it carries."""
    bare = Displaced(rock_dry_kg=0, sand_depth_cm=0)
    measured = net_water(replace(BOX, water_depth_cm=52), bare)
    assumed = net_water(replace(BOX, water_depth_cm=None), bare)

    assert measured is not None
    assert assumed is not None
    assert assumed.value == pytest.approx(measured.value)
    assert assumed.high - assumed.low > 1.2 * (measured.high - measured.low)


def test_a_base_of_unknown_thickness_is_taken_like_the_walls() -> None:
    """Most tanks are built of one sheet (common practice, no source)."""
    by_height = replace(OUTSIDE_BOX, water_depth_cm=None)

    assert gross_litres(replace(by_height, base_mm=None)) == gross_litres(
        replace(by_height, base_mm=10)
    )


def test_rock_displaces_its_outline_less_its_open_pores() -> None:
    """30 kg at 1.6 kg/L outline density and 0.35 open porosity: 30 / 1.6 * 0.65 L."""
    measured = Displaced(rock_dry_kg=30, rock_envelope_kg_per_l=1.6, rock_open_porosity=0.35)

    assert rock_litres(measured) == pytest.approx(12.1875)
    assert rock_litres(replace(measured, rock_submerged=0.5)) == pytest.approx(12.1875 / 2)
    # Judgement, no source: 0.40 L per kg dry, 0.35 wet.
    assert rock_litres(Displaced(rock_dry_kg=40)) == pytest.approx(16.0)
    assert rock_litres(Displaced(rock_wet_kg=40)) == pytest.approx(14.0)
    assert rock_litres(Displaced()) is None


def test_sand_displaces_its_grains() -> None:
    """5500 cm2, 5 cm deep, 42 % water between the grains: 5.5 * 5 * 0.58 L.

    28 kg of grains of 2.8 kg/L are 10 L. Share of water and density are from memory.
    """
    assert sand_litres(Displaced(sand_depth_cm=5), 5500) == pytest.approx(15.95)
    assert sand_litres(Displaced(sand_dry_kg=28), None) == pytest.approx(10.0)
    assert sand_litres(Displaced(sand_depth_cm=5), None) is None
    assert sand_litres(Displaced(sand_depth_cm=0), None) == 0.0


def test_the_system_is_the_display_less_what_stands_in_it_plus_sump_and_pipes() -> None:
    """Plain sum: 252 - 12.1875 - 16 - 2 + 45 + 4."""
    shape = Shape(ShapeKind.BOX, length_cm=100, width_cm=56, water_depth_cm=45)
    displaced = Displaced(
        rock_dry_kg=30,
        rock_envelope_kg_per_l=1.6,
        rock_open_porosity=0.35,
        sand_dry_kg=16 * 2.8,
        equipment_l=2,
    )

    water = net_water(shape, displaced, Sump(litres=45, pipes_l=4))

    assert water is not None
    assert water.value == pytest.approx(270.8125)
    assert (water.low, water.high) == (
        pytest.approx(0.95 * 270.8125),
        pytest.approx(1.05 * 270.8125),
    )


def test_guessed_rock_makes_the_estimate_twice_as_wide() -> None:
    """Judgement, no source: 5 % with measured sizes, 10 % with guessed or unknown rock."""
    for displaced in (Displaced(rock_dry_kg=40, sand_depth_cm=3), None):
        water = net_water(BOX, displaced)

        assert water is not None
        assert water.high / water.value == pytest.approx(1.10)


def test_a_stated_volume_overrides_the_sizes() -> None:
    """A metered first fill beats geometry."""
    water = net_water(BOX, Displaced(rock_dry_kg=40), Sump(litres=90), stated_litres=370)

    assert water is not None
    assert water.value == 370
    assert net_water(None, stated_litres=370) == water


def test_litres_of_an_odd_shape_are_water_already() -> None:
    """What is stated for "other" has rock and sand left out by the person who measured it."""
    water = net_water(OTHER, Displaced(rock_dry_kg=10))

    assert water is not None
    assert water.value == 80


def test_with_an_overflow_the_level_falls_in_the_last_chamber() -> None:
    """Common practice, no source: the weir holds the display's level."""
    assert level_area_cm2(BOX, None) == pytest.approx(6600)
    assert level_area_cm2(BOX, Sump(litres=90, last_chamber_cm2=900)) == 900
    assert level_area_cm2(BOX, Sump(litres=90)) is None


def test_the_sump_must_take_what_runs_back() -> None:
    """5500 cm2 falling 1.5 cm and 3 L of pipes: 11.25 L, leaving 8.75 of 20."""
    back = drain_down_litres(5500, 1.5, 3.0)

    assert back == pytest.approx(11.25)
    assert spare_sump_litres(20.0, back) == pytest.approx(8.75)


@pytest.mark.parametrize(
    ("shape", "field"),
    [
        (replace(BOX, length_cm=-1), "length_cm"),
        (replace(BOX, width_cm=0), "width_cm"),
        (replace(BOX, water_depth_cm=math.nan), "water_depth_cm"),
        (replace(BOX, water_depth_cm=56), "water_depth_cm"),
        (replace(OUTSIDE_BOX, width_cm=10, glass_mm=50), "glass_mm"),
        (replace(OUTSIDE_BOX, glass_mm=-1), "glass_mm"),
        (replace(OUTSIDE_BOX, height_cm=1.0, base_mm=12), "base_mm"),
        (replace(CYLINDER, diameter_cm=1.6), "glass_mm"),
        (replace(BOW_FRONT, bow_cm=0), "bow_cm"),
        (replace(BOW_FRONT, bow_cm=45.1), "bow_cm"),
        (replace(HEXAGON, sides=2), "sides"),
        (replace(HEXAGON, measured=Measured.OUTSIDE, edge_cm=1, glass_mm=20), "glass_mm"),
        (replace(OTHER, litres=0), "litres"),
        (replace(OTHER, litres=math.inf), "litres"),
    ],
)
def test_sizes_that_no_tank_has_are_refused_by_name(shape: Shape, field: str) -> None:
    """The fault names the size that is wrong."""
    with pytest.raises(UserFault) as refused:
        gross_litres(shape)

    assert refused.value.code == "out_of_range"
    assert refused.value.values["field"] == field


@pytest.mark.parametrize(
    "displaced",
    [
        Displaced(rock_dry_kg=-1),
        Displaced(rock_dry_kg=1, rock_open_porosity=0.96),
        Displaced(rock_dry_kg=1, rock_envelope_kg_per_l=3.3),
        Displaced(sand_depth_cm=1, sand_porosity=-0.1),
        Displaced(rock_dry_kg=1, rock_submerged=1.1),
        Displaced(rock_dry_kg=900),
    ],
)
def test_rock_and_sand_that_cannot_be_are_refused(displaced: Displaced) -> None:
    """Densities, porosities, and more than the tank holds."""
    with pytest.raises(UserFault):
        net_water(BOX, displaced)


def test_more_water_than_the_tank_holds_is_refused() -> None:
    """A stated volume cannot exceed display and sump."""
    with pytest.raises(UserFault) as refused:
        net_water(BOX, None, Sump(litres=90), stated_litres=421)

    assert refused.value.values["high"] == pytest.approx(420)


@given(
    length=st.floats(min_value=20, max_value=300),
    width=st.floats(min_value=20, max_value=100),
    depth=st.floats(min_value=10, max_value=100),
    rock_share=st.floats(min_value=0, max_value=0.9),
)
def test_the_span_always_holds_the_value(
    length: float, width: float, depth: float, rock_share: float
) -> None:
    """Low, value and high in order and above zero; the value is gross less the rock."""
    shape = Shape(ShapeKind.BOX, length_cm=length, width_cm=width, water_depth_cm=depth)
    gross = length * width * depth / 1000

    water = net_water(shape, Displaced(rock_dry_kg=rock_share * gross / 0.4))

    assert water is not None
    assert 0 < water.low < water.value < water.high
    assert water.value == pytest.approx(gross * (1 - rock_share))
