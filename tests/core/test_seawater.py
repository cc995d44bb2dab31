"""Sea water against the published check values and a general oceanographic library."""

import gsw
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.errors import UserFault
from tankkeeper.core.seawater import (
    calibrated,
    conductivity_ms_cm_of,
    density_kg_m3,
    fresh_density_kg_m3,
    hydrometer_shown,
    practical_from_brine_scale,
    practical_from_conductivity,
    practical_from_hydrometer,
    practical_from_refractive_index,
    practical_from_specific_gravity,
    practical_salinity_from,
    reference_salinity,
    refractive_index,
    salinity_in_unit,
    specific_gravity,
)
from tankkeeper.core.units import Dimension, Quantity

# Temperatures of the older scale, IPTS-68, are 1.00024 times those of ITS-90.
T68 = 1.00024
SIXTY_F = (60.0 - 32.0) / 1.8


@pytest.mark.parametrize(
    ("salinity", "t68_c", "density"),
    [(0.0, 5.0, 999.96675), (35.0, 25.0, 1023.34306), (35.0, 5.0, 1027.67547)],
)
def test_density_reproduces_the_published_check_values(
    salinity: float, t68_c: float, density: float
) -> None:
    """Millero & Poisson, Deep-Sea Research 28A, 1981; UNESCO Technical Papers in Marine Science
    36, 1981 (the row at 35 and 5 degC from memory)."""
    assert density_kg_m3(salinity, t68_c / T68) == pytest.approx(density, abs=2e-5)


@pytest.mark.parametrize("salinity", [0.0, 5.0, 20.0, 30.0, 33.0, 35.0, 38.0, 42.0])
@pytest.mark.parametrize("temperature_c", [10.0, 15.0, 20.0, 25.0, 30.0, 35.0])
def test_density_agrees_with_teos_10(salinity: float, temperature_c: float) -> None:
    """gsw (TEOS-10) at one atmosphere; 0.006 kg/m3 is 0.008 in salinity."""
    absolute = gsw.SR_from_SP(salinity)

    theirs = gsw.rho_t_exact(absolute, temperature_c, 0.0)

    assert density_kg_m3(salinity, temperature_c) == pytest.approx(theirs, abs=0.006)


@pytest.mark.parametrize("salinity", [2.0, 10.0, 25.0, 30.0, 35.0, 42.0])
@pytest.mark.parametrize("temperature_c", [10.0, 20.0, 25.0, 30.0])
def test_conductivity_agrees_with_gsw_both_ways(salinity: float, temperature_c: float) -> None:
    """gsw holds the same PSS-78 with pressure."""
    theirs = gsw.C_from_SP(salinity, temperature_c, 0.0)

    assert conductivity_ms_cm_of(salinity, temperature_c) == pytest.approx(theirs, abs=0.005)
    if theirs <= 70.0:
        assert practical_from_conductivity(theirs, temperature_c) == pytest.approx(
            salinity, abs=0.002
        )


def test_a_conductivity_ratio_of_one_at_15_degrees_is_35() -> None:
    """Fofonoff & Millard, UNESCO Technical Papers in Marine Science 44, 1983: R = 1 at 15 degC
    (IPTS-68) is exactly 35, with C(35, 15, 0) = 42.914 mS/cm."""
    assert practical_from_conductivity(42.914, 15.0 / T68) == pytest.approx(35.0, abs=2e-6)


@pytest.mark.parametrize(
    ("conductivity", "salinity"), [(53.0, 34.9472993), (50.0, 32.7331671), (53.071032, 35.0)]
)
def test_a_meter_with_temperature_compensation_is_read_at_25_degrees(
    conductivity: float, salinity: float
) -> None:
    """gsw 3.6.23: the trade's 53 mS/cm is 34.95, not 35."""
    typed = Quantity(conductivity, "mS/cm", Dimension.SALINITY)

    assert practical_salinity_from(typed) == pytest.approx(salinity, abs=0.002)


@pytest.mark.parametrize(
    ("sample_c", "reference_c", "gravity"),
    [
        (25.0, 25.0, 1.02637385),
        (20.0, 20.0, 1.02660656),
        (25.0, 4.0, 1.02336935),
        (SIXTY_F, SIXTY_F, 1.0269),
    ],
)
def test_specific_gravity_of_sea_water_depends_on_both_temperatures(
    sample_c: float, reference_c: float, gravity: float
) -> None:
    """Salinity 35, gsw 3.6.23 (TEOS-10); the Fahrenheit row to four decimals."""
    tolerance = 5e-5 if sample_c == SIXTY_F else 2e-5

    assert specific_gravity(35.0, sample_c, reference_c) == pytest.approx(gravity, abs=tolerance)


@pytest.mark.parametrize(
    ("gravity", "unit", "salinity"),
    [
        (1.026, "sg 25/25", 34.5065027),
        (1.025, "sg 20/20", 32.8955657),
        (1.026, "sg 60F/60F", 33.88),
        (1.026, "sg 20/4", 36.58),
        (1.026, "sg 25/4", 38.48),
    ],
)
def test_one_specific_gravity_means_many_salinities(
    gravity: float, unit: str, salinity: float
) -> None:
    """gsw 3.6.23: the unnamed reference is worth 4.6 units of salinity."""
    typed = Quantity(gravity, unit, Dimension.SALINITY)

    assert practical_salinity_from(typed) == pytest.approx(salinity, abs=0.02)


def test_a_warmer_sample_holds_more_salt_than_its_specific_gravity_says() -> None:
    """One degree warmer than assumed reads 0.41 low (gsw 3.6.23)."""
    assumed = Quantity(1.026, "sg 25/25", Dimension.SALINITY)
    warm = Quantity(1.026, "sg 25/25", Dimension.SALINITY, sample_temperature_c=26.0)

    more = practical_salinity_from(warm) - practical_salinity_from(assumed)

    assert more == pytest.approx(0.41, abs=0.02)


def test_reference_salinity_is_the_published_multiple() -> None:
    """IOC Manuals and Guides 56, 2010: 35 is 35.16504 g/kg."""
    assert reference_salinity(35.0) == pytest.approx(35.16504, abs=1e-9)
    assert reference_salinity(33.0) == pytest.approx(33.1556091, abs=1e-6)


def test_a_glass_hydrometer_away_from_its_mark_shows_less() -> None:
    """Marked 60F/60F in salinity 35 at 25 degC: 1.02459 from gsw 3.6.23 and glass expansion
    2.5e-5 per kelvin (from memory)."""
    shown = hydrometer_shown(35.0, 25.0, SIXTY_F)

    assert shown == pytest.approx(1.02459237, abs=2e-5)
    assert practical_from_hydrometer(shown, 25.0, SIXTY_F) == pytest.approx(35.0, abs=1e-9)


@pytest.mark.parametrize(
    ("salinity", "temperature_c", "index"),
    [(35.0, 20.0, 1.33940592), (0.0, 25.0, 1.33251404), (0.0, 20.0, 1.333004)],
)
def test_the_refractive_index_follows_quan_and_fry(
    salinity: float, temperature_c: float, index: float
) -> None:
    """Applied Optics 34(18), 1995, 3477-3480, equation 3, 589.3 nm."""
    assert refractive_index(salinity, temperature_c) == pytest.approx(index, abs=2e-6)


def test_a_brine_scale_at_35_means_less_salt_in_sea_water() -> None:
    """Quan & Fry 1995 against the sodium chloride index of the CRC Handbook, 1.3391 at 35 per
    mille (from memory): the same index in sea water is 33.35, good to 0.25."""
    by_index = practical_from_refractive_index(1.3391, 20.0)

    assert practical_from_brine_scale(35.0) == pytest.approx(by_index, abs=0.25)
    assert practical_from_brine_scale(35.0) == pytest.approx(33.35)


def test_an_offset_is_added_to_what_the_instrument_shows() -> None:
    """Offset is true less shown; a corrected value must still be a salinity."""
    assert calibrated(34.0, 0.8) == pytest.approx(34.8)
    with pytest.raises(UserFault, match="out_of_range"):
        calibrated(41.9, 0.8)


@given(
    salinity=st.floats(min_value=0.1, max_value=42.0),
    unit=st.sampled_from(["practical", "mS/cm", "sg 25/25", "sg 20/20", "sg 60F/60F"]),
)
def test_salinity_in_any_unit_comes_back(salinity: float, unit: str) -> None:
    """salinity_in_unit and practical_salinity_from are inverse."""
    shown = salinity_in_unit(salinity, unit)
    if unit == "mS/cm" and shown > 70.0:
        return

    back = practical_salinity_from(Quantity(shown, unit, Dimension.SALINITY))

    assert back == pytest.approx(salinity, abs=1e-8)


@given(
    salinity=st.floats(min_value=0.0, max_value=41.0),
    temperature_c=st.floats(min_value=5.0, max_value=40.0),
)
def test_more_salt_is_denser_and_conducts_better(salinity: float, temperature_c: float) -> None:
    """Both are strictly rising, so each has one inverse."""
    more = salinity + 1.0

    assert density_kg_m3(more, temperature_c) > density_kg_m3(salinity, temperature_c)
    assert conductivity_ms_cm_of(more, temperature_c) > conductivity_ms_cm_of(
        salinity, temperature_c
    )


@pytest.mark.parametrize(
    "refused",
    [
        lambda: density_kg_m3(60.0, 25.0),
        lambda: density_kg_m3(-0.1, 25.0),
        lambda: density_kg_m3(float("nan"), 25.0),
        lambda: density_kg_m3(35.0, 41.0),
        lambda: fresh_density_kg_m3(float("nan")),
        lambda: practical_from_conductivity(70.1),
        lambda: practical_from_conductivity(69.0),  # above 42
        lambda: practical_from_conductivity(-1.0),
        lambda: practical_from_specific_gravity(1.036),
        lambda: practical_from_specific_gravity(0.996),  # lighter than fresh water
        lambda: practical_from_refractive_index(1.329, 20.0),
        lambda: practical_from_refractive_index(1.339, 31.0),
        lambda: refractive_index(35.0, 20.0, 399.0),
        lambda: practical_from_brine_scale(46.0),
    ],
)
def test_water_that_cannot_be_is_refused(refused: object) -> None:
    """A fault names field, value and range; nothing is clamped."""
    assert callable(refused)

    with pytest.raises(UserFault) as fault:
        refused()

    assert {"field", "value", "low", "high"} <= set(fault.value.values)


def test_the_unit_of_another_quantity_is_a_bug_not_a_salinity() -> None:
    """Mixing up dimensions is a fault of the program."""
    with pytest.raises(ValueError, match="salinity"):
        practical_salinity_from(Quantity(8.0, "dKH", Dimension.ALKALINITY))
    with pytest.raises(ValueError, match="salinity"):
        salinity_in_unit(35.0, "dKH")
