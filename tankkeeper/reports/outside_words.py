"""Readings outside the range of their tank, in words: which, on which side, and which range."""

from __future__ import annotations

from collections.abc import Sequence

from tankkeeper.core.communities import Range
from tankkeeper.core.harmful import (
    POISONS,
    Harm,
    cycles_unstocked,
    is_harmful,
    reckoned_nearer,
)
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Entry, Readings
from tankkeeper.core.parameters import PARAMETERS, ReadingValue
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.target_ranges import Side, range_of, side_of
from tankkeeper.reports.amount_reasons import parameter_words
from tankkeeper.reports.in_sentences import capital
from tankkeeper.reports.logbook_words import reading_text
from tankkeeper.reports.numbers import counted, listed
from tankkeeper.reports.outlook_reasons import range_words
from tankkeeper.reports.words import Words

# Shape and word tell it; a colour alone would not.
_MARKS = {
    Side.BELOW: "\N{BLACK DOWN-POINTING TRIANGLE}",
    Side.ABOVE: "\N{BLACK UP-POINTING TRIANGLE}",
}


EXPECTED = "expected while the tank cycles"
BY_RECKONING = "by reckoning"


def beyond(name: str, value: float, wanted: Range, words: Words) -> str:
    """Return where a value outside its range lies: "above its range of 7 to 9 dKH", else ""."""
    side = side_of(value, wanted)
    if side is None:
        return ""
    side_word = _side_word(name, value, wanted, words)
    return f"{side_word} its range of {whole_range(name, wanted, words)}"


def _side_word(name: str, value: float, wanted: Range, words: Words) -> str:
    """Return the word of a side; "just above" of a value that is told with the figure of the end.

    "About 35.5 PSU, above its range of 34.5 to 35.5" would read as though one were false.
    """
    side = side_of(value, wanted)
    assert side is not None
    end = wanted.low if side is Side.BELOW else wanted.high
    assert end is not None
    is_near = words.parameter(name, value) == words.parameter(name, end)
    return f"just {side.value}" if is_near else side.value


def while_cycling(tank: Tank | None, name: str, value: float, words: Words) -> str:
    """Return that a reading above its range is expected while a tank cycles, empty otherwise."""
    if tank is None or name not in POISONS or not is_harmful(name, value, tank_range(tank, name)):
        return ""
    return EXPECTED if cycles_unstocked(tank, words.household.animals) else ""


def whole_range(name: str, wanted: Range, words: Words) -> str:
    """Return a range with both ends where it has them; of what can be none, the lower is 0."""
    limits = PARAMETERS[name].limits
    if wanted.low is None and wanted.high is not None and limits.low == 0.0:
        wanted = Range(0.0, wanted.high)
    return range_words(name, wanted, words)


def marked(value: float, text: str, wanted: Range) -> str:
    """Return the text of a value with a mark and a word before it where it is outside."""
    side = side_of(value, wanted)
    return text if side is None else f"{_MARKS[side]} {text}, {side.value}"


def standing_texts(found: Sequence[Harm], tank: Tank, words: Words) -> tuple[str, ...]:
    """Return which newest readings of a tank stand outside, in ever fewer words; empty for none.

    Such as "nitrate 80 mg/L above range on Mon 9, alkalinity 6 dKH below range today", then
    "nitrate and alkalinity outside range", "2 readings outside range", then "2 outside range".
    """
    if not found:
        return ()
    names = [parameter_words(one.value.parameter) for one in found]
    count = counted(len(found), "reading", "readings")
    brief = (listed(names), count, str(len(found)))
    return _standing_short(found, tank, words), *(f"{one} outside range" for one in brief)


def _standing_short(found: Sequence[Harm], tank: Tank, words: Words) -> str:
    told = []
    for one in found:
        name, value = one.value.parameter, one.value.value
        side = _side_word(name, value, tank_range(tank, name), words)
        read = words.salinity(value) if one.is_reckoned else words.reading(one.value)
        about = "about " if one.is_reckoned else ""
        told.append((f"{parameter_words(name)} {about}{read} {side} range", one))
    days = [BY_RECKONING if one.is_reckoned else words.on_day_at(one.entry.at) for _, one in told]
    if len(set(days)) == 1:
        # The day of all is told once.
        return f"{', '.join(read for read, _ in told)} {days[0]}"
    return ", ".join(f"{read} {day}" for (read, _), day in zip(told, days, strict=True))


def standing_sentence(one: Harm, water: TankWater, words: Words) -> str:
    """Return that a newest reading of a tank stands outside its range, and since when.

    Such as "Nitrate was 80 mg/L on Mon 9, above its range of 2 to 20 mg/L."; of a salinity what it
    is by now, where water went in since: "..., now about 36.2 PSU by reckoning."
    """
    name, value = one.value.parameter, one.value.value
    said = beyond(name, value, tank_range(water.tank, name), words)
    if one.is_reckoned:
        now = f"{capital(parameter_words(name))} is about {words.salinity(value)} {BY_RECKONING}"
        return f"{now}, {said}."
    read = f"{capital(parameter_words(name))} was {words.reading(one.value)}"
    now = _reckoned(one.value, water, words)
    return f"{read} {words.on_day_at(one.entry.at)}, {said}{now}."


def _reckoned(value: ReadingValue, water: TankWater, words: Words) -> str:
    psu = reckoned_nearer(value, water)
    if psu is None or words.salinity(psu) == words.salinity(value.value):
        return ""
    return f", now about {words.salinity(psu)} {BY_RECKONING}"


def read_text(entry: Entry, words: Words) -> str:
    """Return what was read, each value outside its range with that range; empty for no readings.

    Such as "Read ammonia 3 mg/L, above its range of 0 to 0.25 mg/L; nitrate 5 mg/L".
    """
    told = _told(entry, words)
    if not told:
        return ""
    sign = "; " if any(side for _, side in told) else ", "
    return f"Read {sign.join(text + side for text, side in told)}"


def outside_of(entry: Entry, words: Words) -> str:
    """Return the readings of an entry that lie outside, with their range; empty for none."""
    return "; ".join(text + side for text, side in _told(entry, words) if side)


def outside_sides(entry: Entry, words: Words) -> dict[str, str]:
    """Return where each reading of an entry that lies outside does, by its shown name."""
    if not isinstance(entry.fact, Readings):
        return {}
    names = [PARAMETERS[one.parameter].display for one in entry.fact.values]
    return {name: side for name, (_, side) in zip(names, _told(entry, words), strict=True) if side}


def _told(entry: Entry, words: Words) -> list[tuple[str, str]]:
    """Return each reading with where it lies where that is outside."""
    if not isinstance(entry.fact, Readings):
        return []
    tank = words.household.tank(entry.tank) if entry.tank is not None else None
    found = []
    for one in entry.fact.values:
        side = beyond(one.parameter, one.value, tank_range(tank, one.parameter), words)
        expected = while_cycling(tank, one.parameter, one.value, words)
        told = ", ".join(part for part in (side, expected) if part)
        found.append((reading_text(one, words), f", {told}" if told else ""))
    return found


def tank_range(tank: Tank | None, name: str) -> Range:
    """Return the range of a parameter by its name, an open one where the tank is not known."""
    known = PARAMETERS.get(name)
    return Range(None, None) if tank is None or known is None else range_of(tank, known)
