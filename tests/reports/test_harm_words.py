"""What a reading that harms says at the chore that looks after it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.communities import Community
from tankkeeper.core.logbook import Readings
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tests.builders import an_entry, by_rule
from tests.reports.scenes import chore, item, nook

TANK = replace(nook(), community=Community.SOFT_CORAL)
TEST = replace(chore(ChoreKind.TEST, "Test ammonia"), tests=("ammonia",))
HEATER = chore(ChoreKind.CHECK, "Test the heater with a second thermometer")


@pytest.mark.parametrize(
    ("one", "parameter", "value", "unit", "told"),
    [
        (
            TEST,
            "ammonia",
            1.0,
            "mg/L",
            "Ammonia was 1 mg/L yesterday, above its range of 0 to 0.25 mg/L. "
            "So it is due again today, within a day.",
        ),
        (
            replace(TEST, rhythm=by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-02-07")),
            "ammonia",
            1.0,
            "mg/L",
            "Ammonia was 1 mg/L yesterday, above its range of 0 to 0.25 mg/L. "
            "Read it again within a day.",
        ),
        (
            HEATER,
            "temperature",
            31.0,
            "degC",
            "Temperature was 31.0 °C yesterday, above its range of 24.0 to 27.0 °C. "
            "Read it again within a day.",
        ),
    ],
    ids=["counted from the last time", "by the calendar", "a heater"],
)
def test_the_reason_names_the_reading_and_when_it_is_to_be_read_again(
    one: Chore, parameter: str, value: float, unit: str, told: str
) -> None:
    """Ranges of soft corals, as the banner tells them."""
    fact = Readings((ReadingValue(parameter, value, str(value), unit),))
    done = {"done": "it", "key": "2026-03-07"} if one.kind is ChoreKind.TEST else {}
    log = [an_entry(1, "2026-03-11", fact, tank="nook", **done)]  # type: ignore[arg-type]

    row, words = item(one, log, tanks=(TANK,))

    assert plain(reason(row, words)).endswith(told)
