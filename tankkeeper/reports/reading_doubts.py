"""What is asked about a value that was read: it is kept if it is confirmed."""

from __future__ import annotations

from datetime import datetime

from tankkeeper.core.communities import Range
from tankkeeper.core.logbook import Entry, WaterChange
from tankkeeper.core.parameters import PARAMETERS, Parameter, ReadingValue
from tankkeeper.core.reading_doubts import doubt_of
from tankkeeper.core.state import HouseholdState
from tankkeeper.reports.words import Words

READ_SO = " Keep it if it was read so."


def unusual_words(parameter: Parameter, value: float, words: Words) -> str:
    """Return what is asked about a value in the stored unit, an empty text when it is usual."""
    limits = parameter.limits
    low, high = limits.usual_low, limits.usual_high
    is_low = low is not None and value < low
    is_high = high is not None and value > high
    if not (is_low or is_high):
        return ""
    shown = words.parameter(parameter.name, value)
    ends = [words.parameter(parameter.name, end) for end in (low, high) if end is not None]
    usual = f"{ends[0]} to {ends[1]}" if len(ends) == 2 else ends[0]
    return f"{parameter.display} {shown} is unlike the usual {usual}.{READ_SO}"


def doubtful_words(
    reading: ReadingValue,
    state: HouseholdState | None,
    tank_id: str | None,
    at: datetime | None,
    words: Words,
) -> str:
    """Return what is asked about a reading of a tank at a moment (now if None), if anything.

    It is unlike what any tank has, far from what was read before, or far outside the tank's range.
    """
    parameter = PARAMETERS[reading.parameter]
    asked = unusual_words(parameter, reading.value, words)
    water = state.waters.get(tank_id) if state is not None and tank_id is not None else None
    if asked or state is None or water is None:
        return asked
    net_l = None if water.net is None else water.net.value
    entries = state.history.of_water(water.tank.id)
    doubt = doubt_of(water.tank, reading, at or state.moment.now, entries, net_l)
    if doubt is None:
        return ""
    shown = words.reading(reading)
    if doubt.last is not None:
        value, entry = doubt.last
        last = words.parameter(parameter.name, value)
        far = f"far from the {last} read {words.on_day(entry.day)}"
    elif doubt.expected is not None:
        far = _far_from_expected(parameter, doubt.expected, words)
    else:
        assert doubt.range is not None
        far = f"far outside the range of {water.tank.name}, {_range(parameter, doubt.range, words)}"
    return f"{parameter.display} {shown} is {far}.{READ_SO}"


def _far_from_expected(parameter: Parameter, expected: tuple[float, Entry], words: Words) -> str:
    value, entry = expected
    # No trend knows that nothing is less than none.
    about = words.parameter(parameter.name, max(0.0, value))
    if isinstance(entry.fact, WaterChange):
        by = f"since the water change {words.on_day(entry.day)}"
    else:
        by = "from the readings before"
    return f"far from about {about}, as reckoned {by}"


def _range(parameter: Parameter, wanted: Range, words: Words) -> str:
    assert wanted.high is not None
    high = words.parameter(parameter.name, wanted.high)
    if wanted.low is None:
        return f"up to {high}"
    return f"{words.parameter(parameter.name, wanted.low)} to {high}"
