"""What can be done about a salinity above its range, told with the litres that it takes."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tankkeeper.core.balance import salinity_after_swap
from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.household import OwnRange, Tank
from tankkeeper.core.logbook import Fact, Readings, TopOff
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.reports.lowering_words import lowering_sentence
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.reasons import reason
from tests.builders import an_entry
from tests.reports.scenes import change, chore, fills, item, nook, top_off

# The target of 35 stands inside this range.
RANGED = replace(nook(allowed_drop_mm=5000.0), ranges=(OwnRange("salinity", 33.0, 35.5, ""),))
TEST = replace(chore(ChoreKind.TEST, "Test salinity"), tests=("salinity",))
SWAP = re.compile(r"About ([\d.]+) L of fresh water in place of as much water of the full tank")
FULL_NOW = ("2026-03-11", TopOff(2.0))


def read(value: float, day: str = "2026-03-11", unit: str = "practical") -> tuple[str, Fact]:
    return day, Readings((ReadingValue("salinity", value, str(value), unit),))


def told(one: Chore, *rows: tuple[str, Fact], tank: Tank = RANGED) -> str:
    """Return the reason of a chore of a tank that was filled every second day."""
    log = [
        *fills("2026-03-09", litres=2.0),
        *(an_entry(100 + n, day, fact, tank="nook") for n, (day, fact) in enumerate(rows)),
    ]
    row, words = item(one, log, tanks=(tank,))
    return plain(reason(row, words))


@pytest.mark.parametrize("one", [TEST, top_off(), change()], ids=["test", "top-off", "change"])
def test_of_a_tank_that_is_too_salty_when_full_the_litres_of_an_exchange_are_told(
    one: Chore,
) -> None:
    """Its test, its top-off and its water change tell it; none leaves it at the reading."""
    text = told(one, FULL_NOW, read(36.0))

    assert SWAP.search(text)
    assert "brings it to 35.0 PSU; lower it by no more than 1.5 PSU a day" in text


def test_the_change_tells_the_reading_too() -> None:
    """Without it nobody would know what the fresh water is for."""
    text = told(change(), FULL_NOW, read(36.0))

    assert "Salinity was 36.0 PSU yesterday, above its range of 33.0 to 35.5 PSU. About" in text


@pytest.mark.parametrize(("value", "days"), [(36.0, 1), (36.4, 1), (37.6, 2), (39.0, 3)])
def test_the_litres_bring_it_to_the_target_in_steps_of_a_day(value: float, days: int) -> None:
    """Worked out anew from the litres: 86 L come to the target, by no step above 1.5 PSU."""
    log = [
        *fills("2026-03-09", litres=2.0),
        *(
            an_entry(100 + n, day, fact, tank="nook")
            for n, (day, fact) in enumerate((FULL_NOW, read(value)))
        ),
    ]
    row, words = item(TEST, log, tanks=(RANGED,))
    assert row.water is not None
    assert row.water.net is not None
    text = plain(lowering_sentence(row.water, words))
    found = SWAP.search(text)
    assert found is not None
    assert (f"on each of {days} days" in text) is (days > 1)
    assert ("read it before each" in text) is (days > 1)

    salinity = row.water.learned.salinity_at_mark or 0.0
    for _ in range(days):
        before = salinity
        salinity = salinity_after_swap(row.water.net.value, salinity, float(found[1]), 0.0)
        assert before - salinity <= 1.55
    # The litres are those of the first day; what is left is told by the reading before the others.
    assert salinity == pytest.approx(35.0, abs=0.08 * days)


def test_what_the_top_off_lowers_counts_for_its_day() -> None:
    """Read 36.4 in the full tank on Monday it has some 37 by now, and 35.0 would be too far."""
    text = told(TEST, read(36.4, "2026-03-09"))

    assert text.endswith("lower it by no more than 1.5 PSU a day, so top off the day before.")


def test_a_tank_that_only_evaporated_is_topped_off() -> None:
    """Full it lies inside its range: fresh water up to the mark is all that it needs."""
    text = told(TEST, read(35.8))

    assert "above its range of 33.0 to 35.5 PSU. Filled to the mark it has about 35." in text
    assert text.endswith(": topping off brings it back.")


def test_nothing_is_told_of_a_salinity_inside_or_below_its_range() -> None:
    """Nor of one without a range."""
    for value in (32.0, 35.2):
        assert "fresh water in place" not in told(TEST, FULL_NOW, read(value))
    open_ended = replace(nook(), ranges=())
    assert "fresh water in place" not in told(TEST, FULL_NOW, read(36.4), tank=open_ended)
