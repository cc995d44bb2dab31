"""The trend of readings: figures, Bayesian least squares, what breaks it and what it refuses."""

import math
from statistics import NormalDist

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.trend_filter import (
    HORIZON_DAYS,
    Mixed,
    Path,
    Reading,
    TrendSettings,
    advanced,
    first_day,
    follow,
    measured,
    mixed,
)

NINETY = NormalDist().inv_cdf(0.95)


def one_filter(events, variance, rate_spread, rate_noise, level_noise):
    """Run a single filter over events, the first of them a reading."""
    first = events[0]
    path = Path(first.value, 0.0, variance, 0.0, rate_spread**2, rate_noise, level_noise)
    at = first.at
    for event in events[1:]:
        path, at = advanced(path, event.at - at), event.at
        if isinstance(event, Mixed):
            path = mixed(path, event)
        else:
            path = measured(path, event.value, variance)[0]
    return path


# A prototype of the same equations, written and run outside the project, gave these figures; its
# Gaussian part agreed there with a matrix filter in numpy.
TIDE = [
    Reading(0, 8.6),
    Mixed(2, 0.0, 0.3, 0.0),
    Reading(3, 8.2),
    Mixed(7, 0.15, 0.15 * 8.0, 0.15 * 0.2),
    Reading(9, 7.8),
    Mixed(12, 0.0, 0.5, 0.05),
    Reading(14, 7.5),
]
ONE_FAR = [Reading(0, 5.0), Reading(4, 7.0), Reading(8, 30.0), Reading(12, 11.0)]


@pytest.mark.parametrize(
    ("events", "supposed", "expected"),
    [
        (
            TIDE,
            (0.06, 0.5, 4e-4, 6.25e-4),
            (7.536661, -0.12722498, 0.2179479, 0.047222137, 6.6460861, 0.53441397),
        ),
        (
            ONE_FAR,
            (1.5, 1.0, 1e-4, 2.5e-3),
            (11.197246, 0.50619887, 1.1684028, 0.14226586, 14.740638, 2.0534148),
        ),
    ],
)
def test_one_filter_gives_the_figures_of_the_prototype(events, supposed, expected):
    """Level, rate, their spreads, and level with spread a week on."""
    path = one_filter(events, *supposed)
    week = advanced(path, 7.0)
    found = (path.level, path.rate, path.pll**0.5, path.prr**0.5, week.level, week.pll**0.5)
    assert found == pytest.approx(expected, rel=1e-5)


def test_the_mixture_gives_the_figures_of_the_prototype():
    """Phosphate that climbs: mean, spread, and the chance to be beyond 0.1 mg/L in a week."""
    read = [(0, 0.04), (5, 0.05), (9, 0.05), (14, 0.07), (18, 0.08), (23, 0.09)]
    trend = follow(
        [Reading(*one) for one in read], TrendSettings(error=math.sqrt(2e-4), rate=0.005)
    )
    week = trend.after(7.0)
    assert week.value == pytest.approx(0.105191, rel=1e-3)
    assert (week.high - week.low) / 2 / NINETY == pytest.approx(0.0116376, rel=1e-3)
    assert trend.chance_outside(7.0, None, 0.1) == pytest.approx(0.68994, rel=1e-3)


@given(
    st.lists(st.floats(-1.5, 1.5), min_size=2, max_size=8),
    st.floats(0.5, 5.0),
    st.floats(0.05, 2.0),
)
def test_a_steady_rate_is_bayesian_least_squares(misses, gap, spread):
    """Without noise in level or rate the filter is the regression of a line with a prior.

    C. M. Bishop, Pattern Recognition and Machine Learning, 2006, equations 3.53 and 3.54, solved
    with numpy; the first reading stands for a flat prior of the level.
    """
    days = [gap * place for place in range(len(misses))]
    values = [8.0 - 0.1 * day + 0.2 * miss for day, miss in zip(days, misses, strict=True)]
    variance, prior = 0.09, spread**2
    path = Path(values[0], 0.0, variance, 0.0, prior)
    far = False
    for before, day, value in zip(days, days[1:], values[1:], strict=False):
        path, _, miss = measured(advanced(path, day - before), value, variance)
        far = far or abs(miss) > 2.5
    if far:
        return

    design = numpy.array([[1.0, day - days[-1]] for day in days])
    precision = design.T @ design / variance + numpy.diag([0.0, 1.0 / prior])
    covariance = numpy.linalg.inv(precision)
    mean = covariance @ design.T @ numpy.array(values) / variance
    assert (path.level, path.rate) == pytest.approx(tuple(mean), rel=1e-7, abs=1e-9)
    assert path.pll == pytest.approx(covariance[0, 0], rel=1e-7)
    assert path.plr == pytest.approx(covariance[0, 1], rel=1e-6, abs=1e-12)
    assert path.prr == pytest.approx(covariance[1, 1], rel=1e-7)


ALKALINITY = TrendSettings(error=0.2, rate=0.5)


def test_a_change_thins_what_is_dissolved():
    """A fifth of the water against water without nitrate takes a fifth (dilution, exact)."""
    path = mixed(Path(20.0, 0.0, 4.0, 1.0, 1.0), Mixed(0, 0.2, 0.0, 0.0))
    assert (path.level, path.pll, path.plr) == pytest.approx((16.0, 2.56, 0.8))


def test_two_far_readings_to_one_side_begin_anew():
    """Something happened that nobody wrote down; a single far reading is only believed less."""
    steady = [Reading(3.0 * place, 8.0) for place in range(6)]
    one = follow([*steady, Reading(18, 11.0), Reading(21, 8.0)], ALKALINITY)
    two = follow([*steady, Reading(18, 11.0), Reading(21, 11.0)], ALKALINITY)
    assert not one.is_restarted
    assert one.after(0).value == pytest.approx(8.0, abs=0.3)
    assert two.is_restarted
    assert two.readings == 2
    assert two.after(0).value == pytest.approx(11.0, abs=0.1)


def test_far_readings_to_both_sides_are_no_new_beginning():
    """A hand that reads badly is no jump."""
    steady = [Reading(3.0 * place, 8.0) for place in range(6)]
    trend = follow([*steady, Reading(18, 11.0), Reading(21, 5.0)], ALKALINITY)
    assert not trend.is_restarted


def test_what_comes_before_the_first_reading_tells_nothing():
    """As if it had not been."""
    read = [Reading(1, 8.0), Reading(4, 7.9)]
    assert follow([Mixed(0, 0.5, 0.0, 1.0), *read], ALKALINITY) == follow(read, ALKALINITY)
    assert follow([Mixed(0, 0.5, 0.0, 1.0)], ALKALINITY) is None
    assert follow([], ALKALINITY) is None


def test_events_out_of_order_are_refused():
    """A caller that does not sort is wrong."""
    with pytest.raises(ValueError, match="order"):
        follow([Reading(4, 8.0), Reading(1, 8.0)], ALKALINITY)


def test_the_day_of_a_limit():
    """Falling by a tenth a day from 8.0, 7.5 may be left before the fifth day, 5 not in 60."""
    falling = follow([Reading(float(day), 9.2 - 0.1 * day) for day in range(13)], ALKALINITY)
    day = first_day(falling, 7.5, 10.0, 0.10)
    assert 2 <= day <= 5
    assert falling.chance_outside(day, 7.5, 10.0) >= 0.10
    assert falling.chance_outside(day - 1, 7.5, 10.0) < 0.10
    assert first_day(follow([Reading(0.0, 8.0)], ALKALINITY), -1e6, None, 0.10) is None
    assert HORIZON_DAYS == 60


@given(
    st.lists(st.tuples(st.floats(0, 9), st.floats(0, 1e6)), min_size=1, max_size=12),
    st.sampled_from([ALKALINITY, TrendSettings(0.012, 0.005, 0.1, 0.01)]),
)
def test_whatever_is_read_the_figures_stay_numbers(read, settings):
    """Spans in order, chances between none and certain."""
    at, events = 0.0, []
    for gap, value in read:
        at += gap
        events.append(Reading(at, value))
    trend = follow(events, settings)
    week = trend.after(7.0)
    assert week.low < week.value < week.high
    assert 0.0 <= trend.chance_outside(7.0, 7.0, 9.0) <= 1.0 + 1e-9
