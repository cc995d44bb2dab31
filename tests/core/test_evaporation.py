"""Evaporation against published table values and a general psychrometric library."""

from datetime import date, timedelta

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.climate import Air, ClimateRow, check_climate, climate_on, mean_air
from tankkeeper.core.errors import UserFault
from tankkeeper.core.evaporation import (
    Agitation,
    PriorBasis,
    SurfacePart,
    climate_factor,
    climate_factors,
    factor_on,
    heat_w,
    loss_l_per_day,
    prior_loss,
    saturation_pressure_pa,
    surfaces_of,
    undisturbed_kg_m2_h,
    water_activity,
)

WINTER, SUMMER = ClimateRow(1, 21.0, 0.32), ClimateRow(7, 24.0, 0.55)
YEAR = (WINTER, SUMMER)
PARTS = (SurfacePart(0.6),)
DAY = date(2026, 1, 16)


@pytest.mark.parametrize(
    ("water_c", "air_c", "kg_m2_h"), [(28, 28, 0.1360), (29, 29, 0.1463), (30, 28, 0.1959)]
)
def test_still_fresh_water_loses_what_the_published_table_says(
    water_c: float, air_c: float, kg_m2_h: float
) -> None:
    """Shah, Methods for Calculation of Evaporation from Swimming Pools and Other Water Surfaces,
    ASHRAE Transactions 120(2), 2014, unoccupied pools, 50 % humidity (read from a reproduction)."""
    rate = undisturbed_kg_m2_h(water_c, Air(air_c, 0.5), practical_salinity=0.0)

    assert rate == pytest.approx(kg_m2_h, rel=0.005)


@pytest.mark.parametrize("temperature_c", [5.0, 15.0, 20.0, 25.0, 30.0, 40.0])
def test_saturation_pressure_agrees_with_a_psychrometric_library(temperature_c: float) -> None:
    """PsychroLib implements the ASHRAE Handbook Fundamentals; IAPWS-95 at 25 degC is 3169.93 Pa."""
    psychrolib.SetUnitSystem(psychrolib.SI)

    theirs = psychrolib.GetSatVapPres(temperature_c)

    assert saturation_pressure_pa(temperature_c) == pytest.approx(theirs, rel=1e-6)
    assert saturation_pressure_pa(25.0) == pytest.approx(3169.92934, rel=4e-4)


@pytest.mark.parametrize(
    ("water_c", "air_c", "humidity"),
    [(25.5, 22, 0.5), (26, 20, 0.35), (25, 28, 0.65), (25.5, 18, 0.25), (27, 22, 0.5)],
)
def test_the_model_agrees_with_one_built_from_library_psychrometrics(
    water_c: float, air_c: float, humidity: float
) -> None:
    """The same formula on PsychroLib's humidity ratios and dry-air densities."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    pressure = 101_325.0
    p_water = water_activity(35.0) * psychrolib.GetSatVapPres(water_c)
    w_water = 0.621945 * p_water / (pressure - p_water)
    w_air = psychrolib.GetHumRatioFromRelHum(air_c, humidity, pressure)
    p_air = humidity * psychrolib.GetSatVapPres(air_c)
    d_water = 1 / psychrolib.GetMoistAirVolume(water_c, w_water, pressure)
    d_air = 1 / psychrolib.GetMoistAirVolume(air_c, w_air, pressure)
    natural = 35 * d_water * max(d_air - d_water, 0) ** (1 / 3) * (w_water - w_air)
    theirs = max(natural, 5e-5 * (p_water - p_air))

    assert undisturbed_kg_m2_h(water_c, Air(air_c, humidity)) == pytest.approx(theirs, rel=1e-3)


@pytest.mark.parametrize(
    ("water_c", "air", "kg_m2_day"),
    [
        (25.5, Air(22, 0.50), 3.82691547),
        (26.0, Air(20, 0.35), 5.71086348),
        (25.0, Air(28, 0.65), 0.781122769),
    ],
)
def test_sea_water_loses_what_an_independent_prototype_found(
    water_c: float, air: Air, kg_m2_day: float
) -> None:
    """Same model worked out with PsychroLib 2.5.0 outside the project, salinity 35."""
    assert 24 * undisturbed_kg_m2_h(water_c, air) == pytest.approx(kg_m2_day, rel=0.01)


def test_salt_lowers_the_vapour_pressure_by_two_per_cent() -> None:
    """Robinson 1954 (from memory); the chemical potential in gsw 3.6.23 agrees within 3e-4."""
    assert water_activity(35.0) == pytest.approx(0.981116374, abs=5e-4)
    assert water_activity(0.0) == 1.0


def test_the_daily_loss_adds_circulation_and_turns_to_litres() -> None:
    """0.6 m2, 25.5 degC water, 22 degC and 50 % air: 2.994 L/day (PsychroLib 2.5.0, gsw 3.6.23),
    which is the trade's 1 % a day for a tank half a metre deep."""
    loss = loss_l_per_day(PARTS, 25.5, Air(22, 0.5))

    assert loss == pytest.approx(2.99383292, rel=0.01)
    assert loss / (0.6 * 0.5 * 1000) == pytest.approx(0.01, rel=0.05)


def test_the_heat_carried_off_is_the_latent_heat() -> None:
    """2441.7 kJ/kg at 25 degC (CoolProp 8.0.0): 3 L/day are 84.5 W."""
    assert heat_w(3.0) == pytest.approx(84.530946, rel=0.005)


def test_covers_cabinets_wind_and_splashing_act_as_stated() -> None:
    """Judgement, no source, but each factor acts once and in the right direction."""
    air = Air(22, 0.5)

    def loss(part: SurfacePart, wind: float = 0.0) -> float:
        return loss_l_per_day((part,), 25.5, air, air_speed_m_s=wind)

    still = loss(SurfacePart(1.0, Agitation.STILL))
    assert loss(SurfacePart(1.0)) == pytest.approx(1.3 * still)
    assert loss(SurfacePart(1.0, Agitation.STRONG)) == pytest.approx(1.7 * still)
    assert loss(SurfacePart(1.0, Agitation.STILL, in_cabinet=True)) == pytest.approx(0.5 * still)
    lid = SurfacePart(1.0, Agitation.STILL, covered=0.5, cover_effect=0.9)
    assert loss(lid) == pytest.approx(0.55 * still)
    # Slope of the ASHRAE pool form, HVAC Applications (from memory).
    assert loss(SurfacePart(1.0, Agitation.STILL), 1.0) == pytest.approx(
        still * (0.089 + 0.0782) / 0.089
    )


def test_surfaces_of_a_tank_are_its_display_and_its_sump() -> None:
    """Square centimetres become square metres, the cover lies on the display alone.

    A mesh holds back 0.15: judgement, no source.
    """
    display, sump = surfaces_of(6600, 1800, cover="mesh", covered=None, sump_in_cabinet=True)

    assert display == SurfacePart(0.66, covered=1.0, cover_effect=0.15)
    assert sump == SurfacePart(0.18, in_cabinet=True)
    assert surfaces_of(None, None) == ()


def test_a_room_as_moist_as_the_water_takes_nothing() -> None:
    """No driving difference, no evaporation; condensation is not modelled."""
    assert undisturbed_kg_m2_h(25.0, Air(30.0, 0.95)) == 0.0


@given(
    water_c=st.floats(min_value=18, max_value=30),
    air_c=st.floats(min_value=10, max_value=35),
    humidity=st.floats(min_value=0.05, max_value=0.9),
)
def test_warmer_water_and_drier_air_lose_at_least_as_much(
    water_c: float, air_c: float, humidity: float
) -> None:
    """The model is monotone in what a keeper can change."""
    base = undisturbed_kg_m2_h(water_c, Air(air_c, humidity))

    assert undisturbed_kg_m2_h(water_c + 1, Air(air_c, humidity)) >= base >= 0.0
    assert undisturbed_kg_m2_h(water_c, Air(air_c, humidity - 0.04)) >= base


def test_the_climate_runs_on_lines_between_the_months_around_the_year() -> None:
    """Mid-January and mid-July are as entered, mid-April and mid-October half way."""
    january, july = climate_on(YEAR, date(2025, 1, 16)), climate_on(YEAR, date(2025, 7, 16))
    april, october = climate_on(YEAR, date(2025, 4, 16)), climate_on(YEAR, date(2025, 10, 15))

    assert january is not None
    assert july is not None
    assert april is not None
    assert october is not None
    assert january.temperature_c == pytest.approx(21.0, abs=0.05)
    assert july.temperature_c == pytest.approx(24.0, abs=0.05)
    assert april.temperature_c == pytest.approx(22.5, abs=0.05)
    assert october.humidity == pytest.approx(0.435, abs=0.005)
    assert climate_on((WINTER,), date(2025, 8, 1)) == Air(21.0, 0.32)
    assert climate_on((), date(2025, 8, 1)) is None


def test_each_measure_of_the_air_runs_between_the_months_that_know_it() -> None:
    """A gap is bridged by the months around; a row for all year says what no month does."""
    rows = (ClimateRow(1, 21.0, None), ClimateRow(4, None, 0.4), ClimateRow(7, 24.0, None))
    april = climate_on(rows, date(2025, 4, 16))

    assert april is not None
    assert april.temperature_c == pytest.approx(22.5, abs=0.05)
    assert april.humidity == 0.4
    all_year = (ClimateRow(None, 18.0, 0.6), ClimateRow(7, 24.0, None))
    assert climate_on(all_year, date(2025, 2, 1)) == Air(24.0, 0.6)
    assert climate_on((ClimateRow(None, 18.0, 0.6),), date(2025, 2, 1)) == Air(18.0, 0.6)


def test_air_that_is_known_in_part_is_not_known() -> None:
    """Without a humidity the first figure is as wide as without a climate, at the known warmth."""
    rows = (ClimateRow(1, 17.0, None), ClimateRow(7, 26.0, None))
    in_part = prior_loss(PARTS, rows, DAY)
    full = prior_loss(PARTS, (ClimateRow(None, 17.0, 0.5), ClimateRow(7, 26.0)), DAY)
    nothing = prior_loss(PARTS, (ClimateRow(),), DAY)

    assert climate_on(rows, DAY) is None
    assert climate_factors(rows) is None
    assert climate_factor(rows, DAY) == 1.0
    assert in_part is not None
    assert full is not None
    assert (in_part.basis, in_part.sd_ln) == (PriorBasis.AREA, 0.7)
    assert nothing == prior_loss(PARTS, (), DAY)
    assert in_part != nothing


def test_the_season_of_the_known_measure_counts_where_the_other_is_known_once() -> None:
    """Two temperatures and one humidity make a season; one of each makes none."""
    one = (ClimateRow(1, 17.0, 0.5),)
    two = (*one, ClimateRow(7, 26.0, None))

    assert climate_factors(one) is None
    assert climate_factors(two) == climate_factors((*one, ClimateRow(7, 26.0, 0.5)))


@given(
    day=st.dates(min_value=date(1990, 1, 1), max_value=date(2060, 12, 30)),
    months=st.sets(st.integers(min_value=1, max_value=12), min_size=1),
)
def test_the_climate_has_no_jump_from_one_day_to_the_next(day: date, months: set[int]) -> None:
    """Also over New Year and in leap years, in whatever order the rows stand."""
    rows = tuple(ClimateRow(month, 15.0 + month, 0.05 * month) for month in sorted(months)[::-1])

    today, tomorrow = climate_on(rows, day), climate_on(rows, day + timedelta(days=1))

    assert today is not None
    assert tomorrow is not None
    assert abs(today.temperature_c - tomorrow.temperature_c) < 0.5
    assert 15.0 + min(months) <= today.temperature_c <= 15.0 + max(months)


def test_the_first_figure_rests_on_the_best_that_is_known() -> None:
    """Room climate, then area, then volume; less known is a wider spread (judgement).

    By volume alone 1 % a day: 3 of 300 L (common practice, no source).
    """
    by_climate = prior_loss(PARTS, YEAR, DAY, volume_l=300)
    by_area = prior_loss(PARTS, (), DAY, volume_l=300)
    by_volume = prior_loss((), (), DAY, volume_l=300)

    assert by_climate is not None
    assert by_area is not None
    assert by_volume is not None
    assert (by_climate.basis, by_climate.sd_ln) == (PriorBasis.ROOM_CLIMATE, 0.45)
    assert (by_area.basis, by_area.sd_ln) == (PriorBasis.AREA, 0.7)
    assert (by_volume.basis, by_volume.sd_ln) == (PriorBasis.VOLUME, 1.0)
    assert by_volume.loss_l_per_day == pytest.approx(3.0)
    assert by_climate.loss_l_per_day > by_area.loss_l_per_day  # a dry winter room
    assert prior_loss((), YEAR, DAY) is None


def test_where_the_model_expects_no_loss_the_first_figure_is_wide_not_zero() -> None:
    """A filter on logarithms cannot start from nothing, and a humid reading may be wrong."""
    prior = prior_loss(PARTS, (ClimateRow(7, 30.0, 0.98),), DAY)

    assert prior is not None
    assert prior.loss_l_per_day > 1.0
    assert (prior.basis, prior.sd_ln) == (PriorBasis.AREA, 1.0)


def test_the_season_is_a_ratio_of_model_rates() -> None:
    """Factor of a day over the reference air, 1 without a climate."""
    winter = undisturbed_kg_m2_h(25.5, Air(21.0, 0.32))
    mean = undisturbed_kg_m2_h(25.5, Air(22.5, 0.435))

    assert mean_air(YEAR) == Air(pytest.approx(22.5), pytest.approx(0.435))
    assert climate_factor(YEAR, date(2025, 1, 16)) == pytest.approx(winter / mean, rel=0.01)
    assert climate_factor((), DAY) == 1.0
    assert climate_factors((WINTER,)) is None


def test_a_season_in_which_the_model_sees_almost_no_loss_is_not_believed() -> None:
    """Below a fifth of the mean the factor stops, so that no logged litre is a wonder."""
    muggy = (ClimateRow(1, 21.0, 0.30), ClimateRow(7, 29.0, 0.90))

    assert climate_factor(muggy, date(2025, 7, 16)) == 0.2


def test_the_table_of_the_season_follows_the_model_day_by_day() -> None:
    """Straight lines between the months stay within 2 % of asking the model each day."""
    table = climate_factors(YEAR)
    days = [date(2024, 1, 1) + timedelta(days=each) for each in range(366)]

    worst = max(abs(factor_on(table, day) / climate_factor(YEAR, day) - 1.0) for day in days)
    steps = [factor_on(table, day + timedelta(days=1)) - factor_on(table, day) for day in days]

    assert worst < 0.02
    assert max(map(abs, steps)) < 0.02
    assert factor_on(None, DAY) == 1.0


@pytest.mark.parametrize(
    "refused",
    [
        lambda: undisturbed_kg_m2_h(4.9, Air(22, 0.5)),
        lambda: undisturbed_kg_m2_h(25, Air(46, 0.5)),
        lambda: undisturbed_kg_m2_h(25, Air(22, -0.1)),
        lambda: undisturbed_kg_m2_h(25, Air(22, float("nan"))),
        lambda: undisturbed_kg_m2_h(25, Air(22, 0.5), pressure_pa=50_000),
        lambda: loss_l_per_day((SurfacePart(0.0),), 25, Air(22, 0.5)),
        lambda: loss_l_per_day((SurfacePart(1.0, covered=1.1),), 25, Air(22, 0.5)),
        lambda: loss_l_per_day(PARTS, 25, Air(22, 0.5), air_speed_m_s=5.1),
        lambda: check_climate((ClimateRow(13, 22, 0.5),)),
        lambda: prior_loss((), (), DAY, volume_l=0.0),
    ],
)
def test_conditions_that_no_room_has_are_refused(refused: object) -> None:
    """The fault names the field."""
    assert callable(refused)

    with pytest.raises(UserFault) as fault:
        refused()

    assert fault.value.values["field"]


def test_a_humidity_in_per_cent_is_refused_with_a_hint() -> None:
    """50 stands for 0.50 nearly always, but is not taken for it."""
    with pytest.raises(UserFault) as fault:
        check_climate((ClimateRow(1, 22, 50),))

    assert fault.value.values["field"] == "humidity"
    assert fault.value.values["hint"] == "share_of_one"


def test_a_month_given_twice_is_refused() -> None:
    """Between two rows of one month there is no line."""
    with pytest.raises(UserFault, match="month_given_twice"):
        check_climate((WINTER, WINTER))
