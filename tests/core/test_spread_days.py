"""Over how many days a large top-off is spread, with what evaporates on those days."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.spread_days import Spread, spread

LITRES = st.floats(0.5, 40.0)


def test_what_evaporates_meanwhile_goes_in_as_well() -> None:
    """By hand: 5 L and 1.3 L for one day more are 6.3 L; 3.15 L twice, of 3.2 L that may go in."""
    assert spread(5.0, 3.2, 1.3, is_rest=False) == Spread(2, pytest.approx(3.15), 1.3)


def test_what_may_go_in_at_once_is_not_spread() -> None:
    """Nor where a part of a day would be about all of it."""
    assert spread(3.2, 3.2, 1.3, is_rest=False) == Spread(1, 3.2)
    assert spread(3.4, 3.2, 3.1, is_rest=False) == Spread(1, 3.4)


def test_where_a_day_takes_as_much_as_may_go_in_on_one_no_day_is_promised() -> None:
    """The tank gains nothing, or so little that it takes weeks."""
    for loss_l in (3.2, 5.0, 3.1):
        found = spread(9.0, 3.2, loss_l, is_rest=False)
        assert (found.litres, found.is_whole) == (3.2, False)
        assert found.days > 1


@given(missing_l=LITRES, safe_l=LITRES, share=st.floats(0.0, 0.9))
def test_the_day_after_asks_for_as_much_on_one_day_less(
    missing_l: float, safe_l: float, share: float
) -> None:
    """What was promised holds until the tank is full, to the litres of a jug's scale."""
    loss_l = share * safe_l
    found = spread(missing_l, safe_l, loss_l, is_rest=False)
    promised, days = found.litres, found.days
    if not found.is_whole:
        return
    assert promised <= max(safe_l, missing_l if days == 1 else 0.0) * 1.0001
    while days > 1:
        missing_l += loss_l - found.litres
        days -= 1
        found = spread(missing_l, safe_l, loss_l, is_rest=True)
        if found.days == 1 and days > 1:
            # About all of it may go in at once: nothing is gained by another day.
            assert missing_l <= 1.1 * safe_l
            return
        assert found.days == days
        assert found.litres == pytest.approx(promised)


def test_a_jug_that_was_read_a_little_short_makes_no_day_more() -> None:
    """Of 6.2 L three days at 3 L a day and 1.2 L between; the first was 0.1 L short."""
    first = spread(6.2, 3.1, 1.0, is_rest=False)
    assert first.days == 3
    rest_l = 6.2 + 1.0 - (first.litres - 0.1)

    assert spread(rest_l, 3.1, 1.0, is_rest=True).days == 2
