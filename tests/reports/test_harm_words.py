"""What a reading that harms says at the chore that looks after it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.communities import Community
from tankkeeper.core.household import OwnRange
from tankkeeper.core.logbook import Fact, Readings, TopOff, WaterChange
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.numbers_used import numbers_used
from tankkeeper.reports.reasons import reason
from tests.builders import an_entry, by_rule
from tests.reports.scenes import chore, fills, item, nook

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


SALTY = replace(nook(), ranges=(OwnRange("salinity", 33.0, 35.0, ""),))
SALINITY_TEST = replace(chore(ChoreKind.TEST, "Test salinity"), tests=("salinity",))


def salinity_told(value: float, *later: tuple[str, Fact]) -> tuple[str, dict[str, str]]:
    """Return the reason and the figures of a test of salinity that read so much on Mon 9.

    It was just filled then, as every second day before, by a litre a day of some 86 L.
    """
    read = Readings((ReadingValue("salinity", value, str(value), "practical"),))
    rows = [("2026-03-09", read), *later]
    log = [
        *fills("2026-03-09", litres=2.0),
        *(an_entry(100 + n, day, fact, tank="nook") for n, (day, fact) in enumerate(rows)),
    ]
    row, words = item(SALINITY_TEST, log, tanks=(SALTY,))
    return plain(reason(row, words)), {
        plain(name): plain(figure) for name, figure in numbers_used(row, words)
    }


FILLED = ("2026-03-11", TopOff(2.0))


@pytest.mark.parametrize(
    ("value", "later", "told"),
    [
        (36.9, [], "36.9 PSU on Mon 9, above its range of 33.0 to 35.0 PSU."),
        (36.9, [FILLED], "36.9 PSU on Mon 9, above its range of 33.0 to 35.0 PSU."),
        (
            36.9,
            [("2026-03-10", WaterChange(20.0, salinity=33.0)), FILLED],
            "36.9 PSU on Mon 9, above its range of 33.0 to 35.0 PSU, "
            "now about 36.2 PSU by reckoning.",
        ),
        (
            38.9,
            [("2026-03-10", WaterChange(20.0, salinity=33.0)), FILLED],
            "38.9 PSU on Mon 9, above its range of 33.0 to 35.0 PSU, "
            "now about 37.8 PSU by reckoning. So it was due again on Tue 10, within a day.",
        ),
        (32.0, [FILLED], "32.0 PSU on Mon 9, below its range of 33.0 to 35.0 PSU."),
        (
            31.5,
            [("2026-03-10", WaterChange(20.0, salinity=35.0)), FILLED],
            "31.5 PSU on Mon 9, below its range of 33.0 to 35.0 PSU, "
            "now about 32.5 PSU by reckoning.",
        ),
    ],
    ids=["alone", "filled", "changed", "harming", "low and filled", "low and changed"],
)
def test_a_salinity_outside_tells_what_it_is_by_reckoning_once_water_brought_it_nearer(
    value: float, later: list[tuple[str, Fact]], told: str
) -> None:
    """20 of some 86 L at 33 make 35.9 of 36.9, of 38.9 37.4, and at 35 32.2 of 31.5.

    A litre was missing on Tuesday, so that they took the salt of 20 of 85 L with them.
    Filled at noon on Wednesday, it has lost 0.8 L by seven on Thursday, which is 0.3 PSU more; that
    alone is no news of a reading.
    """
    reason_told, figures = salinity_told(value, *later)

    # What its test comes sooner for tells of it in the middle of a sentence.
    assert f"salinity was {told}" in reason_told.replace("Salinity was", "salinity was")
    # What can be done about it follows where it is above.
    assert ("of fresh water in place of" in reason_told) is (value > 35.0)
    side = "above" if value > 35.0 else "below"
    assert figures["Salinity, Mon 9"].endswith(f" {value} PSU, {side}")
    assert figures["Salinity, range"] == "33.0 to 35.0 PSU"


def test_a_salinity_that_water_brought_inside_bears_no_mark() -> None:
    """50 of some 86 L at 33 make 34.6 of 36.9: neither the reason nor the figures tell of it."""
    change: tuple[str, Fact] = ("2026-03-10", WaterChange(50.0, salinity=33.0))

    reason_told, figures = salinity_told(36.9, change, FILLED)

    assert "Salinity" not in reason_told
    assert figures["Salinity, Mon 9"] == "36.9 PSU"
