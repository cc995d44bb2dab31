"""A stuck heater or salt far off stands in the window until a later reading is better."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tankkeeper.reports.numbers import plain
from tests.gui.conftest import Remind
from tests.gui.test_out_of_range import house, read


@pytest.mark.parametrize(
    ("parameter", "typed", "better", "told"),
    [
        (
            "temperature",
            "32",
            "26",
            "Nook: temperature 32 °C today, above its range of 24.0 to 27.0 °C. "
            "Look at heater, pumps and thermometer, measure again, "
            "and bring it back slowly: by 2 °C a day at most.",
        ),
        (
            "salinity",
            "29",
            "34",
            "Nook: salinity 29 PSU today, below its range of 33.0 to 35.5 PSU. "
            "Measure again with another instrument, and bring it back over several days.",
        ),
    ],
)
def test_what_harms_stands_until_a_better_reading(
    remind: Remind, parameter: str, typed: str, better: str, told: str
) -> None:
    """The ranges of soft corals and what is borne in a day: common practice, no source."""
    one = remind(house())

    read(one.hands, **{parameter: typed})
    shown = plain(one.reminder)
    one.passes(timedelta(hours=1))
    read(one.hands, **{parameter: better})

    assert shown == told
    assert one.reminder == ""


@pytest.mark.parametrize(("parameter", "typed"), [("temperature", "28"), ("salinity", "36.5")])
def test_what_is_a_little_off_is_no_alarm(remind: Remind, parameter: str, typed: str) -> None:
    """It is told at the foot and marked."""
    one = remind(house())
    read(one.hands, **{parameter: typed})
    assert one.reminder == ""
