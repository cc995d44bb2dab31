"""Which readings are asked about: far from the last ones, or far outside the range of the tank."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tankkeeper.core.communities import Community
from tankkeeper.core.household import OwnRange, Stage
from tankkeeper.core.logbook import Entry, Readings, WaterChange
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.reading_doubts import Doubt, doubt_of
from tests.builders import a_box, an_entry

TANK = a_box(community=Community.SMALL_POLYP_STONY)


def read(number: int, day: str, name: str, value: float) -> Entry:
    return an_entry(number, day, Readings((ReadingValue(name, value, "", value),)), tank="nook")


def doubt(
    name: str, value: float, *before: Entry, days: float = 3.0, **tank: object
) -> Doubt | None:
    """Return the doubt about a value read some days after the last entry, of 86 L."""
    last = before[-1].at if before else read(1, "2026-03-01", name, 0.0).at
    reading = ReadingValue(name, value, "", value)
    of = replace(TANK, **tank)  # type: ignore[arg-type]
    return doubt_of(of, reading, last + timedelta(days=days), before, 86.0)


@pytest.mark.parametrize(
    ("name", "last", "now", "is_asked"),
    [
        # What a careful test is good for and how fast a reef moves: common practice, no source.
        ("nitrate", 8.0, 80.0, True),
        ("nitrate", 8.0, 12.0, False),
        ("nitrate", 8.0, 18.0, False),
        ("alkalinity", 8.2, 82.0, True),
        ("alkalinity", 8.2, 0.82, True),
        ("alkalinity", 8.2, 7.0, False),
        ("calcium", 420.0, 42.0, True),
        ("calcium", 420.0, 400.0, False),
        ("phosphate", 0.05, 0.5, True),
        ("phosphate", 0.05, 0.09, False),
        ("salinity", 35.0, 30.0, True),
        ("salinity", 35.0, 34.4, False),
    ],
)
def test_a_slip_of_the_decimal_sign_is_asked_about_and_a_usual_change_is_not(
    name: str, last: float, now: float, is_asked: bool
) -> None:
    """Three days after one reading of the same."""
    found = doubt(name, now, read(1, "2026-03-01", name, last))

    assert (found is not None) is is_asked
    if found is not None:
        assert found.last == (last, read(1, "2026-03-01", name, last)) or found.range is not None


def test_a_large_water_change_explains_a_fall() -> None:
    """Half the water renewed halves the nitrate."""
    first = [read(at, f"2026-03-{at:02}", "nitrate", 40.0) for at in range(1, 8)]
    change = an_entry(20, "2026-03-08", WaterChange(43.0), tank="nook")

    assert doubt("nitrate", 20.0, *first, change, days=1.0) is None
    assert doubt("nitrate", 4.0, *first, days=1.0) is not None


def test_a_reading_near_the_last_one_is_far_from_what_the_change_since_made_of_it() -> None:
    """12 of 86 L were swapped for brackish water of 8 PSU; 35.2 was read before.

    (86 x 35.2 - 12 x (35.2 - 8)) / 86 = 31.4, which is what the next one is held against.
    """
    last = read(1, "2026-03-01", "salinity", 35.2)
    change = an_entry(2, "2026-03-02", WaterChange(12.0, salinity=8.0), tank="nook")

    found = doubt("salinity", 35.6, last, change, days=0.1)
    assert found is not None
    assert (found.last, found.range) == (None, None)
    assert found.expected is not None
    assert found.expected[0] == pytest.approx(31.4, abs=0.1)
    assert found.expected[1] == change
    # Far from both: what was read says it more plainly.
    found = doubt("salinity", 39.0, last, change, days=0.1)
    assert found == Doubt(last=(35.2, last))


def test_a_reading_that_stays_where_all_others_moved_is_far_from_their_trend() -> None:
    """Ten days after alkalinity fell by 0.3 dKH a day."""
    moving = [read(at, f"2026-03-{at:02}", "alkalinity", 12.0 - 0.3 * at) for at in range(1, 15)]

    found = doubt("alkalinity", 7.8, *moving, days=10.0)
    assert found is not None
    assert found.last is None
    assert found.expected is not None
    assert (found.expected[0], found.expected[1]) == (pytest.approx(4.8, abs=0.3), moving[-1])


def test_a_first_reading_is_held_against_the_range_of_the_tank() -> None:
    """Stony corals keep nitrate between 1 and 10 mg/L; in a tank of fish 80 may be so."""
    found = doubt("nitrate", 80.0)

    assert found is not None
    assert (found.last, found.range is not None) == (None, True)
    assert doubt("nitrate", 25.0) is None
    assert doubt("nitrate", 80.0, community=Community.FISH_ONLY) is None
    assert doubt("nitrate", 80.0, community=None) is None


def test_what_piles_up_in_no_tank_is_asked_about_sooner() -> None:
    """Further out of 7.3 to 9 dKH than the range is wide, where nitrate may be twice as far."""
    tank = {"ranges": (OwnRange("alkalinity", 7.3, 9.0, "dKH"),)}
    asked = [one for one in (10.5, 12.0, 5.0) if doubt("alkalinity", one, **tank) is not None]
    assert asked == [12.0, 5.0]


def test_what_was_far_outside_before_is_not_asked_about_again() -> None:
    """The reading before has said so already."""
    assert doubt("nitrate", 58.0, read(1, "2026-03-01", "nitrate", 55.0)) is None


def test_a_cycling_tank_may_have_much_of_what_it_is_to_break_down() -> None:
    """Ammonia and nitrite climb far beyond what animals bear."""
    assert doubt("nitrite", 5.0, stage=Stage.CYCLING) is None
    assert doubt("nitrite", 5.0, stage=Stage.RUNNING) is not None


def test_a_reading_of_the_past_is_held_against_what_was_before_it() -> None:
    """Later ones are not known yet then."""
    later = read(1, "2026-03-05", "nitrate", 8.0)

    found = doubt("nitrate", 80.0, later, days=-1.0)

    assert found is not None
    assert found.last is None
