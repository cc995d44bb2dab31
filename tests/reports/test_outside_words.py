"""Where a value outside its range lies, in words."""

from __future__ import annotations

from datetime import time

import pytest

from tankkeeper.core.communities import Range
from tankkeeper.reports.outside_words import beyond
from tankkeeper.reports.words import Words
from tests.builders import a_household, a_moment

WORDS = Words(a_household(), a_moment("2026-03-12", time(7)))


@pytest.mark.parametrize(
    ("value", "told"),
    [
        (33.8, ""),
        (35.02, "just above its range of 33.0 to 35.0 PSU"),
        (35.12, "above its range of 33.0 to 35.0 PSU"),
        (32.98, "just below its range of 33.0 to 35.0 PSU"),
        (32.7, "below its range of 33.0 to 35.0 PSU"),
    ],
)
def test_a_value_told_with_the_figure_of_an_end_is_just_outside(value: float, told: str) -> None:
    said = beyond("salinity", value, Range(33.0, 35.0), WORDS)
    assert said.replace("\N{NO-BREAK SPACE}", " ") == told
