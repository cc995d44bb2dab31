"""What is worked out is told with the digits that its span leaves, and is that number then."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.amounts import amount_of
from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.history import history_of
from tankkeeper.core.shown_digits import decimals_of, told_value
from tankkeeper.core.state import fold_household
from tankkeeper.reports.numbers import exact_text, shown_estimate
from tests.builders import a_box, a_chore, a_household, a_moment


@pytest.mark.parametrize(
    ("estimate", "told"),
    [
        (Estimate(27.3, 25.1, 29.6), 27.0),
        (Estimate(3.67, 3.1, 4.3), 3.7),
        (Estimate(2.449, 2.2, 2.7), 2.4),
        (Estimate(0.713, 0.62, 0.81), 0.71),
        (Estimate(24.997, 24.99, 25.0), 25.0),
        (Estimate(1234.0, 1000.0, 1400.0), 1200.0),
        (Estimate(0.0, 0.0, 0.0), 0.0),
    ],
)
def test_a_value_is_rounded_to_what_its_span_leaves(estimate: Estimate, told: float) -> None:
    """The digits are those of the half span (common practice, no source)."""
    assert told_value(estimate, "L") == told


@given(st.floats(0.0, 5000.0), st.floats(0.0, 50.0), st.floats(0.0, 50.0))
def test_what_is_told_of_litres_reads_back_as_the_same_number(
    value: float, below: float, above: float
) -> None:
    """So the logbook, which shows three digits of what was written, shows what was proposed."""
    estimate = Estimate(value, max(0.0, value - below), value + above)

    told = told_value(estimate, "L")

    assert float(exact_text(told)) == told
    assert float(shown_estimate(estimate, "L").partition("\u00a0")[0]) == told


@given(st.floats(0.5, 90.0))
def test_a_share_of_the_water_is_proposed_as_it_is_told(percent: float) -> None:
    """The span still holds it."""
    change = a_chore(
        id="change",
        kind=ChoreKind.WATER_CHANGE,
        tank="nook",
        amount=Amount(percent, AmountUnit.PERCENT),
    )
    household = a_household(tanks=(a_box(),), chores=(change,))
    state = fold_household(household, history_of(()), a_moment("2026-03-12").now)

    due = amount_of(change, state.waters["nook"], household)

    assert due is not None
    assert due.low is not None
    assert due.high is not None
    assert due.low <= due.value <= due.high
    assert float(exact_text(due.value)) == due.value


@pytest.mark.parametrize(
    ("estimate", "unit", "decimals"),
    [
        # 5 L lost a day, unsure by 0.8 to 15 L, is 5 / 3.785 = 1.32 gallons: with 1 the 4 that are
        # left would last four days instead of three.
        (Estimate(1.32, 0.21, 3.96), "US gal", 1),
        (Estimate(1.1, 0.18, 3.3), "imp gal", 1),
        (Estimate(1.32, 0.3, 4.0), "L", 1),
        # What one digit tells to a tenth keeps it, and so do spans as wide as their unit.
        (Estimate(5.0, 0.8, 15.0), "L", 0),
        (Estimate(116.0, 105.0, 127.0), "US gal", 0),
    ],
)
def test_an_unsure_loss_keeps_the_digits_that_days_are_reckoned_with(
    estimate: Estimate, unit: str, decimals: int
) -> None:
    """Who reads the loss and what is left can follow the day that is told."""
    assert decimals_of(estimate, unit) == decimals
