"""Salt and water in balance: closed forms beside figures from an oceanographic library."""

import math
from itertools import pairwise

import gsw
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tankkeeper.core.balance import (
    Limit,
    daily_salinity_steps,
    days_until_salinity,
    dry_salt_g,
    fresh_swap_l,
    litres_until_level,
    litres_until_salinity,
    reservoir_days,
    salinity_after_dry_salt,
    salinity_after_evaporation,
    salinity_after_swap,
    salinity_after_wet_loss,
    salt_mass_g,
    salt_water_swap_l,
    top_off_due,
    volume_from_salt_step,
    water_mass_kg,
)
from tankkeeper.core.errors import UserFault
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.seawater import fresh_density_kg_m3

volumes = st.floats(min_value=10.0, max_value=2000.0)
salinities = st.floats(min_value=20.0, max_value=40.0)
temperatures = st.floats(min_value=18.0, max_value=30.0)


def library_mass_kg(volume_l: float, salinity: float) -> float:
    """Mass at 25 degC by TEOS-10."""
    return float(volume_l * gsw.rho_t_exact(gsw.SR_from_SP(salinity), 25.0, 0.0) / 1000.0)


def test_evaporation_leaves_the_salt_behind() -> None:
    """300 L at 35, 25 degC, 3 L lost: the same salt in less water (densities gsw 3.6.23)."""
    mass = library_mass_kg(300, 35)
    lost = library_mass_kg(3, 0)

    after = salinity_after_evaporation(300, 35, 3)

    assert after == pytest.approx(35 * mass / (mass - lost), abs=1e-3)
    assert after == pytest.approx(35.3443615, abs=1e-3)


def test_the_day_of_the_salinity_limit_is_when_that_much_has_evaporated() -> None:
    """300 L from 35 to 36 at 3 L/day: 2.851 days (densities gsw 3.6.23)."""
    days = days_until_salinity(300, 35, 36, 3)

    assert days == pytest.approx(2.85103847, rel=1e-3)
    assert salinity_after_evaporation(300, 35, 3 * days) == pytest.approx(36, abs=1e-9)


def test_a_limit_that_is_reached_is_due_now() -> None:
    """Zero days, not a negative number."""
    assert days_until_salinity(300, 36, 36, 3) == 0.0
    assert days_until_salinity(300, 37, 36, 3) == 0.0


def test_the_nearer_limit_makes_the_top_off_due() -> None:
    """900 cm2 and 4 cm are 3.6 L, 1.2 days at 3 L/day; half a unit of salinity takes longer."""
    level = litres_until_level(900, 40)
    salt = litres_until_salinity(300, 35, 35.5)

    due = top_off_due(3.0, litres_by_level=level, litres_by_salinity=salt)
    by_salt = top_off_due(3.0, litres_by_level=50.0, litres_by_salinity=salt)

    assert due is not None
    assert by_salt is not None
    assert (due.days, due.limited_by) == (pytest.approx(1.2), Limit.LEVEL)
    assert due.days_by_salinity == by_salt.days > due.days
    assert by_salt.limited_by is Limit.SALINITY
    assert top_off_due(3.0, litres_by_level=None, litres_by_salinity=None) is None


@pytest.mark.parametrize(
    ("litres", "by_hand"),
    [
        (fresh_swap_l(300, 37, 35), 16.6433921),
        (salt_water_swap_l(300, 33, 35, 42), 66.3230821),
        (dry_salt_g(300, 33, 35), 638.441977),
    ],
)
def test_corrections_agree_with_figures_from_library_densities(
    litres: float, by_hand: float
) -> None:
    """300 L at 25 degC, exact arithmetic on the densities of gsw 3.6.23."""
    assert litres == pytest.approx(by_hand, rel=1e-3)


def test_a_moist_mix_takes_more_grams() -> None:
    """With 85 % dissolved salt, as in a mix whose chlorides carry their water: 756 g.

    By hand: 638.44 g of pure salt leave 1 - 0.03517 of each gram for the salt above the target (35
    is 35.165 g/kg), moist ones 0.85 - 0.03517: 638.44 * 0.96483 / 0.81483 is 755.97.
    """
    assert dry_salt_g(300, 33, 35, 0.85) == pytest.approx(756, abs=1)


def test_the_shortcut_by_volume_asks_for_too_little_salt() -> None:
    """300 L times 2 g is 600 g, 6 % low: the rule of thumb (common practice, no source)."""
    assert 600 / dry_salt_g(300, 33, 35) == pytest.approx(0.94, abs=0.005)


@given(volume_l=volumes, salinity=salinities, share=st.floats(0.0, 0.19), t=temperatures)
def test_evaporation_conserves_salt(
    volume_l: float, salinity: float, share: float, t: float
) -> None:
    """Salt before is salt after, counted in the mass that is left."""
    evaporated = share * volume_l
    assume(salinity / (1 - share) < 41)

    after = salinity_after_evaporation(volume_l, salinity, evaporated, t)
    left = water_mass_kg(volume_l, salinity, t) - evaporated * fresh_density_kg_m3(t) / 1000

    assert after * left == pytest.approx(salinity * water_mass_kg(volume_l, salinity, t), rel=1e-12)


@given(
    volume_l=volumes,
    salinity=st.floats(min_value=25.0, max_value=35.0),
    rise=st.floats(min_value=0.3, max_value=6.0),
    salt_yield=st.floats(min_value=0.5, max_value=1.0),
    t=temperatures,
)
def test_the_salt_weighed_makes_the_salinity_wanted(
    volume_l: float, salinity: float, rise: float, salt_yield: float, t: float
) -> None:
    """dry_salt_g and salinity_after_dry_salt are inverse, and give the volume back."""
    grams = dry_salt_g(volume_l, salinity, salinity + rise, salt_yield, t)

    after = salinity_after_dry_salt(volume_l, salinity, grams, salt_yield, t)
    volume = volume_from_salt_step(grams, salinity, after, salt_yield, t)

    assert after == pytest.approx(salinity + rise, abs=1e-9)
    assert volume.value == pytest.approx(volume_l, rel=1e-9)
    assert volume.low < volume.value < volume.high


@given(
    volume_l=volumes,
    salinity=st.floats(min_value=25.0, max_value=38.0),
    new_salinity=st.floats(min_value=0.0, max_value=42.0),
    share=st.floats(min_value=0.01, max_value=0.99),
    t=temperatures,
)
def test_the_litres_swapped_make_the_salinity_wanted(
    volume_l: float, salinity: float, new_salinity: float, share: float, t: float
) -> None:
    """Up or down, with whatever water lies beyond the target."""
    assume(abs(new_salinity - salinity) > 0.1)
    target = salinity + share * (new_salinity - salinity)

    litres = salt_water_swap_l(volume_l, salinity, target, new_salinity, t)

    assert 0 < litres < volume_l
    assert salinity_after_swap(volume_l, salinity, litres, new_salinity, t) == pytest.approx(
        target, abs=1e-9
    )


@given(volume_l=volumes, salinity=salinities, drop=st.floats(min_value=0.1, max_value=15.0))
def test_swapping_for_fresh_water_lowers_to_the_target(
    volume_l: float, salinity: float, drop: float
) -> None:
    """The special case of water without salt."""
    litres = fresh_swap_l(volume_l, salinity, salinity - drop)

    assert salinity_after_swap(volume_l, salinity, litres, 0.0) == pytest.approx(
        salinity - drop, abs=1e-9
    )


def test_water_of_the_same_salinity_changes_nothing() -> None:
    """A change with identical water is no correction."""
    assert salt_water_swap_l(300, 35, 35, 35) == 0.0
    assert salinity_after_swap(300, 35, 60, 35) == pytest.approx(35, abs=1e-12)


def test_wet_loss_made_up_with_fresh_water_thins_the_tank() -> None:
    """300 L, 0.3 L/day for 30 days: 35 e^-0.03, and thirty daily steps come close."""
    stepwise = 35.0
    for _ in range(30):
        stepwise *= 1 - 0.3 / 300

    after = salinity_after_wet_loss(300, 35, 0.3, 30)

    assert after == pytest.approx(35 * math.exp(-0.03))
    assert after == pytest.approx(stepwise, abs=1e-3)
    assert salinity_after_wet_loss(300, 35, 0.0, 30) == 35


def test_a_reservoir_is_counted_by_the_middle_and_by_the_upper_loss() -> None:
    """20 L at 2.5 L/day, 2.9 at most: 8 days expected, 6.9 to be safe."""
    left = reservoir_days(20, Estimate(2.5, 2.2, 2.9))

    assert (left.expected, left.safe) == (pytest.approx(8.0), pytest.approx(6.89655, abs=1e-4))
    assert reservoir_days(0.0, Estimate(2.5, 2.2, 2.9)).expected == 0.0


def test_a_salinity_step_gives_the_volume_with_its_doubt() -> None:
    """0.2 of error in both readings of a step of 2 is 14 %: 0.2 times the root of 2, over 2."""
    volume = volume_from_salt_step(638.441977, 33, 35)

    assert volume.value == pytest.approx(300, rel=1e-3)
    assert 1 - volume.low / volume.value == pytest.approx(0.14, abs=0.03)
    assert volume.high / volume.value - 1 == pytest.approx(0.14, abs=0.03)


def test_a_large_correction_is_split_into_days() -> None:
    """One unit of salinity a day (common practice, no source), in equal steps to the target."""
    assert daily_salinity_steps(33, 35) == (34, 35)
    assert daily_salinity_steps(36.5, 35) == (35.75, 35)
    assert daily_salinity_steps(35, 35) == ()
    assert len(daily_salinity_steps(35.1, 35.4, 0.1)) == 3


@given(salinity=salinities, target=salinities, most=st.floats(min_value=0.1, max_value=3.0))
def test_no_day_changes_more_than_is_safe(salinity: float, target: float, most: float) -> None:
    """Every step within the limit, the last one on the target."""
    stages = (salinity, *daily_salinity_steps(salinity, target, most))

    changes = [abs(b - a) for a, b in pairwise(stages)]

    assert all(change <= most * (1 + 1e-6) for change in changes)
    assert stages[-1] == target


def test_salt_mass_is_grams_per_kilogram_times_kilograms() -> None:
    """35.99 g of sea salt in a litre at 35 and 25 degC (gsw 3.6.23: 1.02334 kg/L x 35.165)."""
    assert salt_mass_g(1.0, 35) == pytest.approx(35.986, abs=0.002)


@pytest.mark.parametrize(
    ("refused", "code"),
    [
        (lambda: dry_salt_g(300, 37, 35), "target_not_higher"),
        (lambda: dry_salt_g(300, 35, 35), "target_not_higher"),
        (lambda: fresh_swap_l(300, 33, 35), "target_not_lower"),
        (lambda: salt_water_swap_l(300, 33, 35, 35), "new_water_not_beyond_target"),
        (lambda: salt_water_swap_l(300, 33, 35, 34), "new_water_not_beyond_target"),
        (lambda: salt_water_swap_l(300, 33, 35, 0), "new_water_not_beyond_target"),
        (lambda: dry_salt_g(300, 33, 35, 0.49), "out_of_range"),
        (lambda: dry_salt_g(300, 33, 35, 1.01), "out_of_range"),
        (lambda: dry_salt_g(0, 33, 35), "out_of_range"),
        (lambda: salinity_after_evaporation(300, 35, 60), "out_of_range"),
        (lambda: salinity_after_evaporation(300, 35, -1), "out_of_range"),
        (lambda: salinity_after_evaporation(300, 60, 1), "out_of_range"),
        (lambda: salinity_after_swap(300, 35, 300, 0), "out_of_range"),
        (lambda: days_until_salinity(300, 35, 36, 0), "out_of_range"),
        (lambda: days_until_salinity(300, 35, 36, math.nan), "out_of_range"),
        (lambda: litres_until_level(0, 10), "out_of_range"),
        (lambda: salinity_after_wet_loss(300, 35, -0.1, 30), "out_of_range"),
        (lambda: reservoir_days(-1, Estimate(2.5, 2.2, 2.9)), "out_of_range"),
        (lambda: reservoir_days(20, Estimate(0.0, 0.0, 0.0)), "out_of_range"),
        (lambda: volume_from_salt_step(600, 35, 34), "target_not_higher"),
        (lambda: volume_from_salt_step(600, 35, 35.1), "out_of_range"),
        (lambda: daily_salinity_steps(33, 35, 0), "out_of_range"),
    ],
)
def test_a_correction_that_cannot_work_is_refused_with_its_field(
    refused: object, code: str
) -> None:
    """The wrong method for the direction, or numbers that no tank has."""
    assert callable(refused)

    with pytest.raises(UserFault) as fault:
        refused()

    assert fault.value.code == code
    assert fault.value.values["field"]
