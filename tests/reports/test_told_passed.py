"""A limit of the salinity is told as passed where the salinity beside it says so, too."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta

import pytest

from tankkeeper.core.household import ShownUnits, TopOffLimits
from tankkeeper.core.logbook import Entry, Readings, TopOff
from tankkeeper.core.moment import moment_of
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.tank_learning import learn
from tankkeeper.core.tank_water import water_now
from tankkeeper.reports.limit_words import limit_in_words
from tankkeeper.reports.numbers import plain
from tankkeeper.reports.salinity_words import salinity_now
from tankkeeper.reports.words import Words
from tests.builders import a_box, a_household, a_moment, an_entry, day

FIRST = day("2026-03-02")
# The level lets 150 mm go, so that the salinity binds.
TANK = a_box(target_salinity=35.0, top_off=TopOffLimits(allowed_drop_mm=150.0))


def logged(count: int, read: float | None) -> list[Entry]:
    """Return fills of 3 L every second day, and a salinity that was read with the last."""
    days = [FIRST + timedelta(days=2 * number) for number in range(count)]
    log = [an_entry(seq, on, TopOff(3.0), tank="nook") for seq, on in enumerate(days, start=1)]
    if read is not None:
        fact = Readings((ReadingValue("salinity", read, "", read),))
        log.append(an_entry(count + 1, days[-1], fact, tank="nook"))
    return log


@pytest.mark.parametrize("unit", ["practical", "sg 25/25", "sg 20/4", "mS/cm"])
@pytest.mark.parametrize(("count", "read"), [(6, None), (20, None), (6, 35.3), (20, 34.93)])
def test_passed_is_told_where_the_low_end_as_told_is_at_or_beyond_the_limit_as_told(
    unit: str, count: int, read: float | None
) -> None:
    """For six days after the last fill, hour by hour; later than that it surely is passed."""
    home = replace(a_household(), units=ShownUnits(salinity=unit))
    log = logged(count, read)
    learned = learn(TANK, None, log, FIRST)
    begun = a_moment(log[-1].day).now
    passed = 0
    for hours in range(24 * 6):
        moment = moment_of(home, begun + timedelta(hours=hours))
        water, words = water_now(TANK, learned, moment, unit), Words(home, moment)
        assert water.salinity is not None
        assert water.salinity_limit is not None
        if limit_in_words(water, words).startswith("passed"):
            passed += 1
            told = plain(words.salinity_with_span(water.salinity))
            limit = plain(words.salinity(water.salinity_limit))
            assert _low_end(told) >= float(limit.split()[0]) - 1e-9, f"{told}, up to {limit}"
        else:
            told = plain(salinity_now(water, words))
            limit = plain(words.salinity(water.salinity_limit))
            is_beyond = _low_end(told) > float(limit.split()[0]) + 1e-9
            assert not is_beyond, f"{told}, up to {limit}"
    assert passed > 0


def _low_end(told: str) -> float:
    """Return the low end of "35.8 ± 0.3 PSU", or of "35.8 PSU (35.5 to 36.4)"."""
    around = re.match(r"([\d.]+) ± ([\d.]+)", told)
    if around is not None:
        return float(around[1]) - float(around[2])
    ends = re.search(r"\((?:at least )?([\d.]+)", told)
    assert ends is not None
    return float(ends[1])


def test_what_only_may_be_passed_is_told_so_where_it_likely_is_since_the_same_moment() -> None:
    """Both moments are one in words, but neither of them is sure."""
    learned = learn(TANK, None, logged(20, None), FIRST)
    home = a_household()
    moment = moment_of(home, a_moment(FIRST + timedelta(days=40)).now)
    water, words = water_now(TANK, learned, moment), Words(home, moment)
    at = moment.now - timedelta(hours=3)
    limit = replace(water.limit, limit_at=at, likely_at=at, surely_at=None)

    told = plain(limit_in_words(replace(water, limit=limit), words))

    assert told.startswith("may be passed since ")
